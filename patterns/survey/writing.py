"""What a survey leaves in its folder once every book is judged: three tables and one page."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from patterns.errors import WriteError
from patterns.files import make_folder, write_file
from patterns.locks import alone
from patterns.survey import tables
from patterns.survey.counts import Counts
from patterns.survey.page import Listed, Told, page
from patterns.survey.run import Surveyed
from patterns.survey.store import NAME as RESULTS
from patterns.survey.store import Results, of_a_survey

PAGE, BOOKS, PROBLEMS, MATERIALS = "survey.html", "books.csv", "problems.csv", "materials.csv"
PATIENCE_S = 5.0
"""What a survey waits for the one before it to end: its workers may outlive it by a moment."""


def prepare(folder: Path) -> None:
    """Make the folder of a survey. Raises WriteError where it holds what no survey wrote."""
    make_folder(folder)
    if (folder / RESULTS).is_file() and of_a_survey(folder / RESULTS):
        return
    for name in (RESULTS, PAGE, BOOKS, PROBLEMS, MATERIALS):
        if (folder / name).exists():
            raise WriteError.kind("other page", f"{folder / name}: already there, and no survey's")


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Let one survey at a time write into a folder. Raises WriteError."""
    busy = f"{folder}: another survey is writing here; wait for it to end, or survey into another folder"
    with alone(folder / ".survey.lock", PATIENCE_S, busy, "nothing was surveyed"):
        yield


def write(folder: Path, surveyed: Surveyed, results: Results, told: Told) -> Counts:
    """Write tables and page from the results, one book at a time, and return the counts."""
    counts, listed = Counts(), Listed()
    with (
        tables.table(folder / BOOKS, tables.BOOKS) as books,
        tables.table(folder / PROBLEMS, tables.PROBLEMS) as problems,
    ):
        for row, one in surveyed.told(results):
            books.writerow(tables.book_row(row, one))
            for problem in tables.problem_rows(row, one):
                problems.writerow(problem)
            counts.add(one)
            listed.add(one)
    with tables.table(folder / MATERIALS, tables.MATERIALS) as materials:
        for line in tables.material_rows(counts):
            materials.writerow(line)
    write_file(folder / PAGE, page(counts, listed, told))
    return counts
