"""Marks gathered into one group a line kind without changing what the sheet looks like.

Lines may be painted in any order; only a filled area hides, or is hidden by, what it lies over.
A kind therefore gets a single group unless an area forbids it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from patterns.model import lettering
from patterns.model.drawing import Area, Circle, Line, LineKind, Mark, Point, Words
from patterns.writers.ink import grey_of, kind_of, start_of

Patch = tuple[float, float, float, float, float]
"""Least x, least y, greatest x, greatest y in mm, and the grey."""


@dataclass(slots=True)
class _Group:
    kind: LineKind
    marks: list[Mark] = field(default_factory=list)
    patches: list[Patch] = field(default_factory=list)
    areas: list[Patch] = field(default_factory=list)

    def add(self, mark: Mark, patch: Patch) -> None:
        self.marks.append(mark)
        self.patches.append(patch)
        if isinstance(mark, Area):
            self.areas.append(patch)

    def shows_against(self, other: _Group) -> bool:
        """Tell whether it shows which of the two is painted first."""
        return bool(
            (self.areas and _meet(self.areas, other.patches))
            or (other.areas and _meet(self.patches, other.areas))
        )


def grouped(marks: Iterable[Mark]) -> list[tuple[str, LineKind, list[Mark]]]:
    """Return (name, kind, marks) in painting order; the name is the kind's value.

    A kind has one group. Only where an area makes that impossible does it get another one,
    named "cut-2" and so on.
    """
    groups: list[_Group] = []
    for mark in marks:
        kind, patch = kind_of(mark), (*_box(mark), grey_of(mark))
        if groups and groups[-1].kind is kind:
            home = groups[-1]
        else:
            lone = _Group(kind)
            lone.add(mark, patch)
            home = _home(groups, lone)
        home.add(mark, patch)
    named, met = [], dict.fromkeys(LineKind, 0)
    for group in groups:
        met[group.kind] += 1
        turn = met[group.kind]
        name = group.kind.value if turn == 1 else f"{group.kind.value}-{turn}"
        named.append((name, group.kind, group.marks))
    return named


def _home(groups: list[_Group], lone: _Group) -> _Group:
    """Return the group that a lone mark can join: as it stands, moved to the end, or a new one."""
    kinds = [group.kind for group in groups]
    if lone.kind in kinds:
        at = len(kinds) - 1 - kinds[::-1].index(lone.kind)
        later = groups[at + 1 :]
        if not any(map(lone.shows_against, later)):
            return groups[at]
        if not any(map(groups[at].shows_against, later)):
            groups.append(groups.pop(at))
            return groups[-1]
    groups.append(_Group(lone.kind))
    return groups[-1]


def _meet(some: list[Patch], others: list[Patch]) -> bool:
    """Tell whether any two patches of different grey overlap."""
    return any(
        left < r and l < right and top < b and t < bottom and grey != g
        for left, top, right, bottom, grey in some
        for l, t, r, b, g in others  # noqa: E741 - left, top, right, bottom of the other
    )


def _box(mark: Mark) -> tuple[float, float, float, float]:
    match mark:
        case Line():
            return _around(mark.points, 0.5)
        case Area():
            return _around(mark.outline, 0.0)
        case Circle():
            return _around((mark.centre,), mark.radius + 0.5)
        case Words():
            width = lettering.width_mm(mark.text, mark.cap_mm, mark.bold)
            return _around((start_of(mark),), width + mark.cap_mm)


def _around(points: Iterable[Point], more: float) -> tuple[float, float, float, float]:
    xs, ys = zip(*points, strict=True)
    return min(xs) - more, min(ys) - more, max(xs) + more, max(ys) + more
