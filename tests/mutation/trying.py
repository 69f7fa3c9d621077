"""Trying faults: which are drawn, how the tests answer, and what that comes to."""

from __future__ import annotations

import random
import re
import threading
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

from tests.mutation.copies import Answer, Copy
from tests.mutation.operators import Fault, stands
from tests.mutation.rooms import in_order, room
from tests.mutation.touching import Program, Ran

TIMES, MORE = 5.0, 10.0
"""A test may take this many times its own seconds, and this many seconds more."""
START = 60.0
"""Seconds of the processor in which the tests are read, at most."""
REFUSED = re.compile(
    r"NameError|UnboundLocalError|AttributeError"
    r"|TypeError: (unsupported operand|bad operand|can only concatenate|can't multiply"
    r"|must be real number|(list|tuple|string|slice) indices|'\S+' object (is not|cannot be)"
    r"|'.{1,2}' not supported|.*(unexpected keyword|multiple values|positional) argument)"
)
"""What a type checker would refuse is no fault that a test has to find; another one is drawn."""


@dataclass(frozen=True)
class Tried:
    """A fault and what became of it."""

    room: str
    fault: Fault
    outcome: str
    """One of caught, time, survived, untouched, refused."""
    by: str
    """The test that failed and what it said."""

    def line(self) -> str:
        """Return it on one line."""
        place = f"{self.fault.file}:{self.fault.line}"
        return f"{self.room} {place} {self.fault.kind}: {self.outcome} {self.by}"

    @property
    def passed(self) -> bool:
        """Say whether nothing noticed it."""
        return self.outcome in ("survived", "untouched")


def drawn(found: Iterable[Fault], seed: int) -> dict[str, list[Fault]]:
    """Return every room's faults in drawn order: every line once before any line has two.

    Places come up equally often, whatever number of faults each would take.
    """
    rooms: dict[str, dict[tuple[str, int, int], list[Fault]]] = {}
    for one in found:
        place = (one.file, one.start, one.end)
        rooms.setdefault(room(one.file), {}).setdefault(place, []).append(one)
    order = {}
    for name in in_order(rooms):
        chance = random.Random(f"{seed} {name}")
        places = sorted(rooms[name])
        chance.shuffle(places)
        picked = [chance.choice(rooms[name][place]) for place in places]
        lines: dict[tuple[str, int], int] = {}
        turns = []
        for one in picked:
            lines[one.file, one.line] = turn = lines.get((one.file, one.line), 0) + 1
            turns.append(turn)
        ranked = sorted(range(len(picked)), key=lambda at: turns[at])
        order[name] = [picked[at] for at in ranked]
    return order


def counts(
    order: Mapping[str, Sequence[Fault]], per_group: int, sample: int | None
) -> dict[str, int]:
    """Return how many faults to try in each room; a sample is dealt out evenly.

    >>> counts({"a": [], "b": []}, 60, 5)
    {'a': 3, 'b': 2}
    """
    if sample is None:
        return dict.fromkeys(order, per_group)
    each, more = divmod(sample, len(order))
    return {name: each + (at < more) for at, name in enumerate(order)}


def to_run(
    touched: Iterable[str], seconds: Mapping[str, float], most: float, module: str = ""
) -> list[str]:
    """Return the tests to run, as many as fit into `most` seconds, one at least.

    Those that bear the module's name come first. Every test function has a turn before any has a
    second one with other values; cheap ones come first in each round.

    >>> to_run({"f[1]", "f[2]", "f[3]", "g"}, {"f[1]": 1, "f[2]": 0.1, "f[3]": 2, "g": 3}, 6)
    ['f[2]', 'g', 'f[1]']
    >>> to_run({"f[1]", "f[2]", "g[slot]"}, {"f[1]": 1, "f[2]": 0.1, "g[slot]": 3}, 4, "slot")
    ['g[slot]', 'f[2]']
    """
    rounds: Counter[str] = Counter()
    order = []
    for test in sorted(touched, key=lambda name: (seconds[name], name)):
        function = test.split("[")[0]
        named = bool(module) and module in test
        order.append((not named, rounds[function], seconds[test], test))
        rounds[function] += 1
    found: list[str] = []
    total = 0.0
    for *_, taken, test in sorted(order):
        total += taken
        if found and total > most:
            break
        found.append(test)
    return found


class Bench:
    """A copy with all that is needed to try faults in it, one after the other."""

    def __init__(self, program: Program, ran: Ran, most: float) -> None:
        self.program, self.ran, self.most = program, ran, most
        self.lock = threading.Lock()

    def attempt(self, fault: Fault, copy: Copy) -> Tried:
        """Put a fault in, run the tests that touch it, take it out."""
        where = room(fault.file)
        if not stands(fault.applied((copy.tree / fault.file).read_text(encoding="utf-8"))):
            return Tried(where, fault, "refused", "cannot be read")
        module = PurePosixPath(fault.file).stem
        names = to_run(self.program.touching(fault, self.ran), self.ran.seconds, self.most, module)
        if not names:
            return Tried(where, fault, "untouched", "")
        limits = {name: MORE + TIMES * self.ran.seconds[name] for name in names}
        files = dict.fromkeys(name.split("::")[0] for name in names)
        most = START + sum(limits.values())
        with copy.fault(fault):
            answer = copy.run({"do": "run", "tests": limits}, files, most)
        outcome, by = verdict(answer)
        return Tried(where, fault, outcome, by)

    def one_more(
        self, faults: Iterator[Fault], copy: Copy, enough: Callable[[], bool]
    ) -> list[Tried]:
        """Try the next fault, and further ones as long as they are refused."""
        tried: list[Tried] = []
        while not enough() and not any(one.outcome != "refused" for one in tried):
            with self.lock:
                fault = next(faults, None)
            if fault is None:
                break
            found = self.attempt(fault, copy)
            if enough():
                break
            tried.append(found)
        return tried


def verdict(answer: Answer) -> tuple[str, str]:
    """Return what a run says of a fault, and who says it."""
    message = " ".join(str(answer.said.get("message", "")).split())
    by = f"{answer.said.get('test', '')}: {message}"[:300]
    if answer.said:
        return ("refused" if REFUSED.match(message) else "caught"), by
    if answer.status is None or answer.status < 0:
        return "time", ""
    if answer.status in (0, 5):
        return "survived", ""
    return "caught", answer.tail[-300:]
