"""Whether a structure suits a book: examining and drafting ask the same, and can never disagree."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random
from types import SimpleNamespace
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

import patterns
from patterns.book.book import Book
from patterns.book.suits import Need, Reason, Ruling, Suits, told
from patterns.book.unions import Role
from patterns.drafting import job
from patterns.drafting.given import settings_given
from patterns.drafting.order import Order
from patterns.errors import MendfoldError, RecordError, TemplateError, Unsuitable
from patterns.examine import offers
from patterns.examine.examination import examine
from patterns.examine.finding import Examination
from patterns.record import reading
from patterns.record.needs import needed
from patterns.record.record import ConditionTable, Record
from patterns.stock import materials
from patterns.structures import asking, catalogue
from patterns.structures.shared import against
from patterns.structures.suits import text_block_support
from tests.books import changed, demo, drafted
from tests.differential import books, covers
from tests.differential.rows import toml
from tests.examine_books import BOOKS as DEMOS
from tests.examine_books import joint

PACKAGE = Path(patterns.__file__).parent
STOCK = materials.built_in()
MAY_REFUSE = {
    "structures/asking.py",  # what a structure's own `suits` rules out
    "drafting/combining.py",  # two structures that do not go together
    "drafting/hazards.py",  # heat on parchment, whatever step brings it
    "formulas/slots.py",  # no room for any slot: told by board_slot as its ruling
}


@cache
def drawn_books() -> tuple[Record, ...]:
    """Return books as people meet them, some with odd measures, some with measures missing."""
    made = []
    for number in range(90):
        chance = Random(f"suits/{number}")
        cover = chance.choice(covers.COVERS)
        tables = books.book(chance, number, cover, album=number % 9 == 0)
        try:
            made.append(reading.parse(toml(tables), f"drawn-{number}.toml"))
        except RecordError:
            continue
    assert len(made) > 60
    return tuple(made)


@cache
def examinations() -> tuple[tuple[Record, Examination], ...]:
    every = (*drawn_books(), *map(reading.load, DEMOS))
    return tuple((one, examine(one, STOCK, catalogue.templates())) for one in every)


def test_a_structure_refuses_through_its_own_suits_alone() -> None:
    """Whoever drafts does not refuse: what rules a structure out is said once."""
    refusing = set()
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and "Unsuitable" in ast.dump(node.func):
                refusing.add(path.relative_to(PACKAGE).as_posix())
    assert refusing == MAY_REFUSE


def test_what_is_offered_can_be_drafted() -> None:
    """No way to go on, its measurements complete, is refused as unsuitable when it is drafted."""
    tried: dict[str, int] = {}
    for record, found in examinations():
        for choice in found.choices:
            names = tuple(choice.structure.split("+"))
            if choice.missing or choice.structure == "nothing":
                continue
            tried[choice.structure] = tried.get(choice.structure, 0) + 1
            if tried[choice.structure] > 6:
                continue
            try:
                job.draft(Order(record, names, settings_given(choice.settings), stock=STOCK))
            except MendfoldError as refusal:
                pytest.fail(f"{record.source} offers {names} with {choice.settings}: {refusal}")
    assert len(tried) >= 8, tried


def test_what_is_ruled_out_is_refused_in_the_same_words() -> None:
    """The first ruling of a structure, asked as it comes, is the line that drafting ends with."""
    seen = set()
    for record in drawn_books():
        book = Book.of(record, STOCK)
        for name, template in catalogue.templates().items():
            (suits,) = asking.ask_as_it_comes([template], book)
            if not suits.rulings or suits.missing or name in seen:
                continue
            seen.add(name)
            with pytest.raises(MendfoldError) as caught:
                job.draft(Order(record, (name,), stock=STOCK))
            assert suits.rulings[0].words in str(caught.value)
    assert len(seen) >= 8, seen


def test_a_structure_answers_what_its_template_says() -> None:
    """Examining looks at the template to know whom to ask; nobody answers more than that."""
    answered: dict[str, set[str]] = {name: set() for name in catalogue.names()}
    for record in drawn_books():
        book = Book.of(record, STOCK)
        for name, template in catalogue.templates().items():
            (suits,) = asking.ask_as_it_comes([template], book)
            answered[name] |= {reason.need for reason in suits.reasons}
    for name, template in catalogue.templates().items():
        assert answered[name] == set(template.answers), name


def test_every_need_is_answered_by_some_structure() -> None:
    """The list of needs holds no word that nobody answers, and every role of a union is one."""
    answered = {need for one in catalogue.templates().values() for need in one.answers}
    assert answered == set(get_args(Need))
    assert set(get_args(Role)) <= answered


def test_what_is_offered_together_exists() -> None:
    """A template names its companions; each is a structure, and does not refuse the other."""
    every = catalogue.templates()
    pairs = [(name, one.other) for name, held in every.items() for one in held.together]
    assert pairs
    for name, other in pairs:
        assert other not in every[name].conflicts
        assert name not in every[other].conflicts


def test_a_hinge_is_offered_with_the_widening_it_needs() -> None:
    """Alone it is ruled out by a cover too narrow for it; with the cover widened it is not."""
    tight = changed("almanac", cover={"spine_width": 6.0}, spine={"girth_head": 14.0})
    narrow = replace(tight, unions=joint("pasted", "failed", "text block", "cover"))
    found = examine(narrow, STOCK, catalogue.templates())
    assert "tissue_hinge+cover_widening" in [one.structure for one in found.choices]
    drafted(narrow, "tissue_hinge", "cover_widening")
    with pytest.raises(Unsuitable, match="widen the cover first"):
        drafted(narrow, "tissue_hinge")


def test_a_setting_that_lifts_a_ruling_keeps_the_structure_on_offer() -> None:
    """Weak paper can be lined: sewing is offered with what speaks against it, and drafts lined."""
    weak = replace(
        changed("logbook", text_block={"tear_strength": 120.0}),
        unions=joint("sewn", "failed", "text block", "boards"),
    )
    found = {one.structure: one for one in examine(weak, STOCK, catalogue.templates()).choices}
    (sewn,) = (way for name, way in found.items() if name.startswith("board_slot+secondary_sewing"))
    assert any("tears at a sewing hole" in con for con in sewn.cons)
    assert sewn.settings == ("secondary_sewing.line_folds=yes",)
    (suits,) = asking.ask_as_it_comes([catalogue.find("secondary_sewing")], Book.of(weak, STOCK))
    (ruling,) = suits.rulings
    assert not suits.ruled_out
    key, _, value = ruling.lifted_by.partition("=")
    with pytest.raises(Unsuitable, match="tears at a sewing hole"):
        drafted(weak, "secondary_sewing")
    drafted(weak, "secondary_sewing", **{key: value})


def test_where_nothing_is_left_the_reason_stands_with_doing_nothing() -> None:
    """A support under a limp cover is ruled out: tying or boxing is what is left, and why is told."""
    limp = changed("almanac", cover={"square_tail": 9.0})
    found = offers.gather(Book.of(limp, STOCK), {"deep squares"}, catalogue.templates())
    (offer,) = found.ruled_out("deep squares")
    assert offer.lead.tie_or_box
    assert found.answers("deep squares") == ()
    fallen = replace(demo("almanac"), spine=replace(demo("almanac").spine, profile="concave"))
    raised = replace(fallen, sewing=replace(fallen.sewing, supports="raised"))
    nothing = examine(
        replace(raised, unions=joint("pasted", "failed", "text block", "cover")),
        STOCK,
        {"tissue_hinge": catalogue.find("tissue_hinge")},
    ).choices[0]
    assert nothing.structure == "nothing"
    assert any("Tissue hinge is ruled out: raised supports" in pro for pro in nothing.pros)
    assert "nothing found calls for a new structure" not in nothing.pros


def test_heat_is_ruled_out_on_parchment_before_it_is_drafted() -> None:
    """Heat asked for is ruled out on parchment; as it comes, the hinge is set there without heat."""
    book = Book.of(replace(demo("almanac"), condition=ConditionTable(parchment=("leaves",))), STOCK)
    (suits,) = asking.ask_as_it_comes([catalogue.find("tissue_hinge")], book)
    assert not suits.rulings
    heated = replace(book, materials={"adhesive": STOCK.find("dry-set acrylic film", "adhesive")})
    (ruling,) = against.heat(heated, "adhesive")
    assert "parchment shrinks" in ruling.words


def test_what_cannot_be_told_is_left_to_what_is_missing() -> None:
    """A ruling that rests on a measurement that is not there is no ruling; the rest is told."""

    def known() -> Iterator[Ruling]:
        yield Ruling("known")

    def half() -> Iterator[Ruling]:
        yield Ruling("first")
        raise RecordError("cover.board_width is needed here", [needed("cover.board_width")])

    assert [one.words for one in told(known(), half(), known())] == ["known", "first", "known"]
    empty = Book.of(Record(), STOCK)
    for template in catalogue.templates().values():
        (suits,) = asking.ask_as_it_comes([template], empty)
        assert bool(suits.missing) == bool(template.needs)


def test_suits_says_whether_a_setting_would_help() -> None:
    lifted, not_lifted = Ruling("a", True, "ease=0"), Ruling("b", True)
    assert not Suits(rulings=(lifted,)).ruled_out
    assert not Suits(rulings=(lifted,)).tie_or_box
    both = Suits(rulings=(lifted, not_lifted))
    assert (both.ruled_out, both.tie_or_box, both.why_not) == (True, True, ("b",))


def test_asking_loads_nothing_that_draws() -> None:
    """Every structure can be asked without the geometry or the pages; the command stays quick."""
    code = (
        "import sys\n"
        "from patterns.structures import catalogue\n"
        "for name in catalogue.names(): catalogue.asked(name)\n"
        "heavy = {'shapely', 'numpy', 'reportlab', 'svgwrite', 'patterns.sewing', 'patterns.sheets'}\n"
        "print(sorted(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@given(
    thickness=st.floats(10.0, 90.0),
    shoulders=st.tuples(st.floats(0.0, 6.0), st.floats(0.0, 6.0)),
    depth=st.floats(-0.2, 0.45),
    short=st.floats(1.0, 20.0),
    band=st.sampled_from([0.0, 1.5, 4.0]),
)
def test_a_support_begins_where_its_plan_is_cut(
    thickness: float, shoulders: tuple[float, float], depth: float, short: float, band: float
) -> None:
    """The circle's own geometry against the plan cut out of the block by shapely."""
    from patterns.structures import text_block_support as drawn

    chord = thickness + sum(shoulders)
    record = changed(
        "atlas",
        text_block={"thickness": thickness, "thickness_fore_edge": thickness},
        spine={
            "shoulder": None, "shoulder_front": shoulders[0], "shoulder_back": shoulders[1],
            "round_depth": round(depth * chord, 2), "over_shoulders": None, "profile": "rounded",
            "girth_head": 1.1 * chord, "girth_tail": 1.1 * chord,
        },
        cover={"endband_tail": band},
    )  # fmt: skip
    book = Book.of(record, STOCK)
    defaults = {
        key: row.default for key, row in catalogue.find("text_block_support").parameters.items()
    }
    params: Any = SimpleNamespace(**{**defaults, "short": short})
    room = text_block_support.room(book, params)
    begins = text_block_support.begins_mm(room, book.spine.chord_mm)
    if room.end - begins < text_block_support.LEAST_LENGTH_MM or room.at_spine < 6:
        return
    plan = drawn._plan(book, params)
    assert plan.begins == pytest.approx(begins, abs=0.02)
    assert plan.length == pytest.approx(room.end - begins, abs=0.03)


@pytest.mark.parametrize(
    ("structure", "book", "words"),
    [
        *((name, "almanac", "a limp cover has no boards") for name in (
            "board_slot", "joint_tacket", "sewn_cloth_joint", "board_paper", "casing_in", "reback", "text_block_support",
        )),
        ("tissue_hinge", "logbook", "boards are too heavy for a hinge of tissue"),
        ("casing_in", "logbook", "only a case made apart from its block"),
    ],
)  # fmt: skip
def test_nobody_is_sent_to_measure_what_the_book_does_not_have(
    structure: str, book: str, words: str
) -> None:
    """A limp cover is not asked for boards, nor boards for the sides of a limp cover: the reason comes first."""
    with pytest.raises(Unsuitable, match=f"{structure}: {words}"):
        drafted(book, structure)


def test_a_reason_that_nobody_would_ask_for_is_refused() -> None:
    """Examining asks by the answers of the template: what it does not name would never be told."""
    template = catalogue.find("hollow_tube")
    book = Book.of(demo(template.example), STOCK)
    other = replace(template, answers=("leaves",))
    with pytest.raises(TemplateError, match="hollow_tube: it answers 'spine', which is not among"):
        asking.ask_as_it_comes([other], book)


def test_a_flat_spine_is_spared_its_girth_however_a_template_writes_it() -> None:
    """Alternatives may stand in any order: "round_depth|girth_head|girth_tail" is the same need."""
    template = catalogue.find("hollow_tube")
    (need,) = (one for one in template.needs if "spine.round_depth" in one)
    turned = "|".join(reversed(need.split("|")))
    unread = {"girth_head": None, "girth_tail": None, "round_depth": None}
    for shape, wanted in (("flat", ()), ("rounded", (turned,))):
        record = changed("logbook", spine={**unread, "profile": shape})
        assert asking.lacking([replace(template, needs=(turned,))], record) == wanted


def test_an_answer_is_to_the_need_that_was_asked() -> None:
    """Each need its own reason, none for what is not answered."""
    spine, covering = Reason("spine", "a", "b"), Reason("covering", "c", "d")
    said = Suits(reasons=(spine, covering))
    assert (said.answer("spine"), said.answer("covering")) == (spine, covering)
    assert said.answer("box") is None
