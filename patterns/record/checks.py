"""Figures that cannot stand together in one book. What is merely doubtful is left to `examine`.

Each check sees values already inside their own ranges (mm, kg, whole numbers) and yields the
dotted field to look at and the words to say.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from patterns.units import trimmed

Found = Iterator[tuple[str, str]]
_ADD_UP_MM = 5.0
"""Squares and heights further apart than this are no reading error."""


def impossible(tables: Mapping[str, Any]) -> Found:
    """Yield (dotted field, words) for every contradiction among checked values."""
    values = {
        f"{table}.{key}": value
        for table, content in tables.items()
        if isinstance(content, Mapping)
        for key, value in content.items()
    }
    folds = tables.get("sewing.fold", [])
    yield from _block(values)
    yield from _weights(values)
    yield from _spine(values)
    yield from _boards(values)
    yield from _sewing(values)
    yield from _folds(values, folds)
    yield from _album(values)


def _block(v: Mapping[str, Any]) -> Found:
    leaves, leaf = v.get("text_block.leaves"), v.get("text_block.leaf_thickness")
    thickness, gatherings = v.get("text_block.thickness"), v.get("text_block.gatherings")
    if leaves and leaf and thickness and leaves * leaf > 2 * thickness:
        yield (
            "text_block.leaf_thickness",
            f"is {trimmed(leaf, 3)} mm: {leaves} such leaves are {trimmed(leaves * leaf)} mm, the "
            f"block {trimmed(thickness)} mm: measure ten leaves and divide by 10",
        )
    if leaves and gatherings and gatherings > leaves:
        yield "text_block.gatherings", f"is {gatherings}, the leaves {leaves}: count again"
    first, last = v.get("text_block.anchor_first", 1), v.get("text_block.anchor_last")
    if last and first > last:
        yield (
            "text_block.anchor_first",
            f"is {first}, after anchor_last {last}: count from the front",
        )
    for name in ("anchor_first", "anchor_last"):
        number = v.get(f"text_block.{name}", 0)
        if gatherings and number > gatherings:
            yield f"text_block.{name}", f"is {number} of {gatherings} gatherings: count again"


def _weights(v: Mapping[str, Any]) -> Found:
    book, block = v.get("book.weight"), v.get("text_block.weight")
    if book and block and block > book:
        yield (
            "text_block.weight",
            f"is {trimmed(block, 3)} kg, more than the book's {trimmed(book, 3)} kg: weigh again",
        )
    both = sum(_side(v, which, "board_weight") or 0.0 for which in ("front", "back"))
    if book and both >= book:
        yield (
            "cover.board_weight",
            f"makes both boards {trimmed(both, 3)} kg, the whole book {trimmed(book, 3)} kg: "
            "write the weight of one board",
        )


def _side(v: Mapping[str, Any], which: str, key: str) -> Any:
    return v.get(f"cover.{which}.{key}", v.get(f"cover.{key}"))


def _spine(v: Mapping[str, Any]) -> Found:
    thickness = v.get("text_block.thickness")
    depth, profile = v.get("spine.round_depth"), v.get("spine.profile")
    over = v.get("spine.over_shoulders")
    signs = {"flat": depth == 0, "rounded": (depth or 0) > 0, "concave": (depth or 0) < 0}
    if depth is not None and profile and not signs[profile]:
        yield (
            "spine.round_depth",
            f"is {trimmed(depth)} mm on a {profile} spine: flat 0, rounded more, concave less",
        )
    shoulder = v.get("spine.shoulder", 0.0)
    tips = sum(v.get(f"spine.shoulder_{which}", shoulder) for which in ("front", "back"))
    chord = over or (thickness + tips if thickness else None)
    if chord is None:
        return
    if over and thickness and over < thickness - max(1.0, 0.03 * thickness):
        yield (
            "spine.over_shoulders",
            f"is {trimmed(over)} mm, less than the thickness of {trimmed(thickness)} mm between "
            "the boards: measure both again",
        )
    if depth is not None and abs(depth) > chord:
        yield (
            "spine.round_depth",
            f"is {trimmed(depth)} mm, deeper than the spine's {trimmed(chord)} mm from tip to tip: "
            "measure from the line joining the tips to the crown",
        )
    for name in ("spine.girth_head", "spine.girth_tail"):
        girth = v.get(name)
        if girth and not chord / 2 <= girth <= 3 * chord:
            yield (
                name,
                f"is {trimmed(girth)} mm, the straight line from tip to tip {trimmed(chord)} mm; "
                f"allowed {trimmed(chord / 2)} to {trimmed(3 * chord)} mm: lay the strip again",
            )


def _boards(v: Mapping[str, Any]) -> Found:
    height = v.get("text_block.height")
    for which in ("front", "back"):
        if which == "back" and not any(name.startswith("cover.back.") for name in v):
            continue  # both sides are alike: say it once
        board = _side(v, which, "board_height")
        squares = [_side(v, which, f"square_{end}") for end in ("head", "tail")]
        if None not in (board, height, *squares):
            wanted = height + sum(squares)
            if abs(board - wanted) > _ADD_UP_MM:
                yield (
                    _where(v, which, "board_height"),
                    f"is {trimmed(board)} mm, but block and squares add up to {trimmed(wanted)} "
                    f"mm; allowed within {trimmed(_ADD_UP_MM)} mm: measure all four again",
                )
        side, turn_in = _side(v, which, "side_height"), _side(v, which, "turn_in")
        if side and turn_in and 2 * turn_in > side:
            yield (
                _where(v, which, "turn_in"),
                f"is {trimmed(turn_in)} mm at head and tail of a side {trimmed(side)} mm high: "
                "measure again",
            )


def _where(v: Mapping[str, Any], which: str, key: str) -> str:
    own = f"cover.{which}.{key}"
    return own if own in v else f"cover.{key}"


def _sewing(v: Mapping[str, Any]) -> Found:
    height = v.get("text_block.height")
    for key in ("stations", "kettles", "supports_at", "holes_at"):
        yield from _heights(f"sewing.{key}", v.get(f"sewing.{key}"), height)
    supports, width = v.get("sewing.supports_at"), v.get("sewing.support_width")
    if supports and v.get("sewing.supports") == "none":
        yield "sewing.supports_at", 'names supports, but sewing.supports is "none": keep one'
    if supports and width:
        if height and (supports[0] < width / 2 or supports[-1] > height - width / 2):
            yield (
                "sewing.support_width",
                f"is {trimmed(width)} mm: a support would stand out of the fold of "
                f"{trimmed(height)} mm: measure its middle from the head again",
            )
        if any(tail - head < width for head, tail in pairwise(supports)):
            yield "sewing.support_width", f"is {trimmed(width)} mm: supports overlap: measure again"
    holes = v.get("sewing.kettles") or v.get("sewing.stations")
    if v.get("sewing.stations_from") == "kettle" and holes and holes[0] != 0:
        yield (
            "sewing.stations_from",
            f'is "kettle", but the first kettle is at {trimmed(holes[0])}: write it as 0 and '
            "measure the others from it",
        )
    down = v.get("sewing.tie_down")
    if down and height and 2 * down >= height:
        yield (
            "sewing.tie_down",
            f"is {trimmed(down)} mm at head and tail of {trimmed(height)} mm: measure each from "
            "its own end",
        )


def _heights(name: str, heights: tuple[float, ...] | None, height: float | None) -> Found:
    """Check a list of heights: inside the fold, from head to tail, each once."""
    if heights is None:
        return
    outside = [place for place in heights if height is not None and place > height]
    if outside:
        yield (
            name,
            f"holds {trimmed(outside[0])} mm, outside the fold; allowed 0 to "
            f"{trimmed(height or 0)} mm from the head: measure along the fold",
        )
    slip = next(((a, b) for a, b in pairwise(heights) if b <= a), None)
    if slip:
        yield (
            name,
            f"has {trimmed(slip[1])} after {trimmed(slip[0])}: write each height once, "
            "from head to tail",
        )


def _folds(v: Mapping[str, Any], folds: list[dict[str, Any]]) -> Found:
    seen: set[int] = set()
    first = v.get("text_block.anchor_first", 1)
    last = v.get("text_block.anchor_last", v.get("text_block.gatherings"))
    for number, fold in enumerate(folds, 1):
        name, gathering = f"sewing.fold[{number}]", fold["gathering"]
        if gathering in seen:
            yield f"{name}.gathering", f"{gathering} is described twice: keep one"
        seen.add(gathering)
        if last and gathering > last - first + 1:
            yield (
                f"{name}.gathering",
                f"is {gathering}; allowed 1 to {last - first + 1}: count from the front",
            )
        yield from _heights(f"{name}.holes", fold.get("holes"), v.get("text_block.height"))


def _album(v: Mapping[str, Any]) -> Found:
    leaves, contents = v.get("album.leaves"), v.get("album.contents_thickness")
    if leaves and isinstance(contents, tuple) and len(contents) != leaves:
        yield (
            "album.contents_thickness",
            f"holds {len(contents)} figures for {leaves} leaves: write one a leaf, or their mean",
        )
    margin, width = v.get("album.inner_margin"), v.get("album.leaf_width")
    if margin and width and margin > width:
        yield (
            "album.inner_margin",
            f"is {trimmed(margin)} mm of a leaf {trimmed(width)} mm wide: measure again",
        )
