"""Compensation strips: how many lie inside each guard, so that spine and leaves stay level.

A section is a nest of folded guards with folded strips between them. Leaf by leaf the leaves run
ahead of the spine and the strips catch up; the running difference of the two is kept small.
Lengths are reckoned in whole nanometres, so that a tie is a tie on every machine.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import pi

_NM = 1_000_000
_Choice = tuple[tuple[int, ...], int, tuple[int, ...]]
"""n_1 … n_m, the single strip, and the difference after every leaf."""


@dataclass(frozen=True, slots=True)
class Nest:
    """One section: its guards from the outside inwards, and what lies inside each.

    `strips[q − 1]` folded strips lie inside guard q and outside guard q + 1; `single` unfolded strips
    lie at the centre: none or one, more only beside a bare half guard, all on the leaf's side of
    the fold. `differences_mm` is leaves − spine after every half guard.
    """

    number: int
    strips: tuple[int, ...]
    single: int
    differences_mm: tuple[float, ...]
    balanced: bool
    """False when the spine is already as thick as the leaves, so that no strip can help."""
    bare: bool = False
    """One guard whose second half carries no leaf."""

    @property
    def guards(self) -> int:
        """How many guards, or folios, are nested."""
        return len(self.strips)

    @property
    def folded(self) -> int:
        """How many folded strips lie in it."""
        return sum(self.strips)

    @property
    def greatest_mm(self) -> float:
        """Greatest difference met inside it or at its end, without sign."""
        return max(map(abs, self.differences_mm))


def balance(
    excess_mm: Sequence[float],
    guards: int,
    strip_mm: float,
    thread_mm: float = 0.0,
    bare_mm: float | None = None,
) -> tuple[Nest, ...]:
    """Deal strips to every section of an album, each begun at the difference the last one left.

    `excess_mm` has one figure for each leaf: leaf + contents − what stands for it at the spine.
    `thread_mm` is the thread in one fold. At the end of every balanced section spine and leaves
    differ by half a strip at most. With `bare_mm`, the thickness of a half guard, the last leaf has
    a guard to itself: folded strips would lie on its bare half too, single ones lie beside the leaf.

    >>> [nest.strips for nest in balance([0.75] * 8, 2, 0.25)]
    [(3, 3), (3, 3)]
    """
    strip, thread = round(strip_mm * _NM), round(thread_mm * _NM)
    excess = [round(one * _NM) for one in excess_mm]
    nests: list[Nest] = []
    ahead = 0
    paired = excess if bare_mm is None else excess[:-1]
    for start in range(0, len(paired), 2 * guards):
        leaves = paired[start : start + 2 * guards]
        choices = list(_choices(ahead, leaves, strip, thread))
        strips, single, met = min(choices, key=_rank) if choices else _bare(ahead, leaves, thread)
        ahead = met[-1]
        nests.append(
            Nest(
                len(nests) + 1,
                tuple(b - a for a, b in pairwise((0, *strips))),
                single,
                tuple(one / _NM for one in met),
                bool(choices),
            )
        )
    if bare_mm is not None:
        half = round(bare_mm * _NM)
        nests.append(_alone(len(nests) + 1, ahead + excess[-1], strip, half + thread))
    return tuple(nests)


def _alone(number: int, leaf: int, strip: int, without: int) -> Nest:
    """Return the last leaf's own section: `leaf` ahead at it, `without` the bare half and thread."""
    over = leaf - without
    fits = [n for n in (over // strip, over // strip + 1) if n >= 0]
    fits = [n for n in fits if 2 * abs(over - n * strip) <= strip]
    single = min(
        fits, default=0, key=lambda n: (max(abs(leaf - n * strip), abs(over - n * strip)), n)
    )
    met = (leaf - single * strip, over - single * strip)
    return Nest(number, (0,), single, tuple(one / _NM for one in met), bool(fits), bare=True)


def _rank(choice: _Choice) -> tuple[int, int, int, int]:
    """Smallest greatest difference, then no single strip, then fewest strips, then evenness."""
    strips, single, met = choice
    return max(map(abs, met)), single, strips[-1], sum(map(abs, met))


def _bare(ahead: int, leaves: Sequence[int], thread: int) -> _Choice:
    none = (0,) * (len(leaves) // 2)
    return none, 0, _met(ahead, leaves, none, 0, 0, thread)


def _choices(ahead: int, leaves: Sequence[int], strip: int, thread: int) -> Iterator[_Choice]:
    """Yield the best deal for every number of strips that ends within half a strip."""
    over = ahead + sum(leaves) - thread
    for thicknesses in (over // strip, over // strip + 1):
        end = over - thicknesses * strip
        if thicknesses >= 0 and 2 * abs(end) <= strip:
            strips = _deal(ahead, leaves, strip, thicknesses // 2, end)
            single = thicknesses % 2
            yield strips, single, _met(ahead, leaves, strips, single, strip, thread)


def _deal(ahead: int, leaves: Sequence[int], strip: int, folded: int, end: int) -> tuple[int, ...]:
    """Return n_1 ≤ … ≤ n_m = folded with the smallest greatest difference.

    n_q strips are passed after leaf q, and all but n_q before the last q leaves: each n_q answers
    for one leaf of each half, so the best rising row is found guard by guard.
    """
    best: list[tuple[int, int, tuple[int, ...]]] = [(0, 0, (0,))] * (folded + 1)
    halves = len(leaves) // 2
    heads = list(accumulate(leaves[:halves]))
    tails = list(accumulate(reversed(leaves[halves:])))
    for q in range(halves - 1):
        row = []
        held = best[0]
        for n in range(folded + 1):
            held = min(held, best[n])
            cost = sorted((abs(ahead + heads[q] - n * strip), abs(end - tails[q] + n * strip)))
            row.append((max(held[0], cost[1]), held[1] + sum(cost), (*held[2], n)))
        best = row
    return (*min(best)[2][1:], folded)


def _met(
    ahead: int, leaves: Sequence[int], strips: Sequence[int], single: int, strip: int, thread: int
) -> tuple[int, ...]:
    """Return the difference after every leaf (leaves less spine, e_q)."""
    m, whole = len(strips), strips[-1]
    passed = [n * strip for n in strips]
    passed += [
        (2 * whole - n + single) * strip + thread
        for n in (strips[m - 1 - r] if r < m else 0 for r in range(1, m + 1))
    ]
    return tuple(
        ahead + leaf - spine for leaf, spine in zip(accumulate(leaves), passed, strict=True)
    )


@dataclass(frozen=True, slots=True)
class Creep:
    """What bending round the nest adds to each guard and each strip, in mm.

    `strips[q][i]` belongs to the strip i + 1, from the outside, of those inside guard q + 1.
    """

    guards: tuple[float, ...]
    strips: tuple[tuple[float, ...], ...]


def creep(nest: Nest, guard_mm: float, strip_mm: float) -> Creep:
    """Return π·(inner + t/2) for every folded part, inner the single thickness nested inside it.

    Single strips at the centre lie on one side of it only and count half.
    """
    inner = nest.single * strip_mm / 2
    guards: list[float] = []
    strips: list[tuple[float, ...]] = []
    for count in reversed(nest.strips):
        row = []
        for _ in range(count):
            row.append(pi * (inner + strip_mm / 2))
            inner += strip_mm
        strips.append(tuple(reversed(row)))
        guards.append(pi * (inner + guard_mm / 2))
        inner += guard_mm
    return Creep(tuple(reversed(guards)), tuple(reversed(strips)))
