"""One page of a pattern, ready to be written."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from patterns.model.drawing import Drawing

Group = Literal["overview", "cutting", "sewing", "assembly", "steps"]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page: its title in the outline, the group it belongs to, and the pieces it shows."""

    title: str
    group: Group
    drawing: Drawing
    pieces: tuple[str, ...] = ()
