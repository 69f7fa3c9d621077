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
from patterns.model.part import Part, Step, Waits
from patterns.model.piece import Piece
from patterns.sewing.swell import READ_AGAIN_MM
from patterns.structures import catalogue
from patterns.structures.catalogue import Structure
from patterns.structures.steps import PHASES
from patterns.structures.template import Template
from patterns.units import tenth

ENTER = "Enter spine.girth_sewn_head and spine.girth_sewn_tail, and draft again"
READ_AGAIN = "read the strip over the spine again after the sewing, before this is cut"


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
    waits = tuple(_expected(structure, above, book, params, sewn))
    line = f"not drawn yet: {'; '.join(map(_told, waits))}; it waits for the paper strip read over the sewn spine"
    return replace(
        part,
        pieces=(),
        waits=waits,
        diagrams=(),
        figures=None,
        others={},
        checks=(),
        steps=(
            Step(
                _after_sewing(structure.template),
                f"{part.title}: {line}. {ENTER}.",
                (),
                part.structure,
            ),
        ),
        warnings=(f"{line}. {ENTER}",),
    )


def _after_sewing(template: Template) -> str:
    """Return the phase of the first step of a structure that is done when the spine is sewn."""
    later = PHASES[PHASES.index("sew") + 1 :]
    return next((step.phase for step in template.steps if step.phase in later), later[0])


def _told(one: Waits) -> str:
    if one.wide_mm is None:
        return one.title
    return f"{one.title}, expected {tenth(one.wide_mm[0])} to {tenth(one.wide_mm[1])} mm wide"


def _expected(
    structure: Structure, above: Sequence[Piece], book: Book, params: Any, sewn: SewnResult
) -> Iterator[Waits]:
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
        wide = (min(widths), max(widths)) if len(widths) == 2 else None
        yield Waits(piece.title or piece.name, piece.material, wide)
