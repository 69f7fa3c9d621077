"""tissue_hinge: its sewing alone."""

from __future__ import annotations

from patterns.book.book import Book
from patterns.sewing import ways
from patterns.sewing.sewn import Sewn
from patterns.sewing.ways import SewingSettings, settings
from patterns.structures.suits.tissue_hinge import Params, ends, within

NAME = "tissue_hinge"


def wanted(book: Book, params: Params) -> SewingSettings:
    """Return the settings of the sewing; the needle passes cloth and both stubs besides the folios."""
    setback = ends(book, params)[0]
    return settings(
        NAME,
        params,
        lining_mm=book.material("cloth").thickness_mm + 2 * book.material("tissue").thickness_mm,
        setback_head=setback,
        setback_tail=setback,
        within=within(book, params),
        pasted=False,  # nothing of it is pasted to the folds
    )


def sewn(book: Book, params: Params) -> Sewn:
    """Work out the sewing alone: places, the needle's way, load and swell.

    Raises PlacementError when no stitches fit, SettingError for settings that contradict each other.
    """
    return ways.bench(book, wanted(book, params)).best()
