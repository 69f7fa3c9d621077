"""What is asked for, and what is worked out of it: the values a draft begins and ends with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from patterns.model.pattern import Pattern
from patterns.model.sheet import FullSize, Printout
from patterns.record.record import Record
from patterns.stock import materials
from patterns.stock.materials import Library, Material
from patterns.stock.paper import A4, Paper
from patterns.stock.printer import UNCORRECTED, Correction


@dataclass(frozen=True, slots=True)
class Order:
    """Everything a draft goes by; the second half concerns its sheets alone."""

    record: Record
    structures: tuple[str, ...]
    settings: Mapping[str, str] = field(default_factory=dict)
    """As they are written: `{"name" or "structure.name": text}`."""
    stock: Library = field(default_factory=materials.load)
    """The studio's materials, unless others are to be drafted with."""
    paper: Paper = A4
    correction: Correction = UNCORRECTED
    full_size: FullSize = ""
    shown: Printout = "all"
    formats: tuple[str, ...] = ("svg", "pdf")
    with_owner: bool = False
    """Draw the sheets a second time with the owner's name, for printing alone."""


@dataclass(frozen=True, slots=True)
class Drafted:
    """An order worked out: the pattern, and the settings each structure was drafted with."""

    order: Order
    pattern: Pattern
    parameters: Mapping[str, Mapping[str, object]]
    """By structure: every parameter, and each material's name by its role."""
    materials: Mapping[str, Mapping[str, Material]]

    @property
    def warnings(self) -> tuple[str, ...]:
        """Every warning, what stands in a box on the sheets first."""
        return (*self.pattern.boxes, *self.pattern.warnings)
