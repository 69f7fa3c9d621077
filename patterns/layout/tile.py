"""A drawing larger than the page: windows with overlaps, match marks, trim lines and a key map.

A joint runs in each overlap, in its middle or where no hole is near. The sheet to the right or below is trimmed along it
and pasted over its neighbour, until the two halves of every lettered diamond meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from patterns.drawing import Area, Line, LineKind, Mark, Point, Words
from patterns.layout.marks import Block, Box, box_of, clipped, corners
from patterns.layout.obstacles import Obstacles
from patterns.layout.place import Desk, Wanted, words_slots
from patterns.lettering import width_mm
from patterns.values import dataclass

OVERLAP = 10.0
MOST = 24.0
"""An overlap is widened with what the windows leave over, up to this."""
LAP = 4.0
"""A joint keeps this far from both edges of its overlap."""
CLEAR = 8.0
"""A joint this far from holes and fixed words is as good as any."""
DIAMOND = 2.0
CAP = 2.5
TRIM = "trim here, paste over"

Span = tuple[float, float]


def number(length: float, room: float, overlap: float = OVERLAP) -> int:
    """Return how many windows of `room` mm cover `length` mm, in whole tenths of a millimetre.

    >>> number(700, 190), number(500, 277), number(700, 277), number(500, 190)
    (4, 2, 3, 3)
    """
    long, page, over = (
        math.ceil(length * 10 - 1e-6),
        math.floor(room * 10 + 1e-6),
        round(overlap * 10),
    )
    return 1 if long <= page else -(-(long - over) // (page - over))


def spans(length: float, room: float, overlap: float = OVERLAP) -> tuple[Span, ...]:
    """Return the windows that cover 0 … `length`, the slack spread evenly over the overlaps."""
    n = number(length, room, overlap)
    if n == 1:
        return ((0.0, length),)
    over = min(MOST, (n * room - length) / (n - 1))
    step = (length - over) / n
    starts = [i * step for i in range(n)]
    return (*((a, a + step + over) for a in starts[:-1]), (starts[-1], length))


@dataclass(frozen=True, slots=True)
class Tiling:
    """Columns and rows of windows over a drawing whose left top corner is (0, 0)."""

    columns: tuple[Span, ...]
    rows: tuple[Span, ...]
    width: float
    height: float
    avoid: tuple[Box, ...] = ()
    """Where no joint or match mark should stand: holes, and words that cannot move."""

    @property
    def xs(self) -> tuple[float, ...]:
        """Where the upright joints run."""
        return _joints(self.columns, [(box.left, box.right) for box in self.avoid])

    @property
    def ys(self) -> tuple[float, ...]:
        """Where the level joints run."""
        return _joints(self.rows, [(box.top, box.bottom) for box in self.avoid])

    @property
    def pages(self) -> int:
        """How many sheets it takes."""
        return len(self.columns) * len(self.rows)

    @property
    def joints(self) -> int:
        """How many edges are pasted over a neighbour."""
        across, down = len(self.columns), len(self.rows)
        return (across - 1) * down + (down - 1) * across

    def windows(self) -> Iterator[Box]:
        """Yield the windows row by row."""
        for top, bottom in self.rows:
            for left, right in self.columns:
                yield Box(left, top, right, bottom)


def best(
    wholes: Sequence[tuple[float, float]],
    rooms: Sequence[tuple[float, float]],
    joint_free: bool = False,
) -> tuple[int, Tiling]:
    """Return the index of the best page room for a drawing, and the tiling on it.

    `wholes` holds the drawing's size for each room. First no joint across the width (when
    `joint_free`) if one page more suffices, then fewest pages, then fewest joints.
    """
    made = [
        Tiling(spans(whole[0], room[0]), spans(whole[1], room[1]), *whole)
        for whole, room in zip(wholes, rooms, strict=True)
    ]
    fewest = min(tiling.pages for tiling in made)

    def order(index: int) -> tuple[bool, int, int, int]:
        one = made[index]
        divided = joint_free and (len(one.columns) > 1 or one.pages > fewest + 1)
        return divided, one.pages, one.joints, index

    index = min(range(len(made)), key=order)
    return index, made[index]


def _joints(spans_: Sequence[Span], avoid: Sequence[Span]) -> tuple[float, ...]:
    """Return a joint in each overlap: in its middle, or moved clear of what should stay whole.

    `avoid` holds the extents of holes and fixed words along the same direction.
    """
    joints = []
    for before, after in pairwise(spans_):
        middle, reach = (after[0] + before[1]) / 2, (before[1] - after[0]) / 2 - LAP
        steps = range(int(max(0.0, reach)) + 1)
        tries = [middle + sign * step for step in steps for sign in ((1, -1) if step else (1,))]

        def clear(at: float) -> float:
            gaps = (max(low - at, at - high, 0.0) for low, high in avoid)
            return min(CLEAR, *gaps, CLEAR)

        joints.append(max(tries, key=clear))  # of equals the first: nearest the middle
    return tuple(joints)


def joint_lines(tiling: Tiling) -> tuple[Line, ...]:
    """Return the joints as lines over the whole drawing."""
    return _grid(tiling, tiling.xs, tiling.ys)


def _grid(tiling: Tiling, xs: Iterable[float], ys: Iterable[float]) -> tuple[Line, ...]:
    return (
        *(Line(LineKind.MATCH, ((x, 0.0), (x, tiling.height))) for x in xs),
        *(Line(LineKind.MATCH, ((0.0, y), (tiling.width, y))) for y in ys),
    )


def keep_clear(tiling: Tiling) -> tuple[Mark, ...]:
    """Return what words must not touch so that each stands whole on a sheet.

    These are the joints, the edges of the windows, and the match marks with their letters.
    """
    xs = [at for before, after in pairwise(tiling.columns) for at in (before[1], after[0])]
    ys = [at for before, after in pairwise(tiling.rows) for at in (before[1], after[0])]
    grounds = [Area(LineKind.MATCH, corners(ground(one))) for one in matches(tiling)]
    return (*joint_lines(tiling), *_grid(tiling, xs, ys), *grounds)


@dataclass(frozen=True, slots=True)
class Match:
    """One match mark: where it stands, its letter, and whether its joint stands upright."""

    at: Point
    letter: str
    upright: bool


def matches(tiling: Tiling) -> tuple[Match, ...]:
    """Return two match marks for each joint between two sheets, lettered in reading order."""
    made: list[Match] = []
    xs, ys = tiling.xs, tiling.ys
    for top, bottom in _between((0.0, tiling.height), ys):
        for x in xs:
            made += _pair(tiling, True, x, top, bottom)
    for y in ys:
        for left, right in _between((0.0, tiling.width), xs):
            made += _pair(tiling, False, y, left, right)
    return tuple(replace(one, letter=letters(i)) for i, one in enumerate(made))


def _pair(tiling: Tiling, upright: bool, at: float, start: float, end: float) -> Iterator[Match]:
    """Yield the two marks of a joint, each near its place but clear of what is to be avoided."""
    for share in (0.2, 0.8):
        tries = [share + step for step in (0.0, 0.04, -0.04, 0.08, -0.08, 0.13, -0.13, 0.17, -0.17)]
        along = [start + (end - start) * one for one in tries]
        marks = [Match((at, a) if upright else (a, at), "", upright) for a in along]
        clear = (m for m in marks if not any(ground(m).meets(box) for box in tiling.avoid))
        yield next(clear, marks[0])


def ground(one: Match) -> Box:
    """Return the room of a match mark with its letters."""
    (x, y), long, short = one.at, DIAMOND + CAP + 2.5, DIAMOND + 0.6
    wide, high = (long, short) if one.upright else (short, long)
    return Box(x - wide, y - high, x + wide, y + high)


def _between(whole: Span, joints: Sequence[float]) -> list[Span]:
    """Return what each sheet shows in the end, from joint to joint."""
    return list(pairwise((whole[0], *joints, whole[1])))


def letters(index: int) -> str:
    """Return P … Z, AA, AB …: pricking strips have the letters before P.

    >>> letters(0), letters(10), letters(11)
    ('P', 'Z', 'AA')
    """
    name = ""
    index += 16
    while index:
        index, rest = divmod(index - 1, 26)
        name = chr(65 + rest) + name
    return name


def _match_marks(one: Match) -> tuple[Mark, ...]:
    (x, y), r = one.at, DIAMOND
    diamond = Line(LineKind.MATCH, ((x - r, y), (x, y - r), (x + r, y), (x, y + r)), closed=True)
    away = r + 0.6
    if one.upright:
        words = [
            Words((x - away, y + CAP / 2), one.letter, CAP, True, "end"),
            Words((x + away, y + CAP / 2), one.letter, CAP, True),
        ]
    else:
        words = [
            Words((x, y - away), one.letter, CAP, True, "middle"),
            Words((x, y + away + CAP), one.letter, CAP, True, "middle"),
        ]
    return diamond, *words


def cut(marks: Sequence[Mark], tiling: Tiling) -> Iterator[tuple[Box, tuple[Mark, ...]]]:
    """Yield each window with its marks, still in the whole drawing's coordinates.

    Match marks, trim lines and the words along them are among the marks.
    """
    signs = matches(tiling)
    xs, ys = tiling.xs, tiling.ys
    windows = tuple(tiling.windows())
    settled = [_settled(mark, windows) for mark in marks]
    for index, window in enumerate(windows):
        row, column = divmod(index, len(tiling.columns))
        whole = clipped(settled, window)
        near = [
            m for one in signs for m in _match_marks(one) if window.grown(0.01).holds(_dot(one))
        ]
        trims: list[tuple[Point, Point]] = []
        if column:
            trims.append(((xs[column - 1], window.top), (xs[column - 1], window.bottom)))
        if row:
            trims.append(((window.left, ys[row - 1]), (window.right, ys[row - 1])))
        yield window, (*whole, *near, *_trimmed(window, whole, near, trims))


def _dot(one: Match) -> Box:
    return Box(*one.at, *one.at)


def _settled(mark: Mark, windows: Sequence[Box]) -> Mark:
    """Return words that no window holds whole moved into the window where they mostly lie."""
    if not isinstance(mark, Words):
        return mark
    box = box_of(mark)
    if any(window.holds(box) for window in windows):
        return mark
    x, y = box.middle
    home = min(windows, key=lambda w: math.dist((x, y), w.middle))
    dx = max(home.left - box.left, 0.0) or min(home.right - box.right, 0.0)
    dy = max(home.top - box.top, 0.0) or min(home.bottom - box.bottom, 0.0)
    return replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy))


def _trimmed(
    window: Box, marks: Sequence[Mark], near: Sequence[Mark], trims: Sequence[tuple[Point, Point]]
) -> tuple[Mark, ...]:
    desk = Desk(window, Obstacles((*marks, *near)))
    for a, b in trims:
        upright = a[0] == b[0]
        length = math.dist(a, b)
        shares = [i / 20 for i in range(1, 20)]
        shares.sort(key=lambda share: abs(share - 0.5))
        off = CAP * 0.72 + 0.9
        places = [
            (a[0] - off, a[1] + length * s, 90.0)
            if upright
            else (a[0] + length * s, a[1] - off, 0.0)
            for s in shares
        ]
        desk.add([Wanted("", a, words_slots(TRIM, CAP, places))])
    return (*(Line(LineKind.MATCH, trim) for trim in trims), *desk.marks)


def key_map(
    tiling: Tiling, outlines: Sequence[Sequence[Point]], current: int, side: float
) -> Block:
    """Return a small map of the sheets, `current` (from 0) filled grey, within a square."""
    scale = min(side / tiling.width, side / tiling.height)
    columns = _between((0.0, tiling.width), tiling.xs)
    rows = _between((0.0, tiling.height), tiling.ys)
    marks: list[Mark] = []
    cells = [(left, top, right, bottom) for top, bottom in rows for left, right in columns]
    for index, (left, top, right, bottom) in enumerate(cells):
        ring = tuple(
            (x * scale, y * scale)
            for x, y in ((left, top), (right, top), (right, bottom), (left, bottom))
        )
        if index == current:
            marks.append(Area(LineKind.MATCH, ring, 0.8))
        marks.append(Line(LineKind.REFERENCE, ring, closed=True))
    for outline in outlines:
        ring = tuple((x * scale, y * scale) for x, y in outline)
        marks.append(Line(LineKind.OUTLINE, ring, closed=True))
    for index, (left, top, right, bottom) in enumerate(cells):
        text = str(index + 1)
        cap = 1.8
        if (
            width_mm(text, cap) < (right - left) * scale - 0.6
            and cap < (bottom - top) * scale - 0.8
        ):
            at = ((left + right) / 2 * scale, (top + bottom) / 2 * scale + cap / 2)
            marks.append(Words(at, text, cap, index == current, "middle"))
    return Block(tiling.width * scale, tiling.height * scale, tuple(marks))
