"""One bench that is open: its folder, the books on the desk, the drawing beside it, what waits."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from patterns.bench.desk import OpenBook
from patterns.bench.drawer import Drawer
from patterns.bench.once import Once
from patterns.bench.planner import TOO_LONG, work
from patterns.bench.shelf import Shelf
from patterns.bench.wish import BookWish, Want
from patterns.cutting.plan import Plan
from patterns.cutting.stock import Stock


@dataclass(frozen=True, slots=True)
class PlanMade:
    """A cutting plan that was laid out last: for which patterns, from which stock."""

    names: tuple[str, ...]
    stock: tuple[Stock, ...]
    plan: Plan
    pdf: bytes


@dataclass(slots=True)
class OpenBench:
    """Everything that a page asks of; one change at a time."""

    shelf: Shelf
    drawer: Drawer = field(default_factory=Drawer)
    planner: Drawer = field(default_factory=lambda: Drawer(work, too_long=TOO_LONG))
    once: Once = field(default_factory=Once)
    desks: dict[int, OpenBook] = field(default_factory=dict)
    patterns: dict[int, str] = field(default_factory=dict)
    """Names of kept patterns by the number that they were shown under."""
    plan: PlanMade | None = None
    stock_shown: tuple[Stock, ...] = ()
    """The studio's stock as the page shows it."""
    on_desk: int = 0
    """The book that was opened last; 0 while none was."""
    lock: threading.RLock = field(default_factory=threading.RLock)
    closed: threading.Event = field(default_factory=threading.Event)

    def desk(self, number: int) -> OpenBook:
        """Return a book, taken from the shelf when it is asked for first. Raises KeyError, RecordError."""
        with self.lock:
            if number not in self.desks:
                self.desks[number] = self.shelf.take(number)
            return self.desks[number]

    def anew(self, number: int) -> OpenBook:
        """Return a book with its record as it is on the disk now."""
        with self.lock:
            self.desks.pop(number, None)
            return self.desk(number)

    @contextmanager
    def changing(self, number: int) -> Iterator[OpenBook]:
        """Yield a book to change; what was changed is on the disk before anything is answered."""
        with self.lock:
            desk = self.desk(number)
            yield desk
            self.shelf.remember(desk)

    def wish(self, number: int, want: Want, page: int = 1) -> BookWish:
        """Return a wish for a book as it stands. Raises RecordError where it cannot be drafted."""
        with self.lock:
            desk = self.desk(number)
            return BookWish(
                want,
                desk.record() if want == "made" else desk.values(),
                desk.structures,
                tuple(sorted(desk.given().items())),
                desk.paper,
                page,
            )

    def pattern(self, name: str) -> int:
        """Return the number that a kept pattern is shown under."""
        with self.lock:
            for number, known in self.patterns.items():
                if known == name:
                    return number
            self.patterns[len(self.patterns) + 1] = name
            return len(self.patterns)

    def close(self, after: Callable[[Callable[[], None]], object]) -> None:
        """Close once what is being answered has gone out."""
        after(self.closed.set)
