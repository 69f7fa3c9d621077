"""The sewing seen near: the needle's way through one gathering, and one stitch in section."""

from __future__ import annotations

from patterns.model.capitals import BODY
from patterns.model.drawing import Circle, Line, LineKind, Mark, Point, Words
from patterns.model.part import Diagram
from patterns.model.stitches import Move
from patterns.sewing.lining import Cloth
from patterns.sewing.sewn import Sewn
from patterns.sketch.arrows import BROAD, arrowhead
from patterns.units import tenth

INSIDE_X, OUTSIDE_X, WORDS_X = 34.0, 52.0, 62.0
"""Where thread inside the fold and outside on the lining is drawn, and the words at the holes, in mm."""
FIRST_MM, STEP_MM = 20.0, 11.0
TALLEST_MM = 196.0


def gathering(sewn: Sewn, structure: str) -> Diagram:
    """Draw the first gathering sewn with every move numbered, arrows along the thread; not to scale."""
    one = sewn.stitching.passes[0]
    holes = sorted({float(move[-1]) for move in one.moves if len(move) == 2})
    room = (TALLEST_MM - FIRST_MM) / max(1, len(holes))
    step = min(STEP_MM, room)
    levels = {y: FIRST_MM + k * step for k, y in enumerate(holes)}
    bottom = FIRST_MM + (len(holes) - 1) * step + 8
    middle = (INSIDE_X + OUTSIDE_X) / 2
    marks: list[Mark] = [
        Line(LineKind.OUTLINE, ((middle - 1.5, FIRST_MM - 7), (middle - 1.5, bottom))),
        Line(LineKind.CUT, ((middle + 1.5, FIRST_MM - 7), (middle + 1.5, bottom))),
        Words((INSIDE_X - 2, 6.0), "inside", BODY, True, "middle"),
        Words((INSIDE_X - 2, 9.6), "the fold", BODY, False, "middle"),
        Words((OUTSIDE_X + 4, 6.0), "outside", BODY, True, "middle"),
        Words((OUTSIDE_X + 4, 9.6), "on the lining", BODY, False, "middle"),
        Words((WORDS_X, FIRST_MM - 7 + BODY), "HEAD", BODY, True),
        Words((WORDS_X, bottom), "TAIL", BODY, True),
    ]
    marks += _way(one.moves, levels, sewn.path)
    return Diagram(
        name="one gathering",
        structure=structure,
        title=f"Gathering {one.gathering}, sewn first, with every move",
        scale="not to scale",
        width_mm=118.0,
        height_mm=bottom + 4,
        marks=tuple(marks),
        notes=(
            f"holes by pricking strip {sewn.strip_letters[one.gathering]}, in mm below the head",
            _NOTES[sewn.path],
        ),
        page="sewing",
    )


_NOTES = {
    "fold": "every other gathering goes the same way by its own strip; K: square knot with the tail, on the fold; H: two half "
    "hitches round the run",
    "loops": "every other gathering goes the same way by its own strip; K: square knot of the two ends, on the fold; trimmed to 10 mm",
    "continuous": "the next gathering goes the other way; the thread travels to it outside; H: two half hitches round the travel",
}


def _way(moves: tuple[Move, ...], levels: dict[float, float], path: str) -> list[Mark]:
    marks: list[Mark] = []
    number, last = 0, 0.0
    for k, move in enumerate(moves):
        if len(move) == 1:
            marks += _knot(levels[float(moves[k - 2][-1])], last)
            continue
        y = levels[float(move[-1])]
        if move[0] == "hitch":
            marks += _hitch(last, y, path)
            continue
        number += 1
        if number > 1:
            outside = move[0] == "in"
            if outside or path != "loops":
                marks += _run(last, y, outside)
        marks += _through(y, move[0] == "out")
        words = f"{number}  {move[0]} at {tenth(float(move[-1]))}"
        marks.append(Words((WORDS_X, y + BODY / 2), words, BODY, True))
        last = y
    return marks


def _run(start: float, end: float, outside: bool) -> list[Mark]:
    """Draw thread along the fold with an arrow half way."""
    x = OUTSIDE_X if outside else INSIDE_X
    kind = LineKind.SEWN_OUTSIDE if outside else LineKind.SEWN_INSIDE
    half = (start + end) / 2
    tip = half + (1.5 if end > start else -1.5)
    return [Line(kind, ((x, start), (x, end))), *_head((x, half), (x, tip))]


def _through(y: float, out: bool) -> list[Mark]:
    start, end = (INSIDE_X, OUTSIDE_X) if out else (OUTSIDE_X, INSIDE_X)
    near = end - (3.0 if end > start else -3.0)
    return [
        Line(LineKind.SECTION, ((start, y), (end, y))),
        *_head((near - (2.0 if end > start else -2.0), y), (near, y)),
        Circle(LineKind.OUTLINE, ((INSIDE_X + OUTSIDE_X) / 2, y), 1.0),
    ]


def _head(start: Point, tip: Point) -> list[Mark]:
    return [arrowhead(LineKind.SEWN_OUTSIDE, tip, start, spread=BROAD)]


def _knot(above: float, below: float) -> list[Mark]:
    """Draw both ends of a first stitch meeting on the fold."""
    half = (above + below) / 2
    return [
        Line(LineKind.SEWN_INSIDE, ((INSIDE_X, above), (INSIDE_X, below))),
        Circle(LineKind.OUTLINE, (INSIDE_X, half), 1.2),
        Words((INSIDE_X - 3, half + BODY / 2), "K", BODY, True, "end"),
    ]


def _hitch(last: float, y: float, path: str) -> list[Mark]:
    if path == "continuous":
        return [Words((OUTSIDE_X + 2, y - 1.5), "H", BODY, True)]
    x = INSIDE_X - 5
    return [
        Line(LineKind.SEWN_INSIDE, ((INSIDE_X, last), (x, last), (x, y), (INSIDE_X, y))),
        *_head((x, (last + y) / 2), (x, (last + y) / 2 - 1.5)),
        Words((x - 2, y + BODY / 2), "H", BODY, True, "end"),
    ]


def stitch(sewn: Sewn, cloth: Cloth, structure: str, through: tuple[str, ...]) -> Diagram:
    """Draw one stitch in section along the fold: folios, tissue, cloth, and the thread."""
    width, left, right = 128.0, 34.0, 94.0
    folios = sorted(sewn.folios[g] for g in sewn.arrangement.centres_mm)
    usual = folios[len(folios) // 2]
    marks: list[Mark] = []
    y = 14.0
    for k in range(1, min(usual, 4) + 1):
        marks.append(Line(LineKind.OUTLINE, ((left - 8, y), (right + 8, y))))
        marks.append(Words((left - 10, y + BODY / 2), f"folio {k}", BODY, anchor="end"))
        y += 5
    cloth_y = y
    for name in through:
        thick = 3.0 if name == through[-1] else 2.0
        box = (
            (left - 8, y + 1),
            (right + 8, y + 1),
            (right + 8, y + 1 + thick),
            (left - 8, y + 1 + thick),
        )
        marks.append(Line(LineKind.CUT, box, closed=True))
        marks.append(Words((left - 10, y + 1 + thick / 2 + BODY / 2), name, BODY, anchor="end"))
        cloth_y = y + 1 + thick / 2 + BODY / 2
        y += thick + 1.6
    bottom = y + 3
    marks += _stitched(sewn, left + 12, right - 12, bottom)
    marks.append(Words((right + 10, cloth_y), f"{cloth.piece.thickness_mm:.2f} mm cloth", BODY))
    return Diagram(
        name="stitch in section",
        structure=structure,
        title="One stitch in section, along the fold",
        scale="not to scale",
        width_mm=width,
        height_mm=bottom + 10,
        marks=tuple(marks),
        notes=(_section_note(sewn, folios[0], folios[-1]),),
        page="sewing",
    )


def _stitched(sewn: Sewn, a: float, b: float, bottom: float) -> list[Mark]:
    """Draw the thread through both holes: a bar outside and a knot inside, or the stitch inside and travels outside."""
    length = tenth(sewn.arrangement.stitch_mm)
    legs: list[Mark] = [Line(LineKind.SEWN_INSIDE, ((x, 10.0), (x, bottom))) for x in (a, b)]
    if sewn.path == "continuous":
        return [
            *legs,
            Line(LineKind.SEWN_INSIDE, ((a, 10.0), (b, 10.0))),
            Line(LineKind.SEWN_OUTSIDE, ((a - 14, bottom), (a, bottom))),
            Line(LineKind.SEWN_OUTSIDE, ((b, bottom), (b + 14, bottom))),
            Words(((a + b) / 2, 6.5), f"stitch inside, {length} mm", BODY, anchor="middle"),
            Words(
                ((a + b) / 2, bottom + 5),
                "travels outside, to the next hole",
                BODY,
                anchor="middle",
            ),
        ]
    return [
        *legs,
        Line(LineKind.SEWN_OUTSIDE, ((a, bottom), (b, bottom))),
        Line(LineKind.SEWN_INSIDE, ((a, 10.0), (b, 10.0))),
        Circle(LineKind.OUTLINE, ((a + b) / 2, 10.0), 1.4),
        Words(((a + b) / 2, 6.5), "square knot, inside", BODY, anchor="middle"),
        Words(((a + b) / 2, bottom + 5), f"bar outside, {length} mm", BODY, anchor="middle"),
    ]


def _section_note(sewn: Sewn, fewest: int, most: int) -> str:
    folios = (
        f"{most} folios a gathering" if fewest == most else f"{fewest} to {most} folios a gathering"
    )
    if sewn.path == "continuous":
        return f"{folios}; no knot inside, both ends of a length are tied outside round a travel"
    return f"{folios}; each sewn alone, both ends tied inside"
