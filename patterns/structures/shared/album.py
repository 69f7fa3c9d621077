"""An album to be guarded: its leaves, the parts of a half guard, its sections, its stations.

Guards carry the leaves, folded strips fill the spine to the thickness of the leaves; the strips themselves are dealt in `balance`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.errors import Problem, RecordError, SettingError
from patterns.formulas.balance import Creep, Nest, balance, creep
from patterns.structures.shared.album_view import ListedSection
from patterns.structures.suits import album_guards as suits
from patterns.structures.suits.album_guards import Params
from patterns.units import tenth, trimmed

SHORT_MM = 1.0
"""Strips end this far short of the hinge."""
MANY_STRIPS, MOST_STRIPS = 8, 30
"""Inside one guard: so many ask for thicker stuff, and more cannot be nested true (practice)."""


@dataclass(frozen=True, slots=True)
class Album:
    """The album as reckoned: leaf by leaf, and what stands for a leaf at the spine."""

    folios: bool
    leaves_mm: tuple[float, ...]
    at_spine_mm: float
    """A guard's thickness; for folded pairs the leaf's own, since the folio itself is the fold."""
    strip_mm: float
    thread_mm: float
    stub_mm: float
    hinge_mm: float
    lap_mm: float
    height_mm: float
    width_mm: float
    nests: tuple[Nest, ...]

    @property
    def carrier(self) -> str:
        return "folio" if self.folios else "guard"

    @property
    def per_section(self) -> int:
        return self.nests[0].guards

    def spine_mm(self, nest: Nest) -> float:
        """Thickness of one section at its folds."""
        paper = 2 * nest.guards * self.at_spine_mm
        return paper + (2 * nest.folded + nest.single) * self.strip_mm + self.thread_mm

    def listed(self) -> tuple[ListedSection, ...]:
        """Every section with its leaves and both thicknesses."""
        rows = []
        for nest in self.nests:
            first = 2 * self.per_section * (nest.number - 1)
            own = self.leaves_mm[first : first + 2 * nest.guards]
            rows.append(
                ListedSection(nest, first + 1, first + len(own), self.spine_mm(nest), sum(own))
            )
        return tuple(rows)


def reckoned(book: Book, params: Params) -> Album:
    """Reckon an album from its record and the settings of its guards.

    Raises RecordError for an odd leaf among folded pairs, SettingError for strips that cannot be
    nested.
    """
    held = book.album
    folios, leaf, count = held.folded_pairs, held.leaf_mm, len(held.contents_mm)
    leaves = tuple(leaf + one for one in held.contents_mm)
    if folios and count % 2:
        found = f"{count} is odd, and folded pairs have two leaves each"
        remedy = 'count again, or guard the odd one as a pair with a bare stub and record kind = "single"'
        problem = Problem("album.leaves", found, "an even number", remedy, "clash")
        raise RecordError(f"album.leaves: {found}; {remedy}", [problem])
    guard, strip = book.material("guard").thickness_mm, book.material("strip").thickness_mm
    at_spine = leaf if folios else guard
    thread = params.thread_share * book.material("thread").thickness_mm
    mean = sum(leaves) / len(leaves)
    per_section = max(1, min(params.nest, int(params.section_thickness / (2 * mean) + 1e-9)))
    excess = [one - at_spine for one in leaves] + [-at_spine] * (count % 2)
    nests = balance(excess, per_section, strip, thread)
    _refuse_stacks(nests, strip)
    return Album(
        folios=folios,
        leaves_mm=leaves,
        at_spine_mm=at_spine,
        strip_mm=strip,
        thread_mm=thread,
        stub_mm=suits.stub_mm(held, params),
        hinge_mm=0.0 if folios else params.hinge,
        lap_mm=0.0 if folios else suits.lap_mm(held, params),
        height_mm=held.height_mm,
        width_mm=held.width_mm,
        nests=nests,
    )


def _refuse_stacks(nests: Sequence[Nest], strip: float) -> None:
    most = max(max(nest.strips) for nest in nests)
    if most > MOST_STRIPS:
        raise SettingError(
            f"album_guards: {most} strips of {trimmed(strip, 3)} mm would lie inside one guard, more than {MOST_STRIPS} "
            f"cannot be nested true; take strips of {trimmed(strip * most / MANY_STRIPS, 2)} mm (--set strip_thickness=…), "
            "thin board where need be, or box the contents apart from the album"
        )


def stations(height: float, params: Params) -> tuple[float, ...]:
    """Kettles, and a hole each side of every tape, in mm from the head of the guards."""
    tapes = params.tapes or max(2, round(height / 76))
    span, half = height - 2 * params.kettle, params.tape_width / 2
    middles = [params.kettle + span * i / (tapes + 1) for i in range(1, tapes + 1)]
    holes = [
        params.kettle,
        *(y + s for y in middles for s in (-half, half)),
        height - params.kettle,
    ]
    if min(b - a for a, b in pairwise(holes)) < 4:
        raise SettingError(
            f"album_guards.tapes: {tapes} tapes of {tenth(params.tape_width)} mm do not fit between kettles "
            f"{tenth(params.kettle)} mm from both ends of {tenth(height)} mm; take fewer or narrower tapes"
        )
    return tuple(holes)


def creep_of(album: Album, nest: Nest) -> Creep:
    """Return what bending adds to one section's guards and strips."""
    return creep(nest, album.at_spine_mm, album.strip_mm)


def room(
    book: Book, album: Album, listed: Sequence[ListedSection]
) -> tuple[float, float | None, str]:
    """Return how far a guarded leaf reaches, and the least room its boards leave it."""
    radius = max(row.spine_mm for row in listed) / 2
    reach = album.width_mm + radius
    if not album.folios:
        reach += album.stub_mm + album.hinge_mm
    rooms = []
    for which in SIDES:
        width, square = book.board_width_mm(which), book.fore_edge_square_mm(which)
        if width is not None and square is not None:
            rooms.append((width - square + book.gap(which).value, which))
    if not rooms:
        return reach, None, ""
    room, which = min(rooms)
    return reach, room, which
