"""Pieces and diagrams set on a page, each with what is said of it beside it, below it, or on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from patterns.model.drawing import LineKind, Mark, Ring, Words
from patterns.model.part import Diagram, Part
from patterns.model.piece import Piece
from patterns.sheets import card, ruler
from patterns.sheets.flow import stack
from patterns.sheets.furniture import Frame, boxed
from patterns.sheets.legend import Sign
from patterns.sheets.piece_view import Face, Key, View, view
from patterns.sheets.space import Space
from patterns.sketch.marks import Block, Box, corners, moved, stretched

SPARE = (24.0, 2.0)
"""Room for words round a piece, in mm: plenty, or next to none where the page is full."""
COLUMNS = (60.0, 52.0, 44.0)
"""Widths of the column of words beside a drawing."""
LOOSE = (44.0, 66.0)
"""Least and greatest width of single blocks of words where no column finds room."""
APART = (60.0, 52.0, 44.0, 80.0, 100.0, 140.0)
"""Widths of all that is said of a drawing, as one block apart from it."""
INSERTS = (60.0, 48.0, 42.0)
"""Widths tried for the same words on the blank parts of a piece."""
BESIDE = 6.0


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
    ruled: bool = False
    """Drawn small, its sizes to be measured off."""
    _stretched: dict[tuple[float, float], Item] = field(default_factory=dict, repr=False)
    _views: dict[float, View] = field(default_factory=dict, repr=False)
    _asides: dict[tuple[Key, float], tuple[Block, ...]] = field(default_factory=dict, repr=False)

    def at(self, stretch: tuple[float, float]) -> Item:
        """Return it at a printer's factors; the same one whenever they are the same."""
        if stretch == self.stretch:
            return self
        if stretch not in self._stretched:
            self._stretched[stretch] = Item(
                self.part, self.subject, stretch, self.first, self.serves, self.ruled
            )
        return self._stretched[stretch]

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

    def drawn(self, spare: float) -> View:
        """Return the drawing at full size, with so much room for words round it."""
        if self.face is None:
            return self.diagram
        if spare not in self._views:
            self._views[spare] = self.seen(view(self.face, self.face.room(spare)))
        return self._views[spare]

    def seen(self, made: View) -> View:
        """Return a view of it without a line to cut along where it is not at full size."""
        if not self.ruled:
            return made
        signs = (made.signs - {LineKind.CUT}) | {LineKind.OUTLINE}
        return replace(made, marks=tuple(map(ruler.as_seen, made.marks)), signs=signs)

    @property
    def least(self) -> Box:
        """The least room it can be drawn in."""
        return self.face.reach if self.face else self.diagram.box

    @property
    def limit(self) -> Box:
        """The room it is drawn in where the page is full."""
        return self.face.room(SPARE[-1]) if self.face else self.diagram.limit

    @property
    def signs(self) -> frozenset[Sign]:
        """The signs it uses."""
        return self.face.signs if self.face else self.diagram.signs

    @cached_property
    def faces(self) -> Block | None:
        """The two small views of a piece, where it has them; one drawn small needs none."""
        if not isinstance(self.subject, Piece):
            return None
        return card.both_faces(self.subject, views=not self.ruled)

    @property
    def names(self) -> tuple[str, ...]:
        """The names of all that it shows; words show nothing."""
        return () if self.words else (self.subject.name, *(one.name for one in self.serves))

    @property
    def words(self) -> bool:
        """It is a block of words."""
        return isinstance(self.subject, Diagram) and self.subject.page == "words"

    @property
    def sewing(self) -> bool:
        """It belongs to the sewing: a strip to prick by, a view of the stitches."""
        if isinstance(self.subject, Diagram):
            return self.subject.page == "sewing"
        return self.part.sewing is not None and not self.subject.stock

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

    def asides(self, key: Key, width: float) -> tuple[Block, ...]:
        """Return what is said beside it, in blocks of a width, in reading order."""
        known = (key, width)
        if known not in self._asides:
            first = tuple(boxed(text, width) for text in self.first)
            told = (
                (card.about_diagram(self.subject, width),)
                if isinstance(self.subject, Diagram)
                else card.asides(
                    self.subject,
                    key,
                    self.faces,
                    width,
                    self.serves,
                    self.scale if self.ruled else "",
                )
            )
            self._asides[known] = (*first, *told)
        return self._asides[known]

    def variants(self, key: Key) -> tuple[tuple[Block, ...], ...]:
        """Return what is said beside it, each block in several widths, the widest first."""
        return tuple(zip(*(self.asides(key, width) for width in INSERTS), strict=True))


@dataclass(frozen=True, slots=True)
class Placed:
    """An item on a page: the room it takes, and all its marks in page coordinates."""

    item: Item
    boxes: tuple[Box, ...]
    marks: tuple[Mark, ...]
    signs: frozenset[Sign]


def pack(items: Sequence[Item], made: Frame) -> list[Placed]:
    """Set items on a page in their order, each with its words; those without room are left out.

    Nothing is set when the first has no room.
    """
    space, placed = Space(made.box), list[Placed]()
    for item in items:
        one = next((one for one in _ways(item, space, len(items) > 1, not placed) if one), None)
        if one:
            for box in one.boxes:
                space.take(box)
            placed.append(one)
        elif not placed:
            return []
    return placed


def beside(item: Item, space: Space) -> Placed | None:
    """Set an item where others leave room, its words in one column with it; None without room."""
    ways = _ways(item, space, True, False)
    one = next((one for one in ways if one), None)
    if one:
        for box in one.boxes:
            space.take(box)
    return one


def _ways(item: Item, space: Space, shared: bool, first: bool) -> Iterator[Placed | None]:
    """Yield the ways of setting an item: with a column of words, else with the words about it.

    Only the first on a page may have its words about, lest it be unclear whose they are.
    """
    if space.corner(item.least.width, item.least.height) is None:
        return
    for spare in SPARE:
        drawn = item.drawn(spare)
        if space.corner(drawn.box.width, drawn.box.height) is None:
            continue
        yield _columned(item, drawn, space, shared)
        if first:
            yield _loose(item, drawn, space)
        if shared:
            yield _apart(item, drawn, space)


def _columned(item: Item, drawn: View, space: Space, shared: bool) -> Placed | None:
    """Set a drawing with its words in one column beside or below it, as low on the page as can be."""
    found: list[tuple[float, float, int, Box, Box, Block]] = []
    widths = COLUMNS[::-1] if shared else COLUMNS
    below = min(max(drawn.box.width, LOOSE[0]), 150.0)
    ways = [(width, True) for width in widths] + [(below, False)]
    for rank, (width, right) in enumerate(ways):
        words = stack(item.asides(drawn.key, width), gap=3.5)
        wide = (
            drawn.box.width + BESIDE + words.width if right else max(drawn.box.width, words.width)
        )
        high = max(drawn.box.height, words.height) if right else drawn.box.height + 4 + words.height
        at = space.corner(wide, high)
        if at is not None:
            left = at.left + drawn.box.width + BESIDE if right else at.left
            top = at.top if right else at.top + drawn.box.height + 4
            box = Box(left, top, left + words.width, top + words.height)
            found.append((round(at.bottom, 1), at.left, rank, at, box, words))
    if not found:
        return None
    *_, at, box, words = min(found, key=lambda one: one[:3])
    marks = (
        *moved(drawn.marks, at.left - drawn.box.left, at.top - drawn.box.top),
        *moved(words.marks, box.left, box.top),
    )
    own = Box(at.left, at.top, at.left + drawn.box.width, at.top + drawn.box.height)
    return Placed(item, (own, box, at) if shared else (own, box), marks, drawn.signs)


def _apart(item: Item, drawn: View, space: Space) -> Placed | None:
    """Set a drawing, and all that is said of it as one block under its name wherever that fits."""
    at = space.corner(drawn.box.width, drawn.box.height)
    if at is None:
        return None
    trial = space.copy()
    trial.take(at)
    for width in APART:
        words = stack(item.asides(drawn.key, width), gap=3.5)
        corner = trial.corner(words.width, words.height)
        if corner is not None:
            marks = (
                *moved(drawn.marks, at.left - drawn.box.left, at.top - drawn.box.top),
                *moved(words.marks, corner.left, corner.top),
            )
            return Placed(item, (at, corner), marks, drawn.signs)
    return None


def _loose(item: Item, drawn: View, space: Space) -> Placed | None:
    """Set a drawing at the highest free corner, its words wherever there is room near it.

    Words that find no room beside a piece are set on its blank parts.
    """
    at = space.corner(drawn.box.width, drawn.box.height)
    if at is None:
        return None
    trial = space.copy()
    trial.take(at)
    boxes = [at]
    marks: list[Mark] = []
    homeless: list[int] = []
    for index in range(len(item.asides(drawn.key, LOOSE[0]))):
        found = _beside(item, drawn, index, trial, boxes)
        if found is None:
            homeless.append(index)
            continue
        block, corner = found
        trial.take(corner, gap=3.0)
        boxes.append(corner)
        marks += moved(block.marks, corner.left, corner.top)
    if homeless:
        if item.face is None:
            return None
        told = [tuple(item.asides(drawn.key, width)[i] for width in INSERTS) for i in homeless]
        drawn = view(item.face, drawn.limit, inserts=told)
        if drawn.unset:
            return None
    marks += moved(drawn.marks, at.left - drawn.box.left, at.top - drawn.box.top)
    return Placed(item, tuple(boxes), tuple(marks), drawn.signs)


def _beside(
    item: Item, drawn: View, index: int, space: Space, boxes: Sequence[Box]
) -> tuple[Block, Box] | None:
    """Find the place nearest to the drawing and to the words before, for one block of words."""
    found: list[tuple[float, float, float, Block, Box]] = []
    for free in space.free:
        width = min(free.width, LOOSE[1])
        if width < LOOSE[0] - 1e-6:
            continue
        block = item.asides(drawn.key, width)[index]
        if block.height > free.height or block.width > free.width + 1e-6:
            continue
        box = Box(free.left, free.top, free.left + block.width, free.top + block.height)
        away = _gap(box, boxes[0]) + _gap(box, boxes[-1])
        found.append((round(away, 2), box.top, box.left, block, box))
    best = min(found, key=lambda one: one[:3], default=None)
    return None if best is None else best[3:]


def _gap(one: Box, other: Box) -> float:
    dx = max(other.left - one.right, one.left - other.right, 0.0)
    dy = max(other.top - one.bottom, one.top - other.bottom, 0.0)
    return dx + dy


def _diagram_view(diagram: Diagram, stretch: tuple[float, float]) -> View:
    """Return a diagram as it was drawn, stretched for the printer unless it has no scale."""
    fx, fy = (1.0, 1.0) if diagram.scale == "not to scale" else stretch
    box = Box(0.0, 0.0, diagram.width_mm * fx, diagram.height_mm * fy)
    kinds: set[Sign] = {mark.kind for mark in diagram.marks if not isinstance(mark, Words)}
    return View(box, stretched(diagram.marks, fx, fy), frozenset(kinds), (), box)
