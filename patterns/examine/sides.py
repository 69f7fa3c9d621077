"""Boards and limp sides, held against the block, its squares and each other."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.boards import gap_words
from patterns.examine.doubt import SHARE, SIDES, doubt, named, sides
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding
from patterns.units import trimmed


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every pair of figures that does not agree."""
    for check in (_heights, _widths, _limp_sides, _board_pair):
        yield from check(facts)


def _heights(facts: Facts) -> Iterator[Finding]:
    """Compare each board's height with the block and its squares."""
    height = facts.record.text_block.height
    for side, board in sides(facts):
        head = board.square_head
        tail = board.square_tail if board.square_tail is not None else board.square_tail_spine
        if height is None or board.board_height is None or head is None or tail is None:
            continue
        off, limit = board.board_height - height - head - tail, 4 * facts.reading_mm
        if abs(off) > limit:
            yield doubt(
                "board_height_disagrees",
                f"The {side} board's height does not agree with block and squares",
                f"It differs by {trimmed(off, 1)} mm from block, head and tail square together.",
                (
                    *named(facts, side, "board_height", "square_head", "square_tail"),
                    "text_block.height",
                ),
                abs(off),
                limit,
                source="mendfold's own threshold: four readings, each as uncertain as the record says",
            )


def _widths(facts: Facts) -> Iterator[Finding]:
    """Compare each board's width with block, fore-edge square and joint gap."""
    width = facts.record.text_block.width
    for side, board in sides(facts):
        if width is None or board.board_width is None or board.square_fore_edge is None:
            continue
        gap = facts.book.gap(side)
        assumed = gap_words(gap)
        off = board.board_width - width - board.square_fore_edge + gap.value
        limit = max(5.0, 0.03 * width)
        if abs(off) > limit:
            yield doubt(
                "board_width_disagrees",
                f"The {side} board's width does not agree with block and square",
                f"It differs by {trimmed(off, 1)} mm from block and fore-edge square less the joint "
                f"gap{f' ({assumed})' if assumed else ''}.",
                (*named(facts, side, "board_width", "square_fore_edge"), "text_block.width"),
                abs(off),
                limit,
            )


def _limp_sides(facts: Facts) -> Iterator[Finding]:
    """Compare a limp cover's sides with the block: as large, or a little larger."""
    block = facts.record.text_block
    for side, cover in sides(facts):
        for key, own, whole in (
            ("height", cover.side_height, block.height),
            ("width", cover.side_width, block.width),
        ):
            if own is None or whole is None:
                continue
            off, limit = own - whole, max(10.0, 0.05 * whole)
            if not -max(4.0, 0.02 * whole) <= off <= limit:
                yield doubt(
                    f"side_{key}_disagrees",
                    f"The {side} side's {key} does not agree with the block",
                    f"The side is {trimmed(abs(off), 1)} mm {'larger' if off > 0 else 'smaller'} "
                    "than the block.",
                    (*named(facts, side, f"side_{key}"), f"text_block.{key}"),
                    abs(off),
                    limit,
                )


def _board_pair(facts: Facts) -> Iterator[Finding]:
    front, back = (facts.record.cover.side(side) for side in SIDES)
    for key in ("board_height", "board_width", "board_thickness", "side_height", "side_width"):
        one, other = getattr(front, key), getattr(back, key)
        if one and other and max(one, other) > (1 + SHARE) * min(one, other):
            yield doubt(
                "boards_differ",
                "The two sides are unlike",
                f"{key.replace('_', ' ').capitalize()}: {trimmed(one)} mm in front, "
                f"{trimmed(other)} mm at the back.",
                tuple(name for side in SIDES for name in named(facts, side, key)),
                100 * (max(one, other) / min(one, other) - 1),
                100 * SHARE,
                "%",
            )
