"""Materials: sourced figures, threads by their count, the studio's own over and beside them."""

from __future__ import annotations

from pathlib import Path

import pytest

from patterns.drafting.settings import settle
from patterns.errors import MaterialError
from patterns.stock import materials
from patterns.structures import catalogue
from tests.books import demo

LIBRARY = materials.built_in()


@pytest.fixture
def studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MENDFOLD_CONFIG", str(tmp_path))
    return tmp_path / "materials.toml"


@pytest.mark.parametrize(("thread", "tex"), [("18/3", 276), ("25/3", 198), ("35/3", 142)])
def test_linen_counts_give_the_published_tex(thread: str, tex: int) -> None:
    """Kadolph & Langford, *Textiles*, 2001, as rounded there."""
    found = LIBRARY.find(f"linen thread {thread}", "thread").tex
    assert found == pytest.approx(tex, abs=0.5)


def test_the_diameter_of_18_3_is_the_worked_one() -> None:
    """0.6244 mm: worked by hand from 275.6 tex at 0.90 g/cm³."""
    assert LIBRARY.find("linen thread 18/3").diameter_mm == pytest.approx(0.6244, abs=5e-5)


@pytest.mark.parametrize(("thread", "tex", "newtons"), [("8/4", 301, 62), ("20/4", 99, 22)])
def test_cotton_threads_are_those_of_the_published_table(
    thread: str, tex: int, newtons: int
) -> None:
    """FAA AC 43.13-1B, table 2-2."""
    found = LIBRARY.find(f"cotton thread {thread}")
    assert found.tex == pytest.approx(tex, abs=0.5)
    assert found.strength_n == pytest.approx(newtons, abs=0.5)


def test_grade_a_cotton_is_the_published_strength() -> None:
    """FAA AC 43.13-1B, table 2-1: 80 lb/in = 140 N/cm."""
    assert LIBRARY.find("grade A cotton cloth").strength_along == pytest.approx(
        80 * 4.448222 / 2.54, abs=0.5
    )


@pytest.mark.parametrize("material", LIBRARY.materials, ids=lambda each: str(each.name))
def test_every_figure_has_a_source_and_a_believable_size(material: materials.Material) -> None:
    for key, figure in material.figures.items():
        assert figure.source.strip(), key
        assert getattr(material, key) == figure.value
    if material.kind == "adhesive":
        assert material.sets in materials.SETS
        assert material.undone_with
    elif material.kind == "thread":
        assert 0.2 < (material.diameter_mm or 0) < 1.0
    else:
        assert material.thickness_mm
        assert material.grammage
        # No sheet of fibre is denser than cellulose itself (1.5 g/cm³) or as light as foam.
        assert 0.2 < material.grammage / material.thickness_mm / 1000 < 1.5
    if material.kind == "cloth":
        assert material.strong in materials.STRONG


def test_every_kind_is_there_and_no_name_twice() -> None:
    assert {each.kind for each in LIBRARY.materials} == {
        "paper", "tissue", "cloth", "leather", "board", "thread", "adhesive",
    }  # fmt: skip
    assert len(set(LIBRARY.names())) == len(LIBRARY.materials)


def test_a_name_is_found_whatever_its_capitals_spaces_and_superscripts() -> None:
    plain = LIBRARY.find("Long-fibred  tissue 11 g/m2", "tissue")
    assert plain.name == "long-fibred tissue 11 g/m²"


def test_an_unknown_name_is_refused_with_the_nearest() -> None:
    with pytest.raises(MaterialError, match="“linen thread 18/3”"):
        LIBRARY.find("linnen thread 18/3")


def test_the_wrong_kind_is_refused_with_those_of_the_right_kind() -> None:
    with pytest.raises(MaterialError, match=r"“mull” is a cloth, and a paper is wanted.*kraft"):
        LIBRARY.find("mull", "paper")


def test_figures_from_memory_are_said_to_be_so() -> None:
    cotton = LIBRARY.find("fine cotton cloth")
    (lacking,) = cotton.doubts("thickness_mm", "growth_along")
    assert "No growth along the grain" in lacking
    assert cotton.remembered("thickness_mm", "growth_along") == (
        ("thickness", "fine cotton cloth 0.25 mm"),
    )
    assert LIBRARY.find("text paper 75 g/m²").remembered("thickness_mm") == ()


def test_the_studio_replaces_single_figures_and_keeps_the_rest(studio: Path) -> None:
    studio.write_text(
        '[[material]]\nname = "Kraft lining paper"\nthickness_mm = 0.114\n'
        'growth_across = { value = 2.1, source = "soak test, 180 mark", confidence = "own" }\n',
        "utf-8",
    )
    kraft = materials.load().find("kraft lining paper")
    assert kraft.thickness_mm == 0.114
    assert kraft.figures["thickness_mm"].confidence == "own"
    assert kraft.growth_across == 2.1
    assert kraft.grammage == LIBRARY.find("kraft lining paper").grammage
    assert kraft.doubts("thickness_mm", "growth_across") == ()
    assert kraft.remembered("thickness_mm", "growth_across") == ()


def test_the_studio_adds_its_own(studio: Path) -> None:
    studio.write_text(
        '[[material]]\nname = "shelf stock"\nkind = "paper"\nthickness_mm = 0.2\n', "utf-8"
    )
    library = materials.load()
    assert library.find("shelf stock", "paper").thickness_mm == 0.2
    assert len(library.materials) == len(LIBRARY.materials) + 1


def test_a_studio_thread_given_in_tex_or_lea_stands_as_given(studio: Path) -> None:
    studio.write_text(
        '[[material]]\nname = "linen thread 18/3"\ntex = 260\n'
        '[[material]]\nname = "cotton thread 8/4"\nlea = 20\nplies = 3\n',
        "utf-8",
    )
    library = materials.load()
    assert library.find("linen thread 18/3").tex == 260
    # 3 × 1653.5155 / 20
    assert library.find("cotton thread 8/4").tex == pytest.approx(248.03, abs=0.01)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[material]]\nkind = 'paper'\n", "no name"),
        ("[[material]]\nname = 'new'\n", "kind is None; allowed: paper"),
        ("[[material]]\nname = 'mull'\nkind = 'paper'\n", "allowed: cloth"),
        ("[[material]]\nname = 'mull'\nthicknes_mm = 1\n", "nearest: thickness_mm"),
        ("[[material]]\nname = 'mull'\nthickness_mm = true\n", "True, not a number"),
        ("[[material]]\nname = 'mull'\nthickness_mm = '0.2'\n", "not a number in mm"),
        ("[[material]]\nname = 'mull'\nthickness_mm = nan\n", "allowed: 0.005 to 20"),
        ("[[material]]\nname = 'mull'\nthickness_mm = -1\n", "allowed: 0.005 to 20"),
        ("[[material]]\nname = 'mull'\nthickness_mm = {value = 1, sure = 2}\n", "“sure”"),
        ("[[material]]\nname = 'mull'\nthickness_mm = {value = 1, confidence = 'x'}\n", "seen"),
        ("[[material]]\nname = 'mull'\nthickness_mm = {value = 1, source = ''}\n", "in words"),
        ("[[material]]\nname = 'mull'\nstrong = 'both'\n", "allowed: weft, warp, equal"),
        ("[[material]]\nname = 'mull'\n[[material]]\nname = 'Mull'\n", "twice"),
        ("[[material]]\nname = 'cord'\nkind = 'thread'\n", "needs tex, or lea and plies"),
        ("[[materials]]\nname = 'mull'\n", "“materials” is not known"),
        ("material = 3\n", "not a list"),
        ("[[material]\n", "not valid TOML"),
    ],
)
def test_a_faulty_studio_file_is_refused_in_one_line(studio: Path, text: str, says: str) -> None:
    studio.write_text(text, "utf-8")
    with pytest.raises(MaterialError) as refusal:
        materials.load()
    assert says in str(refusal.value)
    assert str(studio) in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_a_studio_file_named_but_missing_is_refused(tmp_path: Path) -> None:
    with pytest.raises(MaterialError, match="is not there"):
        materials.load(tmp_path / "none.toml")


@pytest.mark.parametrize("figure", ["growth_across", "thickness"])
def test_a_figure_holds_whichever_way_round_it_is_given(figure: str) -> None:
    """The material is taken first, then its figure, in whatever order they were written."""
    chosen = [catalogue.find("hollow_tube")]
    given = {f"paper_{figure}": "0.5", "paper": "heavy kraft lining paper"}
    one, other = (
        settle(chosen, settings, LIBRARY, demo("logbook"))["hollow_tube"].materials["paper"]
        for settings in (given, dict(reversed(given.items())))
    )
    assert one == other
    assert "set for this draft" in [held.source for held in one.figures.values()]
