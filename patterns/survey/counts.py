"""What is counted over all books: always by books, never by findings."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from patterns.survey.judging import PARTS

CLASSES = {
    1: "nothing, or only to keep in mind",
    2: "measure or watch",
    3: "a part fails",
    4: "stop: nothing before it is settled",
}
"""The classes of a book or a part, by the worst of what was found."""


@dataclass(frozen=True, slots=True)
class Alike:
    """What makes books alike to treat: the structures of their first way, and the cautions."""

    way: str
    cautions: tuple[str, ...]


@dataclass(slots=True)
class Counts:
    """The counts of a survey, book by book added."""

    books: int = 0
    states: Counter[str] = field(default_factory=Counter)
    findings: Counter[str] = field(default_factory=Counter)
    classes: Counter[int] = field(default_factory=Counter)
    parts: Counter[tuple[str, int]] = field(default_factory=Counter)
    """Books by part and class."""
    ways: Counter[str] = field(default_factory=Counter)
    """Books by the structures of their first way; "" where that is to do nothing."""
    alike: Counter[Alike] = field(default_factory=Counter)
    to_measure: Counter[str] = field(default_factory=Counter)
    """Books that lack a field before a way can be drafted."""
    not_measured: Counter[str] = field(default_factory=Counter)
    refused_for: Counter[str] = field(default_factory=Counter)
    """Refused books by the field of a problem."""
    about: int = 0
    """Books of which a reading was only taken about."""
    ranked: int = 0
    not_drafted: int = 0
    materials: dict[str, tuple[int, float, float]] = field(default_factory=dict)
    """Of all drafted books: pieces, m² and metres of thread by material."""

    def add(self, told: Mapping[str, Any]) -> None:
        """Count one book."""
        self.books += 1
        self.states[told["state"]] += 1
        self.not_measured.update(told["not_measured"])
        self.about += bool(told["about"])
        if told["state"] == "refused":
            self.refused_for.update({one["field"] or one["column"] for one in told["problems"]})
            return
        self.findings.update(set(told["findings"]))
        self.classes[told["class"]] += 1
        self.parts.update(told["parts"].items())
        self.ways[told["first_way"]] += 1
        if told["first_way"]:
            self.alike[Alike(told["first_way"], tuple(told["cautions"]))] += 1
        self.to_measure.update(told["needs_measuring"])
        self.ranked += priority(told) is not None
        self.not_drafted += "not_drafted" in told
        for name, pieces, area, thread in told.get("needed", ()):
            before = self.materials.get(name, (0, 0.0, 0.0))
            self.materials[name] = before[0] + pieces, before[1] + area, before[2] + thread

    @property
    def judged(self) -> int:
        """Books that could be examined."""
        return self.books - self.states["refused"]

    def part_rows(self) -> list[tuple[str, int, tuple[int, ...]]]:
        """Return each part's name, the books in which nothing is known of it, and books by class."""
        rows = []
        for table, words in PARTS.items():
            counted = tuple(self.parts[table, one] for one in CLASSES)
            if any(counted):
                rows.append((words, self.judged - sum(counted), counted))
        return rows


def priority(told: Mapping[str, Any]) -> int | None:
    """Return need × value × use; None where the library has not judged value and use."""
    if told["state"] == "refused" or told["value"] is None or told["use"] is None:
        return None
    return int(told["class"] * told["value"] * told["use"])
