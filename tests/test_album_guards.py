"""album_guards: a worked album on its record, lists, odd counts, fit, plan."""

from __future__ import annotations

from collections import Counter

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.drafting.order import Drafted
from patterns.errors import MendfoldError, RecordError, SettingError, Unsuitable
from patterns.model.drawing import Line, LineKind, Words
from patterns.model.part import Diagram, Part
from patterns.record.record import Record
from patterns.sketch.marks import words_corners
from tests.books import changed, drafted


def part(found: Drafted) -> Part:
    """Return the only part."""
    return found.pattern.parts[0]


def guards(book: Record | str = "seaweed_album", **settings: object) -> Part:
    """Draft guards; settings without the structure's name."""
    return part(drafted(book, "album_guards", **settings))


def test_the_worked_album_on_its_record() -> None:
    """Worked example: 12 guards, 6 sections, 36 strips, spine 21.6, widths as worked."""
    found = guards(thread_share=0)
    q = found.quantities
    assert (q["guards"], q["sections"], q["guards_per_section"]) == (12, 6, 2)
    assert (q["folded_strips"], q["single_strips"]) == (36, 0)
    assert (q["stub_mm"], q["hinge_mm"], q["lap_mm"]) == (20.0, 4.0, 8.0)
    assert q["block_spine_mm"] == pytest.approx(21.6)
    assert q["fore_edge_mm"] == pytest.approx(21.6)
    widths = {piece.name: round(piece.width_mm, 2) for piece in found.pieces}
    assert (widths["guard A"], widths["guard B"]) == (69.42, 66.59)
    assert (widths["strip A"], widths["strip F"]) == (42.79, 38.39)
    assert {piece.quantity for piece in found.pieces} == {6, 1}


def test_fit_against_the_old_boards() -> None:
    """leaf + stub + hinge + outer radius (3.6 / 2) against board − square + gap."""
    found = guards(thread_share=0)
    assert found.quantities["reach_mm"] == pytest.approx(210 + 20 + 4 + 1.8)
    assert found.quantities["room_mm"] == pytest.approx(236 - 4 + 6.4)
    assert not any("too wide" in line for line in found.warnings)
    narrow = changed("seaweed_album", cover={"board_width": 233.0})
    assert any("0.4 mm too wide" in line for line in guards(narrow, thread_share=0).warnings)


def test_the_smaller_of_two_unequal_boards_decides() -> None:
    """A narrower back board is named."""
    base = changed("seaweed_album")
    from dataclasses import replace

    back = replace(base.cover.back, board_width=230.0)
    uneven = replace(base, cover=replace(base.cover, back=back))
    assert any("the back board" in line for line in guards(uneven).warnings)


def test_the_old_case_is_told_too_narrow() -> None:
    """New spine 21.6 + 2 × 7.261 + π × 0.4 / 2 = 36.75 on a cover spine of 33.2: 3.5 short, told once."""
    told = drafted("seaweed_album", "album_guards", thread_share=0).pattern.warnings
    (line,) = [w for w in told if "cover_widening" in w]
    assert "36.7 mm" in line
    assert "3.5 mm are lacking" in line


def test_a_list_of_unlike_leaves_ends_level() -> None:
    """One figure a leaf: the total is theirs, and the last section ends within half a strip."""
    contents = tuple(0.1 + (7 * i % 24) * 0.05 for i in range(24))
    found = guards(changed("seaweed_album", album={"contents_thickness": contents}))
    assert found.quantities["fore_edge_mm"] == pytest.approx(24 * 0.4 + sum(contents))
    assert found.checks[1].value <= 0.125 + 1e-9
    gap = float(found.quantities["block_spine_mm"]) - float(found.quantities["fore_edge_mm"])
    assert abs(gap) <= 0.125 + 1e-9


def test_an_odd_leaf_leaves_a_bare_stub() -> None:
    """27 leaves: 13 pairs, and leaf 27 on a guard of its own whose other half the plan calls bare."""
    found = guards(changed("seaweed_album", album={"leaves": 27}))
    assert (found.quantities["guards"], found.quantities["sections"]) == (14, 8)
    words = [w.text for d in found.diagrams for w in d.marks if isinstance(w, Words)]
    assert any(one.endswith("· bare stub") for one in words)
    assert {"25–26", "27"} <= set(words)


def test_folded_pairs_need_no_guards() -> None:
    """A folio's own paper is in the fold already: only the contents are made up by strips."""
    pairs = changed("seaweed_album", album={"kind": "folios", "old_stub": 0.0})
    found = guards(pairs, thread_share=0)
    assert not any(piece.name.startswith("guard") for piece in found.pieces)
    assert found.quantities["excess_mm"] == pytest.approx(0.5)
    spine = 24 * 0.4 + (2 * 24 + 0) * 0.25 * 1.0
    assert found.quantities["folded_strips"] == 24
    assert found.quantities["block_spine_mm"] == pytest.approx(spine)
    with pytest.raises(RecordError, match="odd"):
        guards(changed("seaweed_album", album={"kind": "folios", "leaves": 25}))


def test_tapes_go_over_the_spine_and_onto_both_sides() -> None:
    """The worked spine of 21.6 and 32 at each side."""
    text = told(guards(thread_share=0))
    assert "each cut at least 85.6 mm long to go 32.0 mm onto each side" in text


@pytest.mark.parametrize(("leaves", "bare"), [(24, False), (25, True)])
def test_a_guard_has_a_bare_half_where_the_leaves_are_odd(leaves: int, bare: bool) -> None:
    """Strips that do not go up in pairs: one lies single in the innermost fold."""
    album = {"leaves": leaves, "contents_thickness": 0.5}
    found = guards(changed("seaweed_album", album=album), strip_thickness=0.35)
    assert found.quantities["single_strips"]
    text = told(found)
    assert (
        "in the fold, beside the leaf where the guard's other half is bare; pierce" in text
    ) == bare
    assert ("its spine edge in the fold; pierce" in text) == (not bare)


def told(found: Part) -> str:
    """Return the words of all its steps."""
    return " ".join(step.text for step in found.steps)


def test_pieces_are_as_many_as_the_sections_need() -> None:
    """Guards of all widths together are the guards; strips likewise."""
    found = guards()
    counts: Counter[str] = Counter()
    for piece in found.pieces:
        counts[piece.name.split()[0]] += piece.quantity
    assert counts["guard"] == found.quantities["guards"]
    assert counts["strip"] == found.quantities["folded_strips"]
    assert counts["single"] == found.quantities["single_strips"]


@pytest.mark.parametrize(("height", "tapes"), [(203.0, 3), (305.0, 4), (120.0, 2)])
def test_tapes_by_height(height: float, tapes: int) -> None:
    """A. L. Bailey 1916: three tapes for 203 mm, four for 305; never fewer than two."""
    found = guards(changed("seaweed_album", album={"leaf_height": height}))
    assert found.quantities["tapes"] == tapes
    assert found.sewing is not None
    holes = found.sewing.stations_mm
    assert len(holes) == 2 * tapes + 2
    assert holes[0] == 15
    assert holes[-1] == height - 15
    assert [round(height - y, 6) for y in reversed(holes)] == [round(y, 6) for y in holes]


def test_laps_lie_as_cockerell_has_them() -> None:
    """Outside guards inside, inside guards outside (D. Cockerell 1901)."""
    faces = {}
    for piece in guards(thread_share=0).pieces:
        for zone in piece.zones:
            if zone.kind == "pasted":
                faces[piece.name] = (zone.face, zone.to)
    assert faces["guard A"] == ("under", "inner face of the leaf")
    assert faces["guard B"] == ("up", "outer face of the leaf")


def test_nothing_in_the_stack_is_pasted() -> None:
    """Only the laps carry paste; from lap to lap every face is free."""
    for piece in guards().pieces:
        pasted = [shapely.Polygon(z.outline) for z in piece.zones if z.kind == "pasted"]
        area = sum(one.area for one in pasted)
        assert area == pytest.approx(2 * 8 * 270 if piece.name.startswith("guard") else 0)


@pytest.mark.parametrize(
    ("album", "settings", "error", "words"),
    [
        ({"inner_margin": 4.0}, {}, Unsuitable, "tie or box"),
        ({"inner_margin": 9.0}, {"lap": 12}, Unsuitable, "smaller lap"),
        ({"old_stub": 8.0}, {}, Unsuitable, "too narrow to sew"),
        ({"contents_thickness": 25.0}, {}, SettingError, "cannot be nested"),
        ({}, {"tapes": 8, "tape_width": 30}, SettingError, "fewer or narrower"),
    ],
)
def test_refusals_say_what_would_suit(
    album: dict[str, object],
    settings: dict[str, object],
    error: type[MendfoldError],
    words: str,
) -> None:
    """No lap, no stub, too many strips, too many tapes: one line with a way out."""
    with pytest.raises(error, match=words):
        guards(changed("seaweed_album", album=album), **settings)


def test_right_to_left_books_are_seen_from_the_other_end() -> None:
    """Halves change sides on the guard, and the plan is seen from the head."""
    left, right = guards(), guards(changed("seaweed_album", book={"reading": "right-to-left"}))
    assert (left.pieces[0].left, left.pieces[0].right) == ("first half", "second half")
    assert (right.pieces[0].left, right.pieces[0].right) == ("second half", "first half")
    assert "from the tail" in left.diagrams[0].notes[0]
    assert "from the head" in right.diagrams[0].notes[0]


def test_a_tapered_and_a_fallen_in_spine_are_met() -> None:
    """Strips are level, so a taper is said; a fallen-in spine drafts as any."""
    spine = {"girth_head": 17.0, "girth_tail": 20.0}
    assert any(
        "3.0 mm from head" in w for w in guards(changed("seaweed_album", spine=spine)).warnings
    )
    hollow = changed(
        "seaweed_album", spine={"profile": "concave", "round_depth": -2.0, "girth_head": 18.6}
    )
    assert guards(hollow).quantities["guards"] == 12


@settings(max_examples=25, deadline=None)
@given(
    st.integers(2, 130),
    st.lists(st.integers(0, 300), min_size=1, max_size=9),
    st.sampled_from(["single", "folios"]),
    st.integers(1, 8),
)
def test_plans_of_drawn_albums_can_be_read(
    leaves: int, bulk: list[int], kind: str, nest: int
) -> None:
    """Words stand apart from each other and from folds, inside a page of A4 or Letter."""
    contents = tuple(bulk[i % len(bulk)] / 100 for i in range(leaves))
    album = {"leaves": leaves, "contents_thickness": contents, "kind": kind}
    try:
        found = guards(changed("seaweed_album", album=album), nest=nest, section_thickness=12)
    except MendfoldError:
        return
    for diagram in found.diagrams:
        assert_readable(diagram)


def assert_readable(diagram: Diagram) -> None:
    """Fail where words meet words or lines, where one leaves the diagram or is too small."""
    assert diagram.width_mm <= 176
    assert diagram.height_mm <= 205
    words = [mark for mark in diagram.marks if isinstance(mark, Words)]
    assert min(one.cap_mm for one in words) >= 2.5
    page = shapely.box(-0.1, -0.1, diagram.width_mm + 0.1, diagram.height_mm + 0.1)
    lines = shapely.union_all(
        [
            shapely.LineString(mark.points)
            for mark in diagram.marks
            if isinstance(mark, Line) and mark.kind is not LineKind.DIMENSION
        ]
    )
    boxes = [shapely.Polygon(words_corners(one)) for one in words]
    for one, box in zip(words, boxes, strict=True):
        assert page.covers(box), one
        assert not box.intersects(lines), one
    tree = shapely.STRtree(boxes)
    pairs = tree.query(boxes, predicate="intersects").T
    assert all(a == b for a, b in pairs), [(words[a], words[b]) for a, b in pairs if a != b]
