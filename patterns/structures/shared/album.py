"""An album to be guarded: its leaves, the parts of a half guard, its sections, its stations.

Guards carry the leaves, folded strips fill the spine to the thickness of the leaves; the strips themselves are dealt in `balance`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.errors import Problem, RecordError, SettingError
from patterns.formulas.balance import Nest, balance
from patterns.structures.shared import album_widths
from patterns.structures.shared.album_view import ListedSection
from patterns.structures.shared.album_widths import Widths
from patterns.structures.suits import album_guards as suits
from patterns.structures.suits.album_guards import Params
from patterns.units import tenth, trimmed

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
    leaf_inside: tuple[bool, ...]
    """For each guard of a section, whether its leaves lie on its inner face (pasted to their outer)."""
    widths: Widths

    @property
    def carrier(self) -> str:
        return "folio" if self.folios else "guard"

    @property
    def per_section(self) -> int:
        return len(self.leaf_inside)

    def spine_mm(self, nest: Nest) -> float:
        """Thickness of one section at its folds."""
        paper = 2 * nest.guards * self.at_spine_mm
        return paper + (2 * nest.folded + nest.single) * self.strip_mm + self.thread_mm

    def listed(self) -> tuple[ListedSection, ...]:
        """Every section with its leaves and both thicknesses."""
        carried = [2 * nest.guards - nest.bare for nest in self.nests]
        rows = []
        for nest, count, last in zip(self.nests, carried, accumulate(carried), strict=True):
            own = sum(self.leaves_mm[last - count : last])
            rows.append(ListedSection(nest, last - count + 1, last, self.spine_mm(nest), own))
        return tuple(rows)

    def dealt(
        self,
        per_section: int | None = None,
        at_spine_mm: float | None = None,
        strip_mm: float | None = None,
        thread_mm: float | None = None,
    ) -> tuple[Nest, ...]:
        """Return the sections as they would be with something else than it has."""
        return dealt(
            self.leaves_mm,
            self.per_section if per_section is None else per_section,
            self.at_spine_mm if at_spine_mm is None else at_spine_mm,
            self.strip_mm if strip_mm is None else strip_mm,
            self.thread_mm if thread_mm is None else thread_mm,
        )


def dealt(
    leaves: Sequence[float], per_section: int, at_spine: float, strip: float, thread: float
) -> tuple[Nest, ...]:
    """Return the sections of an album, an odd last leaf on a guard with a bare half."""
    bare = at_spine if len(leaves) % 2 else None
    return balance([one - at_spine for one in leaves], per_section, strip, thread, bare)


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
    nests = dealt(leaves, per_section, at_spine, strip, thread)
    _refuse_stacks(nests, strip)
    stub = suits.stub_mm(held, params)
    hinge, lap = (0.0, 0.0) if folios else (params.hinge, suits.lap_mm(held, params))
    inside = _leaf_inside(params, per_section)
    return Album(
        folios=folios,
        leaves_mm=leaves,
        at_spine_mm=at_spine,
        strip_mm=strip,
        thread_mm=thread,
        stub_mm=stub,
        hinge_mm=hinge,
        lap_mm=lap,
        height_mm=held.height_mm,
        width_mm=held.width_mm,
        nests=nests,
        leaf_inside=inside,
        widths=album_widths.widths(
            nests, stub + hinge + lap, stub, at_spine, strip, inside, params.cut_tolerance
        ),
    )


def _leaf_inside(params: Params, guards: int) -> tuple[bool, ...]:
    if params.face != "by place":
        return (params.face == "outer",) * guards
    return tuple(q == guards - 1 and guards > 1 for q in range(guards))


def _refuse_stacks(nests: Sequence[Nest], strip: float) -> None:
    most = most_strips(nests)
    if most > MOST_STRIPS:
        raise SettingError(
            f"album_guards: {most} strips of {trimmed(strip, 3)} mm would lie inside one guard, more than {MOST_STRIPS} "
            f"cannot be nested true; take strips of {trimmed(strip * most / MANY_STRIPS, 2)} mm (strip_thickness), "
            "thin board where need be, or box the contents apart from the album"
        )


def most_strips(nests: Sequence[Nest]) -> int:
    """Return how many strips lie inside one guard at most."""
    return max(max(*nest.strips, nest.single) for nest in nests)


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


def room(
    book: Book, album: Album, listed: Sequence[ListedSection]
) -> tuple[float, float | None, str]:
    """Return how far a guarded leaf reaches, and the least room its boards leave it."""
    radius = max(row.spine_mm for row in listed) / 2
    reach = album.width_mm + radius
    if not album.folios:
        reach += album.stub_mm + album.hinge_mm + album.widths.surplus_mm / 2
    rooms = []
    for which in SIDES:
        width, square = book.board_width_mm(which), book.fore_edge_square_mm(which)
        if width is not None and square is not None:
            rooms.append((width - square + book.gap(which).value, which))
    if not rooms:
        return reach, None, ""
    room, which = min(rooms)
    return reach, room, which
