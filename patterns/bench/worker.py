"""Drawing beside the page, in a process of its own: one wish after another, the last draft in hand.

Between two things that it works out it looks whether a newer wish has come, and gives up an older
look. What is to be printed or kept is never given up.
"""

from __future__ import annotations

import gc
import signal
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any, Protocol

from patterns.bench.wish import (
    BookWish,
    FilesSeen,
    FindingsSeen,
    NotDrawn,
    Overtaken,
    PageSeen,
    PagesSeen,
    PiecesSeen,
    Seen,
    SheetSeen,
)
from patterns.drafting import document, job, making
from patterns.drafting.order import Drafted, Order
from patterns.errors import MendfoldError
from patterns.examine.examination import examine
from patterns.gallery.portrait import portrait
from patterns.model.sheet import Sheet
from patterns.sheets import whole
from patterns.sheets.memory import Memory
from patterns.sheets.page import Layout
from patterns.stock import materials, paper
from patterns.structures import catalogue
from patterns.writers import svg

RARELY = 200_000
"""New objects before rubbish is looked for: a look makes many, and nearly all go by themselves."""
IDLE_S = 1.0
"""So long without a wish, and rubbish is looked for after all."""
LookUp = Callable[[], None]
"""Raises `Newer` where a newer wish has come."""


class Newer(Exception):
    """A newer wish has come."""


class Turn(Protocol):
    """The number of the newest wish, shared with the page's process."""

    value: int


@dataclass(slots=True)
class Hand:
    """The draft in hand, so that its sheets need not be worked out anew."""

    wish: BookWish | None = None
    drafted: Drafted | None = None
    sheets: tuple[Sheet, ...] = ()
    drawn: dict[int, bytes] = field(default_factory=dict)
    memory: Memory = field(default_factory=Memory)
    """What was drawn of the draft before, for whatever of it did not change."""

    def draft(self, wish: BookWish) -> Drafted:
        """Return the draft that a wish goes by. Raises MendfoldError."""
        if self.drafted is None or self.wish != wish.drafted:
            self.wish, self.drafted, self.sheets, self.drawn = None, None, (), {}
            self.drafted = job.draft(order(wish))
            self.wish = wish.drafted
        return self.drafted

    def pages(self, wish: BookWish, look_up: LookUp) -> tuple[Sheet, ...]:
        """Return its sheets, as a draft lays them out. Raises MendfoldError."""
        drafted = self.draft(wish)
        look_up()
        if not self.sheets:
            own = drafted.order
            self.memory.look_up = look_up
            layout = Layout(
                drafted.pattern,
                own.paper,
                own.correction,
                own.full_size,
                suggests=True,
                memory=self.memory,
            )
            self.sheets = whole.sheets(layout)
        return self.sheets

    def sheet(self, wish: BookWish, look_up: LookUp) -> bytes:
        """Return one sheet as a draft writes it. Raises MendfoldError."""
        pages = self.pages(wish, look_up)
        look_up()
        page = min(max(wish.page, 1), len(pages))
        if page not in self.drawn:
            (self.drawn[page],) = svg.write(pages[page - 1 : page], "", None)
        return self.drawn[page]


def order(wish: BookWish) -> Order:
    """Return what is to be drafted. Raises MendfoldError."""
    return Order(
        wish.record,
        wish.structures,
        dict(wish.settings),
        paper=paper.parse(wish.paper),
        formats=wish.formats or ("svg", "pdf"),
    )


def answered(wish: BookWish, hand: Hand, look_up: LookUp) -> Seen:
    """Answer one wish. Raises MendfoldError and Newer."""
    look_up()
    if wish.want == "findings":
        record = wish.record
        said = examine(record, materials.load(), catalogue.templates(), record.source)
        return FindingsSeen(said)
    if wish.want == "pieces":
        return _pieces(hand.draft(wish))
    if wish.want == "made":
        return FilesSeen(making.make(job.draft(order(wish))))
    if wish.want == "sheet":
        return SheetSeen(hand.sheet(wish, look_up))
    pages = hand.pages(wish, look_up)
    return PagesSeen(
        tuple(
            PageSeen(one.title, one.group, one.drawing.width_mm, one.drawing.height_mm)
            for one in pages
        )
    )


def _pieces(drafted: Drafted) -> PiecesSeen:
    drawing = portrait(document.pieces(drafted.pattern))
    return PiecesSeen(
        svg.svg_text(drawing, "All pieces side by side").encode(),
        drawing.width_mm,
        drawing.height_mm,
        drafted.pattern.warnings,
        drafted.pattern.boxes,
        {
            f"{structure}.{name}": _said(value)
            for structure, values in drafted.parameters.items()
            for name, value in values.items()
            if value is not None
        },
    )


def _said(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(map(_said, value))
    return f"{value:g}" if isinstance(value, float) else str(value)[:200]


def work(pipe: Connection, newest: Turn) -> None:
    """Answer wishes until the page's process is gone; Ctrl-C is for that one alone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.set_threshold(RARELY)
    gc.freeze()  # what is loaded stays as long as the process does
    hand = Hand()
    pipe.send("ready")
    while True:
        try:
            if not pipe.poll(IDLE_S):
                gc.collect()
            turn, wish = pipe.recv()
        except (EOFError, OSError):
            return
        pipe.send(_one(turn, wish, hand, newest))


def _one(turn: int, wish: BookWish, hand: Hand, newest: Turn) -> Seen:
    def look_up() -> None:
        if turn and newest.value != turn:
            raise Newer

    try:
        return answered(wish, hand, look_up)
    except Newer:
        return Overtaken()
    except MendfoldError as error:
        return NotDrawn(str(error), error.problems)
    except Exception as error:  # a fault of the program's own, told and not left hanging
        return NotDrawn(
            f"this cannot be worked out ({type(error).__name__}): a fault of mendfold's own"
        )
