"""What an album's guards say of themselves: figures and checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from patterns.book.book import Book
from patterns.model.part import Check, Quantity
from patterns.structures.shared.album import Album, room
from patterns.structures.shared.album_view import ListedSection
from patterns.units import tenth, trimmed

TAPE_ONTO_MM = 32.0
"""How far a tape goes onto each side: as little as a lining does in general (A. L. Bailey 1916)."""


def thread_mm(album: Album, spine: float, params: Any) -> float:
    """Thread for sewing all along: every fold once, the climb, two tails, a tenth to spare."""
    span = album.height_mm - 2 * params.kettle
    return float(1.1 * (len(album.nests) * span + spine + 200))


@dataclass(frozen=True, slots=True)
class AlbumFigures:
    """What the steps are filled in with."""

    leaves: int
    guarded: bool
    brittle: bool
    leaf_width_mm: float
    stubs: bool
    guard_thickness_mm: str
    strip_thickness_mm: str
    guards: int
    strips_words: str
    guard_words: str
    lap_mm: float
    face_words: str
    nest_words: str
    singles: bool
    bare_words: str
    half_strip_words: str
    station_words: str
    tapes: int
    tape_mm: float
    tape_onto_mm: float
    sections: int
    thread_length_words: str
    block_spine_mm: float
    fore_edge_mm: float
    reach_words: str


def figures(
    book: Book, album: Album, listed: Sequence[ListedSection], holes: Sequence[float], params: Any
) -> AlbumFigures:
    """Return the figures and words that fill in the steps of a guarded album."""
    nests, spine = album.nests, sum(row.spine_mm for row in listed)
    folded, singles = sum(n.folded for n in nests), sum(n.single for n in nests)
    reach, left, _ = room(book, album, listed)
    guards, _ = _widths(album)
    bare = not album.folios and len(album.leaves_mm) % 2 == 1
    return AlbumFigures(
        leaves=len(album.leaves_mm),
        guarded=not album.folios,
        brittle=book.condition.paper == "brittle",
        leaf_width_mm=album.width_mm,
        stubs=not album.folios and book.album.old_stub_mm is not None,
        guard_thickness_mm=trimmed(album.at_spine_mm, 3),
        strip_thickness_mm=trimmed(album.strip_mm, 3),
        guards=sum(nest.guards for nest in nests),
        strips_words=_strips(folded, singles),
        guard_words="" if album.folios else _between(min(guards), max(guards)),
        lap_mm=album.lap_mm,
        face_words=_face_words(album, params),
        nest_words=f"{album.per_section} {album.carrier}{'s' * (album.per_section > 1)} to a section",
        singles=singles > 0,
        bare_words=", beside the leaf where the guard's other half is bare" if bare else "",
        half_strip_words=trimmed(album.strip_mm / 2, 3),
        station_words=", ".join(map(tenth, holes)),
        tapes=(len(holes) - 2) // 2,
        tape_mm=spine + 2 * TAPE_ONTO_MM,
        tape_onto_mm=TAPE_ONTO_MM,
        sections=len(nests),
        thread_length_words=tenth(thread_mm(album, spine, params) / 1000 + 0.05),
        block_spine_mm=spine,
        fore_edge_mm=sum(album.leaves_mm),
        reach_words=f"its leaves reach {tenth(reach)} mm from the outer fold"
        + (f", and the boards leave room for {tenth(left)}" if left is not None else ""),
    )


def _strips(folded: int, singles: int) -> str:
    one = f" and {singles} single one{'s' * (singles > 1)}" if singles else ""
    return f"{folded} folded strip{'s' * (folded != 1)}{one}"


def _between(least: float, most: float) -> str:
    """Say how wide guards are cut, once where all are alike."""
    if tenth(least) == tenth(most):
        return f"guards {tenth(most)} mm"
    return f"guards {tenth(least)} to {tenth(most)} mm"


def _widths(album: Album) -> tuple[list[float], list[float]]:
    """Return the width of every guard and of every folded strip as cut, flat."""
    guards = [cut.width_mm for row in album.widths.guards for cut in row]
    strips = [cut.width_mm for one in album.widths.strips for row in one for cut in row]
    return guards, strips


def _face_words(album: Album, params: Any) -> str:
    """Say which face of the leaves the laps are pasted to, as the sheets show it."""
    if params.face != "by place":
        return f"on the leaf's {params.face} face"
    if album.per_section == 1:
        return "on the leaf's inner face"
    return (
        f"on the leaf's inner face, for guard {album.per_section} of a section, the innermost, "
        "on its outer face"
    )


def others(book: Book, album: Album, listed: Sequence[ListedSection]) -> dict[str, Quantity]:
    """Return what is worked out beyond the figures of the steps."""
    nests = album.nests
    guards, strips = _widths(album)
    reach, left, _ = room(book, album, listed)
    found: dict[str, Quantity] = {
        "guards_per_section": album.per_section,
        "folded_strips": sum(nest.folded for nest in nests),
        "single_strips": sum(nest.single for nest in nests),
        "excess_mm": sum(album.leaves_mm) / len(album.leaves_mm) - album.at_spine_mm,
        "stub_mm": album.stub_mm,
        "hinge_mm": album.hinge_mm,
        "thread_in_fold_mm": album.thread_mm,
        "greatest_difference_mm": max(nest.greatest_mm for nest in nests),
        "end_difference_mm": nests[-1].differences_mm[-1],
        "reach_mm": reach,
    }
    if left is not None:
        found["room_mm"] = left
    if not album.folios:
        found |= {"guard_least_mm": min(guards), "guard_most_mm": max(guards)}
    if strips:
        found |= {"strip_least_mm": min(strips), "strip_most_mm": max(strips)}
    return found


def checks(book: Book, album: Album, listed: Sequence[ListedSection]) -> tuple[Check, ...]:
    """Return what can be held against the book or a rule outside."""
    spine, leaves = sum(row.spine_mm for row in listed), sum(album.leaves_mm)
    ends = max(abs(nest.differences_mm[-1]) for nest in album.nests)
    edge = book.fore_edge_mm
    found = [
        Check(
            "spine, all thicknesses added",
            spine,
            "mm",
            f"leaves and contents {tenth(leaves)} mm; half a strip is {trimmed(album.strip_mm / 2, 3)} mm",
        ),
        Check(
            "greatest difference at a section's end",
            ends,
            "mm",
            f"half a strip, {trimmed(album.strip_mm / 2, 3)} mm, at most",
        ),
    ]
    if edge is not None:
        found.append(
            Check("leaves and contents", leaves, "mm", f"fore edge as measured, {tenth(edge)} mm")
        )
    return tuple(found)
