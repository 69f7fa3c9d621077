"""A drawing larger than the page: windows with overlaps, match marks, trim lines and a key map.

A joint runs in the middle of each overlap; `clear_spans` moves windows so that no hole is near one. The sheet to the right
or below is trimmed along it and pasted over its neighbour, until the two halves of every named diamond meet.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache, partial
from itertools import pairwise
from typing import Any

import numpy as np

from patterns.model.capitals import BODY, SMALL
from patterns.model.drawing import Area, Circle, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import width_mm
from patterns.sheets.obstacles import Obstacles, rows
from patterns.sheets.place import Desk, Slots, Wanted, WordPlace, joined, words_slots
from patterns.sketch.marks import SYMBOL_MM, Block, Box, box_of, clipped, corners

OVERLAP = 10.0
MOST = 24.0
"""An overlap that is moved off holes is widened with what the windows leave over, up to this."""
LEAST_LAST = 60.0
"""Least length of the last window."""
CLEAR = 8.0
"""A joint this far from holes and fixed words is as good as any."""
DIAMOND = 2.0
HALVES = ((0.2, 0.04, 0.42), (0.8, 0.58, 0.96))
"""Where the two match marks of a joint stand by liking, and between which others, as shares of it."""
ENDS = {0.2: (0.0, 0.48), 0.8: (0.52, 1.0)}
"""The same where there is no other room."""
CLEAR_OF_WORDS = 0.8
"""White round a match mark and its names."""
TRIM = ("trim this sheet here, paste over", "trim this sheet here", "trim here")
"""What stands along a joint, the fullest that finds room: bold, on the part that is trimmed off, so
that nobody takes it for words of the piece."""

APART = 4.0
"""White wanted between them and any other words."""

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
    """Return the windows that cover 0 … `length`, as full as they can be but for the last.

    What the last leaves of its page is free for other things; it is never a mere sliver.
    """
    n = number(length, room, overlap)
    if n == 1:
        return ((0.0, length),)
    step = min(room - overlap, (length - min(LEAST_LAST, length / n)) / (n - 1))
    starts = [i * step for i in range(n)]
    return (*((a, a + step + overlap) for a in starts[:-1]), (starts[-1], length))


@lru_cache(maxsize=64)
def clear_spans(length: float, room: float, avoid: tuple[Span, ...]) -> tuple[Span, ...]:
    """Return as many windows as `spans`, moved within the slack to bring their joints clear of `avoid`.

    What joints lack in clearance is least in sum, then their way from the even places.
    """
    even = spans(length, room)
    joints = _middles(even)
    if not _lacking(joints, avoid).any():
        return even
    inner, outer = room - OVERLAP + 1e-6, room - OVERLAP / 2 + 1e-6
    found: dict[float, tuple[float, tuple[float, ...]]] = {0.0: (0.0, ())}
    for number, home in enumerate(joints, 1):
        left = len(joints) - number
        low = max(OVERLAP * number, length - outer - left * inner)
        high = min(length - OVERLAP * (left + 1), outer + (number - 1) * inner)
        edges = [at for a, b in avoid for at in (a - CLEAR, b + CLEAR)]
        steps = [low + i for i in range(max(0, int(high - low)) + 1)]
        made = {}
        tried = sorted({home, *(x for x in (*edges, *steps, high) if low <= x <= high)})
        for at, lacking in zip(tried, _lacking(tried, avoid).tolist(), strict=True):
            most = outer if number == 1 else inner
            before = [known for a, known in found.items() if OVERLAP <= at - a <= most]
            if before:
                cost, way = min(before)
                made[at] = cost + 1000 * lacking + abs(at - home), (*way, at)
        found = made
    places = (0.0, *min(found.values())[1], length)
    gaps = list(pairwise(places))
    spares = [room - (b - a) for a, b in gaps]
    halves = [spares[0], spares[-1], *(spare / 2 for spare in spares[1:-1]), MOST / 2]
    half = min(halves)
    return tuple((max(0.0, a - half), min(length, b + half)) for a, b in gaps)


def _lacking(joints: Sequence[float], avoid: Sequence[Span]) -> Any:
    """Return how much each of some joints lacks of its clearance."""
    at = np.array(joints)[:, None]
    low, high = np.array(avoid).reshape(-1, 2).T
    away = np.maximum(np.maximum(low - at, at - high), 0.0)
    return (CLEAR - away).max(axis=1, initial=0.0)


def _middles(spans_: Sequence[Span]) -> tuple[float, ...]:
    return tuple((after[0] + before[1]) / 2 for before, after in pairwise(spans_))


@dataclass(frozen=True)
class Tiling:
    """Columns and rows of windows over a drawing whose left top corner is (0, 0)."""

    columns: tuple[Span, ...]
    rows: tuple[Span, ...]
    width: float
    height: float
    avoid: tuple[Mark, ...] = ()
    """Where no match mark should stand: lines, holes, and words that cannot move."""

    @property
    def xs(self) -> tuple[float, ...]:
        """Where the upright joints run."""
        return _middles(self.columns)

    @property
    def ys(self) -> tuple[float, ...]:
        """Where the level joints run."""
        return _middles(self.rows)

    @property
    def pages(self) -> int:
        """How many sheets it takes."""
        return len(self.columns) * len(self.rows)

    @property
    def joints(self) -> int:
        """How many edges are pasted over a neighbour."""
        across, down = len(self.columns), len(self.rows)
        return (across - 1) * down + (down - 1) * across

    def clear_of(self, avoid: Sequence[Mark], room: tuple[float, float]) -> Tiling:
        """Return as many windows of a page's `room`, their joints clear of holes and fixed words.

        Match marks keep off the lines of `avoid` as well.
        """
        fixed = [box_of(mark) for mark in avoid if isinstance(mark, Words | Circle)]
        across = tuple(dict.fromkeys((box.left, box.right) for box in fixed))
        down = tuple(dict.fromkeys((box.top, box.bottom) for box in fixed))
        return replace(
            self,
            columns=clear_spans(self.width, room[0], across),
            rows=clear_spans(self.height, room[1], down),
            avoid=tuple(avoid),
        )

    @cached_property
    def matches(self) -> tuple[Match, ...]:
        """The match marks of its joints."""
        return matches(self)

    def cells(self) -> list[Box]:
        """Return what each sheet shows in the end, from joint to joint, row by row."""
        columns = _between((0.0, self.width), self.xs)
        rows = _between((0.0, self.height), self.ys)
        return [Box(x, y, right, bottom) for y, bottom in rows for x, right in columns]

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

    These are the joints, the edges of the windows, and the match marks with their names.
    """
    xs = [at for before, after in pairwise(tiling.columns) for at in (before[1], after[0])]
    ys = [at for before, after in pairwise(tiling.rows) for at in (before[1], after[0])]
    grounds = [Area(LineKind.MATCH, corners(ground(one))) for one in tiling.matches]
    return (*joint_lines(tiling), *_grid(tiling, xs, ys), *grounds)


@dataclass(frozen=True, slots=True)
class Match:
    """One match mark: where it stands, its name, and whether its joint stands upright."""

    at: Point
    name: str
    upright: bool


@lru_cache(maxsize=16)
def matches(tiling: Tiling) -> tuple[Match, ...]:
    """Return two match marks for each joint between two sheets, named M1, M2 … in reading order."""
    made: list[Match] = []  # pricking strips have bare letters
    xs, ys = tiling.xs, tiling.ys
    fixed = Obstacles(mark for mark in tiling.avoid if not isinstance(mark, Line))
    lines = Obstacles(tiling.avoid)
    for top, bottom in _between((0.0, tiling.height), ys):
        for x in xs:
            made += _pair((lines, fixed), True, x, (top, bottom))
    for y in ys:
        for left, right in _between((0.0, tiling.width), xs):
            made += _pair((lines, fixed), False, y, (left, right))
    return tuple(replace(one, name=f"M{i + 1}") for i, one in enumerate(made))


def _pair(avoid: Sequence[Obstacles], upright: bool, at: float, run: Span) -> Iterator[Match]:
    """Yield the two marks of a joint, one in each half, as near its place as is clear.

    Each keeps off all that is to be avoided, else off holes and words alone, with less white, or
    anywhere along the joint.
    """
    lines, fixed = avoid
    start, long = run[0], run[1] - run[0]
    room = ground(Match((0.0, 0.0), "M88", upright))
    for home, low, high in HALVES:
        tries = (
            (lines, CLEAR_OF_WORDS, (low, high)),
            (fixed, CLEAR_OF_WORDS, (low, high)),
            (fixed, 0.0, (low, high)),
            (fixed, 0.0, ENDS[home]),
        )
        for obstacles, white, shares in tries:
            low_mm, high_mm = (long * share for share in shares)
            wish = min(max(long * home, low_mm), high_mm)
            steps = range(math.ceil(low_mm - wish), math.floor(high_mm - wish) + 1)
            along = [start + wish + step for step in sorted(steps, key=abs)]
            places = np.array([(at, a) if upright else (a, at) for a in along]).reshape(-1, 2)
            found = _first_clear(np.tile(places, 2) + room.grown(white), obstacles)
            if found is not None:
                yield Match((at, along[found]) if upright else (along[found], at), "M88", upright)
                break
        else:
            place = start + long * home
            yield Match((at, place) if upright else (place, at), "M88", upright)


def _first_clear(grounds: Any, avoid: Obstacles) -> int | None:
    """Return the first of some rooms, given as rows, that touches nothing; None without one."""
    clear = np.flatnonzero(~avoid.touched(grounds))
    return int(clear[0]) if len(clear) else None


def ground(one: Match) -> Box:
    """Return the room of a match mark with its names."""
    x, y = one.at
    word = width_mm(one.name, BODY, bold=True)
    wide, high = (
        (DIAMOND + word + 1.2, DIAMOND + 0.6)
        if one.upright
        else (max(DIAMOND, word / 2) + 0.6, DIAMOND + BODY + 2.5)
    )
    return Box(x - wide, y - high, x + wide, y + high)


def _between(whole: Span, joints: Sequence[float]) -> list[Span]:
    """Return what each sheet shows in the end, from joint to joint."""
    return list(pairwise((whole[0], *joints, whole[1])))


def _match_marks(one: Match) -> tuple[Mark, ...]:
    (x, y), r = one.at, DIAMOND
    diamond = Line(LineKind.MATCH, ((x - r, y), (x, y - r), (x + r, y), (x, y + r)), closed=True)
    away = r + 0.6
    if one.upright:
        words = [
            Words((x - away, y + BODY / 2), one.name, BODY, True, "end"),
            Words((x + away, y + BODY / 2), one.name, BODY, True),
        ]
    else:
        words = [
            Words((x, y - away), one.name, BODY, True, "middle"),
            Words((x, y + away + BODY), one.name, BODY, True, "middle"),
        ]
    return diamond, *words


def cut(marks: Sequence[Mark], tiling: Tiling) -> Iterator[tuple[Box, tuple[Mark, ...]]]:
    """Yield each window with its marks, still in the whole drawing's coordinates.

    Match marks, trim lines and the words along them are among the marks; of a mark's two names a
    sheet has those that it holds, so that none stands in its margin. Lines run on into the
    overlap; holes and words stand only where they are seen once all is pasted.
    """
    signs = tiling.matches
    xs, ys = tiling.xs, tiling.ys
    windows = tuple(tiling.windows())
    settled = [_settled(mark, box_of(mark), windows) for mark in marks]
    homes = _homes(settled, windows, tiling.cells())
    sides = rows(box for _, box in settled)
    for index, window in enumerate(windows):
        row, column = divmod(index, len(tiling.columns))
        near_it = np.flatnonzero(_meeting(sides, window)).tolist()
        shown = [settled[i] for i in near_it if (home := homes[i]) is None or index in home]
        whole, grown = clipped(shown, window), window.grown(0.01)
        near = [
            mark
            for one in signs
            if grown.holds(_dot(one))
            for mark in _match_marks(one)
            if not isinstance(mark, Words) or grown.holds(box_of(mark))
        ]
        trims: list[tuple[Point, Point]] = []
        if column:
            trims.append(((xs[column - 1], window.top), (xs[column - 1], window.bottom)))
        if row:
            trims.append(((window.left, ys[row - 1]), (window.right, ys[row - 1])))
        yield window, (*whole, *near, *_trimmed(window, whole, near, trims))


def _meeting(sides: Any, window: Box) -> Any:
    """Tell which boxes, given as rows, a window touches."""
    left, top, right, bottom = sides.T
    across = (left <= window.right) & (right >= window.left)
    return across & (top <= window.bottom) & (bottom >= window.top)


def _homes(
    marks: Sequence[tuple[Mark, Box]], windows: Sequence[Box], cells: Sequence[Box]
) -> list[frozenset[int] | None]:
    """Return the sheets that show each mark; None for lines and areas, which all windows cut.

    A sign is whole on every sheet that it still touches when the joints are trimmed, words on one.
    """
    made: list[frozenset[int] | None] = []
    grown = [window.grown(1e-6) for window in windows]
    for mark, box in marks:
        sign = isinstance(mark, Circle) and mark.radius <= SYMBOL_MM
        if not sign and not isinstance(mark, Words):
            made.append(None)
            continue
        holding = [i for i, window in enumerate(grown) if window.holds(box)]
        if sign:
            touched = [i for i in holding if cells[i].meets(box)]
            made.append(frozenset(touched or holding[:1]))
        else:
            x, y = box.middle
            at_home = [i for i in holding if cells[i].holds(Box(x, y, x, y))]
            made.append(frozenset((at_home or holding)[:1]))
    return made


def _dot(one: Match) -> Box:
    return Box(*one.at, *one.at)


def _settled(mark: Mark, box: Box, windows: Sequence[Box]) -> tuple[Mark, Box]:
    """Return a mark with its box, words that no window holds whole moved to where they mostly lie."""
    if not isinstance(mark, Words) or any(window.holds(box) for window in windows):
        return mark, box
    x, y = box.middle
    home = min(windows, key=lambda w: math.dist((x, y), w.middle))
    dx = max(home.left - box.left, 0.0) or min(home.right - box.right, 0.0)
    dy = max(home.top - box.top, 0.0) or min(home.bottom - box.bottom, 0.0)
    there = replace(mark, at=(mark.at[0] + dx, mark.at[1] + dy))
    return there, box_of(there)


def _trimmed(
    window: Box, marks: Sequence[Mark], near: Sequence[Mark], trims: Sequence[tuple[Point, Point]]
) -> tuple[Mark, ...]:
    """Return each trim line with its words on the side that is cut away.

    They stand apart from all other words, so that nobody reads them on, or else close to them; where no
    part of that side is blank, on a white ground, over lines that the neighbour shows.
    """
    signs = [mark for mark in marks if isinstance(mark, Words | Circle)]
    apart = [
        Area(LineKind.TEXT, corners(box_of(mark).grown(APART)))
        for mark in marks
        if isinstance(mark, Words)
    ]
    tries = (
        ((*marks, *near, *apart), False),
        ((*marks, *near), False),
        ((*signs, *near), True),
    )
    made: list[Mark] = []
    for a, b in trims:
        slots = _trim_slots(a, b)
        for obstacles, grounded in tries:
            desk = Desk(window, Obstacles((*obstacles, *made)))
            desk.add([Wanted("", a, _grounded(slots) if grounded else slots)])
            if desk.marks:
                made += desk.marks
                break
    return (*(Line(LineKind.MATCH, trim) for trim in trims), *made)


def _trim_slots(a: Point, b: Point) -> Slots:
    """Return the places of the words along a trim line, in the middle of half the least overlap."""
    upright, length, off = a[0] == b[0], math.dist(a, b), OVERLAP / 4
    shares = sorted((i / 20 for i in range(1, 20)), key=lambda share: abs(share - 0.5))
    places = [
        (a[0] - off, a[1] + length * share, 90.0)
        if upright
        else (a[0] + length * share, a[1] - off, 0.0)
        for share in shares
    ]
    return joined(words_slots(words, BODY, places, bold=True) for words in TRIM)


def _grounded(slots: Iterable[WordPlace]) -> Slots:
    """Return slots with a white ground: what is trimmed off needs no unbroken lines."""

    def draw(slot: WordPlace) -> tuple[Mark, ...]:
        return Area(LineKind.TEXT, corners(Box(*slot.sides)), 1.0), *slot.draw()

    return Slots(slot._replace(draw=partial(draw, slot)) for slot in slots)


def key_map(
    tiling: Tiling, outlines: Sequence[Sequence[Point]], current: int, side: float
) -> Block:
    """Return a small map of the sheets, `current` (from 0) filled grey, within a square."""
    scale = min(side / tiling.width, side / tiling.height)
    marks: list[Mark] = []
    cells = [(one.left, one.top, one.right, one.bottom) for one in tiling.cells()]
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
        cap = SMALL
        if (
            width_mm(text, cap) < (right - left) * scale - 0.6
            and cap < (bottom - top) * scale - 0.8
        ):
            at = ((left + right) / 2 * scale, (top + bottom) / 2 * scale + cap / 2)
            marks.append(Words(at, text, cap, index == current, "middle"))
    return Block(tiling.width * scale, tiling.height * scale, tuple(marks))
