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
from patterns.structures import catalogue
from patterns.structures.catalogue import Structure
from patterns.structures.template import Template
from patterns.units import tenth

READ_AGAIN = "read the strip over the spine again after the sewing, before this is cut"
READ_WHAT = (
    "when it is sewn, read the paper strip over the sewn lining, tip to tip, at head and tail, beside the bars, "
    "enter spine.girth_sewn_head and spine.girth_sewn_tail, and draft again"
)


def lies_above(one: Template, chosen: Sequence[Template]) -> bool:
    """Tell whether a structure lies over a sewn spine: after the one that sews it in working order.

    Where none of the chosen ones does, the sewing was done before this draft.
    """
    sewing = [each.order for each in chosen if each.swells]
    every = sewing or [each.order for each in catalogue.templates().values() if each.swells]
    return not one.sewn and not one.swells and one.order > min(every)


def read_again(book: Book, lies_on_mm: float) -> Book:
    """Return the book with the girths read after the sewing, over all that lies on its spine by then."""
    read = book.sewn_girths
    if read is None or book.spine.sewn:
        return book
    return replace(book, shape=book.spine.read_again(*read, lies_on_mm))


def waiting(structure: Structure, part: Part, book: Book, params: Any) -> Part:
    """Return a part as it may be drawn: what lies on a spine sewn in the same draft waits for its reading.

    Up to 1 mm of swell its pieces say that the strip is to be read again; beyond, they are left out
    until it was, and one line says what to expect.
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
    first = structure.template.steps[0].phase
    return replace(
        part,
        pieces=(),
        diagrams=(),
        figures=None,
        others={},
        checks=(),
        steps=(Step(first, f"{part.title}: {line}.", (), part.structure),),
        warnings=(line,),
    )


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
