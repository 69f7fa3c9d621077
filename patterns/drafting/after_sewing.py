"""What lies over a spine sewn anew: drafted from the girth read after the sewing, or not drafted yet.

New thread makes a spine wider by an amount that nobody can know beforehand, only its range. A piece that is
cut for the spine before that was read would not fit it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from patterns.book.book import Book
from patterns.book.results import SewnResult
from patterns.errors import MendfoldError
from patterns.model.part import Part, Step
from patterns.model.piece import Piece
from patterns.sewing.swell import READ_AGAIN_MM
from patterns.structures.catalogue import Structure
from patterns.structures.steps import PHASES
from patterns.units import tenth

READ_AGAIN = "read the strip over the spine again after the sewing, before this is cut"
READ_WHAT = (
    "when it is sewn, read the paper strip over the sewn lining, tip to tip, at head and tail, beside the bars, "
    "enter spine.girth_sewn_head and spine.girth_sewn_tail, and draft again"
)


def waiting(structure: Structure, part: Part, book: Book, params: Any) -> Part:
    """Return a part as it may be drawn: what lies on a spine sewn in the same draft waits for its reading.

    Up to 1 mm of swell its pieces say that the strip is to be read again; beyond, they are left out
    until it was, and one line says what to expect; of its steps those stay that come before the sewing.
    """
    sewn = book.result(SewnResult)
    above = [piece for piece in part.pieces if piece.stock and piece.lies_on_mm is not None]
    if sewn is None or not sewn.swell_most_mm or not above or book.spine.sewn:
        return part
    if sewn.swell_most_mm <= READ_AGAIN_MM:
        noted = [
            replace(piece, notes=(*piece.notes, READ_AGAIN)) if piece in above else piece
            for piece in part.pieces
        ]
        return replace(part, pieces=tuple(noted))
    line = (
        f"not drawn yet: {'; '.join(_expected(structure, above, book, params, sewn))}; {READ_WHAT}"
    )
    before = tuple(step for step in part.steps if not _after_sewing(step.phase))
    after = next(step.phase for step in part.steps if _after_sewing(step.phase))
    return replace(
        part,
        pieces=(),
        diagrams=(),
        figures=None,
        others={},
        checks=(),
        steps=(*before, Step(after, f"{part.title}: {line}.", (), part.structure)),
        warnings=(f"{part.structure}: {line}",),
    )


def _after_sewing(phase: str) -> bool:
    return PHASES.index(phase) > PHASES.index("sew")


def _expected(
    structure: Structure, above: Sequence[Piece], book: Book, params: Any, sewn: SewnResult
) -> Iterator[str]:
    """Yield each piece with the range of widths that the swell leaves to expect, in mm."""
    try:
        ends = [
            structure.worked(replace(book, shape=book.spine.swollen(swell)), params)[0]
            for swell in (sewn.swell_least_mm, sewn.swell_most_mm)
        ]
    except MendfoldError:
        ends = []
    for piece in above:
        widths = [one.width_mm for part in ends for one in part.pieces if one.name == piece.name]
        if len(widths) == 2:
            yield f"{piece.title or piece.name}, expected {tenth(min(widths))} to {tenth(max(widths))} mm wide"
        else:
            yield piece.title or piece.name
