"""Figures that cannot stand together in one book. What is merely doubtful is left to `examine`.

Each check sees values already inside their own ranges (mm, kg, whole numbers) and yields the
problems it finds. A check that asks for a value that could not be read says nothing at all: a
contradiction is told only of what was truly measured. The checks of chord, round and girth stand in
`girths`, those of the old sewing in `heights`, that of readings taken again in `confirmed`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from functools import partial

from patterns.errors import Problem, Problems
from patterns.record import confirmed, girths, heights
from patterns.record.legible import Legible, Unread
from patterns.units import trimmed

_ADD_UP_MM = 5.0
"""Squares and heights further apart than this are no reading error."""


def impossible(read: Legible) -> Problems:
    """Yield every contradiction among checked values."""
    for check in (*_CHECKS, *girths.CHECKS, *heights.CHECKS):
        try:
            found = list(check(read))
        except Unread:
            continue
        yield from (replace(one, kind="clash") if one.kind == "range" else one for one in found)


def _leaf_thickness(read: Legible) -> Problems:
    leaves, leaf = read.get("text_block.leaves"), read.get("text_block.leaf_thickness")
    thickness = read.get("text_block.thickness")
    if leaves and leaf and thickness and leaves * leaf > 2 * thickness:
        yield Problem(
            "text_block.leaf_thickness",
            f"is {trimmed(leaf, 3)} mm: {leaves} such leaves are {trimmed(leaves * leaf)} mm, the "
            f"block {trimmed(thickness)} mm",
            f"at most {trimmed(2 * thickness)} mm for all {leaves} leaves",
            "measure ten leaves and divide by 10",
        )


def _gatherings(read: Legible) -> Problems:
    leaves, gatherings = read.get("text_block.leaves"), read.get("text_block.gatherings")
    if leaves and gatherings and gatherings > leaves:
        yield Problem(
            "text_block.gatherings",
            f"is {gatherings}, the leaves {leaves}",
            f"1 to {leaves}",
            "count again",
        )


def _anchors_in_order(read: Legible) -> Problems:
    first, last = read.get("text_block.anchor_first", 1), read.get("text_block.anchor_last")
    if last and first > last:
        yield Problem(
            "text_block.anchor_first",
            f"is {first}, after anchor_last {last}",
            f"1 to {last}",
            "count from the front",
        )


def _anchor_is_there(read: Legible, name: str) -> Problems:
    number, gatherings = read.get(name, 0), read.get("text_block.gatherings")
    if gatherings and number > gatherings:
        found = f"is {number} of {gatherings} gatherings"
        yield Problem(name, found, f"1 to {gatherings}", "count again")


def _block_weight(read: Legible) -> Problems:
    book, block = read.get("book.weight"), read.get("text_block.weight")
    if book and block and block > book:
        yield Problem(
            "text_block.weight",
            f"is {trimmed(block, 3)} kg, more than the book's {trimmed(book, 3)} kg",
            f"at most {trimmed(book, 3)} kg",
            "weigh again",
        )


def _board_weights(read: Legible) -> Problems:
    book = read.get("book.weight")
    weights = (read.side(which, "board_weight") for which in ("front", "back"))
    both = sum(weight for weight in weights if weight is not None)
    if book and both >= book:
        yield Problem(
            "cover.board_weight",
            f"makes both boards {trimmed(both, 3)} kg, the whole book {trimmed(book, 3)} kg",
            f"less than {trimmed(book, 3)} kg for both boards",
            "write the weight of one board",
        )


def _depth_of_profile(read: Legible) -> Problems:
    depth, profile = read.get("spine.round_depth"), read.get("spine.profile")
    allowed = {"flat": "0 mm", "rounded": "more than 0 mm", "concave": "less than 0 mm"}
    if depth is None or not profile:
        return
    if profile != ("flat" if depth == 0 else "rounded" if depth > 0 else "concave"):
        yield Problem(
            "spine.round_depth",
            f"is {trimmed(depth)} mm on a {profile} spine",
            allowed[profile],
            "flat 0, rounded more, concave less",
        )


def _girth_sewn(read: Legible, end: str) -> Problems:
    before, after = read.get(f"spine.girth_{end}"), read.get(f"spine.girth_sewn_{end}")
    if before and after and not before - _ADD_UP_MM <= after <= 1.5 * before + _ADD_UP_MM:
        yield Problem(
            f"spine.girth_sewn_{end}",
            f"is {trimmed(after)} mm after the sewing, {trimmed(before)} mm before it",
            f"{trimmed(before - _ADD_UP_MM)} to {trimmed(1.5 * before + _ADD_UP_MM)} mm",
            "lay the strip again, over the sewn lining",
            "limit",
        )


def _shoulder_over_board(read: Legible, which: str) -> Problems:
    """Yield a shoulder that would lean into the board: its angle or the gap was misread."""
    shoulder = read.get(f"spine.shoulder_{which}", read.get("spine.shoulder", 0.0))
    angle, gap = read.get("spine.shoulder_angle", 90.0), read.side(which, "joint_gap")
    if gap is None or (which == "back" and _shoulders_alike(read)):
        return
    over = -shoulder / math.tan(math.radians(angle))
    if over > gap + 1e-9:
        yield Problem(
            "spine.shoulder_angle",
            f"is {trimmed(angle)}°: a shoulder of {trimmed(shoulder)} mm then leans {trimmed(over)} mm over the "
            f"joint, past the {which} board's edge {trimmed(gap)} mm away",
            f"at most {math.floor(10 * math.degrees(math.atan2(shoulder, -gap))) / 10:g}° at that gap",
            "measure the angle, or the joint gap, again",
        )


def _shoulders_alike(read: Legible) -> bool:
    """Say whether front and back joint have one shoulder and one gap: the front tells all."""
    shoulder = read.get("spine.shoulder")
    own = [read.get(f"spine.shoulder_{which}", shoulder) for which in ("front", "back")]
    gaps = [read.side(which, "joint_gap") for which in ("front", "back")]
    return bool(own[0] == own[1] and gaps[0] == gaps[1])


def _board_height(read: Legible, which: str) -> Problems:
    height, board = read.get("text_block.height"), read.side(which, "board_height")
    squares = [read.side(which, f"square_{end}") for end in ("head", "tail")]
    if read.alike(which) or None in (board, height, *squares):
        return
    wanted = height + sum(squares)
    if abs(board - wanted) > _ADD_UP_MM:
        yield Problem(
            read.where(which, "board_height"),
            f"is {trimmed(board)} mm, but block and squares add up to {trimmed(wanted)} mm",
            f"within {trimmed(_ADD_UP_MM)} mm",
            "measure all four again",
            "limit",
        )


def _turn_in(read: Legible, which: str) -> Problems:
    side, turn_in = read.side(which, "side_height"), read.side(which, "turn_in")
    if not read.alike(which) and side and turn_in and 2 * turn_in > side:
        yield Problem(
            read.where(which, "turn_in"),
            f"is {trimmed(turn_in)} mm at head and tail of a side {trimmed(side)} mm high",
            f"at most half of {trimmed(side)} mm",
            "measure again",
        )


def _limp_joints(read: Legible, which: str) -> Problems:
    if read.get("cover.kind") not in ("limp", "wrapper") or read.alike(which):
        return
    if read.side(which, "joint_over") is not None:
        yield Problem(
            read.where(which, "joint_over"),
            "is given for a limp cover, which has no joint between board and shoulder",
            "only where the cover has boards",
            "leave it out",
        )


def _strip_over_cover(read: Legible) -> Problems:
    if read.get("cover.spine_strip") is None:
        return
    widths = [f"cover.spine_width{end}" for end in ("", "_head", "_tail")]
    if read.get("cover.kind") in ("limp", "wrapper"):
        yield Problem(
            "cover.spine_strip",
            "is given for a limp cover",
            "only where the cover has boards",
            "measure cover.spine_width, between the inner folds",
        )
    elif given := next((name for name in widths if read.get(name) is not None), ""):
        yield Problem(
            "cover.spine_strip",
            f"is given beside {given}",
            "one of the two",
            "keep the width where the cover was off and flat, the strip where it is on the book",
        )


def _contents(read: Legible) -> Problems:
    leaves, contents = read.get("album.leaves"), read.get("album.contents_thickness")
    if leaves and isinstance(contents, tuple) and len(contents) != leaves:
        yield Problem(
            "album.contents_thickness",
            f"holds {len(contents)} figures for {leaves} leaves",
            f"one figure, or {leaves}",
            "write one a leaf, or their mean",
        )


def _inner_margin(read: Legible) -> Problems:
    margin, width = read.get("album.inner_margin"), read.get("album.leaf_width")
    if margin and width and margin > width:
        yield Problem(
            "album.inner_margin",
            f"is {trimmed(margin)} mm of a leaf {trimmed(width)} mm wide",
            f"at most {trimmed(width)} mm",
            "measure again",
        )


_CHECKS: tuple[Callable[[Legible], Problems], ...] = (
    _leaf_thickness,
    _gatherings,
    _anchors_in_order,
    *(partial(_anchor_is_there, name=f"text_block.anchor_{end}") for end in ("first", "last")),
    _block_weight,
    _board_weights,
    _depth_of_profile,
    *(partial(_girth_sewn, end=end) for end in ("head", "tail")),
    *(partial(_shoulder_over_board, which=which) for which in ("front", "back")),
    *(partial(_board_height, which=which) for which in ("front", "back")),
    *(partial(_turn_in, which=which) for which in ("front", "back")),
    *(partial(_limp_joints, which=which) for which in ("front", "back")),
    _strip_over_cover,
    _contents,
    _inner_margin,
    confirmed.idle,
)
