"""Few widths to cut, each within the tolerance; the tables that tell them; advice that helps."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.examine.examination import examine
from patterns.formulas.balance import balance
from patterns.model.drawing import Words
from patterns.model.part import Part
from patterns.record.record import Record
from patterns.sheets import compose
from patterns.sheets.page import Layout
from patterns.stock import materials
from patterns.stock.paper import parse
from patterns.structures import catalogue
from patterns.structures.shared.album_widths import group
from tests.books import changed, drafted
from tests.examine_books import examined

ALL = catalogue.templates()

UNEVEN = (
    0.1, 0.2, 1.1, 0.5, 0.3, 0.9, 0.4, 0.1, 0.6, 1.4, 0.2, 0.2, 0.7, 0.8, 0.3,
    0.1, 1.2, 0.5, 0.6, 0.2, 0.4, 1.0, 0.1, 0.3, 0.9, 0.2, 0.7, 0.5, 0.8, 0.3,
)  # fmt: skip


def album(count: int, contents: object = 0.5, **more: object) -> Record:
    """Return the seaweed album with other leaves."""
    held = contents[:count] if isinstance(contents, tuple) else contents
    return changed("seaweed_album", album={"leaves": count, "contents_thickness": held, **more})


def part(book: Record, **settings: object) -> Part:
    """Return its guards, drafted."""
    return drafted(book, "album_guards", **settings).pattern.parts[0]


def told(found: Part) -> list[str]:
    """Return every word of its plans and tables."""
    return [w.text for d in found.diagrams for w in d.marks if isinstance(w, Words)]


@given(st.lists(st.integers(0, 4000).map(lambda n: n / 100), min_size=1), st.integers(0, 100))
def test_no_group_spans_more_than_it_may(widths: list[float], hundredths: int) -> None:
    """Not by chains either; and fewer groups there cannot be, since their least lie that far apart."""
    span = hundredths / 100
    groups = group(widths, span)
    assert sorted(w for one in groups for w in one) == sorted(set(widths))
    assert all(one[-1] - one[0] <= span + 1e-5 for one in groups)
    starts = sorted(one[0] for one in groups)
    assert all(b - a > span for a, b in pairwise(starts))


def test_a_chain_of_near_widths_is_parted() -> None:
    """0.0, 0.4, 0.8, 1.2 are each within 0.5 of the next, and 1.2 from end to end."""
    assert group([1.2, 0.0, 0.8, 0.4], 0.5) == [[0.8, 1.2], [0.0, 0.4]]


def test_one_odd_leaf_by_hand() -> None:
    """Leaves 0.40 + contents 0.50, guards 0.15, strips 0.25, thread 0.

    24 leaves balance with 3 and 3 strips in every section, nothing left. The last leaf is 0.75
    ahead of its guard half and its bare half gives 0.15 back: 0.60, that is 2 strips and 0.10 left,
    0.25 ahead at the leaf itself.
    """
    last = balance([0.75] * 25, 2, 0.25, bare_mm=0.15)[-1]
    assert (last.strips, last.single, last.bare, last.balanced) == ((0,), 2, True, True)
    assert last.differences_mm == pytest.approx((0.25, 0.10))


def test_a_bare_stub_has_single_strips_on_the_leafs_side_only() -> None:
    """No folded strip in that section: it would lie on the half without a leaf as well."""
    found = part(album(25), thread_share=0)
    assert found.quantities["single_strips"] == 2
    singles = next(piece for piece in found.pieces if piece.name == "single strip")
    assert (singles.quantity, singles.width_mm, singles.folds) == (2, 19.0, ())
    assert "2\u00a0× single 19.0, at the centre, all beside its leaf" in told(found)
    assert not any("thick leaves" in line for line in found.warnings)


def test_what_a_bare_stub_does_is_said_as_it_is() -> None:
    """29 uneven leaves: the cause is the stub and the thread, and no setting is offered for it."""
    lines = [line for line in part(album(29, UNEVEN)).warnings if "section 8" in line]
    assert len(lines) == 1
    assert "bare stub" in lines[0]
    assert "=" not in lines[0]


def test_thirty_uneven_leaves_are_cut_to_few_widths_by_hand() -> None:
    """Every width lies within 0.5 of its own: guards never under it, strips never over.

    Own width of a guard: 2 × (20 + 4 + 8) + π·(what lies inside it + 0.075); of a strip
    2 × 19 + π·(what lies inside + 0.125). A single strip at the centre counts half.
    """
    found = part(album(30, UNEVEN))
    nests = balance([0.4 + one - 0.15 for one in UNEVEN], 2, 0.25, 0.75 * 0.5312)
    laid = _by_section(found)
    assert sorted(laid) == list(range(1, 9))
    for nest in nests:
        guards, strips = laid[nest.number]
        own_guards, own_strips = _own(nest.strips, nest.single)
        for cut, own in zip(guards, own_guards, strict=True):
            assert -0.05 <= cut - own <= 0.55, (nest, cut, own)
        for cut, own in zip(strips, own_strips, strict=True):
            assert -0.05 <= own - cut <= 0.55, (nest, cut, own)
    counted: Counter[str] = Counter()
    for piece in found.pieces:
        counted[piece.name.split()[0]] += piece.quantity
    assert counted["guard"] == sum(len(guards) for guards, _ in laid.values()) == 15
    assert counted["strip"] == sum(len(strips) for _, strips in laid.values())


def _by_section(found: Part) -> dict[int, tuple[list[float], list[float]]]:
    """Read the table as it is printed: the widths of each section's guards and strips in mm."""
    table = next(d for d in found.diagrams if d.title.startswith("Widths"))
    lines: dict[float, dict[float, str]] = {}
    for mark in table.marks:
        if isinstance(mark, Words):
            text = mark.text.replace("\u00a0", " ")
            lines.setdefault(mark.at[1], {})[mark.at[0]] = text
    heads, *rows = (lines[y] for y in sorted(lines))
    sections_x, _, guard_x, strips_x = sorted(heads)
    laid: dict[int, tuple[list[float], list[float]]] = {}
    for row in rows:
        if sections_x in row:
            ends = [part.split("–") for part in row[sections_x].split(", ")]
            numbers = [n for one in ends for n in range(int(one[0]), int(one[-1]) + 1)]
            laid |= {n: ([], []) for n in numbers}
        for number in numbers:
            if guard_x in row:
                laid[number][0].append(float(row[guard_x].split()[1]))
            if "single" not in row[strips_x] and row[strips_x] != "none":
                for cell in row[strips_x].split(" · "):
                    count = int(cell.split(" × ")[0]) if " × " in cell else 1
                    laid[number][1].extend([float(cell.split()[-1])] * count)
    return laid


def _own(strips: tuple[int, ...], single: int) -> tuple[list[float], list[float]]:
    """Return the widths of a section's guards and strips, from the outside, bent as they lie."""
    guards: list[float] = []
    laid: list[float] = []
    inside = 0.25 * single / 2
    for count in reversed(strips):
        for _ in range(count):
            laid.append(38 + pi * (inside + 0.125))
            inside += 0.25
        guards.append(64 + pi * (inside + 0.075))
        inside += 0.15
    return guards[::-1], laid[::-1]


def test_a_strip_ends_at_least_a_millimetre_short_of_the_hinge() -> None:
    """Strips as cut are never wider than 2 × (stub − 1) and their own bend; guards never narrower."""
    exact = part(album(30, UNEVEN), cut_tolerance=0)
    coarse = part(album(30, UNEVEN), cut_tolerance=1)
    most = {p.name: p.width_mm for p in exact.pieces}
    assert max(p.width_mm for p in coarse.pieces if p.name.startswith("strip")) <= most["strip A"]
    least = [min(p.width_mm for p in one.pieces if "strip " in p.name) for one in (exact, coarse)]
    assert least[0] == least[1]
    assert max(p.width_mm for p in coarse.pieces if p.name.startswith("guard")) == most["guard A"]
    assert len(coarse.pieces) < len(exact.pieces)


def test_the_wider_guard_is_counted_in_the_reach() -> None:
    """Cut up to 0.5 too wide, it brings the leaf up to half of that further out."""
    exact = part(album(30, UNEVEN), cut_tolerance=0)
    wide = part(album(30, UNEVEN), cut_tolerance=1)
    further = float(wide.quantities["reach_mm"]) - float(exact.quantities["reach_mm"])
    assert 0.05 < further <= 0.5


@pytest.mark.parametrize("count", [24, 29, 30])
def test_one_drawing_a_kind(count: int) -> None:
    """Guards by the face they are pasted to, folded strips, single strips, the pricking strip."""
    found = drafted(album(count, UNEVEN), "album_guards")
    (one,) = found.pattern.parts
    drawn = {piece.name for piece in one.pieces if not piece.drawn_as}
    kinds = {name.rsplit(" ", 1)[0] for name in drawn}
    assert len(drawn) <= 5
    assert kinds <= {"guard", "strip", "single", "pricking"}
    assert all(piece.drawn_as in drawn | {""} for piece in one.pieces)
    assert one.diagrams[0].title.startswith("Section plan")
    assert [d.page for d in one.diagrams] == ["assembly"] * len(one.diagrams)


def test_every_width_stands_in_the_table_of_sections_and_places() -> None:
    """Letters and widths of all pieces are told there, and nothing else is."""
    found = part(album(30, UNEVEN))
    cells = [cell for row in told(found) for cell in row.replace("\u00a0", " ").split(" · ")]
    written = {cell.split("× ")[-1] for cell in cells}
    for piece in found.pieces:
        kind, _, letter = piece.name.partition(" ")
        if kind in ("guard", "strip") and letter != "strip":
            assert f"{letter} {piece.width_mm:.1f}" in written, piece.name


def test_pieces_drawn_by_another_have_no_sheet_of_their_own() -> None:
    """The cutting pages show the drawn ones; the list of pieces has them all."""
    found = drafted(album(30, UNEVEN), "album_guards").pattern
    shown = {name for page in compose.plan(Layout(found, parse("A4"))) for name in page.pieces}
    shown -= {diagram.name for diagram in found.parts[0].diagrams}  # they stand where there is room
    assert shown == {piece.name for piece in found.parts[0].pieces if not piece.drawn_as}


def test_advice_is_tried_before_it_is_given() -> None:
    """The figure promised for `nest` is what drafting with it gives; useless advice is not given."""
    found = part(album(30, UNEVEN))
    line = next(line for line in found.warnings if "(nest=" in line)
    nest = int(line.split("(nest=")[1].split(")")[0])
    promised = float(line.split("differ by ")[-1].split(" mm at most")[0])
    then = part(album(30, UNEVEN), nest=nest)
    assert float(then.quantities["greatest_difference_mm"]) == pytest.approx(promised, abs=0.005)
    assert promised < float(found.quantities["greatest_difference_mm"])
    assert not any("(nest=" in line for line in then.warnings)


def test_many_strips_are_answered_by_a_thickness_that_helps() -> None:
    """The number promised is the number that drafting with those strips gives."""
    thick = album(24, 3.0)
    line = next(line for line in part(thick).warnings if "strips lie inside one guard" in line)
    wanted = line.split("strips of ")[1].split(" mm")[0]
    fewer = int(line.rsplit("with ", 1)[1])
    then = part(thick, strip_thickness=wanted)
    rows = [d for d in then.diagrams if d.title.startswith("Section list")]
    counts = [int(w.text) for w in rows[0].marks if isinstance(w, Words) and w.text.isdigit()]
    assert fewer in counts
    assert not any("strips lie inside one guard" in one for one in then.warnings)


def test_steps_and_sheets_name_the_same_face() -> None:
    """One guard to a section is no innermost one: its leaves are pasted by their inner face."""
    single, nested = (drafted("seaweed_album", "album_guards", nest=n).pattern for n in (1, 2))
    for found, words in (
        (single, "on the leaf's inner face; where"),
        (nested, "inner face, for guard 2 of a section, the innermost, on its outer face"),
    ):
        assert any(words in step.text for step in found.steps)
    for piece in single.parts[0].pieces:
        pasted = [zone for zone in piece.zones if zone.kind == "pasted"]
        assert all((zone.face, zone.to) == ("under", "inner face of the leaf") for zone in pasted)


def test_the_list_has_what_the_step_compares() -> None:
    """Folds and leaves: 4 leaves of 0.90 are 3.6 at the leaves, and 3.6 at the folds without thread."""
    found = part(album(24), thread_share=0)
    listed = next(d for d in found.diagrams if d.title.startswith("Section list"))
    words = [w.text for w in listed.marks if isinstance(w, Words)]
    assert {"folds mm", "leaves mm"} <= set(words)
    assert words.count("3.60") == 12


def test_a_sewn_novel_with_a_thick_fore_edge_is_not_offered_album_guards() -> None:
    """Only where there is an album do strips fill its spine."""

    def offered(changes: dict[str, object]) -> str:
        found = examined({"text_block.thickness_fore_edge": 36.0, **changes}, ALL)
        assert "swollen_fore_edge" in {one.key for one in found.findings}
        ways = [choice.structure for choice in found.choices]
        return " ".join(ways + [suit.structure for one in found.findings for suit in one.suits])

    assert "album_guards" not in offered({})
    assert "album_guards" in offered({"album.kind": "folios"})


def test_contents_of_an_album_are_not_taken_for_a_misreading() -> None:
    """24 leaves of 0.40 are 9.6; with 0.50 on each 21.6, as the fore edge was read (125 % more)."""

    def doubted(**album: object) -> set[str]:
        block = {"leaves": 24, "leaf_thickness": 0.4}
        book = changed("seaweed_album", text_block=block, album=album)
        found = examine(book, materials.built_in(), {})
        return {one.key for one in found.findings}

    assert "thickness_disagrees" not in doubted()
    assert "thickness_disagrees" not in doubted(leaves=None)
    assert "thickness_disagrees" in doubted(leaves=None, contents_thickness=1.2)


def test_the_free_turn_is_called_what_it_is() -> None:
    """Nothing draws away from a joint that holds: a block free to turn would."""
    told = " ".join(one.words for one in examined({"cover.square_tail": 9.0}, ALL).findings)
    assert "draws" not in told
    book = {"cover.square_tail": 9.0, "book.weight": 2.6}
    words = next(one.words for one in examined(book, ALL).findings if one.key == "deep_tail_square")
    assert "A block free to turn" in words
    assert f"would come {9.0 * 200 / 130:.1f} mm off the joint" in words
