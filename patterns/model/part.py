"""What a structure hands over: pieces, diagrams, layers, steps, its sewing, warnings and checks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Literal

from patterns.model.drawing import Drawing, Mark
from patterns.model.piece import Piece
from patterns.model.stitches import Sewing
from patterns.model.traits import NO_TRAITS, Traits, Way, Where

Union = Literal["pasted", "sewn", "pasted and sewn", "free", "laced"]
Beyond = Literal["outer face", "inner face", "slot", "board"]
Quantity = float | str | bool


@dataclass(frozen=True, slots=True)
class Diagram:
    """A drawing to look at beside the pieces; `scale` is printed: "1:1", "5:1", "not to scale"."""

    name: str
    structure: str
    title: str
    scale: str
    width_mm: float
    height_mm: float
    marks: tuple[Mark, ...]
    notes: tuple[str, ...] = ()
    page: Literal["cutting", "sewing", "assembly", "words"] = "assembly"
    """The group of pages it belongs to; a 1:1 diagram may be tiled, any other must fit a page.

    `words` are ready-made words: they bring their own heading."""


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of the assembly section, listed from the text block outwards.

    `left_mm` and `right_mm` are its ends seen from the middle of the spine. `union` tells how it
    is joined to the layer inside it, over the spine; `union_sides` the same beyond the spine.
    """

    name: str
    material: str
    thickness_mm: float
    left_mm: float
    right_mm: float
    union: Union
    union_sides: Union = "free"
    on_spine: bool = True
    """Counts towards what later structures lie on (and the total over the spine)."""
    existing: bool = False
    """Part of the book as it is: drawn, not counted as added."""
    block: bool = False
    """The text block itself."""
    beyond: Beyond = "outer face"
    """Where it goes beyond the spine: over a board or side, beneath it, into its slot; "board" is one itself."""


@dataclass(frozen=True, slots=True)
class Heed:
    """What one condition of the book does to one step."""

    condition: str
    """Field of the record's condition."""
    told: str
    """What the box says of it, with {steps} for the numbers."""
    way: Way | None = None
    reaches: tuple[Where, ...] = ()
    """Parts of the book that the step would have wetted, where it is done in another way."""


@dataclass(frozen=True, slots=True)
class Step:
    """One step, already filled in with this book's figures; `cautions` by their keys."""

    phase: str
    text: str
    cautions: tuple[str, ...] = ()
    structure: str = ""
    traits: Traits = NO_TRAITS
    heeds: tuple[Heed, ...] = ()
    """What of the book's condition changed this step, brought it, or leaves it to a judgement."""
    picture: Drawing | None = None
    """What is easier seen than read: small enough to stand beside the words."""
    sees: tuple[str, ...] = ()
    """Names of the pieces and drawings that it is done by: its words end with their pages."""
    tools: tuple[str, ...] = ()
    """What it takes beside the structure's own tools."""
    adhesive: str = ""
    """What it sets a bond with; "" where it sets none."""


@dataclass(frozen=True, slots=True)
class Check:
    """A number that can be compared with something outside the project."""

    name: str
    value: float
    unit: str
    against: str
    """What it is compared with, and the source."""


@dataclass(frozen=True, slots=True)
class Waits:
    """A piece that is not drawn before the spine was read again, and how wide it is likely to be."""

    title: str
    material: str
    wide_mm: tuple[float, float] | None
    """Least and most to expect; None where neither can be worked out."""


@dataclass(frozen=True, slots=True)
class Part:
    """One structure worked out for one book."""

    structure: str
    title: str
    figures: object
    """What its steps are filled in with: a dataclass of the structure's own; None where they name none."""
    pieces: tuple[Piece, ...]
    diagrams: tuple[Diagram, ...] = ()
    layers: tuple[Layer, ...] = ()
    steps: tuple[Step, ...] = ()
    warnings: tuple[str, ...] = ()
    """Each in words that read on from the structure's title and a colon."""
    boxes: tuple[str, ...] = ()
    """Boxed words that must stand on the sheet itself ("TOO WEAK: …")."""
    checks: tuple[Check, ...] = ()
    sewing: Sewing | None = None
    girth_mm: float | None = None
    """The spine's own girth at its head, where the layers are drawn round it."""
    undo: tuple[str, ...] = ()
    """How it is undone, where that is other than its template says."""
    thread_mm: float | None = None
    """Thread that is needed, tails included, where no `sewing` tells it."""
    others: Mapping[str, Quantity] = field(default_factory=dict)
    """Figures that no step names."""
    waits: tuple[Waits, ...] = ()
    """What is drawn in the place of its pieces once the spine was read again."""

    @property
    def drawn(self) -> tuple[str, ...]:
        """The names of all that is drawn of it."""
        return tuple(p.name for p in self.pieces) + tuple(d.name for d in self.diagrams)

    @property
    def quantities(self) -> dict[str, Quantity]:
        """Every computed figure by its name, its unit in it: for pattern.json and nothing else."""
        return {**dict(by_name(self.figures)), **self.others}


def by_name(figures: object) -> Iterator[tuple[str, Quantity]]:
    """Yield every figure of a dataclass; one that stands within it gives its own beside the rest."""
    for row in fields(figures) if is_dataclass(figures) else ():
        held = getattr(figures, row.name)
        if is_dataclass(held):
            yield from by_name(held)
        else:
            yield row.name, held
