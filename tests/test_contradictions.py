"""Where a contradiction begins: the last figure that is taken and the first that is not, by hand."""

from __future__ import annotations

import pytest

from patterns.errors import RecordError
from patterns.record import reading

# the rest of the record, and for its {}: what is taken, what is not, and the field and limit told
EDGES: dict[str, tuple[str, str, str, str, str]] = {
    "320 leaves of a 40 mm block may be 80 mm together": (
        "[text_block]\nleaves = 320\nthickness = 40\nleaf_thickness = {}",
        "0.25", "0.251", "text_block.leaf_thickness", "at most 80 mm for all 320 leaves",
    ),
    "a gathering has a leaf at least": (
        "[text_block]\nleaves = 12\ngatherings = {}", "12", "13", "text_block.gatherings", "1 to 12",
    ),
    "the first anchor may be the last": (
        "[text_block]\nanchor_last = 7\nanchor_first = {}", "7", "8", "text_block.anchor_first", "1 to 7",
    ),
    "an anchor is one of the gatherings": (
        "[text_block]\ngatherings = 9\nanchor_last = {}", "9", "10", "text_block.anchor_last", "1 to 9",
    ),
    "a block may weigh what its book weighs": (
        "[book]\nweight = 1.5\n[text_block]\nweight = {}",
        "1.5", "1.501", "text_block.weight", "at most 1.5 kg",
    ),
    "two boards weigh less than their book": (
        "[book]\nweight = 1.5\n[cover]\nboard_weight = {}",
        "0.749", "0.75", "cover.board_weight", "less than 1.5 kg for both boards",
    ),
    "one board alone counts once": (
        "[book]\nweight = 1.5\n[cover.back]\nboard_weight = {}",
        "1.499", "1.5", "cover.board_weight", "less than 1.5 kg for both boards",
    ),
    "a shoulder stops short of the board": (  # 2/tan(180° − 116.565°) = 1.0
        "[spine]\nshoulder = 2\nshoulder_angle = {}\n[cover]\njoint_gap = 1",
        "116.5", "116.6", "spine.shoulder_angle", "at most 116.5° at that gap",
    ),
    "the higher shoulder leans further": (  # 3/tan(180° − 108.435°) = 1.0
        "[spine]\nshoulder = 2\nshoulder_back = 3\nshoulder_angle = {}\n[cover]\njoint_gap = 1",
        "108.4", "108.5", "spine.shoulder_angle", "at most 108.4° at that gap",
    ),
    "flat is 0": (
        '[spine]\nprofile = "flat"\nround_depth = {}', "0", "0.1", "spine.round_depth", "0 mm",
    ),
    "rounded is more": (
        '[spine]\nprofile = "rounded"\nround_depth = {}', "0.1", "0", "spine.round_depth", "more than 0 mm",
    ),
    "fallen in is less": (
        '[spine]\nprofile = "concave"\nround_depth = {}', "-0.1", "0", "spine.round_depth", "less than 0 mm",
    ),
    "tips 1 mm nearer than boards are a reading's error on a thin block": (
        "[text_block]\nthickness = 20\n[spine]\nover_shoulders = {}",
        "19", "18.9", "spine.over_shoulders", "20 mm or more",
    ),
    "3 % on a thick one": (
        "[text_block]\nthickness = 100\n[spine]\nover_shoulders = {}",
        "97", "96.9", "spine.over_shoulders", "100 mm or more",
    ),
    "1.3 times as deep as wide: thickness and both shoulders": (
        "[text_block]\nthickness = 40\n[spine]\nshoulder_front = 2\nshoulder = 3\nround_depth = {}",
        "58.5", "58.6", "spine.round_depth", "at most 58.5 mm either way",
    ),
    "fallen in 1.3 times as deep as wide, over the shoulders": (
        "[text_block]\nthickness = 40\n[spine]\nover_shoulders = 42\nround_depth = {}",
        "-54.6", "-54.7", "spine.round_depth", "at most 54.6 mm either way",
    ),
    # E = 0.5 × (1 thickness + 1 strip) = 1; half a circle over 40 is 62.83
    "a strip as short as the straight line, less two readings": (
        "[text_block]\nthickness = 40\n[spine]\ngirth_head = {}",
        "39", "38.9", "spine.girth_head", "39 to 63.8 mm",
    ),
    "a strip as long as half a circle, and two readings": (
        "[text_block]\nthickness = 40\n[spine]\ngirth_tail = {}",
        "63.8", "63.9", "spine.girth_tail", "39 to 63.8 mm",
    ),
    # E = 0.5 × (1 over the shoulders + 2 for the depth + 1 strip) = 2
    "60 on a chord of 67 is 5 less than its readings allow": (
        "[text_block]\nthickness = 61\n[spine]\nover_shoulders = 67\nround_depth = 12\ngirth_head = {}",
        "65", "60", "spine.girth_head", "65 to 93 mm",
    ),
    "130 on a chord of 67 and a round of 12: 67 + 24 + 2 at most": (
        "[text_block]\nthickness = 61\n[spine]\nover_shoulders = 67\nround_depth = 12\ngirth_head = {}",
        "93", "130", "spine.girth_head", "65 to 93 mm",
    ),
    # the chord 61 + 2 × 3 = 67 holds three readings: E = 0.2 × (3 + 1) = 0.8
    "one shoulder read for both counts twice, the error as recorded": (
        "[measuring]\nerror = 0.2\n[text_block]\nthickness = 61\n[spine]\nshoulder = 3\ngirth_head = {}",
        "66.2", "66.1", "spine.girth_head", "66.2 to 106 mm",
    ),
    # a flat spine, bare chord 40: 40 + π × 0.5 + 0.5 × (1 + 1) = 42.57
    "a strip over linings of 0.5 on a flat spine": (
        '[text_block]\nthickness = 40\n[spine]\nprofile = "flat"\nstrip_over = 0.5\ngirth_head = {}',
        "42.5", "42.6", "spine.girth_head", "39 to 42.6 mm",
    ),
    # chord 40, E 1: the mean of 36 and 42 is 39
    "a tapered spine is judged by its mean girth": (
        "[text_block]\nthickness = 40\n[spine]\ngirth_head = 36\ngirth_tail = {}",
        "42", "41.9", "spine.girth_head", "39 to 63.8 mm for their mean",
    ),
    # 2 × 26 + 10 = 62: beyond it one of the two was misread
    "the cover's spine at head and tail": (
        "[cover]\nspine_width_head = 26\nspine_width_tail = {}",
        "62", "62.1", "cover.spine_width_tail", "at most 62 mm beside it",
    ),
    "the cover's spine at tail and head": (
        "[cover]\nspine_width_tail = 26\nspine_width_head = {}",
        "62", "880", "cover.spine_width_head", "at most 62 mm beside it",
    ),
    # their mean, 18, is that of the chord; 2 × 5 + 10 = 20
    "a strip at head and tail": (
        "[text_block]\nthickness = 12.5\n[spine]\ngirth_head = 5\ngirth_tail = {}",
        "20", "20.1", "spine.girth_tail", "at most 20 mm beside it",
    ),
    "a strip over the sewn lining at head and tail": (
        "[spine]\ngirth_sewn_head = 40\ngirth_sewn_tail = {}",
        "90", "90.1", "spine.girth_sewn_tail", "at most 90 mm beside it",
    ),
    "board, block and squares within 5 mm": (
        "[text_block]\nheight = 240\n[cover]\nsquare_head = 3\nsquare_tail = 4\nboard_height = {}",
        "252", "252.1", "cover.board_height", "within 5 mm",
    ),
    "the other way too": (
        "[text_block]\nheight = 240\n[cover]\nsquare_head = 3\nsquare_tail = 4\nboard_height = {}",
        "242", "241.9", "cover.board_height", "within 5 mm",
    ),
    "the back board's own height": (
        "[text_block]\nheight = 240\n[cover]\nsquare_head = 3\nsquare_tail = 4\nboard_height = 247\n"
        "[cover.back]\nboard_height = {}",
        "252", "252.1", "cover.back.board_height", "within 5 mm",
    ),
    "the front board's own square": (
        "[text_block]\nheight = 240\n[cover]\nsquare_head = 3\nsquare_tail = 4\nboard_height = 247\n"
        "[cover.front]\nsquare_tail = {}",
        "9", "9.1", "cover.board_height", "within 5 mm",
    ),
    "turn-ins meet in the middle": (
        "[cover]\nside_height = 100\nturn_in = {}", "50", "50.1", "cover.turn_in", "at most half of 100 mm",
    ),
    "the tail is in the fold": (
        "[text_block]\nheight = 240\n[sewing]\nstations = [0, {}]",
        "240", "240.1", "sewing.stations", "0 to 240 mm from the head",
    ),
    "each height once": (
        "[sewing]\nholes_at = [30, {}]", "30.1", "30", "sewing.holes_at", "rising heights, each once",
    ),
    "a support's edge at the head": (
        "[text_block]\nheight = 240\n[sewing]\nsupports_at = [6, 120]\nsupport_width = {}",
        "12", "12.1", "sewing.support_width", "at most twice 6 mm, the least way from a support to an end",
    ),
    "a support's edge at the tail": (
        "[text_block]\nheight = 240\n[sewing]\nsupports_at = [60, 235]\nsupport_width = {}",
        "10", "10.1", "sewing.support_width", "at most twice 5 mm, the least way from a support to an end",
    ),
    "supports side by side": (
        "[sewing]\nsupports_at = [60, 72, 100]\nsupport_width = {}",
        "12", "12.1", "sewing.support_width", "at most 12 mm, from one middle to the next",
    ),
    "the first kettle is nought": (
        '[sewing]\nstations_from = "kettle"\nstations = [{}, 100]',
        "0", "0.1", "sewing.stations_from", '"head", or "kettle" with the first kettle at 0',
    ),
    "kettles before stations": (
        '[sewing]\nstations_from = "kettle"\nstations = [3, 100]\nkettles = [{}, 90]',
        "0", "0.1", "sewing.stations_from", '"head", or "kettle" with the first kettle at 0',
    ),
    "tied down before the middle": (
        "[text_block]\nheight = 100\n[sewing]\ntie_down = {}",
        "49.9", "50", "sewing.tie_down", "less than half of 100 mm",
    ),
    "a fold is one of the anchors": (
        "[text_block]\nanchor_first = 3\nanchor_last = 10\n[[sewing.fold]]\ngathering = {}",
        "8", "9", "sewing.fold[1].gathering", "1 to 8",
    ),
    "or of the gatherings": (
        "[text_block]\ngatherings = 10\n[[sewing.fold]]\ngathering = {}",
        "10", "11", "sewing.fold[1].gathering", "1 to 10",
    ),
    "a hole at the tail of its fold": (
        "[text_block]\nheight = 240\n[[sewing.fold]]\ngathering = 1\nholes = [{}]",
        "240", "240.1", "sewing.fold[1].holes", "0 to 240 mm from the head",
    ),
    "each hole once": (
        "[[sewing.fold]]\ngathering = 1\nholes = [20, {}]",
        "20.1", "20", "sewing.fold[1].holes", "rising heights, each once",
    ),
    "one figure a leaf": (
        "[album]\nleaves = 2\ncontents_thickness = {}",
        "[1, 2]", "[1, 2, 3]", "album.contents_thickness", "one figure, or 2",
    ),
    "a mean of all leaves": (
        "[album]\nleaves = 2\ncontents_thickness = {}",
        "1.5", "[1.5]", "album.contents_thickness", "one figure, or 2",
    ),
    "a margin as wide as the leaf": (
        "[album]\nleaf_width = 200\ninner_margin = {}",
        "200", "200.1", "album.inner_margin", "at most 200 mm",
    ),
}  # fmt: skip


def test_the_first_anchor_is_the_first_gathering_unless_given() -> None:
    """So the last one may be the first."""
    assert reading.parse("[text_block]\nanchor_last = 1\n", "x").text_block.anchor_last == 1


@pytest.mark.parametrize("case", EDGES)
def test_where_a_contradiction_begins(case: str) -> None:
    """The one is read, the other refused for its field, with the limit."""
    text, taken, refused, field, allowed = EDGES[case]
    reading.parse(text.format(taken), "book.toml")
    with pytest.raises(RecordError) as refusal:
        reading.parse(text.format(refused), "book.toml")
    assert [(one.field, one.allowed) for one in refusal.value.problems] == [(field, allowed)]
