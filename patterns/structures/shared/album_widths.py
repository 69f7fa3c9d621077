"""How wide an album's guards and strips are cut: few widths, none further from its own than allowed.

Bent round the nest, every part wants a width of its own. Widths that lie within the tolerance of a
cut are cut alike: guards as the widest of them, so that none falls short of its leaf, strips as the
narrowest, so that none reaches into the hinge.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from patterns.formulas.balance import Nest, creep

SHORT_MM = 1.0
"""Strips end this far short of the hinge."""
_SAME_MM = 1e-6


@dataclass(frozen=True, slots=True)
class Cut:
    """A width that is cut; its letter is pencilled on every part of it."""

    letter: str
    width_mm: float


@dataclass(frozen=True, slots=True)
class Widths:
    """The width of every guard, and of every folded strip from the outside, section by section."""

    guards: tuple[tuple[Cut, ...], ...]
    strips: tuple[tuple[tuple[Cut, ...], ...], ...]
    surplus_mm: float
    """How much wider than it need be a guard is cut, at most."""


def group(widths: Iterable[float], span_mm: float) -> list[list[float]]:
    """Part widths into the fewest groups of which none spans more than `span_mm`, widest first.

    >>> group([3.0, 1.0, 1.4, 1.8, 1.5], 0.5)
    [[3.0], [1.8], [1.0, 1.4, 1.5]]
    """
    groups: list[list[float]] = []
    for width in sorted(set(widths)):
        if groups and width - groups[-1][0] <= span_mm + _SAME_MM:
            groups[-1].append(width)
        else:
            groups.append([width])
    return groups[::-1]


def letter(number: int) -> str:
    """Return a letter for each number from 0, pairs of them after Z.

    >>> [letter(n) for n in (0, 25, 26, 52)]
    ['A', 'Z', 'AA', 'BA']
    """
    return (letter(number // 26 - 1) if number > 25 else "") + chr(ord("A") + number % 26)


def widths(
    nests: Sequence[Nest],
    half_mm: float,
    stub_mm: float,
    guard_mm: float,
    strip_mm: float,
    leaf_inside: Sequence[bool],
    span_mm: float,
) -> Widths:
    """Return what every part is cut to; `half_mm` is a half guard, `stub_mm` its part in the stack.

    Guards pasted to different faces of their leaves are not cut from one drawing, and have
    letters of their own.
    """
    bent = [creep(nest, guard_mm, strip_mm) for nest in nests]
    guards = [tuple(2 * half_mm + more for more in one.guards) for one in bent]
    strips = [
        tuple(tuple(2 * (stub_mm - SHORT_MM) + more for more in row) for row in one.strips)
        for one in bent
    ]
    cuts: dict[tuple[bool, float], Cut] = {}
    for face in (False, True):
        own = [w for row in guards for q, w in enumerate(row) if leaf_inside[q] is face]
        for members in group(own, span_mm):
            cut = Cut(letter(len(set(cuts.values()))), members[-1])
            cuts |= {(face, width): cut for width in members}
    laid: dict[float, Cut] = {}
    for members in group((w for one in strips for row in one for w in row), span_mm):
        laid |= dict.fromkeys(members, Cut(letter(len(set(laid.values()))), members[0]))
    chosen = tuple(
        tuple(cuts[leaf_inside[q], width] for q, width in enumerate(row)) for row in guards
    )
    return Widths(
        chosen,
        tuple(tuple(tuple(laid[w] for w in row) for row in one) for one in strips),
        max(
            cut.width_mm - width
            for row, own in zip(chosen, guards, strict=True)
            for cut, width in zip(row, own, strict=True)
        ),
    )
