"""The survey itself: books handed to the workers, results kept as they come, and all told at the end."""

from __future__ import annotations

import re
from array import array
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from patterns.survey import judging
from patterns.survey.judging import SurveyWish, Task
from patterns.survey.sources import Raw, Source
from patterns.survey.store import Results
from patterns.survey.workers import Workers

CHUNK, CHUNK_DRAFTED = 100, 10
"""Books handed to a worker at a time: to examine, and to draft with sheets."""
_ID = re.compile(r"""(?m)^\s*id\s*=\s*["']([^"'\n]+)["']""")


@dataclass(slots=True)
class Surveyed:
    """What is known of all books by their rows, their results left on the disk."""

    rows: array[int] = field(default_factory=lambda: array("L"))
    names: list[str] = field(default_factory=list)
    """The id that each row gives."""
    taken: int = 0
    """Books whose results were there from an earlier run."""

    def told(self, results: Results) -> Iterator[tuple[int, dict[str, Any]]]:
        """Yield every book's row and its settled result, sorted by id and then by row."""
        places = sorted(range(len(self.rows)), key=self.names.__getitem__)
        yield from zip((self.rows[place] for place in places), results.read(places), strict=True)


def survey(
    source: Source,
    picked: frozenset[int] | None,
    wish: SurveyWish,
    results: Results,
    lent: Workers,
    progress: Callable[[int], None],
) -> Surveyed:
    """Judge every book of a source (of `picked` rows alone, where given) that has no result yet.

    Results are kept as they come; `progress` is told how many books were finished. Whatever ends
    it early, what was finished stays. Raises MendfoldError.
    """
    basis = judging.basis(source.columns.read, source.decimal, wish)
    done, keys = Surveyed(), dict[int, str]()
    waiting = _waiting(source, picked, basis, results, done, keys, progress)
    for books in lent.judged(_tasks(waiting, source, basis, wish)):
        results.add((key, line) for _, key, line in books)
        keys |= {row: key for row, key, _ in books}
        progress(len(books))
    results.settle(keys[row] for row in done.rows)
    return done


def _waiting(
    source: Source,
    picked: frozenset[int] | None,
    basis: str,
    results: Results,
    done: Surveyed,
    keys: dict[int, str],
    progress: Callable[[int], None],
) -> Iterator[tuple[Raw, bool]]:
    """Yield the books without a result, each with whether a book above, picked or not, has its id.

    Of the others the keys of their results are entered in `keys`, by row.
    """
    place = next((one.place for one in source.columns.read if one.name == "book.id"), None)
    seen: set[str] = set()
    for raw in source.opener():
        name = _name(raw, place)
        twice = bool(name) and name in seen
        seen.add(name)
        if picked is not None and raw.row not in picked:
            continue
        done.rows.append(raw.row)
        done.names.append(name)
        known = judging.key(raw, basis, twice) if len(results) else ""
        if known and known in results:
            keys[raw.row] = known
            done.taken += 1
            progress(1)
        else:
            yield raw, twice


def _tasks(
    waiting: Iterator[tuple[Raw, bool]], source: Source, basis: str, wish: SurveyWish
) -> Iterator[Task]:
    size = CHUNK_DRAFTED if wish.draft else CHUNK
    while books := list(islice(waiting, size)):
        yield Task(
            tuple(raw for raw, _ in books),
            source.columns.read,
            source.decimal,
            wish,
            basis,
            frozenset(raw.row for raw, twice in books if twice),
        )


def _name(raw: Raw, place: int | None) -> str:
    """Return the id a book gives itself, before anything is read of it."""
    if raw.text:
        found = _ID.search(raw.text)
        return found[1] if found else raw.where
    cell = raw.cells[place] if place is not None and place < len(raw.cells) else None
    return str(cell).strip() if cell is not None else ""
