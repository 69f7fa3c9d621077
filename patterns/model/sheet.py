"""One page of a pattern, ready to be written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from patterns.model.drawing import Drawing

Group = Literal["overview", "steps", "cutting", "sewing"]
Printout = Literal["all", "cutting"]
"""Which pages are wanted: every one, or what is cut alone."""
FullSize = Literal["", "all", "shaped"]
"""What is drawn at full size: everything, or all but plain pieces; "": all but plain pieces that
would take more than two sheets."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page: its title in the outline, the group it belongs to, and the pieces it shows."""

    title: str
    group: Group
    drawing: Drawing
    pieces: tuple[str, ...] = ()
    phase: str = ""
    """Under which name the outline lists it, together with others of the same phase of the work."""
