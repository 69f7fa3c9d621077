"""What was drawn for the last lay-out, used again in the next where nothing that it is drawn from has changed."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from typing import TypeVar

T = TypeVar("T")


def _never() -> None:
    """Look up for nothing."""


@dataclass(slots=True)
class Memory:
    """Drawn pieces, sets of tiles and the plan of pages, each by its place in a lay-out.

    Whatever is kept is compared by value with what it would be drawn from now, so a lay-out with a
    memory equals one without. A lay-out that was given up leaves what it had drawn.
    """

    look_up: Callable[[], None] = _never
    """Called between pieces; whatever it raises gives the lay-out up."""
    _held: dict[Hashable, tuple[object, object]] = field(default_factory=dict)
    _used: set[Hashable] = field(default_factory=set)

    def kept(self, place: Hashable, of: object, made: Callable[[], T]) -> T:
        """Return what was made at a place out of an equal `of`, else what is made now."""
        self._used.add(place)
        held = self._held.get(place)
        if held is None or held[0] != of:
            held = self._held[place] = (of, made())
        found: T = held[1]  # type: ignore[assignment]  # what a place holds is always of one kind
        return found

    def same(self, place: Hashable, one: T) -> T:
        """Return what was kept at a place where it equals this one, with all that was drawn of it."""
        return self.kept(place, one, lambda: one)

    def done(self) -> None:
        """Forget what the lay-out that is now done did not use."""
        self._held = {place: self._held[place] for place in self._used}
        self._used = set()
