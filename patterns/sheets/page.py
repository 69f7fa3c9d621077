"""A planned page before it has its number, and what all pages of a pattern have in common."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from patterns.model.drawing import Drawing, Mark
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.model.sheet import FullSize, Group, Printout, Sheet
from patterns.sheets import card
from patterns.sheets.furniture import Arrangement, Frame, Heading, frame
from patterns.sheets.item import Item
from patterns.sheets.legend import Sign
from patterns.sheets.memory import Memory
from patterns.sheets.whereabouts import (
    ELSEWHERE,
    LIKEWISE,
    Displayed,
    page_words,
    runs,
    told,
    waiting,
    where,
)
from patterns.stock.paper import Paper
from patterns.stock.printer import UNCORRECTED, Correction

ROLL_PAGE_MM = 420.0
"""Greatest length of a page of words on a roll."""
WIDEST = 888
"""Stands for the page numbers while pages are being planned."""


@dataclass(frozen=True, slots=True)
class Page:
    """A planned page: everything but its number."""

    title: str
    group: Group
    pieces: tuple[str, ...]
    heading: Heading
    width_mm: float
    height_mm: float
    side: Arrangement = "foot"
    signs: frozenset[Sign] = frozenset()
    stretch: tuple[float, float] = (1.0, 1.0)
    marks: tuple[Mark, ...] = ()
    mapped: bool = False
    """Room is kept for a key map."""
    bars: bool = True
    """The measured bars stand on it: a page to cut from."""
    cuts: bool = True
    """Something is cut by it; else nothing that is heeded before a cut stands on it."""
    phase: str = ""
    """The phase of the work that it belongs to."""
    shown: tuple[Displayed, ...] = ()
    """What it shows, as words on other pages name it."""
    whose: tuple[tuple[Displayed, ...], ...] = ()
    """What stands on other pages, for each of the words here that wait for its pages."""

    @property
    def frame(self) -> Frame:
        """The page's furniture; PaperError where the page is too low for it."""
        return self.framed(self.signs)

    def framed(self, signs: frozenset[Sign]) -> Frame:
        """Return its furniture with a legend of some signs."""
        return frame(
            self.heading,
            self.width_mm,
            self.height_mm,
            signs,
            self.bars,
            self.side,
            self.stretch,
            self.mapped,
            self.cuts,
        )

    @property
    def notes(self) -> tuple[Displayed, ...]:
        """What stands on other pages, and is told here."""
        if self.group in ("overview", "steps"):
            return ()
        signs = zip(waiting(self.marks), self.whose, strict=True)
        return tuple(name for sign, names in signs if sign == ELSEWHERE for name in names)

    def pointing(self, noted: Mapping[Displayed, Sequence[int]]) -> Page:
        """Return it with the pages named on which notes to what it shows stand, where its block has the room."""
        numbers = [number for name in self.shown for number in noted.get(name, ())]
        if not numbers:
            return self
        notes = f"Notes: {page_words(runs(numbers))}"
        made = replace(self, heading=replace(self.heading, notes=notes))
        return made if made.frame.box == self.frame.box else self

    def numbered(self, page: int, pages: int, found: Mapping[Displayed, Sequence[int]]) -> Sheet:
        """Return the finished page n of m; `found` are the pages of everything, by its name."""
        made = replace(self, heading=replace(self.heading, page=page, pages=pages)).frame
        numbers = [[n for name in names for n in found[name]] for names in self.whose]
        waited = [
            "" if sign == LIKEWISE and page in those else runs(those)
            for sign, those in zip(waiting(self.marks), numbers, strict=True)
        ]
        marks = told(self.marks, waited)
        drawing = Drawing(self.width_mm, self.height_mm, (*made.marks, *marks))
        return Sheet(self.title, self.group, drawing, self.pieces, self.phase)


def numbered(pages: Sequence[Page]) -> tuple[Sheet, ...]:
    """Return the finished pages, each with its number and how many there are."""
    found = where(page.shown for page in pages)
    noted = where(page.notes for page in pages)
    return tuple(
        page.pointing(noted).numbered(number, len(pages), found)
        for number, page in enumerate(pages, 1)
    )


class Better(NamedTuple):
    """A larger paper, and how many sheets the whole pattern takes on it."""

    paper: str
    sheets: int


@dataclass(frozen=True, slots=True)
class Layout:
    """What all pages have in common: whose pattern, on which paper, for which printer."""

    pattern: Pattern
    paper: Paper
    correction: Correction = UNCORRECTED
    full_size: FullSize = ""
    shown: Printout = "all"
    suggests: bool = False
    """The overview is to say how many sheets a larger paper would take."""
    better: Better | None = None
    """What it says then."""
    memory: Memory = field(default_factory=Memory, compare=False, repr=False)
    """What an earlier lay-out of nearly the same has drawn already."""

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of a page of words in mm: upright, or a length of the roll."""
        return self.paper.width_mm, ROLL_PAGE_MM if self.paper.roll else self.paper.height_mm

    @property
    def heads(self) -> tuple[object, ...]:
        """All that every title block says alike."""
        pattern, paper = self.pattern, self.paper
        book = pattern.book_id, pattern.book_title, pattern.record_date, pattern.version
        return (*book, paper, self.correction)

    def stretch(self, width: float, height: float) -> tuple[float, float]:
        """Return the printer's factors across and down for a page as it lies."""
        factors = self.correction.for_page(width, height)
        return factors.across, factors.down

    def text(self, title: str, group: Group) -> Page:
        """Return an empty page of words: without bars, upright."""
        made = ", ".join(part.title.lower() for part in self.pattern.parts)
        heading = self._heading(title, "", (("Made", made),), "not for cutting")
        return Page(title, group, (), heading, *self.size, bars=False)

    def page(
        self,
        items: Sequence[Item],
        size: tuple[float, float],
        side: Arrangement,
        title: str = "",
        subtitle: str = "",
        mapped: bool = False,
    ) -> Page:
        """Return an empty page for some items, with its title block; the legend holds all signs."""
        heading = self._titled(items, title, subtitle)
        return Page(
            heading.title,
            "sewing" if all(item.sewing for item in items) else "cutting",
            tuple(name for item in items for name in item.names),
            heading,
            *size,
            side,
            frozenset(sign for item in items for sign in item.signs),
            items[0].stretch,
            mapped=mapped,
            cuts=any(item.cuts for item in items),
            phase=items[0].phase,
            shown=tuple(one for item in items for one in item.shown),
        )

    def _titled(self, items: Sequence[Item], title: str, subtitle: str) -> Heading:
        shown = [item for item in items if not item.words]
        if not shown:
            return self._of_words(items, title, subtitle)
        subjects = [item.subject for item in shown]
        parts = list(dict.fromkeys(item.part.title for item in shown))
        items = shown
        if not title and len(items) == 1:
            title = items[0].title
            named = isinstance(subjects[0], Piece) and subjects[0].titled_by_structure
            subtitle = "" if named else parts[0]
        stock = [one for one in subjects if isinstance(one, Piece) and one.stock]
        fields = [("Structure", ", ".join(parts)), ("Piece", _listed(o.name for o in subjects))]
        if stock and len(items) == 1:
            fields.append(("Material", _listed(card.material(one) for one in stock)))
            fields.append(("Grain or warp", _listed(card.RUNS[one.grain] for one in stock)))
        return self._heading(
            title or " and ".join(parts[:2]),
            subtitle or (_counted(subjects) if len(items) > 1 else ""),
            tuple(fields),
            _listed(item.scale for item in items),
        )

    def _of_words(self, items: Sequence[Item], title: str, subtitle: str) -> Heading:
        """Return the heading of a page of words alone: what they tell."""
        notes = ("notes to pieces",) if any(item.whose for item in items) else ()
        named = _listed((*notes, *(item.subject.name for item in items if not item.whose)))
        parts = list(dict.fromkeys(item.part.title for item in items if item.whose))
        fields = [("Structure", ", ".join(parts))] if parts else []
        fields.append(("Told", _listed(item.subject.name for item in items)))
        return self._heading(
            title or named[:1].upper() + named[1:], subtitle, tuple(fields), "not to scale"
        )

    def _heading(
        self, title: str, subtitle: str, fields: tuple[tuple[str, str], ...], scale: str
    ) -> Heading:
        return Heading(
            title=title,
            subtitle=subtitle,
            book_id=self.pattern.book_id,
            book_title=self.pattern.book_title,
            fields=fields,
            page=WIDEST,
            pages=WIDEST,
            paper=self.paper.name,
            scale=scale,
            correction=self.correction.words,
            record_date=self.pattern.record_date,
            version=self.pattern.version,
        )


def _listed(words: Iterable[str], most: int = 4) -> str:
    each = list(dict.fromkeys(words))
    return ", ".join(each[:most]) + (f" and {len(each) - most} more" if len(each) > most else "")


def _counted(subjects: Sequence[object]) -> str:
    pieces = sum(isinstance(one, Piece) for one in subjects)
    told = [(pieces, "piece"), (len(subjects) - pieces, "drawing")]
    return ", ".join(f"{n} {word}{'s' if n > 1 else ''}" for n, word in told if n)
