"""The sewing to look at: guide holes, pricking strips, the spine from outside, stitch, loads."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from patterns.book import Book
from patterns.drawing import Area, Circle, Line, LineKind, Mark, Point, Words
from patterns.lining import Cloth
from patterns.mechanics import GRAVITY
from patterns.piece import Diagram, Dimension, Fold, Hole, Label, Piece
from patterns.sewing_load import Load
from patterns.sewn import Sewn, old_holes
from patterns.units import tenth

STRIP_MM = 40.0
"""Width of a pricking strip before folding."""
CORNER_MM = 8.0
CAP_MM = 2.5
FITS_MM = (176.0, 205.0)
"""A diagram no larger than this fits an A4 or Letter page beside its furniture."""
HALF_SCALE_FROM = 190.0


def guide_holes(book: Book, cloth: Cloth, sewn: Sewn, setback_head: float) -> tuple[Hole, ...]:
    """Return every hole on the lining; x shows the gathering's place, y is what counts."""
    holes = []
    for gathering in sorted(sewn.arrangement.centres_mm):
        share = (gathering - 0.5) / sewn.total
        along = 1 - share if book.left_to_right else share
        for y in (y for pair in sewn.holes(gathering) for y in pair):
            down = (y - setback_head) / cloth.piece.height_mm
            width = cloth.spine_head_mm + (cloth.spine_tail_mm - cloth.spine_head_mm) * down
            middle = cloth.left_mm + max(cloth.spine_head_mm, cloth.spine_tail_mm) / 2
            holes.append(Hole((middle + (along - 0.5) * width, y - setback_head), radius=0.6))
    return tuple(holes)


def pricking_strips(book: Book, sewn: Sewn, structure: str) -> tuple[Piece, ...]:
    """Return one folded strip a class, its new holes numbered in the needle's order."""
    by_class: dict[tuple[int, tuple[tuple[float, float], ...]], list[int]] = {}
    for gathering in sorted(sewn.arrangement.centres_mm):
        key = (sewn.arrangement.strips[gathering], sewn.holes(gathering))
        by_class.setdefault(key, []).append(gathering)
    letters = (chr(ord("A") + k) if k < 26 else f"A{k}" for k in range(len(by_class)))
    return tuple(
        _strip(book, sewn, structure, letter, holes, served)
        for letter, ((_, holes), served) in zip(letters, sorted(by_class.items()), strict=True)
    )


def _strip(
    book: Book,
    sewn: Sewn,
    structure: str,
    letter: str,
    pairs: tuple[tuple[float, float], ...],
    served: list[int],
) -> Piece:
    fold, height = STRIP_MM / 2, book.height_mm
    front_left = book.left_to_right
    own = sewn.own_holes.get(served[0])
    old = own if own is not None else old_holes(book)[0]
    register = old[0] if old else None
    heights = [y for pair in pairs for y in pair]
    new = tuple(
        Hole((fold, y), f"{number} {'out' if number % 2 else 'in'} {tenth(y)}")
        for number, y in enumerate(heights, 1)
    )
    kept = tuple(
        Hole(
            (fold, y),
            f"register on old hole {tenth(y)}" if y == register else "",
            old=True,
            radius=1.0,
        )
        for y in old
    )
    right = STRIP_MM
    stops = [0.0, *heights, height]
    return Piece(
        name=f"pricking strip {letter}",
        title=f"pricking strip {letter}",
        structure=structure,
        material="card or stiff paper, folded",
        thickness_mm=0.2,
        outline=_cornered(height, front_left),
        grain="head-tail",
        grain_reason="grain head to tail, so that the strip folds true",
        folds=(Fold("valley", ((fold, 0.0), (fold, height)), "fold"),),
        holes=(*new, *kept),
        dimensions=(
            *(Dimension((right, a), (right, b), "right", 0) for a, b in pairwise(stops)),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
        ),
        labels=(
            Label(
                (fold / 2 if front_left else fold * 1.5, height * 0.5),
                f"strip {letter} · gatherings {numbers(served)}",
                "note",
                90.0,
            ),
        ),
        left="FRONT" if front_left else "BACK",
        right="BACK" if front_left else "FRONT",
        face_up="seen from inside the fold; the cut corner lies at HEAD and FRONT",
        notes=(
            f"gatherings {numbers(served)}",
            "open circles: old holes, do not pierce",
            *(
                (f"register on the old hole {tenth(register)} below the head",)
                if register is not None
                else ("no old hole known: register on the head",)
            ),
        ),
        stock=False,
    )


def _cornered(height: float, front_left: bool) -> tuple[Point, ...]:
    c, w = CORNER_MM, STRIP_MM
    if front_left:
        return ((c, 0.0), (w, 0.0), (w, height), (0.0, height), (0.0, c))
    return ((0.0, 0.0), (w - c, 0.0), (w, c), (w, height), (0.0, height))


def numbers(found: list[int] | tuple[int, ...]) -> str:
    """Write gathering numbers, runs of three and more drawn together.

    >>> numbers([1, 2, 3, 7, 9])
    '1–3, 7, 9'
    """
    runs: list[list[int]] = []
    for number in found:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = [f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(parts)


def diagrams(
    book: Book,
    sewn: Sewn,
    cloth: Cloth,
    structure: str,
    path: str,
    through: tuple[str, ...] = ("first lining", "lining cloth"),
) -> tuple[Diagram, ...]:
    """Return the spine from outside (in parts when wide), one stitch in section, the loads.

    `through` names what the needle passes besides the folios, from the folds outwards.
    """
    chosen = sorted(sewn.arrangement.centres_mm, reverse=book.left_to_right)
    pitch, most = _pitch(len(chosen))
    groups = [chosen[k : k + most] for k in range(0, len(chosen), most)]
    parts = [
        _outside(book, sewn, structure, path, group, pitch, _part_words(k, len(groups)))
        for k, group in enumerate(groups, 1)
    ]
    section = _stitch_section(sewn, cloth, structure, through)
    loads = (_load_picture(book, sewn, sewn.load, structure),) if sewn.load else ()
    return (*parts, section, *loads)


def _part_words(number: int, count: int) -> str:
    return "" if count == 1 else f", part {number} of {count}"


def _pitch(count: int) -> tuple[float, int]:
    """Return the drawn distance of two columns and how many columns one diagram takes."""
    room = FITS_MM[0] - 24
    pitch = max(7.5, min(14.0, room / max(1, count)))
    return pitch, int(room // pitch)


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
    path: str,
    columns: list[int],
    pitch: float,
    part: str,
) -> Diagram:
    scale = next(
        s for s in (1.0, 0.5, 1 / 3, 0.25, 0.2, 0.1) if book.height_mm * s <= HALF_SCALE_FROM - 25
    )
    frame = _Frame(14.0, 12.0, pitch, scale)
    width = frame.left + pitch * len(columns) + 10
    height = frame.top + book.height_mm * scale + 10
    marks: list[Mark] = _spine_ground(book, frame, len(columns))
    for column, gathering in enumerate(columns):
        marks += _column(sewn, frame, column, gathering, path)
    words = {1.0: "1:1", 0.5: "1:2", 1 / 3: "1:3", 0.25: "1:4", 0.2: "1:5", 0.1: "1:10"}[scale]
    return Diagram(
        name=f"spine from outside{part}",
        structure=structure,
        title=f"The spine from outside{part}",
        scale=f"heights {words}, columns not to scale",
        width_mm=width,
        height_mm=height,
        marks=tuple(marks),
        notes=(
            "heavy = outside on the lining; thin dashed = inside the fold; numbers: the needle's order in that gathering",
            "grey bands: supports and old holes, not pierced",
            "order of gatherings: " + ", ".join(str(p.gathering) for p in sewn.stitching.passes),
        ),
        page="sewing",
    )


def _spine_ground(book: Book, frame: _Frame, count: int) -> list[Mark]:
    holes, supports, width = old_holes(book)
    left, right = frame.at(-0.5, 0)[0], frame.at(count - 0.5, 0)[0]
    top, bottom = frame.at(0, 0)[1], frame.at(0, book.height_mm)[1]
    marks: list[Mark] = []
    for y in supports:
        a, b = (frame.at(0, y + d * max(width, 1.0) / 2)[1] for d in (-1, 1))
        marks.append(Area(LineKind.REFERENCE, ((left, a), (right, a), (right, b), (left, b)), 0.88))
    for y in holes:
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
        Words((left - 3, middle), words[0], CAP_MM, True, "middle", 90.0),
        Words((right + 3 + CAP_MM, middle), words[1], CAP_MM, True, "middle", 90.0),
        Words(((left + right) / 2, top - 7), "HEAD", CAP_MM, True, "middle"),
        Words(((left + right) / 2, bottom + 3 + CAP_MM), "TAIL", CAP_MM, True, "middle"),
    ]
    return marks


def _column(sewn: Sewn, frame: _Frame, column: int, gathering: int, path: str) -> list[Mark]:
    pairs = sewn.holes(gathering)
    x, top = frame.at(column, 0)
    _, bottom = frame.at(column, sewn.fold.height_mm)
    marks: list[Mark] = [
        Line(LineKind.REFERENCE, ((x, top), (x, bottom))),
        Words((x, top - 1.5), str(gathering), CAP_MM, True, "middle"),
    ]
    outside, inside = (LineKind.SEWN_OUTSIDE, LineKind.SEWN_INSIDE)
    if path == "continuous":
        outside, inside = inside, outside
    for a, b in pairs:
        marks.append(Line(outside, (frame.at(column, a), frame.at(column, b))))
    if path != "loops":
        for (_, b), (a, _) in pairwise(pairs):
            marks.append(Line(inside, (frame.at(column, b), frame.at(column, a))))
    number = 0
    for pair in pairs:
        for y in pair:
            number += 1
            px, py = frame.at(column, y)
            marks.append(Area(LineKind.HOLE, _dot(px, py), 0.0))
            marks.append(Words((px + 1.2, py + CAP_MM / 2), str(number), CAP_MM))
    return marks


def _dot(x: float, y: float, r: float = 0.7) -> tuple[Point, ...]:
    k = r * 0.7071
    return ((x - r, y), (x - k, y - k), (x, y - r), (x + k, y - k), (x + r, y), (x + k, y + k), (x, y + r), (x - k, y + k))  # fmt: skip


def _stitch_section(sewn: Sewn, cloth: Cloth, structure: str, through: tuple[str, ...]) -> Diagram:
    """Draw one stitch in section along the fold: folios, tissue, cloth; bar outside, knot inside."""
    width, left, right = 128.0, 34.0, 94.0
    folios = min(sewn.folios.values())
    marks: list[Mark] = []
    y = 14.0
    rows = [f"folio {k}" for k in range(1, min(folios, 4) + 1)]
    for row in rows:
        marks.append(Line(LineKind.OUTLINE, ((left - 8, y), (right + 8, y))))
        marks.append(Words((left - 10, y + CAP_MM / 2), row, CAP_MM, anchor="end"))
        y += 5
    lining_top = y + 1
    for name in through:
        thick = 3.0 if name == through[-1] else 2.0
        box = (
            (left - 8, y + 1),
            (right + 8, y + 1),
            (right + 8, y + 1 + thick),
            (left - 8, y + 1 + thick),
        )
        marks.append(Line(LineKind.CUT, box, closed=True))
        marks.append(Words((left - 10, y + 1 + thick / 2 + CAP_MM / 2), name, CAP_MM, anchor="end"))
        y += thick + 1
    bottom = y + 3
    a, b = left + 12, right - 12
    marks += [
        Line(LineKind.SEWN_INSIDE, ((a, 10.0), (a, bottom))),
        Line(LineKind.SEWN_INSIDE, ((b, 10.0), (b, bottom))),
        Line(LineKind.SEWN_OUTSIDE, ((a, bottom), (b, bottom))),
        Line(LineKind.SEWN_INSIDE, ((a, 10.0), (b, 10.0))),
        Circle(LineKind.OUTLINE, ((a + b) / 2, 10.0), 1.4),
        Words(((a + b) / 2, 6.5), "square knot, inside", CAP_MM, anchor="middle"),
        Words(
            ((a + b) / 2, bottom + 5),
            f"bar outside, {tenth(sewn.arrangement.stitch_mm)} mm",
            CAP_MM,
            anchor="middle",
        ),
        Words((right + 10, lining_top + 3), f"{cloth.piece.thickness_mm:.2f} mm cloth", CAP_MM),
    ]
    return Diagram(
        name="stitch in section",
        structure=structure,
        title="One stitch in section, along the fold",
        scale="not to scale",
        width_mm=width,
        height_mm=bottom + 10,
        marks=tuple(marks),
        notes=(f"{folios} folios a gathering; each sewn alone, both ends tied inside",),
        page="sewing",
    )


def _load_picture(book: Book, sewn: Sewn, load: Load, structure: str) -> Diagram:
    """Draw the force on each height as an arrow to a stated scale, the block standing."""
    scale = next(s for s in (0.5, 1 / 3, 0.25, 0.2, 0.1) if book.height_mm * s <= 120)
    newton = 30.0 / load.greatest_n
    top, x = 10.0, 60.0
    marks: list[Mark] = [
        Line(LineKind.CUT, ((x, top), (x, top + book.height_mm * scale))),
        Words((x - 2, top - 2), "HEAD", CAP_MM, True, "end"),
        Words((x - 2, top + book.height_mm * scale + 4), "TAIL", CAP_MM, True, "end"),
        Words((x + 2, top + book.height_mm * scale + 4), "fold", CAP_MM),
    ]
    every = [y for c in sewn.arrangement.centres_mm.values() for y in c]
    mean = sum(every) / len(every)
    share = load.mass.kg * GRAVITY / len(every)
    forces: dict[float, float] = {}
    for gathering, centres in sewn.arrangement.centres_mm.items():
        for y, force in zip(centres, load.standing_n[gathering], strict=True):
            forces[y] = force
    last = -10.0
    for y, force in sorted(forces.items()):
        side = (force**2 - share**2) ** 0.5 if force > share else 0.0
        away = side if y < mean else -side
        start = (x, top + y * scale)
        tip = (x + away * newton, start[1] + share * newton)
        marks.append(Line(LineKind.GRAIN, (start, tip)))
        marks.append(_head(start, tip))
        if start[1] - last >= 3.6:
            marks.append(
                Words((118.0, start[1] + CAP_MM / 2), f"{tenth(y)}: {force:.2f} N", CAP_MM)
            )
            last = start[1]
    return Diagram(
        name="load picture",
        structure=structure,
        title="What each height carries, the book standing shut",
        scale=f"heights 1:{round(1 / scale)}, forces {newton:.1f} mm = 1 N",
        width_mm=150.0,
        height_mm=top + book.height_mm * scale + 8,
        marks=tuple(marks),
        notes=(
            f"block {load.mass.kg:.2f} kg ({load.mass.words}), {len(every)} stitches, equal sharing assumed",
        ),
        page="sewing",
    )


def _head(start: Point, tip: Point) -> Area:
    dx, dy = tip[0] - start[0], tip[1] - start[1]
    length = (dx * dx + dy * dy) ** 0.5 or 1.0
    ux, uy = dx / length, dy / length
    back = (tip[0] - 2.2 * ux, tip[1] - 2.2 * uy)
    return Area(
        LineKind.GRAIN,
        (tip, (back[0] - 0.8 * uy, back[1] + 0.8 * ux), (back[0] + 0.8 * uy, back[1] - 0.8 * ux)),
    )
