"""The plan of an album's sections: one nest drawn apart, with the width of every part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patterns.formulas.balance import Nest
from patterns.model.capitals import BODY
from patterns.model.drawing import Circle, Line, LineKind, Mark, Words
from patterns.model.lettering import width_mm
from patterns.model.part import Diagram
from patterns.structures.shared.album_widths import Widths
from patterns.units import mm, tenth

ROW_MM = 5.0
WIDTH_MM = 174.0
FOLDS_MM = 28.0
"""Room for the folds, one beside the other."""
HINGE_X, LAP_X, LEAF_X, END_X, WORDS_X = 74.0, 84.0, 97.0, 110.0, 113.0


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
        return self.nest.bare


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


def kinds(listed: Sequence[ListedSection], widths: Widths) -> list[list[ListedSection]]:
    """Return sections that are cut and nested alike together, in the order of the first of each."""
    found: dict[tuple[object, ...], list[ListedSection]] = {}
    for one in listed:
        own = (row[one.nest.number - 1] for row in (widths.guards, widths.strips))
        found.setdefault((*own, one.nest.single, one.bare), []).append(one)
    return list(found.values())


def plans(
    structure: str,
    listed: Sequence[ListedSection],
    parts: Parts,
    widths: Widths,
    left_to_right: bool,
) -> list[Diagram]:
    """Return a plan of the most frequent kind of section, of one with a single strip, of a bare one."""
    most = sorted(kinds(listed, widths), key=lambda same: (-len(same), same[0].nest.number))
    whole = [same for same in most if not same[0].bare] or most
    chosen = [whole[0]]
    if not any(one.nest.single for one in whole[0]):
        chosen += [same for same in whole if same[0].nest.single][:1]
    chosen += [same for same in most if same[0].bare and same is not whole[0]]
    return [_plan(structure, same, parts, widths, left_to_right) for same in chosen]


def _plan(
    structure: str,
    same: Sequence[ListedSection],
    parts: Parts,
    widths: Widths,
    left_to_right: bool,
) -> Diagram:
    which = ("sections " if len(same) > 1 else "section ") + runs([s.nest.number for s in same])
    drawn = _Plan(same[0], parts, widths)
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
            f"Seen from the {end}, folds to the left, the first leaf of the section uppermost; {carrier} 1 is the outermost. "
            "Thin lines: compensation strips, folded like the guards and loose between them"
            + (
                "."
                if parts.folios
                else "; they end 1 mm or a little more short of the hinge. Hatched: laps, the only paste."
            )
            + " Letters: the widths to cut.",
            f"Thickness by calipers, lightly pressed: {mm(same[0].spine_mm)} mm at the folds"
            + (
                f", {mm(same[0].leaves_mm)} mm over leaves and contents." if len(same) == 1 else "."
            ),
        ),
    )


class _Plan:
    """Places of the rows of one nest; the lower half mirrors the upper."""

    def __init__(self, one: ListedSection, parts: Parts, widths: Widths) -> None:
        self.one, self.parts, nest = one, parts, one.nest
        self.guards = widths.guards[nest.number - 1]
        self.strips = widths.strips[nest.number - 1]
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
        self.centre = y + ROW_MM / 2 + max(0, nest.single - 1) * self.pitch
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
                words = self._inside(q)
                middle = (strips[0] + strips[-1]) / 2
                marks += self._both(middle, (words, words))
        marks.append(Circle(LineKind.HOLE, (x, self.centre), 0.8))
        for i in range(nest.single):
            y = self.centre - i * self.pitch
            marks.append(Line(LineKind.REFERENCE, ((x + 2, y), (HINGE_X - 2, y))))
        told = "sewn through this fold"
        if nest.single:
            many = f"{nest.single} single strips" if nest.single > 1 else "single strip"
            told = f"{many}, on the thread"
        marks.append(Words((WORDS_X, self.centre + BODY / 2), told, BODY))
        return marks + ([] if self.parts.folios else self._divisions())

    def _name(self, q: int) -> str:
        if self.parts.folios:
            return f"folio {q + 1}"
        return f"guard {q + 1}, {self.guards[q].letter} {tenth(self.guards[q].width_mm)}"

    def _inside(self, q: int) -> str:
        """Say how many strips lie inside a guard, with their letters where there is room."""
        laid = self.strips[q]
        words = f"{len(laid)} strip{'s' * (len(laid) > 1)} inside"
        named = f"{words}: {' '.join(cut.letter for cut in laid)}"
        return named if width_mm(named, BODY) <= WIDTH_MM - WORDS_X else words

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
        return f"{self._name(q)} · leaf {leaf}"

    def _both(self, y: float, words: tuple[str, str]) -> list[Mark]:
        return [
            Words((WORDS_X, line + BODY / 2), text, BODY)
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
                (HINGE_X - 2, low + 4.0), f"stub {tenth(self.parts.stub_mm)}", BODY, anchor="end"
            ),
            Words((79.0, low + 10.5), f"hinge {tenth(self.parts.hinge_mm)}", BODY, anchor="middle"),
            Words((LAP_X + 1.5, low + 4.0), f"lap {tenth(self.parts.lap_mm)}", BODY),
        ]
