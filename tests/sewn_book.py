"""The rules of scattered stitches once more, in words and without cunning, and drawn books."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, pairwise, product
from math import comb

from patterns.sewing.maximin import exact, most_even, most_that_fit
from patterns.sewing.scatter import Request
from patterns.sewing.stations import FoldToSew, centre_set, shared

Layout = tuple[tuple[Fraction, ...], ...]


@dataclass(frozen=True)
class SewnBook:
    """One drawn request with everything the rules speak of, in fractions."""

    request: Request

    @property
    def stitch(self) -> Fraction:
        return exact(self.request.stitch_mm)

    @property
    def apart(self) -> Fraction:
        return self.stitch + exact(self.request.fold.clear_mm)

    @property
    def places(self) -> list[Fraction]:
        return [g * exact(self.request.pitch_mm) for g in self.request.gatherings]

    def room(self, gathering: int) -> tuple[tuple[Fraction, Fraction], ...]:
        own = self.request.own_holes_mm.get(gathering, self.request.fold.holes_mm)
        return centre_set(replace(self.request.fold, holes_mm=own), self.stitch)

    def pins(self, gathering: int) -> tuple[Fraction, ...]:
        return tuple(exact(y) for g, y in self.request.fixed if g == gathering)

    def heights(self) -> Iterator[tuple[Fraction, ...]]:
        rooms = [self.room(g) for g in self.request.gatherings]
        for room in {centre_set(self.request.fold, self.stitch), shared(rooms)}:
            most = most_that_fit(room, self.stitch)
            for count in range(2 * self.request.stitches, most + 1):
                yield most_even(room, count, self.request.fold.height_mm)

    def folds(self, gathering: int, heights: Sequence[Fraction]) -> list[tuple[Fraction, ...]]:
        """Every way to sew one gathering with these heights."""
        pins, room = self.pins(gathering), self.room(gathering)
        free = [y for y in heights if any(a <= y <= b for a, b in room)]
        count = max(self.request.stitches - len(pins), 0)
        every = (tuple(sorted((*pins, *some))) for some in combinations(free, count))
        return [fold for fold in every if all(b - a >= self.apart for a, b in pairwise(fold))]

    def level(self, one: Sequence[Fraction], other: Sequence[Fraction]) -> bool:
        return any(abs(a - b) < self.stitch for a in one for b in other)

    def squares(self, layout: Sequence[Sequence[Fraction]]) -> list[Fraction]:
        """The squares of all distances between two bars, each a segment from hole to hole."""
        half = self.stitch / 2
        bars = [
            (x, y - half, y + half)
            for x, fold in zip(self.places, layout, strict=True)
            for y in fold
        ]
        squares = []
        for (x1, top1, end1), (x2, top2, end2) in combinations(bars, 2):
            between = max(top1, top2) - min(end1, end2)
            squares.append((x2 - x1) ** 2 + max(between, Fraction(0)) ** 2)
        return squares

    def strips(self, layout: Layout) -> int:
        """Different strips, those of gatherings with pinned stitches left out."""
        pairs = zip(self.request.gatherings, layout, strict=True)
        return len({fold for gathering, fold in pairs if not self.pins(gathering)})

    def merit(self, layout: Layout) -> tuple[Fraction, Fraction, list[list[Fraction]]]:
        pitch = min((b - a for fold in layout for a, b in pairwise(fold)), default=Fraction(0))
        return min(self.squares(layout)), pitch, [[-y for y in fold] for fold in layout]

    def tried(self) -> Layout | None:
        """Try every layout there is."""
        best = None
        for heights in self.heights():
            options = [self.folds(g, heights) for g in self.request.gatherings]
            for layout in product(*options):
                if any(self.level(a, b) for a, b in pairwise(layout)):
                    continue
                if self.request.strips and self.strips(layout) > self.request.strips:
                    continue
                if best is None or self.merit(layout) > self.merit(best):
                    best = layout
        return best

    def layouts(self) -> int:
        n = self.request.stitches
        return sum(
            comb(len(heights), n) ** len(self.request.gatherings) for heights in self.heights()
        )


def drawn(rng: random.Random, gatherings: int, spacing: Sequence[int]) -> SewnBook:
    """Return an invented book, some with own holes, pins or a limit on strips."""
    height = rng.randint(70, 200)
    holes = tuple(sorted(rng.sample(range(15, height - 15), rng.randint(1, 4))))
    numbers = [1]
    while len(numbers) < gatherings:
        numbers.append(numbers[-1] + rng.choice(spacing))
    book = Request(
        tuple(numbers),
        rng.choice((0.8, 1.2, 1.75, 2.5, 3.4)),
        FoldToSew(height, holes),
        rng.randint(1, 3),
        rng.choice((8, 10, 12.5, 15)),
    )
    if rng.random() < 0.3:
        own = tuple(sorted(rng.sample(range(15, height - 15), 3)))
        book = replace(book, own_holes_mm={rng.choice(numbers): own})
    if rng.random() < 0.3:
        gathering = rng.choice(numbers)
        room = SewnBook(book).room(gathering)
        if room:
            low, high = rng.choice(room)
            book = replace(book, fixed=((gathering, float((low + high) / 2)),))
    return SewnBook(replace(book, strips=rng.choice((None, None, 2, 3))))
