"""Whether the cover still closes round everything a pattern adds over the spine."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal

from patterns.book.book import Book
from patterns.book.covering import NARROWER_MM
from patterns.book.results import AlbumResult, RebackResult, SewnResult, WideningResult
from patterns.errors import RecordError
from patterns.model.part import Part
from patterns.units import at_ends, mm, tenth

ClosingKind = Literal["limp", "case", "laced"]


@dataclass(frozen=True, slots=True)
class _Said:
    """How the bench speaks of one kind of cover: sides close, a covering reaches round its boards."""

    thing: str
    between: str
    fit: str
    fits: str
    unread: str


_READ = "cover.spine_width is not measured, so measure it"
_SAID: Mapping[ClosingKind, _Said] = {
    "limp": _Said("the cover", "between the folds of the sides", "close", "closes", _READ),
    "case": _Said("the cover", "from board edge to board edge", "close", "closes", _READ),
    "laced": _Said(
        "the covering",
        "from board edge to board edge",
        "reach round",
        "reaches round",
        "cover.spine_width is not measured while it is on the book, so read a strip outside over it "
        "(cover.spine_strip)",
    ),
}


@dataclass(frozen=True, slots=True)
class Closing:
    """What the cover's spine must measure at head and tail, laid flat, and what it does; in mm."""

    added_mm: float
    """Thickness added over the spine by all structures together."""
    needed_mm: tuple[float, float] | None
    """Between the folds of limp sides, or the edges of boards; None: a way over a joint is not known."""
    spine_mm: tuple[float, float] | None
    """The same as measured or as widened; None: not measured."""
    kind: ClosingKind = "case"
    read_once: bool = False
    """One figure of the cover's spine stands for head and tail."""
    widened: bool = False
    new: str = ""
    """What is drafted to go round all of it, and is cut to what is needed; "" for the old cover."""
    swell_mm: tuple[float, float] = (0.0, 0.0)
    """Least and most that new thread adds to the girth."""
    rebuilt_mm: float | None = None
    """Thickness of a block built anew, at its spine."""

    @property
    def lack_mm(self) -> float:
        """How much the cover is narrower than needed where it is worst, thread not counted."""
        if self.needed_mm is None or self.spine_mm is None:
            return 0.0
        return max(
            needed - spine for needed, spine in zip(self.needed_mm, self.spine_mm, strict=True)
        )

    @property
    def judged(self) -> bool:
        """True where both what is needed and what there is are known."""
        return self.needed_mm is not None and self.spine_mm is not None

    @property
    def closes(self) -> bool:
        """True unless the cover lacks more than it can give, the least swell of the thread included.

        What is new is cut after the strip over the sewing was read: no swell is counted.
        """
        swell = 0.0 if self.new else self.swell_mm[0]
        return not self.judged or self.lack_mm + swell <= NARROWER_MM

    def figures(self) -> dict[str, float | bool]:
        """Return what is compared, each with its unit in its name."""
        found: dict[str, float | bool] = {"added_over_spine_mm": self.added_mm}
        if self.needed_mm is not None:
            found["cover_needed_head_mm"], found["cover_needed_tail_mm"] = self.needed_mm
        if self.spine_mm is not None:
            found["cover_spine_head_mm"], found["cover_spine_tail_mm"] = self.spine_mm
        if self.judged:
            found["cover_closes"] = self.closes
        return found

    def sentence(self) -> str:
        """Say in one sentence what is added, what that needs, and whether the cover closes."""
        said = _SAID[self.kind]
        if self.needed_mm is None:
            return (
                f"{self._start()}; cover.board_thickness is not measured, so measure it, or read "
                f"cover.joint_over, to know whether {said.thing} {said.fits}"
            )
        words = f"{self._start()}, {at_ends(self.needed_mm)} mm are needed {said.between}"
        if self.spine_mm is None:
            return (
                f"{words}; {said.unread}, to know whether {said.thing} {said.fits}{self._thread()}"
            )
        if self.new and self.lack_mm <= 0.05:
            return f"{words}, and the {self.new} is cut to that{self._thread()}"
        words += f"; {'the widened cover' if self.widened else said.thing} has {at_ends(self.spine_mm)} mm"
        if self.read_once and tenth(self.needed_mm[0]) != tenth(self.needed_mm[1]):
            words += ", read once for head and tail"
        if self.lack_mm > NARROWER_MM:
            words += f": it does not {said.fit}, {tenth(self.lack_mm)} mm are lacking"
            words += "" if self.widened else "; widen it (cover_widening), or leave layers out"
        elif self.lack_mm > 0.05:
            words += f": it {said.fits} tightly, {tenth(self.lack_mm)} mm short"
        else:
            words += f": it {said.fits}"
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
        if self.judged and not self.new and self.lack_mm <= NARROWER_MM < self.lack_mm + least:
            words += f", and once sewn {_SAID[self.kind].thing} lacks {tenth(self.lack_mm + least)} mm or more"
        return f"{words}: read the strip again after sewing, and draft from that reading what lies on it"


def added_mm(part: Part) -> float:
    """Return what one structure adds over the spine."""
    return sum(one.thickness_mm for one in part.layers if one.on_spine and not one.existing)


def closing(book: Book, parts: Collection[Part]) -> Closing | None:
    """Compare the way over all added layers, bars included, and both joints with the cover's spine.

    `book` is as the last structure leaves it. In a widened cover all that counts lies within the
    new piece. None where nothing is added over the spine and the block stays as it was. Raises
    RecordError for a strip over a covering whose thickness was not measured.
    """
    added = sum(map(added_mm, parts))
    album, widening = book.result(AlbumResult), book.result(WideningResult)
    if not added and album is None:
        return None
    shape = book.spine
    under, covering = shape.linings_mm + added + book.bars_mm, book.cover_thickness.value
    if widening is not None:
        under, covering = widening.lies_on_mm, widening.piece.thickness_mm
    old = book.cover_spine
    return Closing(
        added_mm=added,
        needed_mm=_needed(book, under, covering),
        spine_mm=_spine(book, widening),
        kind="limp" if book.limp else "laced" if book.laced else "case",
        read_once=widening is None and old is not None and old.one_figure,
        widened=widening is not None and not isinstance(widening, RebackResult),
        new=_new(widening),
        swell_mm=_swell(book),
        rebuilt_mm=None if album is None else shape.chord_mm,
    )


def _new(widening: WideningResult | None) -> str:
    if widening is None:
        return ""
    return "new covering" if isinstance(widening, RebackResult) else "wider spine"


def _needed(book: Book, under: float, covering: float) -> tuple[float, float] | None:
    """Return what the cover's spine must measure; None where a way over a joint is not known."""
    try:
        return book.covering.needed_mm(under, covering)
    except RecordError:
        return None


def _spine(book: Book, widening: WideningResult | None) -> tuple[float, float] | None:
    if widening is not None:
        return widening.needed_head_mm, widening.needed_tail_mm
    cover = book.cover_spine
    return None if cover is None else (cover.head_mm, cover.tail_mm)


def _swell(book: Book) -> tuple[float, float]:
    sewn = book.result(SewnResult)
    return (
        (0.0, 0.0) if sewn is None or book.spine.sewn else (sewn.swell_least_mm, sewn.swell_most_mm)
    )
