"""The support of a text block from the side: how its height is built up, and the picture of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Point, Ring, Words
from patterns.model.part import Diagram
from patterns.units import tenth

WIDTH_MM, HEIGHT_MM = 170.0, 74.0
PLAN_MM = 120.0
"""Length at which the support is drawn, whatever its own."""
TALL_MM = 26.0
_Place = Callable[[float, float], Point]


@dataclass(frozen=True, slots=True)
class SupportProfile:
    """Heights at the spine end (`low`) and fore edge end (`high`), and what they are made of, in mm.

    Whole layers of `board` first; what they leave is pared as a wedge, or made of shims of which
    each starts at its place along the length and reaches to the higher end.
    """

    length: float
    low: float
    high: float
    board: float
    layers: int
    rest_low: float
    rest_high: float
    shim: float = 0.0
    starts: tuple[float, ...] = ()
    """Where each shim starts, measured from the lower end."""

    def height(self, at: float) -> float:
        """Return the wanted height at a distance from the spine end."""
        return self.low + (self.high - self.low) * at / self.length

    def built(self, at: float) -> float:
        """Return the height as built: exact for a wedge, within half a shim for shims."""
        if not self.shim:
            return self.height(at)
        from_low = at if self.high >= self.low else self.length - at
        shims = sum(start <= from_low for start in self.starts)
        return self.layers * self.board + shims * self.shim

    @property
    def cut_at(self) -> tuple[float, ...]:
        """Where shims that are not whole begin or end, from the spine end."""
        cut = [start for start in self.starts if start > 0]
        return tuple(cut if self.high >= self.low else [self.length - start for start in cut])

    @property
    def shim_words(self) -> str:
        """Say how many shims are whole, and how long the others are."""
        if not self.starts:
            return "no shim is needed"
        whole = sum(start == 0 for start in self.starts)
        cut = [self.length - start for start in self.starts if start > 0]
        end = "fore edge" if self.high >= self.low else "spine"
        words = [f"{whole} whole"] if whole else []
        if cut:
            lengths = ", ".join(tenth(length) for length in cut)
            words.append(f"{len(cut)} cut at the thin lines, {lengths} mm long, kept at the {end}")
        return "; ".join(words)


def section(structure: str, profile: SupportProfile) -> Diagram:
    """Draw the support between shelf and block, heights exaggerated, not to scale."""
    left, floor = 24.0, 52.0
    across = PLAN_MM / profile.length
    up = TALL_MM / max(profile.low, profile.high)

    def point(at: float, height: float) -> Point:
        return left + at * across, floor - height * up

    marks: list[Mark] = [
        Line(LineKind.OUTLINE, ((left - 14, floor), (left + PLAN_MM + 14, floor))),
        Line(
            LineKind.REFERENCE,
            (point(-12 / across, profile.height(-12 / across)),
             point(profile.length + 12 / across, profile.height(profile.length + 12 / across))),
        ),
    ]  # fmt: skip
    for k in range(profile.layers):
        low, high = k * profile.board, (k + 1) * profile.board
        marks.append(Line(LineKind.CUT, _box(point, 0.0, profile.length, low, high), closed=True))
    base = profile.layers * profile.board
    if profile.shim:
        marks += _shims(profile, base, point)
    else:
        ring = [
            (0.0, base),
            (profile.length, base),
            (profile.length, profile.high),
            (0.0, profile.low),
        ]
        marks.append(Line(LineKind.CUT, tuple(point(*p) for p in ring), closed=True))
    middle = left + PLAN_MM / 2
    upper = f"{len(profile.starts)} shims" if profile.shim else "wedge"
    marks += [
        Words((middle, 12.0), "text block", BODY, bold=True, anchor="middle"),
        Words((middle, floor + 6.0), "shelf, level with the boards' tail edges", BODY, anchor="middle"),
        Words((left - 3.0, floor - profile.low * up / 2), tenth(profile.low), BODY, anchor="end"),
        Words((left + PLAN_MM + 3.0, floor - profile.high * up / 2), tenth(profile.high), BODY),
        Words((left, floor + 12.0), "spine", BODY, anchor="middle"),
        Words((left + PLAN_MM, floor + 12.0), "fore edge", BODY, anchor="middle"),
        Words(
            (middle, floor + 18.0),
            f"{profile.layers} whole layers, then {upper}" if profile.layers else upper,
            BODY,
            anchor="middle",
        ),
    ]  # fmt: skip
    return Diagram(
        name="support in section",
        structure=structure,
        title="Support in section, spine to fore edge",
        scale="not to scale",
        width_mm=WIDTH_MM,
        height_mm=HEIGHT_MM,
        marks=tuple(marks),
        notes=(
            f"total thickness {tenth(profile.built(0.0))} mm at the spine end, "
            f"{tenth(profile.built(profile.length))} mm at the fore edge end",
            "layers pasted to each other; text block and boards free: no adhesive to the book",
        ),
    )


def _box(point: _Place, left: float, right: float, low: float, high: float) -> Ring:
    corners = ((left, low), (right, low), (right, high), (left, high))
    return tuple(point(*corner) for corner in corners)


def _shims(profile: SupportProfile, base: float, point: _Place) -> list[Mark]:
    marks: list[Mark] = []
    for k, start in enumerate(profile.starts):
        ends = (
            (start, profile.length)
            if profile.high >= profile.low
            else (0.0, profile.length - start)
        )
        low, high = base + k * profile.shim, base + (k + 1) * profile.shim
        marks.append(Line(LineKind.OUTLINE, _box(point, *ends, low, high), closed=True))
    return marks
