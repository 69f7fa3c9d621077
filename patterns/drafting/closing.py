"""Whether the cover still closes round everything a pattern adds over the spine."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.book.results import AlbumResult, SewnResult, WideningResult
from patterns.model.part import Part
from patterns.units import mm, tenth

TIGHT_MM = 1.0
"""A cover narrower by no more than this still closes (practice)."""


@dataclass(frozen=True, slots=True)
class Closing:
    """What must fit between the inner folds of the sides at head and tail, and what does; in mm."""

    added_mm: float
    """Thickness added over the spine by all structures together."""
    needed_mm: tuple[float, float]
    spine_mm: tuple[float, float] | None
    """Between the inner folds of the sides, as measured or as widened; None: not measured."""
    widened: bool = False
    swell_mm: tuple[float, float] = (0.0, 0.0)
    """Least and most that new thread adds to the girth."""
    rebuilt_mm: float | None = None
    """Thickness of a block built anew, at its spine."""

    @property
    def lack_mm(self) -> float:
        """How much the cover is narrower than needed where it is worst, thread not counted."""
        pair = zip(self.needed_mm, self.spine_mm or self.needed_mm, strict=True)
        return max(needed - spine for needed, spine in pair)

    @property
    def closes(self) -> bool:
        """True unless the cover lacks more than it can give, the least swell of the thread included."""
        return self.spine_mm is None or self.lack_mm + self.swell_mm[0] <= TIGHT_MM

    def figures(self) -> dict[str, float | bool]:
        """Return what is compared, each with its unit in its name."""
        found: dict[str, float | bool] = {
            "added_over_spine_mm": self.added_mm,
            "cover_needed_head_mm": self.needed_mm[0],
            "cover_needed_tail_mm": self.needed_mm[1],
        }
        if self.spine_mm is not None:
            found |= {
                "cover_spine_head_mm": self.spine_mm[0],
                "cover_spine_tail_mm": self.spine_mm[1],
                "cover_closes": self.closes,
            }
        return found

    def sentence(self) -> str:
        """Say in one sentence what is added, what that needs, and whether the cover closes."""
        words = f"{self._start()}, {_ends(self.needed_mm)} mm are needed between the inner folds of the sides"
        if self.spine_mm is None:
            return f"{words}; cover.spine_width is not measured, so measure it to know whether the cover closes"
        has = "the widened cover has" if self.widened else "the cover has"
        words += f"; {has} {_ends(self.spine_mm)} mm"
        if self.lack_mm > TIGHT_MM:
            words += f": it does not close, {tenth(self.lack_mm)} mm are lacking"
            words += "" if self.widened else "; widen it (cover_widening), or leave layers out"
        elif self.lack_mm > 0.05:
            words += f": it closes tightly, {tenth(self.lack_mm)} mm short"
        else:
            words += ": it closes"
        return words + self._thread()

    def _start(self) -> str:
        added = f"{mm(self.added_mm)} mm added over the spine"
        if self.rebuilt_mm is None:
            return f"With {added}"
        rebuilt = f"With the block rebuilt to {tenth(self.rebuilt_mm)} mm at its spine"
        return f"{rebuilt} and {added}" if self.added_mm else rebuilt

    def _thread(self) -> str:
        least, most = self.swell_mm
        if most <= 0:
            return ""
        words = f". Thread adds {tenth(least)} to {tenth(most)} mm to the girth"
        if self.spine_mm is not None and self.lack_mm <= TIGHT_MM < self.lack_mm + least:
            words += f", and once sewn the cover lacks {tenth(self.lack_mm + least)} mm or more"
        return f"{words}: read the strip again after sewing, and draft from that reading what lies on it"


def _ends(pair: tuple[float, float]) -> str:
    head, tail = tenth(pair[0]), tenth(pair[1])
    return head if head == tail else f"{head} (head) and {tail} (tail)"


def added_mm(part: Part) -> float:
    """Return what one structure adds over the spine."""
    return sum(one.thickness_mm for one in part.layers if one.on_spine and not one.existing)


def closing(book: Book, parts: Collection[Part]) -> Closing | None:
    """Compare the girth over all added layers, and both joints, with the cover's spine.

    `book` is as the last structure leaves it. In a widened cover all that counts lies within the
    new piece. None where nothing is added over the spine and the block stays as it was.
    """
    added = sum(map(added_mm, parts))
    album, widening = book.result(AlbumResult), book.result(WideningResult)
    if not added and album is None:
        return None
    shape, top = book.spine, book.cover_top_mm
    ends = (top, top + book.cover_height.value)
    under, piece = shape.linings_mm + added, 0.0
    if widening is not None:
        under, piece = widening.lies_on_mm, widening.piece.thickness_mm
    gaps = sum(book.gap(side).value for side in SIDES)
    head, tail = (shape.layer_mm(under, piece, at) + gaps for at in ends)
    return Closing(
        added_mm=added,
        needed_mm=(head, tail),
        spine_mm=_spine(book, widening),
        widened=widening is not None,
        swell_mm=_swell(book),
        rebuilt_mm=None if album is None else shape.chord_mm,
    )


def _spine(book: Book, widening: WideningResult | None) -> tuple[float, float] | None:
    if widening is not None:
        return widening.needed_head_mm, widening.needed_tail_mm
    cover = book.cover_spine
    return None if cover is None else (cover.head_mm, cover.tail_mm)


def _swell(book: Book) -> tuple[float, float]:
    sewn = book.result(SewnResult)
    return (0.0, 0.0) if sewn is None else (sewn.swell_least_mm, sewn.swell_most_mm)
