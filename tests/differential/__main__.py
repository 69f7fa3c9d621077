"""Compare two versions of the program: `python -m tests.differential [--before REV]`."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from random import Random
from typing import Any, TextIO

from tests.differential import answers, expected, kept, settings, trees, wishes
from tests.differential.kept import Keeper
from tests.differential.listing import Listing
from tests.differential.trees import DifferentialError, Tree
from tests.differential.wishes import Common, Wish

Answer = Mapping[str, Any]
HERE = Path(__file__).parent
REPOSITORY = HERE.parents[1]
TOGETHER = 200
"""Wishes that one worker answers; one with sheets counts as many."""
SHEETS_WEIGH = 10


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the comparison; return 0 when every difference is expected, 1 if not, 2 if it cannot be made."""
    asked = _parser().parse_args(arguments)
    try:
        with tempfile.TemporaryDirectory(prefix="differential-") as folder:
            before = asked.before or expected.base(asked.expected)
            keeper = Keeper(None if asked.fresh else kept.usual())
            keeper.sweep()
            both = [
                trees.laid_down(name, REPOSITORY, Path(folder) / side, keeper)
                for side, name in (("before", before), ("after", asked.after))
            ]
            return _compared(asked, both)
    except DifferentialError as error:
        print(f"differential: {error}", file=sys.stderr)
        return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.differential", description=__doc__)
    add = parser.add_argument
    add(
        "--before",
        metavar="REV",
        help="commit, or folder of a tree; by default the base of the list of expected differences",
    )
    add("--after", default=str(REPOSITORY), metavar="REV", help="by default the working tree")
    add("--records", type=int, default=5000, metavar="N", help="drawn books (5000)")
    add("--sheets", type=int, default=200, metavar="N", help="of these with drawings (200)")
    add("--seed", type=int, default=1, metavar="N", help="another one draws other books")
    add(
        "--structures",
        action="append",
        default=[],
        metavar="NAME",
        help="for this alone; may be repeated",
    )
    add("--expected", type=Path, default=HERE / "expected.toml", help="differences that are meant")
    add("--list", type=Path, dest="listed", help="file for every difference (else a temporary one)")
    add("--fresh", action="store_true", help="ask a commit again, though its answers are kept")
    add("--workers", type=int, default=2, metavar="N", help="processes at a time (2)")
    add("--show", type=int, metavar="NUMBER", help="print one drawn record, compare nothing")
    return parser


def _compared(asked: argparse.Namespace, both: Sequence[Tree]) -> int:
    start = time.monotonic()
    known = [tree.about() for tree in both]
    common = Common(
        settings.common(known[0].structures, known[1].structures),
        known[0].fields & known[1].fields,
        asked.structures,
    )
    for line in _notes(both, known, common):
        print(f"note: {line}")
    if asked.show is not None:
        wish = wishes.draw(asked.seed, asked.show, common)
        print(f"{wish.record}\n# mendfold {' '.join(wish.draft)}")
        return 0
    every = list(_wishes(asked, both[0], common))
    listing = _run(asked, both, every)
    print("drawn books, by structure and outcome of the earlier version:")
    for line in (*listing.reach(), *listing.lines()):
        print(line)
    used = os.times()
    print(
        f"{listing.total} unexpected differences in {len(every)} wishes; "
        f"{time.monotonic() - start:.0f} s, {sum(used[:4]):.0f} s of processor time"
    )
    return int(listing.total > 0)


def _notes(both: Sequence[Tree], known: Sequence[trees.About], common: Common) -> Iterator[str]:
    """Yield what the comparison leaves out."""
    every = {one.name for one in common.structures}
    for name in common.only:
        if name not in every:
            raise DifferentialError(f"--structures {name}: known are {', '.join(sorted(every))}")
    for tree, one in zip(both, known, strict=True):
        if not one.quick:
            yield f"{tree.name}: where sheets are laid out is not known, each draft lays them out; name the place in worker.py"
        for row in one.structures:
            if row["name"] not in every:
                yield f"{tree.name}: only it has the structure {row['name']}: not compared"
        if alone := sorted(one.fields - common.fields):
            yield f"{tree.name}: only it knows {', '.join(alone)}: left out of drawn records"


def _wishes(asked: argparse.Namespace, before: Tree, common: Common) -> Iterator[Wish]:
    yield from wishes.demonstration(before.root, "svg,pdf,dxf")
    chosen = Random(asked.seed).sample(range(asked.records), min(asked.sheets, asked.records))
    drawn = set(chosen)
    for number in (*chosen, *(one for one in range(asked.records) if one not in drawn)):
        yield wishes.draw(asked.seed, number, common, sheets=number in drawn)


def _run(asked: argparse.Namespace, both: Sequence[Tree], every: Sequence[Wish]) -> Listing:
    with _list_file(asked.listed) as file, ThreadPoolExecutor(asked.workers) as pool:
        listing = Listing(expected.load(asked.expected), file)
        running = deque(
            (batch, [pool.submit(tree.answers, [wish.task for wish in batch]) for tree in both])
            for batch in _batches(every)
        )
        try:
            while running:  # each answer is let go when it is compared
                batch, (before, after) = running.popleft()
                _compare(batch, before.result()[1:], after.result()[1:], listing)
                if sys.stderr.isatty():
                    print(f"\r{len(running)} batches to go ", end="", file=sys.stderr, flush=True)
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            raise
        print(f"every difference is listed in {file.name}")
    return listing


def _compare(
    batch: Sequence[Wish], before: Sequence[Answer], after: Sequence[Answer], listing: Listing
) -> None:
    for wish, old, new in zip(batch, before, after, strict=True):
        listing.count(wish, answers.outcome(old["runs"][-2]))
        if old != new:
            for spot in answers.differing(old, new, wish.sheets):
                listing.add(wish, spot)


def _list_file(path: Path | None) -> TextIO:
    if path is not None:
        return path.open("w", encoding="utf-8")
    return tempfile.NamedTemporaryFile(
        "w", encoding="utf-8", prefix="differences-", suffix=".tsv", delete=False
    )  # type: ignore[return-value]


def _batches(every: Sequence[Wish]) -> Iterator[list[Wish]]:
    batch, weight = list[Wish](), 0
    for wish in every:
        batch.append(wish)
        weight += SHEETS_WEIGH if wish.sheets else 1
        if weight >= TOGETHER:
            yield batch
            batch, weight = [], 0
    if batch:
        yield batch


if __name__ == "__main__":
    raise SystemExit(main())
