"""What wants room on a page: a piece, a diagram or words, at one printer's factors, drawn once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from patterns.model.capitals import BODY
from patterns.model.drawing import LineKind, Ring, Words
from patterns.model.part import Diagram, Part
from patterns.model.piece import Piece
from patterns.sheets import card, ruler
from patterns.sheets.columned import columned
from patterns.sheets.flow import close, flowed, stack
from patterns.sheets.furniture import boxed
from patterns.sheets.legend import Sign
from patterns.sheets.piece_view import Face, Key, View, drawn, inserted, view, worded
from patterns.sheets.place import Desk
from patterns.sheets.whereabouts import ELSEWHERE, Displayed
from patterns.sketch.marks import Block, Box, around, box_of, corners, moved, stretched

INK = 0.4
"""Room for half a line's width round a drawing."""
TIGHT = 2.0
"""Room for words at either side of a piece, in mm."""
ROOMY = 24.0
"""The same where words found no place in it, and there is room on the page."""
UNTAGGED = "–"
RECORDS = "Section, checks and records"
"""What belongs to no phase: words that concern the whole work."""
INSERTS = (60.0, 48.0, 42.0)
"""Widths tried for what is said of a piece on its own blank parts."""
BETWEEN = 3.5
BESIDE = 5.0
APART = (60.0, 44.0)
"""Widths of all that is said of an item, as one block apart from it."""
WIDEST = 150.0
"""The widest column of words."""
COLUMNS = (2, 3)
"""The same in several columns."""


@dataclass(frozen=True, eq=False)
class Item:
    """A piece or a diagram that wants room on a page, at one printer's factors."""

    part: Part
    subject: Piece | Diagram
    stretch: tuple[float, float] = (1.0, 1.0)
    first: tuple[str, ...] = ()
    """Boxed words of the part that stand beside its first piece."""
    serves: tuple[Piece, ...] = ()
    """Other pieces of the same outline, for which this one drawing stands as well."""
    looks: tuple[Diagram, ...] = ()
    """Other drawings that look the same, for which this one stands as well."""
    ruled: bool = False
    """Drawn small, its sizes to be measured off."""
    like: Piece | None = None
    """An earlier piece of the same kind, of which the same was said already."""
    variants: tuple[Block, ...] = ()
    """Words in several forms, the best first."""
    of: Item | None = None
    """What words are said of: their forms are made when they are asked for."""
    key: Key = ()
    away: bool = False
    whose: Displayed | None = None
    """What words are said of that stands on another page; it keeps this when the words are parted."""
    _forms: list[Block] = field(default_factory=list, repr=False)
    _said: dict[tuple[Key, float], Sequence[Block]] = field(default_factory=dict, repr=False)
    _told: dict[tuple[Key, float], Block] = field(default_factory=dict, repr=False)
    _others: dict[tuple[float, float], Item] = field(default_factory=dict, repr=False)

    @property
    def made_of(self) -> tuple[object, ...]:
        """All that it is drawn and told from: items with the same show the same on every page."""
        part = self.part.title, self.part.structure, self.sewing, self.phase
        own = self.subject, self.stretch, self.first, self.serves, self.looks, self.like
        words = [(block.width, block.height, block.marks) for block in self.variants]
        return (*part, *own, *words)

    def at(self, stretch: tuple[float, float]) -> Item:
        """Return it at a printer's factors."""
        if stretch == self.stretch:
            return self
        if stretch not in self._others:
            self._others[stretch] = self._anew(stretch=stretch)
        return self._others[stretch]

    @cached_property
    def small(self) -> Item:
        """The same drawn small, its sizes to be measured off."""
        return self._anew(ruled=True)

    def _anew(self, **changed: Any) -> Item:
        return replace(self, _said={}, _told={}, _forms=[], _others={}, **changed)

    @cached_property
    def face(self) -> Face | None:
        """The piece made ready for drawing; None for a diagram."""
        if not isinstance(self.subject, Piece):
            return None
        if self.ruled:
            scale = ruler.scale_of(self.subject).factor
            return Face(ruler.ruled(self.subject), scale=scale)
        return Face(self.subject, self.stretch)

    @cached_property
    def diagram(self) -> View:
        """The diagram as it was drawn."""
        assert isinstance(self.subject, Diagram)
        return _diagram_view(self.subject, self.stretch)

    @cached_property
    def desk(self) -> Desk:
        """The words of the piece in the least room."""
        assert self.face is not None
        return worded(self.face, self.limit)

    @cached_property
    def tight(self) -> View:
        """The drawing in the least room."""
        return self.seen(drawn(self.face, self.desk)) if self.face else self.diagram

    @cached_property
    def drawn(self) -> View:
        """The drawing with all words placed, as it stands whole on a page.

        It takes more room where a place in it found none for its tag.
        """
        if self.face is None:
            return self.diagram
        tight = self.tight
        if all(number != UNTAGGED for number, _ in tight.key):
            return tight
        roomy = self.seen(view(self.face, self.face.room(ROOMY)))
        return min(tight, roomy, key=lambda one: len(one.key))

    @cached_property
    def notes(self) -> Item:
        """What is said of it, to stand on another page."""
        return notes(self, self.drawn.key, True)

    @cached_property
    def lettered(self) -> View | None:
        """The drawing with all that is said of it on its own blank parts; None where they are too few."""
        if self.face is None or len(self.tight.key) > len(self.drawn.key):
            return None
        forms = [self.said(self.drawn.key, width) for width in INSERTS]
        told = [tuple(blocks) for blocks in zip(*forms, strict=True)]
        made = inserted(self.face, self.desk.copy(), told)
        return None if made is None else self.seen(made)

    def seen(self, made: View) -> View:
        """Return a view of it without a line to cut along where it is not at full size."""
        if not self.ruled:
            return made
        signs = (made.signs - {LineKind.CUT}) | {LineKind.OUTLINE}
        return replace(made, draw=lambda: tuple(map(ruler.as_seen, made.marks)), signs=signs)

    @cached_property
    def told_beside(self) -> Item:
        """What is said of it, to stand on the same page."""
        return notes(self, self.drawn.key, False)

    @property
    def forms(self) -> Iterator[Block]:
        """Words in all their forms, the best first; nothing for any other item."""
        if self.of is None:
            yield from self.variants
            return
        yield from self._forms
        for block in self._more:
            self._forms.append(block)
            yield block

    def filling(self, width: float) -> Block | None:
        """Return the words in one column of another width; None for those in given forms alone."""
        if self.of is None:
            return None
        known = (self.key, width)
        if known not in self._told:
            self._told[known] = _column(self.of, self.key, self.away, width)
        return self._told[known]

    def rowed(self, width: float) -> Block | None:
        """Return what is said of a piece beside each other: the facts as wide as the rest leaves."""
        if self.of is None:
            return None
        about, *others = (one for one in self.of.said(self.key, APART[-1]) if one.height)
        left = width - sum(one.width + BESIDE for one in others)
        if not others or left < APART[-1]:
            return None
        about = self.of.said(self.key, min(left, WIDEST))[0]
        top = _headed(self.of, about, self.away, min(left, WIDEST))
        return flowed((top, *others), width, gap=BESIDE)

    @cached_property
    def parted(self) -> tuple[Block, ...]:
        """The same in several columns, parted between their lines; nothing for any other item."""
        whole = self.filling(APART[0])
        return tuple(columned(whole, COLUMNS)) if whole else ()

    @cached_property
    def _more(self) -> Iterator[Block]:
        assert self.of is not None
        return _noted(self.of, self.key, self.away)

    @cached_property
    def limit(self) -> Box:
        """The room it is drawn in where the page is full."""
        return self.face.room(TIGHT) if self.face else self.diagram.limit

    @property
    def signs(self) -> frozenset[Sign]:
        """The signs it uses."""
        return self.face.signs if self.face else self.diagram.signs

    @cached_property
    def faces(self) -> Block | None:
        """The two small views of a piece, where it has them; one drawn small needs none."""
        if not isinstance(self.subject, Piece):
            return None
        return card.both_faces(self.subject, not self.ruled, self.like)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all that it shows; words show nothing."""
        if self.words:
            return ()
        others = (one.name for each in (self.serves, self.looks) for one in each)
        return self.subject.name, *others

    @property
    def shown(self) -> tuple[Displayed, ...]:
        """What a page with it shows, as words on other pages name it: what is drawn as one of them, too."""
        if self.words:
            return ()
        drawn = (self.subject, *self.serves, *self.looks)
        names = {one.name for one in drawn}
        told = (piece for piece in self.part.pieces if piece.drawn_as in names)
        return tuple((one.structure, one.name) for one in (*drawn, *told))

    def awaited(self, sign: str) -> tuple[Displayed, ...]:
        """Return what its words that wait for a page by a sign are about."""
        like = (self.of or self).like
        found = self.whose if sign == ELSEWHERE else like and (like.structure, like.name)
        return (found,) if found else ()

    @property
    def words(self) -> bool:
        """It is a block of words."""
        return isinstance(self.subject, Diagram) and self.subject.page == "words"

    @property
    def cuts(self) -> bool:
        """Something is cut by it, or measured on it as it will be cut."""
        return isinstance(self.subject, Piece) or self.subject.page == "cutting"

    @property
    def sewing(self) -> bool:
        """It belongs to the sewing: a strip to prick by, a view of the stitches."""
        if self.of is not None:
            return self.of.sewing
        if isinstance(self.subject, Diagram):
            return self.subject.page == "sewing"
        return self.part.sewing is not None and not self.subject.stock

    @property
    def phase(self) -> str:
        """The phase of the work that it belongs to: where its structure begins on the bench."""
        if self.words and self.of is None:
            return RECORDS
        return next((step.phase.capitalize() for step in self.part.steps), self.part.title)

    @property
    def scale(self) -> str:
        """Its scale as the title block says it."""
        if isinstance(self.subject, Diagram):
            return self.subject.scale
        return str(ruler.scale_of(self.subject)) if self.ruled else "1:1"

    @property
    def title(self) -> str:
        """Its title on a page of its own."""
        return card.title(self.subject)

    @property
    def outline(self) -> Ring:
        """Its outline, for a key map."""
        return self.face.whole.outline if self.face else corners(self.diagram.box)

    def said(self, key: Key, width: float) -> Sequence[Block]:
        """Return what is said beside it, in blocks of a width, in reading order."""
        known = (key, width)
        if known not in self._said:
            self._said[known] = _form(self, key, width)
        return self._said[known]

    def told(self, key: Key, width: float) -> Block:
        """Return all that is said of it, in one column."""
        known = (key, width)
        if known not in self._told:
            self._told[known] = stack(self.said(key, width), gap=BETWEEN)
        return self._told[known]


def _form(item: Item, key: Key, width: float) -> Sequence[Block]:
    """Return what is said beside an item, in blocks of a width, in reading order."""
    first = tuple(boxed(text, width) for text in item.first)
    if isinstance(item.subject, Diagram):
        return (*first, card.about_diagram(item.subject, width, item.looks))
    small = item.scale if item.ruled else ""
    told = card.asides(item.subject, key, item.faces, width, item.serves, small, item.like)
    return (*first, *told)


def notes(item: Item, key: Key, away: bool) -> Item:
    """Return what is said of an item as words of their own; `away` says what they belong to."""
    words = Diagram(
        f"notes to {item.subject.name}",
        item.part.structure,
        f"Notes to {item.title}",
        "not to scale",
        APART[0],
        0.0,
        (),
        page="words",
    )
    whose = (item.subject.structure, item.subject.name) if away else None
    return Item(item.part, words, of=item, key=key, away=away, whose=whose)


def _noted(item: Item, key: Key, away: bool) -> Iterator[Block]:
    """Yield the forms of what is said of an item, whole blocks beside each other last."""
    for width in APART:
        yield _column(item, key, away, width)
    blocks = [block for block in item.said(key, APART[0]) if block.height]
    if len(blocks) > 1:
        top = _headed(item, blocks[0], away, APART[0])
        for number in COLUMNS:
            wide = number * APART[0] + (number - 1) * BESIDE
            yield flowed((top, *blocks[1:]), wide, gap=BESIDE)


def _column(item: Item, key: Key, away: bool, width: float) -> Block:
    """Return all that is said of an item in one column."""
    return _headed(item, item.told(key, width), away, width)


def _headed(item: Item, block: Block, away: bool, width: float) -> Block:
    """Return words below what they are said of, where that stands on another page."""
    if not away:
        return block
    return stack((close(f"To {item.title}, {ELSEWHERE}", BODY, width), block))


def _diagram_view(diagram: Diagram, stretch: tuple[float, float]) -> View:
    """Return a diagram as it was drawn, stretched for the printer unless it has no scale.

    The white round it is left to the page.
    """
    fx, fy = (1.0, 1.0) if diagram.scale == "not to scale" else stretch
    kinds: set[Sign] = {mark.kind for mark in diagram.marks if not isinstance(mark, Words)}
    kinds.discard(LineKind.CUT)  # nothing is cut out of a drawing: a heavy line is what is new
    if diagram.page != "sewing":  # its own notes say what is heavy or dashed in it
        kinds -= {LineKind.SEWN_OUTSIDE, LineKind.SEWN_INSIDE}
    made = stretched(diagram.marks, fx, fy)
    room = around(map(box_of, made)).grown(INK) if made else Box(0.0, 0.0, diagram.width_mm, 0.0)
    box = Box(0.0, 0.0, room.width, room.height)
    return View(box, lambda: moved(made, -room.left, -room.top), frozenset(kinds), (), box)
