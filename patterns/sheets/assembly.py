"""The assembly: one section of everything in its layers, each named where it lies."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from patterns.model.capitals import BODY
from patterns.model.drawing import Anchor, Area, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import width_mm
from patterns.model.pattern import Pattern
from patterns.model.profile import SpineProfile
from patterns.sheets.flow import (
    LEAD,
    Strip,
    Strips,
    close,
    gap,
    heading,
    paragraph,
    table,
    together,
)
from patterns.sheets.layers import Seated, half_spine_mm, named, row, seated, stack, total
from patterns.sheets.section import SIDE_MM, section
from patterns.sketch.arrows import dot
from patterns.sketch.marks import Box, box_of, corners, moved

HELD = (
    ("pasted", "hatched = pasted"),
    ("sewn", "a thread with a dot outside = sewn"),
    ("laced", "zigzag = laced in"),
    ("free", "white = free, no adhesive"),
)
"""Signs of how a layer is held to the one inside it, by a word that the way it is joined has in it."""
SECTION = "Section across the spine, the book shut"
NARROW_MM = 170.0
"""Narrower columns have no room for names beside the figure: a table follows it."""
TABLE = (
    "No.",
    "Layer, inside to outside",
    "mm",
    "Ends, mm from the middle",
    "Joined to the one within",
)
WORDS_MM = 62.0
"""Least room for the names."""
MARGIN_MM = 9.0
"""Room at the left for numbers, and at the right for leaders."""
LEAST_MM = 24.0
"""Least room for the block."""
LEADER_MM = 9.0
"""Room for the leaders between figure and names, beyond where the figure ends."""
NUMBER_MM = 6.0
PITCH_MM = BODY * LEAD
SHARE = 0.62
"""Share of a column's height that the names of one figure may take."""


def strips(pattern: Pattern, column: Box) -> Strips:
    """Return the section; nothing where there is nothing to show.

    A stack of more layers than a column can name is shown in several figures.
    """
    layers = stack(pattern)
    if not layers:
        return ()
    half = half_spine_mm(pattern, layers)
    items = seated(layers, half)
    names = ("back", "front") if pattern.front_on_right else ("front", "back")
    profile = pattern.profile or SpineProfile(2 * half)
    made: list[Strip] = []
    words = ""
    for group in _groups(items, column):
        few = "" if len(group) == len(items) else _which(group)
        figure, words = _figure(group, profile, half, names, column.width)
        made += (*heading(f"{SECTION}{few}", column.width), figure, *gap(2.0))
    if column.width < NARROW_MM:
        made += (*table(TABLE, [row(item, names) for item in items], column.width), *gap(2.0))
    return (*made, *_told(pattern, items, words, column.width))


def _figure(
    items: Sequence[Seated],
    profile: SpineProfile,
    half: float,
    names: tuple[str, str],
    width: float,
) -> tuple[Strip, str]:
    """Return the drawn section with every layer numbered and named, and how it is drawn.

    Numbers stand at the right on leaders, those of what lies at the left side alone at the left.
    """
    worded = width >= NARROW_MM
    room = width - 2 * MARGIN_MM - (WORDS_MM if worded else 0.0)
    drawn = section(tuple(items), profile, half, room)
    block = drawn.block
    anchors = {number: (x + MARGIN_MM, y) for number, (x, y) in drawn.anchors}
    wide = max(block.width, sum(width_mm(name.upper(), BODY, bold=True) for name in names) + 4.0)
    left = MARGIN_MM + wide + LEADER_MM
    beside = list(_at_left([one for one in items[1:] if _lies_left(one)], anchors))
    marks: list[Mark] = [*moved(block.marks, MARGIN_MM, 0.0), *beside]
    lowest = max((box_of(mark).bottom for mark in beside), default=0.0)
    y = 0.0
    for item in sorted(items, key=lambda one: _reading(one, anchors[one.number])):
        at = (left, y + BODY / 2 + 0.6)
        led = item.number != items[0].number and not _lies_left(item)
        if led:
            knee = None if item.over else MARGIN_MM + wide
            marks += _led(anchors[item.number], (left - 1.2, at[1]), knee)
        if led or worded:
            marks.append(_number(at, item.number))
            y += PITCH_MM
        if worded:
            words = close(named(item, names), BODY, width - left - NUMBER_MM)
            marks += moved(words.marks, left + NUMBER_MM, at[1] - BODY / 2 - 0.4)
            y += max(0.0, words.height + 0.6 - PITCH_MM)
    marks += _based(anchors[items[0].number], items[0].number)
    floor = block.height + 1.0 + BODY
    sides: tuple[tuple[float, str, Anchor], ...] = (
        (MARGIN_MM, names[0], "start"),
        (MARGIN_MM + wide, names[1], "end"),
    )
    marks += [Words((x, floor), name.upper(), BODY, True, end) for x, name, end in sides]
    return Strip(max(floor + 1.0, y, lowest + 1.0), tuple(marks)), drawn.words


def _lies_left(item: Seated) -> bool:
    """Tell whether a layer lies at the left side alone."""
    return not item.over and not item.sides[1]


def _at_left(items: Sequence[Seated], anchors: Mapping[int, Point]) -> Iterator[Mark]:
    """Number what lies at the left, each below the one further out."""
    low = -PITCH_MM
    for item in sorted(items, key=lambda one: anchors[one.number]):
        x, y = anchors[item.number]
        low = max(y, low + PITCH_MM)
        yield from _led((x, y), (NUMBER_MM - 1.0, low))
        yield _number((0.0, low), item.number)


def _reading(item: Seated, anchor: Point) -> tuple[bool, bool, float]:
    """Order names from the outside inwards, then what lies at the left alone; the block is last."""
    return item.number == 1, _lies_left(item), anchor[1]


def _led(anchor: Point, end: Point, knee: float | None = None) -> tuple[Mark, ...]:
    """Return a leader: straight, or level out of the figure as far as a knee and aslant from there."""
    bent = () if knee is None else ((knee, anchor[1]),)
    return (*dot(anchor), Line(LineKind.REFERENCE, (anchor, *bent, end)))


def _number(at: Point, number: int) -> Words:
    return Words((at[0], at[1] + BODY / 2), str(number), BODY, bold=True)


def _based(place: Point, number: int) -> Iterator[Mark]:
    """Number the block in its middle, on a white ground."""
    words = Words((place[0], place[1] + BODY / 2), str(number), BODY, True, "middle")
    yield Area(LineKind.OUTLINE, corners(box_of(words).grown(0.8)), 1.0)
    yield words


def _told(pattern: Pattern, items: Sequence[Seated], words: str, width: float) -> Strips:
    """Return what the signs mean, how much is added, and whether the cover closes round it."""
    return (
        *together(paragraph(f"{words} {signs(items)}", width)),
        *gap(1.0),
        *paragraph(total([one.layer for one in items]), width, bold=True),
        *(paragraph(f"{pattern.closing}.", width) if pattern.closing else ()),
    )


def signs(items: Sequence[Seated]) -> str:
    """Say what tint and signs of the figure mean, those alone that it shows, and whence ends are told."""
    shown = [one.layer.union for one in items[1:] if one.over]
    shown += [one.layer.union_sides for one in items[1:] if any(one.sides)]
    held = "; ".join(words for union, words in HELD if union in " ".join(shown))
    told = f"Tinted: the book's own. White: new. To the layer inside it: {held}."
    return f"{told} Ends: in mm from the middle of the spine."


def _which(group: Sequence[Seated]) -> str:
    return f": text block and layers {group[1].number} to {group[-1].number}"


def _groups(items: Sequence[Seated], column: Box) -> Iterator[list[Seated]]:
    """Part a stack into figures whose names a column holds, each upon the text block."""
    base, *others = items
    most = max(3, int(column.height * SHARE / (3 * PITCH_MM)))
    words = WORDS_MM if column.width >= NARROW_MM else 0.0
    hanging = max(1, int((column.width - 2 * MARGIN_MM - words - LEAST_MM) / (2 * SIDE_MM)))
    group: list[Seated] = []
    for item in others:
        wanted = [*group, item]
        aside = max(sum(one.sides[side] for one in wanted) for side in (0, 1))
        if group and (len(wanted) > most or aside > hanging):
            yield [base, *group]
            group = []
        group.append(item)
    yield [base, *group]
