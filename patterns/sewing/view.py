"""The sewing to look at: the spine from outside, one stitch in section, the loads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from patterns.book.book import Book
from patterns.formulas.mechanics import GRAVITY
from patterns.model.capitals import BODY
from patterns.model.drawing import Anchor, Area, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import width_mm
from patterns.model.part import Diagram
from patterns.model.stitches import Move
from patterns.sewing import near_view
from patterns.sewing.lining import Cloth
from patterns.sewing.load import Load
from patterns.sewing.sewn import Sewn
from patterns.sketch.arrows import arrow
from patterns.sketch.marks import ASCENT, DESCENT
from patterns.sketch.scales import REDUCED, Scale, largest
from patterns.units import tenth, two_figures

FITS_MM = (176.0, 205.0)
"""A diagram no larger than this fits an A4 or Letter page beside its furniture."""
HALF_SCALE_FROM = 190.0
ARROW_MM = 27.0
"""Length of the arrow of the greatest force."""
NUMBER_OFF, TIE_OFF = 1.2, 2.4
"""How far a hole's number stands to its right, and the letter of a tie to its left."""
NUMBERS_APART = (ASCENT + DESCENT) * BODY + 0.1
"""From one hole's number to the next: their rooms do not touch."""
STANDS = (
    "standing on its support, or on a tail level with the boards, the block hangs on no stitch: "
    "the picture shows what they would bear without"
)


def diagrams(
    book: Book,
    sewn: Sewn,
    cloth: Cloth,
    structure: str,
    through: tuple[str, ...] = ("first lining", "lining cloth"),
) -> tuple[Diagram, ...]:
    """Return the spine from outside (in parts when wide), one gathering and one stitch near, the loads.

    `through` names what the needle passes besides the folios, from the folds outwards.
    """
    chosen = sorted(sewn.arrangement.centres_mm, reverse=book.left_to_right)
    holes = max(len(_places(one.moves)) for one in sewn.stitching.passes)
    pitch, most = _pitch(len(chosen), holes)
    groups = [chosen[k : k + most] for k in range(0, len(chosen), most)]
    parts = [
        _outside(book, sewn, structure, group, pitch, _part_words(k, len(groups)))
        for k, group in enumerate(groups, 1)
    ]
    near = near_view.gathering(sewn, structure)
    section = near_view.stitch(sewn, cloth, structure, through)
    loads = (_load_picture(book, sewn, sewn.load, structure),) if sewn.load else ()
    return (*parts, near, section, *loads)


def _part_words(number: int, count: int) -> str:
    return "" if count == 1 else f", part {number} of {count}"


def _pitch(count: int, holes: int) -> tuple[float, int]:
    """Return the drawn distance of two columns and how many columns one diagram takes.

    A hole's number at the right of one column stays clear of a knot's letter at the left of the next.
    """
    room = FITS_MM[0] - 58
    letter = max(width_mm(one, BODY, bold=True) for one in "KH")
    words = width_mm(str(holes), BODY) + letter
    least = NUMBER_OFF + TIE_OFF + words + 0.4
    pitch = max(least, min(14.0, room / max(1, count)))
    return pitch, int(room / pitch + 1e-9)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a column and a height of the book lie in the diagram."""

    left: float
    top: float
    pitch: float
    scale: float

    def at(self, column: float, y: float) -> Point:
        return self.left + (column + 0.5) * self.pitch, self.top + y * self.scale


def _outside(
    book: Book,
    sewn: Sewn,
    structure: str,
    columns: list[int],
    pitch: float,
    part: str,
) -> Diagram:
    path = sewn.path
    fitting = largest([(book.height_mm, HALF_SCALE_FROM - 25)]) or REDUCED[-1]
    scale = fitting.factor
    frame = _Frame(34.0, 18.0, pitch, scale)
    width = frame.left + pitch * len(columns) + 24
    height = frame.top + book.height_mm * scale + 14
    ground = _spine_ground(book, frame, len(columns))
    marks = [*ground]
    sewn_as = {one.gathering: n for n, one in enumerate(sewn.stitching.passes, 1)}
    letters = sewn.strip_letters
    if path == "continuous":
        marks += _travels(frame, columns, sewn)
    for column, gathering in enumerate(columns):
        moves = next(one.moves for one in sewn.stitching.passes if one.gathering == gathering)
        marks += _thread(frame, column, moves, path)
        marks += _ties(frame, column, moves, path)
        marks += _column_words(
            book, frame, column, gathering, letters[gathering], sewn_as[gathering]
        )
    marks += _row_words(book, frame) + _heights(sewn, frame, columns)
    return Diagram(
        name=f"spine from outside{part}",
        structure=structure,
        title=f"The spine from outside{part}",
        scale=f"heights {fitting}, columns not to scale",
        width_mm=width,
        height_mm=height,
        marks=tuple(marks),
        notes=_path_notes(path, ground),
        page="sewing",
    )


def _spine_ground(book: Book, frame: _Frame, count: int) -> list[Mark]:
    old = book.old_sewing
    holes, supports, width = old.holes_mm, old.supports_mm, old.support_width_mm
    left, right = frame.at(-0.5, 0)[0] - 2.5, frame.at(count - 0.5, 0)[0] + 1.5
    top, bottom = frame.at(0, 0)[1], frame.at(0, book.height_mm)[1]
    marks: list[Mark] = []
    for y in supports:
        a, b = (frame.at(0, y + d * max(width, 1.0) / 2)[1] for d in (-1, 1))
        marks.append(Area(LineKind.REFERENCE, ((left, a), (right, a), (right, b), (left, b)), 0.88))
    for y in holes:
        if all(abs(y - s) > width / 2 + 0.01 for s in supports):
            at = frame.at(0, y)[1]
            marks.append(Line(LineKind.REFERENCE, ((left, at), (right, at))))
    marks.append(
        Line(
            LineKind.OUTLINE,
            ((left, top), (right, top), (right, bottom), (left, bottom)),
            closed=True,
        )
    )
    words = book.edge_words
    middle = (top + bottom) / 2
    marks += [
        Words((left - 3, middle), words[0], BODY, True, "middle", 90.0),
        Words((right + 3 + BODY, middle), words[1], BODY, True, "middle", 90.0),
        Words(((left + right) / 2, top - 12), "HEAD", BODY, True, "middle"),
        Words(((left + right) / 2, bottom + 7 + BODY), "TAIL", BODY, True, "middle"),
    ]
    return marks


def _ended(moves: Sequence[Move]) -> set[float]:
    """Return the heights at which a continuous thread comes out for the last time and is tied."""
    ends, out = set(), -1.0
    for move in moves:
        if move[0] == "out":
            out = float(move[-1])
        elif move[0] == "hitch" and float(move[-1]) == out:
            ends.add(out)
    return ends


def _places(moves: Sequence[Move]) -> list[tuple[str, float]]:
    """Return the holes that the needle goes through, in order, with its way through each."""
    return [(move[0], float(move[1])) for move in moves if len(move) == 2 and move[0] != "hitch"]


def _thread(frame: _Frame, column: int, moves: Sequence[Move], path: str) -> list[Mark]:
    """Draw one gathering's thread as the needle goes, its holes numbered in that order."""
    places, ends = _places(moves), _ended(moves)
    marks: list[Mark] = []
    for (leaving, start), (_, end) in pairwise(places):
        line = (frame.at(column, start), frame.at(column, end))
        if leaving == "out" and path == "continuous" and start in ends:
            continue  # a length ends here and the next begins at the next hole
        if leaving == "out":
            marks.append(Line(LineKind.SEWN_OUTSIDE, line))
        elif path != "loops":
            marks.append(Line(LineKind.SEWN_INSIDE, line))
    dots = [frame.at(column, y) for _, y in places]
    for number, ((x, y), beside) in enumerate(zip(dots, _set_apart(dots), strict=True), 1):
        marks.append(Area(LineKind.SEWN_OUTSIDE, _dot(x, y), 0.0))
        marks.append(Words((x + NUMBER_OFF, beside + BODY / 2), str(number), BODY))
    return marks


def _set_apart(dots: Sequence[Point]) -> list[float]:
    """Return the height of each dot's number: of two that would touch, each gives way by half."""
    heights = [y for _, y in dots]
    for upper, lower in pairwise(sorted(range(len(dots)), key=heights.__getitem__)):
        lacking = max(0.0, NUMBERS_APART - (heights[lower] - heights[upper])) / 2
        heights[upper] -= lacking
        heights[lower] += lacking
    return heights


def _ties(frame: _Frame, column: int, moves: Sequence[Move], path: str) -> list[Mark]:
    """Mark knots (K) and hitches (H), and the thread that runs inside beneath a bar to them."""
    marks: list[Mark] = []
    holes: list[float] = []
    for move in moves:
        if len(move) == 2 and move[0] != "hitch":
            holes.append(move[1])
            continue
        at = holes[-1] if len(move) == 1 else move[1]
        x, y = frame.at(column, at)
        marks.append(
            Words((x - TIE_OFF, y + BODY / 2), "K" if len(move) == 1 else "H", BODY, True, "end")
        )
        if path != "continuous":
            ends = [(x - 1.6, frame.at(column, hole)[1]) for hole in holes[-2:]]
            marks.append(Line(LineKind.SEWN_INSIDE, tuple(ends)))
    return marks


def _travels(frame: _Frame, columns: list[int], sewn: Sewn) -> list[Mark]:
    """Draw a continuous thread's way outside from gathering to gathering, and where each length begins.

    A travel to a gathering that another part of the drawing shows ends half a column away.
    """
    marks: list[Mark] = []
    places = {gathering: column for column, gathering in enumerate(columns)}
    left: tuple[int, float] | None = None
    number = 0
    for one in sewn.stitching.passes:
        for move in one.moves:
            if move[0] == "hitch" and left == (one.gathering, float(move[-1])):
                left = None  # a length ends here
            elif move[0] == "in":
                at = (one.gathering, float(move[-1]))
                if left is None:
                    number += 1
                    marks += _begun(frame, places, at, number)
                elif left[0] != one.gathering:
                    marks += _travel(frame, places, left, at)
            elif move[0] == "out":
                left = (one.gathering, float(move[-1]))
    return marks


def _begun(
    frame: _Frame, places: Mapping[int, int], at: tuple[int, float], number: int
) -> list[Mark]:
    if at[0] not in places:
        return []
    x, y = frame.at(places[at[0]], at[1])
    return [Words((x, y - 1.4), f"no. {number}", BODY, True, "middle")]


def _travel(
    frame: _Frame, places: Mapping[int, int], start: tuple[int, float], end: tuple[int, float]
) -> list[Mark]:
    known = [places[g] for g, _ in (start, end) if g in places]
    if not known:
        return []
    step = 0.5 if len(known) == 1 else 0.0
    away = 1 if places and known[0] > len(places) / 2 else -1
    columns = [places.get(g, known[0] + away * step) for g, _ in (start, end)]
    line = tuple(frame.at(c, y) for c, (_, y) in zip(columns, (start, end), strict=True))
    return [Line(LineKind.SEWN_OUTSIDE, line)]


def _heights(sewn: Sewn, frame: _Frame, columns: list[int]) -> list[Mark]:
    """Write the holes' heights in mm in the margins: the first strip left, the second right."""
    letters = sewn.strip_letters
    marks: list[Mark] = []
    for side, letter in zip(("left", "right"), sorted(set(letters.values())), strict=False):
        gathering = next(g for g, found in sorted(letters.items()) if found == letter)
        edge = (
            frame.at(-0.5, 0)[0] - 9.5
            if side == "left"
            else frame.at(len(columns) - 0.5, 0)[0] + 8.5
        )
        anchor: Anchor = "end" if side == "left" else "start"
        last = frame.at(0, 0)[1] - 1.5
        marks.append(Words((edge, last), f"{letter}, mm", BODY, True, anchor))
        for y in (y for pair in sewn.holes(gathering) for y in pair):
            at = frame.at(0, y)[1]
            if at - last >= BODY + 1:
                marks.append(Words((edge, at + BODY / 2), tenth(y), BODY, anchor=anchor))
                last = at
    return marks


def _column_words(
    book: Book, frame: _Frame, column: int, gathering: int, letter: str, sewn_as: int
) -> list[Mark]:
    x, top = frame.at(column, 0)
    bottom = frame.at(column, book.height_mm)[1]
    return [
        Words((x, top - 6.5), str(gathering), BODY, True, "middle"),
        Words((x, top - 1.5), letter, BODY, False, "middle"),
        Words((x, bottom + 2 + BODY), str(sewn_as), BODY, False, "middle"),
    ]


def _row_words(book: Book, frame: _Frame) -> list[Mark]:
    top, bottom = frame.at(0, 0)[1], frame.at(0, book.height_mm)[1]
    return [
        Words((0.0, top - 6.5), "gathering", BODY),
        Words((0.0, top - 1.5), "strip", BODY),
        Words((0.0, bottom + 2 + BODY), "sewn as number", BODY),
    ]


def _path_notes(path: str, ground: Sequence[Mark]) -> tuple[str, ...]:
    """Say how the needle goes, and what of the old sewing is drawn beneath it."""
    kinds = {type(mark) for mark in ground if getattr(mark, "kind", None) is LineKind.REFERENCE}
    shown = [
        words
        for kind, words in ((Area, "grey bands: supports"), (Line, "thin lines: old holes"))
        if kind in kinds
    ]
    old = f"{'; '.join(shown)}: pierce {'neither' if len(shown) > 1 else 'none'}. " if shown else ""
    common = f"{old}Numbers: the needle's order. Margins: heights in mm from the head"
    if path == "loops":
        return (
            "heavy = outside on the lining; each stitch is a loop of its own and its thread is cut: leave 60 mm inside, out at "
            "the odd hole, in at the even one, square knot with the tail on the fold (K), trim to 10 mm; from the middle of the spine outwards",
            common,
        )
    if path == "continuous":
        return (
            "dashed = inside the fold; heavy = travel outside on the lining, from gathering to gathering in the order sewn, "
            "head to tail and back by turns; no.: where each length of thread begins; H: two half hitches round the travel",
            common,
        )
    return (
        "each gathering alone: leave a tail of 100 mm inside, out at 1, in at 2, square knot with the tail (K); inside to each next odd "
        "hole, out, in at the even one; after the last, back inside to its odd hole, two half hitches round the run (H)",
        common,
    )


def _dot(x: float, y: float, r: float = 0.7) -> tuple[Point, ...]:
    k = r * 0.7071
    return ((x - r, y), (x - k, y - k), (x, y - r), (x + k, y - k), (x + r, y), (x + k, y + k), (x, y + r), (x - k, y + k))  # fmt: skip


def _load_picture(book: Book, sewn: Sewn, load: Load, structure: str) -> Diagram:
    """Draw the force on each height as an arrow to a stated scale, the block standing."""
    fitting = largest([(book.height_mm, 120.0)], Scale(1, 2)) or REDUCED[-1]
    scale = fitting.factor
    newton = ARROW_MM / load.greatest_n
    top, x = 10.0, 60.0
    marks: list[Mark] = [
        Line(LineKind.CUT, ((x, top), (x, top + book.height_mm * scale))),
        Words((x - 2, top - 2), "HEAD", BODY, True, "end"),
        Words((x - 2, top + book.height_mm * scale + 4), "TAIL", BODY, True, "end"),
        Words((x + 2, top + book.height_mm * scale + 4), "fold", BODY),
    ]
    every = [y for c in sewn.arrangement.centres_mm.values() for y in c]
    gatherings = len(load.standing_n)
    weighed = [y / len(c) for c in sewn.arrangement.centres_mm.values() for y in c]
    mean = sum(weighed) / gatherings
    forces: dict[float, tuple[float, float]] = {}
    for gathering, centres in sewn.arrangement.centres_mm.items():
        share = load.mass.value * GRAVITY / gatherings / len(centres)
        for y, force in zip(centres, load.standing_n[gathering], strict=True):
            forces[y] = max(forces.get(y, (0.0, 0.0)), (force, share))
    last = -10.0
    for y, (force, share) in sorted(forces.items()):
        side = (force**2 - share**2) ** 0.5 if force > share else 0.0
        away = side if y < mean else -side
        start = (x, top + y * scale)
        tip = (x + away * newton, start[1] + share * newton)
        marks += arrow(LineKind.GRAIN, start, tip)
        if start[1] - last >= 3.6:
            marks.append(
                Words(
                    (x + ARROW_MM + 3.0, start[1] + BODY / 2),
                    f"{tenth(y)} mm: {two_figures(force)} N",
                    BODY,
                )
            )
            last = start[1]
    return Diagram(
        name="load picture",
        structure=structure,
        title="What each height carries",
        scale=f"heights {fitting}, forces {newton:.1f} mm = 1 N",
        width_mm=150.0,
        height_mm=top + book.height_mm * scale + 8,
        marks=tuple(marks),
        notes=(
            *(() if load.hangs else (STANDS,)),
            "the book standing shut; at the right the height below the head and the greatest force on one stitch there",
            f"block {load.mass.value:.2f} kg ({load.mass.source}), {len(every)} stitches; every sewn gathering is taken to carry its equal part",
            "reckoned as a stiff row turning about its middle; cloth cannot push, so the figures are on the safe side",
        ),
        page="sewing",
    )
