"""A sewing as it is told and drawn: continuous as it is sewn, a thin gathering by its name, counts that are asked."""

from __future__ import annotations

import math
from itertools import combinations, pairwise

import pytest

from patterns.drafting.order import Drafted
from patterns.model.drawing import Line, LineKind, Words
from patterns.model.part import Diagram, Part
from patterns.record.reading import parse
from patterns.record.record import FoldTable
from patterns.sketch.marks import box_of
from patterns.units import tenth, two_figures
from tests.books import changed, drafted

NAME = "secondary_sewing"
BARE: dict[str, object] = {
    "supports_at": None,
    "kettles": (12.0, 318.0),
    "stations": None,
    "supports": "none",
    "tie_down": 0.0,
}
"""A fold with kettles alone: room for travels of any length."""


def sewing(found: Drafted) -> Part:
    """Return the sewing's part of a draft."""
    return next(part for part in found.pattern.parts if part.sewing)


def diagram(found: Drafted, start: str) -> Diagram:
    """Return the one drawing of the sewing whose name begins so."""
    return next(one for one in sewing(found).diagrams if one.name.startswith(start))


def words(drawn: Diagram) -> list[str]:
    """Return everything written in a drawing."""
    return [mark.text for mark in drawn.marks if isinstance(mark, Words)]


def lines(drawn: Diagram, kind: LineKind) -> list[Line]:
    """Return a drawing's lines of one kind."""
    return [mark for mark in drawn.marks if isinstance(mark, Line) and mark.kind is kind]


def continuous(**settings: object) -> Drafted:
    """Draft the logbook sewn with one thread from gathering to gathering."""
    book = changed("logbook", sewing=BARE)
    return drafted(book, NAME, path="continuous", every=5, stitches=6, stitch=20, **settings)


def test_a_continuous_thread_is_listed_by_its_lengths() -> None:
    """Each length by its number, from which gathering to which, and what to cut; together what the book takes."""
    found = sewing(continuous())
    assert found.sewing is not None
    lengths = found.sewing.details["lengths"]
    assert isinstance(lengths, list)
    text = str(found.quantities["thread_words"])
    assert text.startswith(f"{len(lengths)} lengths: no. 1 from gathering 1 to ")
    for number, one in enumerate(lengths, 1):
        first, last, cut = one["gatherings"][0], one["gatherings"][-1], one["cut_to_mm"]
        between = f"from gathering {first} to {last}" if first != last else f"in gathering {first}"
        assert f"no. {number} {between}, {cut:.0f} mm" in text
    assert sum(one["cut_to_mm"] for one in lengths) == pytest.approx(found.sewing.thread_mm)


def test_every_travel_of_a_continuous_thread_is_drawn_and_no_other() -> None:
    """60 stitches in lengths of thread: a travel between every two of one length, 60 less the number of lengths."""
    found = continuous()
    part = sewing(found)
    assert part.sewing is not None
    lengths = part.sewing.details["lengths"]
    assert isinstance(lengths, list)
    drawn = lines(diagram(found, "spine from outside"), LineKind.SEWN_OUTSIDE)
    assert len(part.sewing.stitches) == 60
    assert len(drawn) == 60 - len(lengths)
    slanting = [one for one in drawn if one.points[0][0] != one.points[1][0]]
    columns = sorted({one.points[0][0] for one in drawn if one not in slanting})
    pitch = min(b - a for a, b in pairwise(columns))
    assert all(abs(one.points[0][0] - one.points[1][0]) == pytest.approx(pitch) for one in slanting)
    begun = [
        text for text in words(diagram(found, "spine from outside")) if text.startswith("no. ")
    ]
    assert sorted(begun) == sorted(f"no. {k}" for k in range(1, len(lengths) + 1))


def test_a_continuous_hinge_is_undone_sides_first_and_has_no_pasted_tails() -> None:
    """Its tails are tied and not pasted, and its sides still hold the cover."""
    sides, thread, _ = drafted("almanac", "tissue_hinge", path="continuous").pattern.undo
    assert "release the sides of the tissue" in sides
    assert "paste" not in thread
    assert "poultice" not in thread
    assert "draw each stitch out" in thread


def test_a_continuous_sewing_has_no_knots_to_cut() -> None:
    """Neither section nor undoing speaks of knots inside the fold; the others do."""
    found, plain = continuous(), drafted("logbook", NAME, path="fold")
    assert "square knot, inside" not in words(diagram(found, "stitch in section"))
    assert any("stitch inside" in text for text in words(diagram(found, "stitch in section")))
    assert not any("knot inside its fold" in line for line in found.pattern.undo)
    assert any(
        "draw each stitch out of its fold from outside" in line for line in found.pattern.undo
    )
    assert any("knot inside its fold" in line for line in plain.pattern.undo)
    steps = " ".join(step.text for step in found.pattern.steps)
    assert "travel outside on the lining" in steps
    assert "two half hitches round the travel" in steps
    assert "square knot" not in steps


@pytest.mark.parametrize("path", ["fold", "loops"])
def test_one_gathering_is_drawn_near_with_every_move(path: str) -> None:
    """The moves of the first gathering sewn, numbered in the needle's order, each with its height."""
    found = drafted("logbook", NAME, path=path)
    part = sewing(found)
    assert part.sewing is not None
    first = part.sewing.path[0]
    holes = [move for move in first.moves if move[0] in ("in", "out")]
    near = diagram(found, "one gathering")
    assert near.title.startswith(f"Gathering {first.gathering}, ")
    told = [text for text in words(near) if " at " in text]
    assert told == [f"{k}  {move[0]} at {move[-1]:.1f}" for k, move in enumerate(holes, 1)]
    knots = words(near).count("K")
    assert knots == (len(holes) // 2 if path == "loops" else 1)
    runs = [line for line in lines(near, LineKind.SEWN_INSIDE) if len(line.points) == 2]
    assert len(runs) == len(holes) // 2


def thin(folios: int, tear: float = 600.0) -> Drafted:
    """Draft the logbook with gathering 20 of fewer folios, on bare folds and strong paper."""
    book = changed(
        "logbook",
        text_block={"tear_strength": tear},
        sewing={**BARE, "fold": (FoldTable(gathering=20, folios=folios),)},
    )
    return drafted(book, NAME, every=3, path="fold")


def test_a_thin_gathering_takes_more_stitches_and_no_other_does() -> None:
    """Two folios of four hold half: its own stitches rise until they are as safe as asked, or to eight."""
    sound, weak = (sewing(thin(folios)).sewing for folios in (4, 2))
    assert sound is not None
    assert weak is not None

    def counts(gatherings: bool) -> set[int]:
        drawn = weak if gatherings else sound
        return {
            sum(s.gathering == g for s in drawn.stitches) for g in (1, 2, 8, 14, 27, 33, 39, 40)
        }

    assert counts(True) == counts(False)
    (usual,) = counts(True)
    own = sum(s.gathering == 20 for s in weak.stitches)
    assert own > usual
    forces = {g: [s.force_n for s in weak.stitches if s.gathering == g] for g in (14, 20)}
    assert max(filter(None, forces[20])) < max(filter(None, forces[14]))


def test_the_weakest_gathering_is_the_one_that_is_named() -> None:
    """By hand: 4 folios of 160 mN hold 1.28 N a stitch, 1 folio 0.32: the thin one is named, with its own capacity."""
    book = changed(
        "logbook",
        text_block={"tear_strength": 160.0},
        sewing={**BARE, "fold": (FoldTable(gathering=20, folios=1),)},
    )
    found = drafted(book, NAME, gatherings="1,2,20,39,40", path="fold", stitches=4)
    loads = sewing(found).sewing
    assert loads is not None
    carried = loads.details["loads"]
    assert isinstance(carried, dict)
    assert carried["capacity_n"] == pytest.approx(2 * 1 * 0.160)
    assert str(carried["weakest"]).startswith("paper at the holes of gathering 20,")
    strongest = max(s.force_n or 0.0 for s in loads.stitches if s.gathering == 20)
    assert carried["safety_factor"] == pytest.approx(0.32 / strongest)


@pytest.mark.parametrize(
    ("strips", "told"), [(4, "at most 4 pricking strips asked; 2 serve"), (2, "")]
)
def test_fewer_strips_than_asked_are_told(strips: int, told: str) -> None:
    found = drafted("logbook", NAME, strips=strips)
    said = [line.partition(": ")[2] for line in found.warnings if "pricking strips asked" in line]
    assert said == ([told] if told else [])


def test_leaves_that_contradict_the_gatherings_stand_first() -> None:
    """40 gatherings of 8 make 320 leaves; 400 counted: the doubt is the first warning of a sewn structure."""
    odd = changed("logbook", text_block={"leaves": 400})
    first = drafted(odd, NAME).pattern.warnings[0]
    assert first.startswith("400 leaves were counted, 40 gatherings of 8 make 320")
    agreeing = drafted("logbook", NAME).pattern.warnings
    assert not any("leaves were counted" in line for line in agreeing)


def test_the_distance_told_is_kept_where_the_spine_is_narrowest() -> None:
    """Girths of 60 and 90: neighbours sewn level in none but two gatherings apart; worked from the bars themselves.

    At the height of each pair the gatherings lie girth ÷ 40 apart: no two bars are nearer than what is told, and
    reckoned with the mean girth some would be told too far.
    """
    tapered = changed("logbook", spine={"girth_head": 67.5, "girth_tail": 90.0})
    found = drafted(tapered, NAME, every=1, path="fold", layout="classes")
    part = sewing(found)
    assert part.sewing is not None
    bars = [(s.gathering, s.from_mm, s.to_mm) for s in part.sewing.stitches]
    told = float(part.quantities["distance_mm"])

    def apart(one: tuple[int, float, float], other: tuple[int, float, float]) -> float:
        free = max(one[1] - other[2], other[1] - one[2], 0.0)
        height = min(one[1], other[1])
        girth = 67.5 + 22.5 * height / 330
        return math.hypot((one[0] - other[0]) * girth / 40, free)

    nearest = min(apart(a, b) for k, a in enumerate(bars) for b in bars[k + 1 :])
    assert told <= nearest + 1e-9
    assert told == pytest.approx(nearest, rel=0.01)
    assert told < 2 * 78.75 / 40 - 0.1


def test_the_needle_passes_the_linings_left_in_place() -> None:
    """0.2 left on the spine, tissue 0.08, cloth 0.25, 4 folios of 0.19: 1.29 at each hole of a loop of 15: 17.58 net."""
    found = sewing(drafted("logbook", NAME, path="loops"))
    assert found.sewing is not None
    lengths = found.sewing.details["lengths"]
    assert isinstance(lengths, list)
    assert lengths[0]["net_mm"] == pytest.approx(15 + 2 * (0.2 + 0.08 + 0.25 + 4 * 0.19))


@pytest.mark.parametrize(
    ("value", "told"),
    [(1.4609, "1.5"), (0.0996, "0.10"), (9.96, "10"), (713.6, "710"), (11.2, "11"), (0.0, "0")],
)
def test_forces_are_told_to_two_figures(value: float, told: str) -> None:
    assert two_figures(value) == told


def test_no_force_of_the_sewing_is_told_to_more() -> None:
    found = drafted("logbook", NAME)
    drawn = words(diagram(found, "load picture"))
    forces = [text.split(": ")[1].removesuffix(" N") for text in drawn if text.endswith(" N")]
    assert forces
    assert all(len(one.replace(".", "").lstrip("0")) <= 2 for one in forces)


def test_an_own_flange_says_where_it_goes_and_how_much_of_it_is_free() -> None:
    """Tight, j 3, B 3.2 and 3.1, g 1: J(S → N) 3.650 and 3.578; 51 mm beyond are pasted, under the paste-down.

    By hand: p = |SH| = ½·√(1 + 0.04) = 0.510, q = |NH| = √(0.25 + 3.1²) = 3.140; together 3.650.
    """
    found = drafted("logbook", NAME)
    (cloth,) = (piece for piece in sewing(found).pieces if piece.name == "lining")
    free = {
        "front": math.hypot(1, 0.2) / 2 + math.hypot(0.5, 3.1),
        "back": math.hypot(1, 0.1) / 2 + math.hypot(0.5, 3.05),
    }
    told = [one for one in cloth.dimensions if one.side == "tail" and one.text]
    assert {one.text for one in told} == {"free 3.6", "pasted 51.0"}
    spans = sorted(abs(one.end[0] - one.start[0]) for one in told)
    assert spans == pytest.approx([free["back"], free["front"], 51.0, 51.0], abs=2e-3)
    assert {zone.to for zone in cloth.zones if zone.kind == "pasted"} >= {
        "inner face of the front board, under the paste-down",
        "inner face of the back board, under the paste-down",
    }
    steps = [step.text for step in found.pattern.steps]
    lifted = next(k for k, text in enumerate(steps) if text.startswith("Lift the paste-down"))
    laid = next(
        k for k, text in enumerate(steps) if "pasted, with the lifted paste-down put back" in text
    )
    assert lifted < laid
    names = [layer.name for layer in sewing(found).layers]
    assert names == ["first lining", "lining cloth", "front board", "back board"]
    sections = [one for one in sewing(found).diagrams if one.name.startswith("flange section")]
    assert len(sections) == 2  # the boards differ
    assert all(lines(one, LineKind.SECTION) for one in sections)


def test_a_flange_in_a_slot_lifts_no_paste_down_of_its_own() -> None:
    found = drafted("logbook", "board_slot", NAME)
    assert not any(one.name.startswith("flange section") for one in sewing(found).diagrams)
    own = [step.text for step in found.pattern.steps if step.structure == NAME]
    assert not any("paste-down" in text for text in own)


def test_twenty_stitches_in_one_gathering_still_fit_the_page() -> None:
    """A diagram may be 205 high on A4; forty holes are drawn closer, each still told."""
    tall = changed(
        "logbook",
        text_block={"height": 900.0},
        cover={"board_height": 909.0},
        sewing={**BARE, "kettles": (12.0, 888.0)},
    )
    near = diagram(drafted(tall, NAME, gatherings="20", stitches=20), "one gathering")
    assert near.height_mm <= 205
    assert len([text for text in words(near) if " at " in text]) == 40


def test_advice_does_not_send_in_a_circle() -> None:
    """Weak paper on a thin block: what would hold it swells too much, so neither more nor fewer gatherings is advised alone."""
    book = changed(
        "logbook",
        text_block={"tear_strength": 200.0, "thickness": 41.0},
        spine={
            "over_shoulders": None,
            "girth_head": 49.5,
            "girth_tail": 49.0,
            "round_depth": 4.0,
            "girth_sewn_head": None,
            "girth_sewn_tail": None,
        },
    )
    found = drafted(book, NAME, path="fold")
    (box,) = sewing(found).boxes
    (line,) = (text for text in found.warnings if "are let pass" in text)
    words = box.partition("mm. ")[2]
    assert words.startswith(("The structure text_block_support", "No number of stitches"))
    assert "every=2" not in words.split(";")[0]
    assert "every=2" not in line


def test_each_gathering_is_named_with_its_strip() -> None:
    """The steps say from which board the gatherings count, and the letter of the strip for each."""
    found = drafted("logbook", NAME)
    steps = " ".join(step.text for step in found.pattern.steps)
    assert "Count the gatherings from the front" in steps
    assert "Open gathering 18 at its middle, lay strip B in the fold" in steps
    assert "14 A, 23 A, 10 B, 27 B, 6 A, 31 A, 2 B, 35 B, 1 A, 39 A, 40 B" in steps


SMALL = """
[book]
id = "almanac-9"
weight = 0.207

[text_block]
height = 112
width = 72.3
thickness = 22.5
leaves = 280
gatherings = 35
leaves_per_gathering = 8

[spine]
profile = "flat"
shoulder = 0
round_depth = 0

[cover]
square_fore_edge = 1.7
thickness = 0.64
turn_in = 12.8
side_height = 117.7
side_width = 74
spine_width = 26.8

[sewing]
supports = "recessed"
kettles = [16.5, 95.3]
supports_at = [29.3, 43.9, 54.7, 66.5, 79.8]
support_width = 1.9
"""


def test_the_register_of_a_strip_stands_clear_of_the_holes_words() -> None:
    """An old hole 3.5 mm from a new one: its words are moved by a little and still tell its own height."""
    found = drafted(parse(SMALL, "small.toml"), "tissue_hinge")
    strips = [one for one in sewing(found).pieces if one.name.startswith("pricking strip")]
    assert strips
    for strip in strips:
        said = [mark for mark in strip.marks if isinstance(mark, Words)]
        assert "register" in [one.text for one in said]
        for one, other in combinations(said, 2):
            assert not box_of(one).meets(box_of(other)), (one, other)
        (old, *_) = sorted(hole.at[1] for hole in strip.holes if hole.old)
        assert tenth(old) in [one.text for one in said]


@pytest.mark.parametrize("stitches", [2, 6])
def test_the_letter_of_a_tie_stands_clear_of_the_next_column_s_numbers(stitches: int) -> None:
    """All forty gatherings sewn: columns stand as near to each other as they ever do."""
    book = changed("logbook", sewing=BARE)
    found = drafted(book, NAME, path="loops", every=1, stitches=stitches, stitch=8)
    drawn = [one for one in sewing(found).diagrams if one.name.startswith("spine from outside")]
    assert len(drawn) > 1
    for one in drawn:
        marks = [mark for mark in one.marks if isinstance(mark, Words)]
        ties = [mark for mark in marks if mark.text == "K"]
        assert ties
        for tie, other in ((tie, other) for tie in ties for other in marks if other != tie):
            assert not box_of(tie).meets(box_of(other)), (tie, other)
