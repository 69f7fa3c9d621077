"""Ask the program what people and chance may ask of it: `python -m tests.campaign --seed 1`."""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # its threads would not live on in a child

import argparse
import contextlib
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from random import Random

from tests.campaign import kept, records, tracings
from tests.campaign.asking import Ask, Looks
from tests.campaign.minimising import smallest
from tests.campaign.program import warm
from tests.campaign.trying import FAILED, Tried, tried, tried_together

KINDS: dict[str, Callable[[int, int, Looks], Ask]] = {
    records.KIND: records.draw,
    tracings.KIND: tracings.draw,
    kept.KIND: kept.draw,
}
ENDS = ("taken", "refused", *reversed(FAILED))
SHEETS = "sheets"
TOGETHER = 25
"""Asks that one child answers."""
SHOWN_BYTES = 1500
MOST_MADE_SMALL = 12
"""Failures that are made small; of each kind of failure only the first is."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the campaign and print its table; return 0 when nothing failed, else 1."""
    asked = _parser().parse_args(arguments)
    folder = asked.failed or Path(tempfile.mkdtemp(prefix="campaign-failed-"))
    table: dict[tuple[str, str], Counter[str]] = {}
    found: dict[tuple[str, str], list[Tried]] = {}
    start, used = time.monotonic(), sum(os.times()[:4])
    warm()
    with contextlib.suppress(KeyboardInterrupt):  # what is known by then is told
        for one in _answers(asked):
            row = table.setdefault((one.ask.kind, one.ask.sort), Counter())
            row[one.ended] += 1
            row[SHEETS] += one.sheets
            if one.failed:
                found.setdefault(one.fault, []).append(one)
    for line in _lines(table):
        print(line, flush=True)
    for number, several in enumerate(found.values()):
        small = smallest(several[0], tried) if number < MOST_MADE_SMALL else several[0]
        _tell(small, len(several), folder / f"{number + 1:02d}")
    failures = sum(map(len, found.values()))
    asked_of = sum(row[end] for row in table.values() for end in ENDS)
    print(
        f"{failures} failures of {len(found)} kinds in {asked_of}; "
        f"{time.monotonic() - start:.0f} s, {sum(os.times()[:4]) - used:.0f} s of processor time"
    )
    return int(failures > 0)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.campaign", description=__doc__)
    add = parser.add_argument
    for kind, words in (
        ("records", "records with structures"),
        ("tracings", "traced losses, every second one broken"),
        ("files", "spoiled files of galleries, studios and treatments"),
    ):
        add(f"--{kind}", type=int, default=500, metavar="N", help=f"{words} (500)")
    add("--first", type=int, default=0, metavar="N", help="number of the first of each (0)")
    add("--seed", type=int, default=1, metavar="N", help="another one draws others")
    add("--sheets", type=int, default=50, metavar="N", help="lay out the sheets of one in N (50)")
    add("--examine", type=int, default=1, metavar="N", help="examine one record in N (1)")
    add("--failed", type=Path, metavar="FOLDER", help="where failing input is left, made small")
    return parser


def _answers(asked: argparse.Namespace) -> Iterator[Tried]:
    for kind, draw in KINDS.items():
        count = getattr(asked, kind)
        for start in range(asked.first, asked.first + count, TOGETHER):
            if sys.stderr.isatty():
                print(f"\r{kind} {start} ", end="", file=sys.stderr, flush=True)
            numbers = range(start, min(start + TOGETHER, asked.first + count))
            yield from tried_together(
                [draw(asked.seed, one, _looks(asked, one)) for one in numbers]
            )


def _looks(asked: argparse.Namespace, number: int) -> Looks:
    """Choose by chance what one number is also asked: what comes by turns would always meet the same structures."""
    chance = Random(f"looks/{asked.seed}/{number}")
    often = asked.sheets, asked.examine
    sheets, examine = (one > 0 and chance.randrange(one) == 0 for one in often)
    return Looks(sheets, examine)


def _lines(table: dict[tuple[str, str], Counter[str]]) -> Iterator[str]:
    """Yield the table: a row for each sort, a sum for each kind."""
    columns = (*ENDS, SHEETS)
    heads = "".join(f"{column:>11}" for column in columns)
    for kind in KINDS:
        rows = {sort: ends for (held, sort), ends in sorted(table.items()) if held == kind}
        if rows:
            yield f"{kind:<24}{heads}"
            whole = sum(rows.values(), Counter[str]())
            for sort, ends in (*rows.items(), ("together", whole)):
                yield f"  {sort:<22}" + "".join(f"{ends[column]:>11}" for column in columns)


def _tell(one: Tried, count: int, folder: Path) -> None:
    """Print a failure and leave its files and commands in a folder."""
    for name, data in one.ask.files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    folder.mkdir(parents=True, exist_ok=True)
    commands = "".join(f"{list(command)!r}\n" for command in one.ask.commands)
    (folder / "commands.txt").write_text(commands, encoding="utf-8", errors="replace")
    print(f"\n{one.ended}, {count} times, as {one.ask.name} ({one.cpu_s:.1f} s): {one.told[:400]}")
    for command in one.ask.commands:
        print("  mendfold " + " ".join(map(ascii, command))[:SHOWN_BYTES])
    if one.ask.odd:
        data = one.ask.files[one.ask.odd]
        print(f"  {one.ask.odd}, {len(data)} bytes: {data[:SHOWN_BYTES]!r}")
    print(f"  left in {folder}")


if __name__ == "__main__":
    raise SystemExit(main())
