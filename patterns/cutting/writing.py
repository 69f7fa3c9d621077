"""The files of a plan, and the studio's stock file after it was cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from patterns.cutting import laying, pages, plan, shopping, stock, wanted
from patterns.cutting.plan import Plan, Wish
from patterns.cutting.stock import Stock
from patterns.errors import WriteError
from patterns.files import write_file, write_new_file
from patterns.locks import alone
from patterns.model.kept import KeptPattern
from patterns.reading import read_bytes
from patterns.stock.materials import Library
from patterns.stock.paper import Paper
from patterns.writers import pdf

FOLDER = "cutting-plan"
MOST_KEPT = 1000
PATIENCE_S = 10.0


def make(
    patterns: Sequence[tuple[str, KeptPattern]],
    rows: Sequence[Stock],
    wish: Wish,
    library: Library,
    paper: Paper,
) -> tuple[Plan, dict[str, bytes]]:
    """Return a plan and its files by name. Raises MendfoldError."""
    made = laying.make(wanted.wanted(patterns), rows, wish, library)
    drawn = pages.pages(made, paper, [name for name, _ in patterns])
    (sheets,) = pdf.write(drawn, "Cutting plan", None)
    return made, {
        "plan.pdf": sheets,
        "plan.json": made.to_json().encode(),
        "shopping.csv": shopping.table(made, patterns).encode("utf-8-sig"),
    }


def keep_offcuts(path: Path, rows: Sequence[Stock], made: Plan, job: str) -> Path:
    """Write what is left into the stock file; the old one is kept beside, its name returned.

    Several runs wait for each other. Raises WriteError where the file no longer holds `rows`, for
    somebody else has taken of the same stock since.
    """
    used: dict[Stock, list[float]] = {}
    for one in made.sheets:
        used.setdefault(one.stock, []).append(one.length_mm)
    text = stock.left_over(rows, used, plan.left_in_stock(made, _printable(job)))
    with _alone(path):
        if stock.load(path) != tuple(rows):
            raise WriteError(
                f"{path}: has changed since this plan was made from it; it was left as it is. Run it again"
            )
        beside = _beside(path, read_bytes(path))
        write_file(path, text.encode())
    return beside


def _printable(text: str) -> str:
    return "".join(one if one.isprintable() else " " for one in text)


@contextmanager
def _alone(path: Path) -> Iterator[None]:
    """Let one run at a time read and write a stock file; raises WriteError."""
    busy = (
        f"{path}: another run has been writing it for {PATIENCE_S:g} s; wait for it to end, "
        "then run this again"
    )
    with alone(path.with_name(f".{path.name}.lock"), PATIENCE_S, busy, "the stock is as it was"):
        yield


def _beside(path: Path, old: bytes) -> Path:
    for number in range(1, MOST_KEPT):
        beside = path.with_name(f"{path.stem}-before-{number}{path.suffix}")
        if not beside.exists():
            write_new_file(beside, old)
            return beside
    raise WriteError(f"{path}: {MOST_KEPT} older ones lie beside it; move some elsewhere")
