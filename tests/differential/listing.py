"""The differences of a run: counted by field as they come, and told at the end."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TextIO

from tests.differential.answers import Outcome
from tests.differential.comparing import Spot
from tests.differential.expected import Expected
from tests.differential.wishes import Wish

EXAMPLES = 2
WIDTH = 220
"""So much of a value is told in an example; the list has more."""
LISTED = 2000


@dataclass(slots=True)
class Group:
    """The differences of one field, or those that one expectation took."""

    count: int = 0
    wishes: set[str] = field(default_factory=set)
    examples: list[tuple[Wish, Spot]] = field(default_factory=list)

    def add(self, wish: Wish, spot: Spot) -> None:
        """Count a difference; the first ones of two wishes are kept as examples."""
        self.count += 1
        if len(self.examples) < EXAMPLES and wish.name not in self.wishes:
            self.examples.append((wish, spot))
        self.wishes.add(wish.name)


@dataclass(slots=True)
class Listing:
    """All differences of a run, every one written to `file` as it comes."""

    expectations: list[Expected]
    file: TextIO
    unexpected: dict[str, Group] = field(default_factory=dict)
    expected: dict[str, Group] = field(default_factory=dict)
    outcomes: Counter[tuple[str, str]] = field(default_factory=Counter)
    """How often each structure was drafted, refused or crashed, in the earlier version."""
    crashes: list[str] = field(default_factory=list)

    def add(self, wish: Wish, spot: Spot) -> None:
        """Take one difference."""
        names = wish.structures
        found = next((one for one in self.expectations if one.takes(spot, names)), None)
        groups, key = (
            (self.unexpected, spot.field) if found is None else (self.expected, found.called)
        )
        groups.setdefault(key, Group()).add(wish, spot)
        mark = f"expected: {found.name}" if found else "unexpected"
        print(
            f"{wish.name}\t{'+'.join(names)}\t{mark}\t{spot.path}\t"
            f"{_line(spot.before, LISTED)}\t{_line(spot.after, LISTED)}",
            file=self.file,
        )

    def count(self, wish: Wish, ended: Outcome) -> None:
        """Count how a draft ended in the earlier version, by the structure it was drawn for."""
        if ended.kind == "crashed":
            self.crashes.append(f"{wish.name} {'+'.join(wish.structures)}: {ended.words}")
        if not wish.name.startswith("demo"):
            self.outcomes[wish.structures[0], ended.kind] += 1

    def reach(self) -> Iterator[str]:
        """Yield how far the drawn books reached: what is always refused compares only words."""
        for name in sorted({name for name, _kind in self.outcomes}):
            rows = sorted((kind, n) for (one, kind), n in self.outcomes.items() if one == name)
            yield f"  {name:20} {', '.join(f'{kind} {n}' for kind, n in rows)}"
        for line in self.crashes:
            yield f"  the earlier version crashed: {line}"

    def lines(self) -> Iterator[str]:
        """Yield what is told at the end of a run."""
        for title, groups in (("UNEXPECTED", self.unexpected), ("expected", self.expected)):
            for name, group in sorted(groups.items(), key=lambda one: -one[1].count):
                yield f"{title}  {name}: {group.count} in {len(group.wishes)} wishes"
                for wish, spot in group.examples:
                    yield f"    {wish.name} {'+'.join(wish.structures)}  {spot.path}"
                    yield f"      before  {_line(spot.before, WIDTH)}"
                    yield f"      after   {_line(spot.after, WIDTH)}"
        for one in self.expectations:
            if one.called not in self.expected:
                yield f"matched nothing: the expected difference {one.called} ({one.reason})"

    @property
    def total(self) -> int:
        """How many differences are not expected."""
        return sum(group.count for group in self.unexpected.values())


def _line(text: str, width: int) -> str:
    line = text.replace("\n", " ⏎ ").replace("\t", " ")
    return line if len(line) <= width else f"{line[:width]}…"
