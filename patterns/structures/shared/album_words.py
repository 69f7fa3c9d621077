"""What an album's guards say of themselves: figures, warnings, checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from patterns.book.book import Book
from patterns.book.results import AlbumResult, WideningResult
from patterns.errors import RecordError
from patterns.model.part import Check, Quantity
from patterns.structures.shared.album import MANY_STRIPS, SHORT_MM, Album, creep_of, room
from patterns.structures.shared.album_view import ListedSection, runs
from patterns.units import tenth, trimmed

NARROWER_MM = 1.0
"""A cover narrower by no more than this still closes (practice)."""


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
    half_strip_words: str
    station_words: str
    tapes: int
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
    return AlbumFigures(
        leaves=len(album.leaves_mm),
        guarded=not album.folios,
        brittle=book.condition.paper == "brittle",
        leaf_width_mm=album.width_mm,
        stubs=not album.folios and book.album.old_stub_mm is not None,
        guard_thickness_mm=trimmed(album.at_spine_mm, 3),
        strip_thickness_mm=trimmed(album.strip_mm, 3),
        guards=sum(nest.guards for nest in nests),
        strips_words=f"{folded} folded strips" + (f" and {singles} single ones" if singles else ""),
        guard_words=""
        if album.folios
        else f"guards {tenth(min(guards))} to {tenth(max(guards))} mm",
        lap_mm=album.lap_mm,
        face_words={
            "inner": "on the leaf's inner face",
            "outer": "on the leaf's outer face",
            "by place": "on the leaf's inner face, for the innermost guard on its outer face",
        }[params.face],
        nest_words=f"{album.per_section} {album.carrier}s to a section",
        singles=singles > 0,
        half_strip_words=trimmed(album.strip_mm / 2, 3),
        station_words=", ".join(map(tenth, holes)),
        tapes=(len(holes) - 2) // 2,
        sections=len(nests),
        thread_length_words=tenth(thread_mm(album, spine, params) / 1000 + 0.05),
        block_spine_mm=spine,
        fore_edge_mm=sum(album.leaves_mm),
        reach_words=f"its leaves reach {tenth(reach)} mm from the outer fold"
        + (f", and the boards leave room for {tenth(left)}" if left is not None else ""),
    )


def _widths(album: Album) -> tuple[list[float], list[float]]:
    """Return the width of every guard and of every folded strip, flat."""
    fixed = 2 * (album.stub_mm + album.hinge_mm + album.lap_mm)
    creeps = [creep_of(album, nest) for nest in album.nests]
    guards = [fixed + more for one in creeps for more in one.guards]
    strips = [
        2 * (album.stub_mm - SHORT_MM) + more
        for one in creeps
        for row in one.strips
        for more in row
    ]
    return guards, strips


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


def warnings(book: Book, album: Album, listed: Sequence[ListedSection]) -> list[str]:
    """Say where the album lies outside what guards suit, and what would suit."""
    lines = []
    if not album.folios and book.album.old_stub_mm is None:
        lines.append(
            f"album_guards: there is no old stub, so the leaves stand {tenth(album.stub_mm + album.hinge_mm)} mm further "
            "out than they did: try one guarded leaf between the boards first"
        )
    lines += _fit(book, album, listed)
    late = [nest.number for nest in album.nests if not nest.balanced]
    if late:
        lines.append(
            f"album_guards: section{'s' * (len(late) > 1)} {runs(late)} will be thicker at the spine than the leaves are "
            "and take no strips; use thinner guards or thinner thread, or sew two sections on, which halves the thread in the folds"
        )
    most = max(max(nest.strips) for nest in album.nests)
    if most > MANY_STRIPS:
        lines.append(
            f"album_guards: {most} strips lie inside one guard; strips of "
            f"{trimmed(album.strip_mm * most / 4, 2)} mm would do it with about 4"
        )
    within = album.strip_mm + album.thread_mm / 2
    uneven = [n.number for n in album.nests if n.balanced and n.greatest_mm > within + 1e-9]
    if uneven:
        lines.append(
            f"album_guards: in section{'s' * (len(uneven) > 1)} {runs(uneven)} thick leaves face thin ones in the nest, "
            f"and leaves and spine differ by up to {max(album.nests[n - 1].greatest_mm for n in uneven):.2f} mm on the way; each section "
            "still ends level. Fewer guards to a section (--set nest=1) follow uneven leaves more closely"
        )
    if book.spine.tapered:
        lines.append(
            f"album_guards: the old spine differs by {tenth(abs(book.spine.girth_tail_mm - book.spine.girth_head_mm))} mm from head to "
            "tail; strips of even thickness make the new one level"
        )
    if book.condition.paper == "brittle":
        lines.append(
            "album_guards: brittle leaves break beside a lap; a box, or each leaf in a sleeve of its own, may suit better"
        )
    return lines


def _fit(book: Book, album: Album, listed: Sequence[ListedSection]) -> list[str]:
    lines = []
    reach, left, which = room(book, album, listed)
    if left is None:
        lines.append(
            "album_guards: board_width and square_fore_edge are not recorded, so the fit between the old boards is "
            "not checked; try one guarded leaf between them first"
        )
    elif reach > left + 1e-9:
        lines.append(
            f"album_guards: guarded leaves reach {tenth(reach)} mm and the {which} board leaves room for {tenth(left)}: "
            f"{tenth(reach - left)} mm too wide. Make the stub that much narrower, or make new boards, or box the "
            "album as it is"
        )
    if not book.expects(WideningResult):
        spine = sum(row.spine_mm for row in listed)
        lines += _narrow(book.after(AlbumResult(spine, spine)), spine)
    return lines


def _narrow(book: Book, spine: float) -> list[str]:
    """Say that the old cover's spine is too narrow for the rebuilt block and both joints, if it is."""
    try:
        old, needed = (
            book.cover_spine,
            max(book.covering.needed_mm(0.0, book.cover_thickness.value)),
        )
    except RecordError:
        return []
    if old is None or needed - old.least_mm <= NARROWER_MM:
        return []
    return [
        f"album_guards: the new spine is {tenth(spine)} mm and with its joints needs {tenth(needed)} mm of "
        f"cover; the old cover's spine is {tenth(old.least_mm)} mm, {tenth(needed - old.least_mm)} mm too narrow: "
        "draft cover_widening with it"
    ]


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
