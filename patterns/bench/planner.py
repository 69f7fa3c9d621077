"""Laying a cutting plan out beside the page, in a process of its own: a long one keeps nobody waiting but who asked."""

from __future__ import annotations

import signal
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any

from patterns.bench.wish import NotDrawn
from patterns.cutting import pages, writing
from patterns.cutting.plan import Plan, Wish
from patterns.cutting.stock import Stock
from patterns.errors import MendfoldError
from patterns.model.kept import KeptPattern
from patterns.stock import materials
from patterns.stock import paper as papers
from patterns.writers.svg import svg_text

PAPER = "A4"
TOO_LONG = (
    "the plan takes over two minutes and was ended: lay fewer patterns out at once, "
    "or make this plan with the command cutting-plan, which waits"
)


@dataclass(frozen=True, slots=True)
class PlanWish:
    """What is to be laid out, on what, and how."""

    patterns: tuple[tuple[str, KeptPattern], ...]
    stock: tuple[Stock, ...]
    how: Wish


@dataclass(frozen=True, slots=True)
class PlanSeen:
    """A plan, its PDF, and each of its pages by title."""

    plan: Plan
    pdf: bytes
    pages: tuple[tuple[str, str], ...]


def planned(wish: PlanWish) -> PlanSeen:
    """Return what a wish comes to. Raises MendfoldError."""
    paper, names = papers.parse(PAPER), [name for name, _ in wish.patterns]
    made, files = writing.make(wish.patterns, wish.stock, wish.how, materials.load(), paper)
    drawn = pages.pages(made, paper, names)
    shown = tuple((page.title, svg_text(page.drawing, page.title)) for page in drawn)
    return PlanSeen(made, files["plan.pdf"], shown)


def work(pipe: Connection, _newest: Any) -> None:
    """Answer wishes until the page's process is gone; Ctrl-C is for that one alone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    pipe.send("ready")
    while True:
        try:
            _, wish = pipe.recv()
        except (EOFError, OSError):
            return
        pipe.send(_one(wish))


def _one(wish: PlanWish) -> PlanSeen | NotDrawn:
    try:
        return planned(wish)
    except MendfoldError as error:
        return NotDrawn(str(error), error.problems)
    except Exception as error:  # a fault of the program's own, told and not left hanging
        return NotDrawn(
            f"this cannot be laid out ({type(error).__name__}): a fault of mendfold's own"
        )
