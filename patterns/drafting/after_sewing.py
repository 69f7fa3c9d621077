"""What lies over a spine sewn anew: drafted from the girth read after the sewing, or not drafted yet.

New thread makes a spine wider by an amount that nobody can know beforehand, only its range. A piece that is
cut for the spine before that was read would not fit it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from patterns.book.book import Book
from patterns.book.results import Result, SewnResult
from patterns.errors import MendfoldError
from patterns.model.part import Part, Step, Waits
from patterns.model.piece import Piece
from patterns.sewing.swell import READ_AGAIN_MM
from patterns.structures.catalogue import Structure
from patterns.structures.steps import PHASES
from patterns.units import tenth

ENTER = "Enter spine.girth_sewn_head and spine.girth_sewn_tail, and draft again"
READ_AGAIN = "read the strip over the spine again after the sewing, before this is cut"


Swelled = tuple[tuple[Result, ...], tuple[Result, ...]]
"""What waiting structures would hand on if the spine swelled least, and if it swelled most."""
NOTHING_WAITS: Swelled = ((), ())


def waiting(
    structure: Structure, part: Part, book: Book, params: Any, swelled: Swelled
) -> tuple[Part, Swelled]:
    """Return a part as it may be drawn: what lies on a spine sewn in the same draft waits for its reading.

    Up to 1 mm of swell its pieces say that the strip is to be read again; beyond, they are left out
    until it was, and one line says what to expect; of its steps those stay that come before the sewing.
    `swelled` is what those before it would hand on, returned with what this one would.
    """
    sewn = book.result(SewnResult)
    above = [piece for piece in part.pieces if piece.stock and piece.lies_on_mm is not None]
    if sewn is None or not sewn.swell_most_mm or not above or book.spine.sewn:
        return part, swelled
    if sewn.swell_most_mm <= READ_AGAIN_MM:
        noted = [
            replace(piece, notes=(*piece.notes, READ_AGAIN)) if piece in above else piece
            for piece in part.pieces
        ]
        return replace(part, pieces=tuple(noted)), swelled
    before = tuple(step for step in part.steps if not _after_sewing(step.phase))
    after = next(step.phase for step in part.steps if _after_sewing(step.phase))
    ends, swelled = _ends(structure, book, params, sewn, swelled)
    waits = tuple(_expected(above, ends))
    line = f"not drawn yet: {'; '.join(map(_told, waits))}; it waits for the paper strip read over the sewn spine"
    left = replace(
        part,
        pieces=(),
        waits=waits,
        diagrams=(),
        figures=None,
        others={},
        checks=(),
        steps=(*before, Step(after, f"{part.title}: {line}. {ENTER}.", (), part.structure)),
        warnings=(f"{line}. {ENTER}",),
    )
    return left, swelled


def _after_sewing(phase: str) -> bool:
    return PHASES.index(phase) > PHASES.index("sew")


def _told(one: Waits) -> str:
    if one.wide_mm is None:
        return one.title
    return f"{one.title}, expected {tenth(one.wide_mm[0])} to {tenth(one.wide_mm[1])} mm wide"


def _ends(
    structure: Structure, book: Book, params: Any, sewn: SewnResult, swelled: Swelled
) -> tuple[tuple[Part, ...], Swelled]:
    """Work a structure out for the least and for the most swell, with what those before it hand on then."""
    worked = []
    try:
        for swell, results in zip((sewn.swell_least_mm, sewn.swell_most_mm), swelled, strict=True):
            wider = replace(
                book, shape=book.spine.swollen(swell), results=(*results, *book.results)
            )
            worked.append(structure.worked(wider, params))
    except MendfoldError:
        return (), swelled
    (least, given_least), (most, given_most) = worked
    return (least, most), (
        (*swelled[0], *_given(given_least)),
        (*swelled[1], *_given(given_most)),
    )


def _given(result: Result | None) -> tuple[Result, ...]:
    return () if result is None else (result,)


def _expected(above: Sequence[Piece], ends: Sequence[Part]) -> Iterator[Waits]:
    """Yield each piece with the range of widths that the swell leaves to expect, in mm."""
    for piece in above:
        widths = [one.width_mm for part in ends for one in part.pieces if one.name == piece.name]
        wide = (min(widths), max(widths)) if len(widths) == 2 else None
        yield Waits(piece.title or piece.name, piece.material, wide)
