"""Where infills lie on their leaf, and the edge of one in section."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import Any

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm, wrap
from patterns.model.part import Diagram
from patterns.sketch.marks import box_of
from patterns.sketch.scales import REDUCED, largest
from patterns.traced.losses import Infill
from patterns.units import tenth

WIDTH_MM = 174.0
MAP_MM = (104.0, 170.0)
WORDS_X, TOP_MM, STEP_MM = 116.0, 8.0, 4.2


def leaf_map(
    structure: str,
    infills: Sequence[Infill],
    leaf: Any | None,
    seen: str,
    spine_left: bool,
) -> Diagram:
    """Draw the leaf small with every infill and its size beside it."""
    whole = [one.shape for one in infills] + ([leaf] if leaf is not None else [])
    boxes = [one.bounds for one in whole]
    left, top = min(b[0] for b in boxes), min(b[1] for b in boxes)
    wide, high = max(b[2] for b in boxes) - left, max(b[3] for b in boxes) - top
    fitting = largest([(wide, MAP_MM[0]), (high, MAP_MM[1])]) or REDUCED[-1]
    scale = fitting.real

    def line(kind: LineKind, ring: Any) -> Line:
        points = tuple(
            ((x - left) / scale + 4.0, (y - top) / scale + TOP_MM) for x, y in ring.coords[:-1]
        )
        return Line(kind, points, closed=True)

    marks: list[Mark] = []
    if leaf is not None:
        marks.append(line(LineKind.OUTLINE, leaf.exterior))
    for one in infills:
        marks += [line(LineKind.CUT, ring) for ring in (one.shape.exterior, *one.shape.interiors)]
    foot = TOP_MM + high / scale
    marks += _corners(wide / scale, foot, spine_left)
    marks += _named(_told(infills), left, top, scale)
    return Diagram(
        name="place on the leaf",
        structure=structure,
        title=f"Where the infills lie, seen from the {seen}",
        scale=str(fitting),
        width_mm=WIDTH_MM,
        height_mm=max(foot + 6.0, *(box_of(mark).bottom for mark in marks)),
        marks=tuple(marks),
        notes=("sizes of the infills: spine–fore edge × head–tail, overlap included",),
    )


def _corners(wide: float, foot: float, spine_left: bool) -> list[Mark]:
    names = ("spine", "fore edge") if spine_left else ("fore edge", "spine")
    middle = 4.0 + wide / 2
    foot = max(foot, TOP_MM + max(width_mm(name, BODY) for name in names))  # clear of HEAD
    return [
        Words((middle, TOP_MM - 2.0), "HEAD", BODY, True, "middle"),
        Words((middle, foot + 4.5), "TAIL", BODY, True, "middle"),
        Words((2.5, foot), names[0], BODY, angle_deg=90.0),
        Words((4.0 + wide + 4.5, foot), names[1], BODY, angle_deg=90.0),
    ]


def _named(
    told: Sequence[tuple[Infill, tuple[str, ...]]], left: float, top: float, scale: float
) -> list[Mark]:
    """Name the infills in a column, each with a line to its place."""
    marks: list[Mark] = []
    y = TOP_MM
    last = TOP_MM + MAP_MM[1] - STEP_MM * sum(len(lines) for _, lines in told)
    for one, lines in told:
        point = one.shape.representative_point()
        at = ((point.x - left) / scale + 4.0, (point.y - top) / scale + TOP_MM)
        y = max(y + STEP_MM, min(at[1], last))
        marks.append(Line(LineKind.DIMENSION, (at, (WORDS_X - 1.5, y - BODY / 2))))
        marks += [Words((WORDS_X, y + i * STEP_MM), row, BODY) for i, row in enumerate(lines)]
        y += STEP_MM * (len(lines) - 1)
    return marks


def _told(infills: Sequence[Infill]) -> list[tuple[Infill, tuple[str, ...]]]:
    """Return the infills from head to tail, each with its numbers and size in lines."""
    made = []
    for one in sorted(infills, key=lambda one: one.shape.representative_point().y):
        left, top, right, bottom = one.shape.bounds
        size = f"{tenth(right - left)} × {tenth(bottom - top)}\u00a0mm"
        made.append((one, wrap(f"{label(one)} · {size}", BODY, WIDTH_MM - WORDS_X)))
    return made


def label(infill: Infill) -> str:
    """Return the infill's number, or the numbers of all losses it fills, three in a row as a run.

    >>> label(Infill((1, 2), None, None, None)), label(Infill((2, 3, 4, 7), None, None, None))
    ('1 + 2', '2–4 + 7')
    """
    runs: list[list[int]] = []
    for number in infill.numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    written = [[f"{run[0]}–{run[-1]}"] if len(run) > 2 else map(str, run) for run in runs]
    return " + ".join(chain.from_iterable(written))


def edge_section(structure: str, thing: str, seen: str, overlap_mm: float) -> Diagram:
    """Draw the pared overlap on the edge of the loss."""
    foot, face, top = 40.0, 31.0, 22.0
    edge, reach, end = 78.0, 50.0, 150.0
    paste = [((x, face), (x + 2.0, face - 2.0)) for x in range(int(reach) + 6, int(edge), 3)]
    marks: list[Mark] = [
        Line(LineKind.OUTLINE, ((8.0, face), (edge, face), (edge - 3, foot), (8.0, foot))),
        Line(LineKind.CUT, ((end, top), (edge, top), (reach, face), (end, face))),
        *(Line(LineKind.PASTED, line) for line in paste),
        Line(LineKind.DIMENSION, ((reach, face - 2), (reach, 8.5))),
        Line(LineKind.DIMENSION, ((edge, top - 1), (edge, 8.5))),
        Line(LineKind.DIMENSION, ((reach, 10.0), (edge, 10.0))),
        Words(((reach + edge) / 2, 7.0), f"overlap {tenth(overlap_mm)}", BODY, anchor="middle"),
        Words((12.0, (face + foot + BODY) / 2), thing, BODY),
        Words((100.0, (top + face + BODY) / 2), "infill", BODY),
        Words((8.0, face - 3.0), seen, BODY),
        Words((88.0, 14.0), "pared on this face, to nothing", BODY),
        Words((edge + 5.0, foot), "the loss: no paste", BODY),
    ]
    return Diagram(
        name="edge in section",
        structure=structure,
        title="The edge of an infill in section",
        scale="not to scale",
        width_mm=154.0,
        height_mm=44.0,
        marks=tuple(marks),
        notes=("hatched: paste between overlap and sound edge, nowhere else",),
    )
