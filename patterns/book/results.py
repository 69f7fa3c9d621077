"""What one structure hands to the next while a pattern is drafted.

A structure that another one goes by declares `GIVES` beside its `suits`, one of these types, and returns it beside its
part (`Handed`). The next asks `book.result(SlotResult)` for what was worked out already, or
`book.expects(SewnLiningResult)` whether some structure of this pattern gives it, before or after. Both
take a type, so that a name nobody gives is an error before anything runs. What an earlier structure must know of a
later one, and what goes by the book and that one's settings alone, its `ahead(book, params)` returns before any is
worked out. Results live in the book while it is drafted; none is kept in the pattern.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from patterns.book.boards import Which
from patterns.stock.materials import Material

if TYPE_CHECKING:
    from patterns.model.part import Layer, Part


@dataclass(frozen=True, slots=True)
class Result:
    """What a structure leaves for others to go by. Without fields: that it is there."""

    CROSSES_JOINTS: ClassVar[bool] = False
    """Whether the structure's cloth crosses the joints of the boards, and fills their grooves."""
    HANGS_BOARDS: ClassVar[bool] = False
    """Whether the boards hang by it: by something sewn, laced or tied."""
    COVERS_FOLDS: ClassVar[bool] = False
    """Whether it lies on the folds, so that a covering may be pasted to it and come off again."""


class Handed(NamedTuple):
    """One structure worked out: its part of the pattern, and what it hands to the next."""

    part: Part
    result: Result


class LiningResult(Result):
    """The spine has a new lining of paper."""

    __slots__ = ()
    COVERS_FOLDS = True


class SlottedSide(NamedTuple):
    """One board's slot, and the flange that goes into it from the shoulder's tip on, in mm."""

    flange_mm: float
    depth_mm: float
    mouth_mm: float
    """Middle of the slot's mouth from the board's inner face."""
    bottom_mm: float
    """The same of its bottom."""


@dataclass(frozen=True, slots=True)
class SlotResult(Result):
    """Slots in both boards, for the flanges of the lining that is sewn to the spine; lengths in mm."""

    CROSSES_JOINTS = True
    HANGS_BOARDS = True

    structure: str
    """Whose cloth the lining then is as well."""
    sides: Mapping[Which, SlottedSide]
    trim_mm: float
    cutter_diameter_mm: float


@dataclass(frozen=True, slots=True)
class SewnResult(Result):
    """A sewing through the folds: its new holes, and how much its thread adds to the girth, in mm."""

    holes_mm: tuple[float, ...]
    """Heights below the head of the block."""
    swell_least_mm: float
    swell_most_mm: float
    bars_mm: float
    """How far the bars stand out, outside on the lining: the thread's diameter."""
    thread: Material
    """What it is sewn with."""


@dataclass(frozen=True, slots=True)
class SewnLiningResult(SewnResult):
    """A sewing that holds a lining with flanges onto or into the boards."""

    CROSSES_JOINTS = True
    HANGS_BOARDS = True
    COVERS_FOLDS = True

    flanges_mm: Mapping[Which, float] = field(default_factory=dict)
    """How far each flange reaches beyond the tip of its shoulder; empty while structures are only asked."""


@dataclass(frozen=True, slots=True)
class ClothJointResult(Result):
    """Cloth sewn in the joint and pasted to the inside of each board, as a layer of the section."""

    CROSSES_JOINTS = True
    HANGS_BOARDS = True

    layers: Mapping[Which, Layer]


@dataclass(frozen=True, slots=True)
class CasingResult(Result):
    """The block hangs in its case by a lining whose flanges are pasted to both boards."""

    CROSSES_JOINTS = True

    lifted_mm: float
    """How far from the boards' spine edges the paste-downs are lifted to take the block out, where it is least."""


class TacketResult(Result):
    """The boards hang by threads through board and shoulder."""

    __slots__ = ()
    HANGS_BOARDS = True


@dataclass(frozen=True, slots=True)
class AlbumResult(Result):
    """A block built anew of guarded leaves: its thickness at the spine and at the fore edge, in mm."""

    spine_mm: float
    fore_edge_mm: float


class TubeResult(Result):
    """A hollow tube lies between spine and cover."""

    __slots__ = ()
    COVERS_FOLDS = True


@dataclass(frozen=True, slots=True)
class WideningResult(Result):
    """A cover with a wider spine; in mm, at the cover's head and tail."""

    needed_head_mm: float
    """Between the folds of limp sides, or the edges of the boards."""
    needed_tail_mm: float
    lies_on_mm: float
    """Thickness over the bare spine beneath the new piece, bars of a new sewing included."""
    piece: Layer
    """The new piece as a layer of the section."""


@dataclass(frozen=True, slots=True)
class TurnInResult(Result):
    """A new covering will be turned in at head and tail, inside the spine, by so many mm."""

    turn_in_mm: float


class RebackResult(WideningResult):
    """A new covering over spine and joints; its spine is as wide as it must be."""

    __slots__ = ()


class InlayResult(Result):
    """A stiffener lies in the spine of the cover."""

    __slots__ = ()


class BoardPaperResult(Result):
    """A paper is put down on the inside of each board, over what is pasted there."""

    __slots__ = ()


class SupportResult(Result):
    """The block stands on a support and does not hang."""

    __slots__ = ()
