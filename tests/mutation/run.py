"""The command: tries faults in every room and prints what share of them the tests catch."""

from __future__ import annotations

import ast
import queue
import signal
import tempfile
import threading
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from pathlib import Path

import click

from tests.mutation import judged
from tests.mutation.copies import Copy, pristine
from tests.mutation.mapping import TestsDoNotRun, mapped
from tests.mutation.operators import Fault, Names, faults
from tests.mutation.rooms import in_order
from tests.mutation.touching import Program
from tests.mutation.trying import Bench, Tried, counts, drawn

PROJECT = Path(__file__).parents[2]


def modules(project: Path) -> dict[str, str]:
    """Return the program's modules as text, by path from the project's folder."""
    return {
        path.relative_to(project).as_posix(): path.read_text(encoding="utf-8")
        for path in sorted((project / "patterns").rglob("*.py"))
    }


def table(tried: Sequence[Tried]) -> str:
    """Return the share caught in every room and in all."""
    rows = [
        (name, [one for one in tried if one.room == name])
        for name in in_order({t.room for t in tried})
    ]
    lines = [
        f"{'room':12} {'faults':>6} {'caught':>6} {'by time':>7} {'survived':>8} {'untouched':>9} {'share':>6}"
    ]
    for name, some in [*rows, ("all", list(tried))]:
        number = {
            outcome: sum(one.outcome == outcome for one in some)
            for outcome in ("caught", "time", "survived", "untouched", "refused")
        }
        whole = len(some) - number["refused"]
        share = f"{100 * (number['caught'] + number['time']) / whole:5.0f} %" if whole else "-"
        lines.append(
            f"{name:12} {whole:6} {number['caught'] + number['time']:6} {number['time']:7}"
            f" {number['survived']:8} {number['untouched']:9} {share:>6}"
        )
    return "\n".join(lines)


def told(one: Tried) -> str:
    """Return a fault as lines: where it is, what was changed, as a judgement of it would name it."""
    fault = one.fault
    return (
        f"{fault.file}:{fault.line} [{fault.kind}] {one.outcome}\n"
        f"    text = {fault.text!r}\n    was  = {fault.was!r}\n    now  = {fault.now!r}"
    )


def attempts(
    bench: Bench,
    copies: Sequence[Copy],
    order: Mapping[str, Sequence[Fault]],
    number: Mapping[str, int],
) -> Iterator[Tried]:
    """Yield what became of the faults as they are tried, in as many copies at once as there are.

    The rooms take turns, so that a run that is stopped early has tried as many in each.
    """
    done: queue.Queue[list[Tried] | BaseException] = queue.Queue()
    free: queue.Queue[Copy] = queue.Queue()
    for copy in copies:
        free.put(copy)
    enough = threading.Event()
    left_over = {name: iter(some) for name, some in order.items()}

    def turn(name: str) -> None:
        copy = free.get()
        try:
            done.put(bench.one_more(left_over[name], copy, enough.is_set))
        except BaseException as error:
            done.put(error)
        finally:
            free.put(copy)

    turns = [name for at in range(max(number.values())) for name in order if at < number[name]]
    with ThreadPoolExecutor(len(copies)) as pool:
        try:
            for _ in [pool.submit(turn, name) for name in turns]:
                one = done.get()
                if isinstance(one, BaseException):
                    raise one
                yield from one
        finally:
            enough.set()
            pool.shutdown(wait=False, cancel_futures=True)
            for copy in copies:
                copy.stop()


def _stop(number: int, frame: object) -> None:
    raise KeyboardInterrupt(number, frame)


@click.command()
@click.option("--seed", default=1, show_default=True, help="which faults are drawn")
@click.option("--per-group", default=60, show_default=True, help="faults to try in each room")
@click.option("--groups", default="", help="rooms to try, with commas between; all when not given")
@click.option("--sample", type=int, help="faults to try in all, dealt out over the rooms")
@click.option("--jobs", default=1, show_default=True, help="copies at work at the same time")
@click.option(
    "--test-seconds",
    default=60.0,
    show_default=True,
    help="most tests to run for a fault, in seconds as they took while their lines were noted",
)
@click.option(
    "--map",
    "kept",
    type=click.Path(path_type=Path),
    help="folder to keep lines and tests in for next time",
)
@click.option(
    "--without",
    default="",
    help="beginnings of test files to leave out, with commas between: tests/survey,tests/bench",
)
@click.option(
    "--list", "listed", is_flag=True, help="print how many faults each room takes, and stop"
)
@click.option(
    "--least", type=float, help="end with 1 when a smaller share than this per cent is caught"
)
def main(
    seed: int,
    per_group: int,
    groups: str,
    sample: int | None,
    jobs: int,
    test_seconds: float,
    kept: Path | None,
    without: str,
    listed: bool,
    least: float | None,
) -> None:
    """Put small faults into private copies of the project, one at a time, and see which the tests catch."""
    signal.signal(signal.SIGTERM, _stop)
    with ExitStack() as stack:
        home = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="mutation-")))
        sources = modules(project := pristine(PROJECT, home / "project"))
        found = all_faults(sources)
        known = judged.read()
        order = drawn((one for one in found if not any(j.meets(one) for j in known)), seed)
        order = only(order, words(groups))
        if listed:
            click.echo("\n".join(f"{name:12} {len(some):6}" for name, some in order.items()))
            return
        copies = [stack.enter_context(Copy(project, home / f"copy-{n}")) for n in range(jobs)]
        tried: list[Tried] = []
        try:
            bench = prepared(sources, copies, kept or home / "map", test_seconds, words(without))
            for one in attempts(bench, copies, order, counts(order, per_group, sample)):
                tried.append(one)
                click.echo(f"{len(tried):4} {one.line()}", err=True)
        except KeyboardInterrupt:
            click.echo("stopped: what was tried until then", err=True)
    report(tried, [j for j in known if not any(j.meets(one) for one in found)], least)


def words(given: str) -> list[str]:
    """Return what stands between commas."""
    return [word for word in given.split(",") if word]


def all_faults(sources: Mapping[str, str]) -> list[Fault]:
    """Return every fault of the program."""
    names = Names.of(sources.values())
    return [fault for file, source in sources.items() for fault in faults(file, source, names)]


def only(order: dict[str, list[Fault]], wanted: Sequence[str]) -> dict[str, list[Fault]]:
    """Return the wanted rooms, all when none is named."""
    for name in wanted:
        if name not in order:
            raise click.ClickException(f"no room {name!r}; there are: {', '.join(order)}")
    return {name: some for name, some in order.items() if not wanted or name in wanted}


def prepared(
    sources: Mapping[str, str],
    copies: Sequence[Copy],
    kept: Path,
    test_seconds: float,
    without: Sequence[str] = (),
) -> Bench:
    """Return the bench with all that is known of the tests."""
    try:
        ran, failing = mapped(copies, kept, without)
    except TestsDoNotRun as error:
        raise click.ClickException(f"the tests do not run without a fault:\n{error}") from None
    for name in failing:
        click.echo(f"left out, fails without a fault: {name}", err=True)
    trees = {file: ast.parse(source) for file, source in sources.items()}
    return Bench(Program(trees), ran, test_seconds)


def report(tried: Sequence[Tried], stale: Sequence[judged.Judged], least: float | None) -> None:
    """Print what nothing noticed, the shares, and judgements to take out; end with 1 below `least`."""
    for one in tried:
        if one.passed:
            click.echo(told(one))
    click.echo("\n" + table(tried))
    for judgement in stale:
        click.echo(
            f"judged, but no such fault any more: {judgement.file}: {judgement.text}", err=True
        )
    counted = [one for one in tried if one.outcome != "refused"]
    caught = sum(not one.passed for one in counted)
    if least is not None and 100 * caught < least * len(counted):
        raise click.ClickException(
            f"{caught} of {len(counted)} caught: less than {least:g} per cent"
        )
