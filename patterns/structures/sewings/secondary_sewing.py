"""secondary_sewing: its sewing alone."""

from __future__ import annotations

from patterns.book.book import Book
from patterns.sewing import ways
from patterns.sewing.sewn import Sewn
from patterns.sewing.ways import SewingSettings, settings
from patterns.structures.suits.secondary_sewing import Params

NAME = "secondary_sewing"


def wanted(book: Book, params: Params) -> SewingSettings:
    """Return the settings of the sewing; the needle passes tissue and cloth besides the folios."""
    through = book.material("tissue").thickness_mm + book.material("cloth").thickness_mm
    return settings(NAME, params, lining_mm=through)


def sewn(book: Book, params: Params) -> Sewn:
    """Work out the sewing alone: places, the needle's way, load and swell.

    Raises PlacementError when no stitches fit, SettingError for settings that contradict each other.
    """
    return ways.bench(book, wanted(book, params)).best()
