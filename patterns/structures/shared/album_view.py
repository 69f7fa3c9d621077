"""The plan of an album's sections: one nest drawn apart, and the list of all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from patterns.formulas.balance import Nest
from patterns.model.drawing import Circle, Line, LineKind, Mark, Words
from patterns.model.part import Diagram
from patterns.units import tenth

CAP_MM = 2.5
ROW_MM = 5.0
WIDTH_MM = 174.0
FOLDS_MM = 28.0
"""Room for the folds, one beside the other."""
HINGE_X, LAP_X, LEAF_X, END_X, WORDS_X = 74.0, 84.0, 97.0, 110.0, 113.0
LIST_ROWS = 40
MOST_PLANS = 6


@dataclass(frozen=True, slots=True)
class Parts:
    """What the plan names: how a half guard is divided, and on which side its leaf lies.

    `leaf_inside[q]` is True when the leaves of guard q + 1 lie on the guard's inner face.
    """

    folios: bool
    stub_mm: float
    hinge_mm: float
    lap_mm: float
    leaf_inside: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class ListedSection:
    """One section in the list: its nest, its leaves, its two thicknesses."""

    nest: Nest
    first: int
    last: int
    spine_mm: float
    leaves_mm: float

    @property
    def bare(self) -> bool:
        """True when the last half guard carries no leaf."""
        return self.last - self.first + 1 < 2 * self.nest.guards


def runs(numbers: Sequence[int]) -> str:
    """Write numbers in rising order, runs drawn together.

    >>> runs([1, 2, 3, 5, 6])
    '1–3, 5, 6'
    """
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(
        f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in found
    )


def diagrams(
    structure: str, listed: Sequence[ListedSection], parts: Parts, left_to_right: bool
) -> tuple[Diagram, ...]:
    """Return a plan for every kind of section (the most frequent, if many) and the whole list."""
    kinds: dict[tuple[object, ...], list[ListedSection]] = {}
    for one in listed:
        kinds.setdefault((one.nest.strips, one.nest.single, one.bare), []).append(one)
    most = sorted(kinds.values(), key=lambda same: (-len(same), same[0].nest.number))[:MOST_PLANS]
    plans = [_plan(structure, same, parts, left_to_right) for same in most]
    pages = [listed[at : at + LIST_ROWS] for at in range(0, len(listed), LIST_ROWS)]
    return (*plans, *(_list(structure, page, parts) for page in pages))


def _plan(
    structure: str, same: Sequence[ListedSection], parts: Parts, left_to_right: bool
) -> Diagram:
    which = ("sections " if len(same) > 1 else "section ") + runs([s.nest.number for s in same])
    drawn = _Plan(same[0], parts)
    end = "tail" if left_to_right else "head"
    carrier = "folio" if parts.folios else "guard"
    height = drawn.height + (4.0 if parts.folios else 13.0)
    return Diagram(
        name=f"section plan, {which}",
        structure=structure,
        title=f"Section plan, {which}",
        scale="not to scale",
        width_mm=WIDTH_MM,
        height_mm=height,
        marks=tuple(drawn.marks()),
        notes=(
            f"Seen from the {end}, folds to the left, the first leaf uppermost; {carrier} 1 is the outermost. "
            "Thin lines: compensation strips, folded like the guards and loose between them"
            + (
                "."
                if parts.folios
                else "; they end 1 mm short of the hinge. Hatched: laps, the only paste."
            ),
            f"Thickness by calipers, lightly pressed: {tenth(same[0].spine_mm)} mm at the folds"
            + (
                f", {tenth(same[0].leaves_mm)} mm over leaves and contents."
                if len(same) == 1
                else "."
            ),
        ),
    )


class _Plan:
    """Places of the rows of one nest; the lower half mirrors the upper."""

    def __init__(self, one: ListedSection, parts: Parts) -> None:
        self.one, self.parts, nest = one, parts, one.nest
        self.pitch = min(1.3, 50.0 / max(1, nest.folded))
        self.step = min(1.8, FOLDS_MM / (nest.guards + nest.folded))
        self.guard_y: list[float] = []
        self.strip_y: list[list[float]] = []
        y = 2.0
        for count in nest.strips:
            self.guard_y.append(y + ROW_MM / 2)
            y += ROW_MM
            deep = max(ROW_MM, (count + 1) * self.pitch) if count else 0.0
            first = y + deep / 2 - (count - 1) * self.pitch / 2
            self.strip_y.append([first + i * self.pitch for i in range(count)])
            y += deep
        self.centre = y + ROW_MM / 2
        self.height = 2 * self.centre

    def marks(self) -> list[Mark]:
        nest, x = self.one.nest, 3.0
        marks: list[Mark] = []
        for q, (y, strips) in enumerate(zip(self.guard_y, self.strip_y, strict=True)):
            marks += self._guard(q, x, y)
            x += self.step
            for strip in strips:
                marks.append(self._fold(LineKind.REFERENCE, x, strip, HINGE_X - 2))
                x += self.step
            if strips:
                words = f"{len(strips)} strip{'s' * (len(strips) > 1)} inside {self._name(q)}"
                middle = (strips[0] + strips[-1]) / 2
                marks += self._both(middle, (words, words))
        marks.append(Circle(LineKind.HOLE, (x, self.centre), 0.8))
        if nest.single:
            at = ((x + 2, self.centre), (HINGE_X - 2, self.centre))
            marks.append(Line(LineKind.REFERENCE, at))
        told = "single strip, on the thread" if nest.single else "sewn through this fold"
        marks.append(Words((WORDS_X, self.centre + CAP_MM / 2), told, CAP_MM))
        return marks + ([] if self.parts.folios else self._divisions())

    def _name(self, q: int) -> str:
        return f"{'folio' if self.parts.folios else 'guard'} {q + 1}"

    def _mirror(self, y: float) -> float:
        return 2 * self.centre - y

    def _fold(self, kind: LineKind, x: float, y: float, end: float) -> Line:
        low, bend = self._mirror(y), min(1.2, (self.centre - y) / 2)
        corner = ((x + bend, y), (x, y + bend), (x, low - bend), (x + bend, low))
        return Line(kind, ((end, y), *corner, (end, low)))

    def _guard(self, q: int, x: float, y: float) -> list[Mark]:
        told = self._says(q, q + 1), self._says(q, 2 * self.one.nest.guards - q)
        if self.parts.folios:
            return [
                self._fold(LineKind.CUT, x, y, END_X),
                *self._both(y, told),
            ]
        marks: list[Mark] = [self._fold(LineKind.CUT, x, y, LEAF_X)]
        inwards = 1 if self.parts.leaf_inside[q] else -1
        for upper in (True, False):
            if not upper and self.one.bare and q == 0:
                continue
            line = y if upper else self._mirror(y)
            leaf = line + inwards * (1.1 if upper else -1.1)
            marks.append(Line(LineKind.OUTLINE, ((LAP_X, leaf), (END_X, leaf))))
            for k in range(5):
                start = LAP_X + 1 + k * (LEAF_X - LAP_X - 2.5) / 4
                marks.append(Line(LineKind.PASTED, ((start, line), (start + 1.1, leaf))))
        return marks + self._both(y, told)

    def _says(self, q: int, leaf: int) -> str:
        if self.one.bare and leaf == 2 * self.one.nest.guards:
            return f"{self._name(q)} · bare stub"
        return f"{self._name(q)} · leaf {leaf} of the section"

    def _both(self, y: float, words: tuple[str, str]) -> list[Mark]:
        return [
            Words((WORDS_X, line + CAP_MM / 2), text, CAP_MM)
            for text, line in zip(words, (y, self._mirror(y)), strict=True)
        ]

    def _divisions(self) -> list[Mark]:
        low = self.height
        ends = ((HINGE_X, low + 6.0), (LAP_X, low + 6.0), (LEAF_X, low + 1.5))
        lines: list[Mark] = [
            Line(LineKind.DIMENSION, ((x, self.guard_y[0] - 2), (x, to))) for x, to in ends
        ]
        return [
            *lines,
            Words(
                (HINGE_X - 2, low + 4.0), f"stub {tenth(self.parts.stub_mm)}", CAP_MM, anchor="end"
            ),
            Words(
                (79.0, low + 10.5), f"hinge {tenth(self.parts.hinge_mm)}", CAP_MM, anchor="middle"
            ),
            Words((LAP_X + 1.5, low + 4.0), f"lap {tenth(self.parts.lap_mm)}", CAP_MM),
        ]


def _list(structure: str, page: Sequence[ListedSection], parts: Parts) -> Diagram:
    most = max(one.nest.guards for one in page)
    stops = [0.0, 16.0, 42.0, *(42.0 + 8.0 * (q + 1) for q in range(most))]
    stops += [stops[-1] + step for step in (17.0, 36.0, 58.0)]
    carrier = "folios" if parts.folios else "guards"
    middle = (stops[2] + stops[2 + most]) / 2
    marks: list[Mark] = [
        Words((stops[2] + 1, 4.0), f"strips inside {carrier}", CAP_MM, bold=True),
        *_row(
            9.0,
            stops,
            ["section", "leaves", *map(str, range(1, most + 1)), "single", "spine mm", "ahead mm"],
            bold=True,
        ),
        Line(LineKind.REFERENCE, ((0.0, 10.5), (max(stops[-1], middle + 20), 10.5))),
    ]
    y = 14.5
    for one in page:
        nest = one.nest
        strips = [*map(str, nest.strips), *[""] * (most - nest.guards)]
        ahead = tenth(nest.differences_mm[-1])
        if not ahead.startswith("-") and ahead != "0.0":
            ahead = f"+{ahead}"
        leaves = f"{one.first}–{one.last}" if one.last > one.first else str(one.first)
        cells = [str(nest.number), leaves, *strips, str(nest.single or "–"), tenth(one.spine_mm)]
        marks += _row(y, stops, [*cells, ahead.replace("-", "−")])
        y += 4.6
    numbers = runs([one.nest.number for one in page])
    return Diagram(
        name=f"section list, {numbers}",
        structure=structure,
        title=f"Section list, {numbers}",
        scale="a table",
        width_mm=max(stops[-1] + 2, middle + 22),
        height_mm=y,
        marks=tuple(marks),
        notes=(
            f"Strips lie inside their {carrier[:-1]} and outside the next. “spine” is the section at its folds, "
            "by calipers; “ahead” is how much the leaves are thicker than the spine (−: thinner) at the end "
            "of that section, all sections before it counted.",
        ),
    )


def _row(y: float, stops: Sequence[float], cells: Sequence[str], bold: bool = False) -> list[Mark]:
    return [
        Words(((a + b) / 2, y), text, CAP_MM, bold, "middle")
        for (a, b), text in zip(pairwise(stops), cells, strict=True)
        if text
    ]
