"""What the condition of a book changes in any structure, by the rows of `conditions.toml`.

A step is never judged by its words: its traits say what it does to which part of the book, and the
rows say what each condition forbids, puts before, or does in another way.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from patterns.book.condition import met
from patterns.book.suits import Ruling
from patterns.model.traits import Traits, Way, Where
from patterns.record.record import ConditionTable

TABLE = Path(__file__).parent / "conditions.toml"
LEAST_WATER: tuple[Way, ...] = ("dry", "solvent", "sparing")
"""The ways of doing without so much water, the driest first."""
HEATED = Traits(heats=("cover",))
"""What a bond that is set by heat does to the book."""
_SET: Mapping[str, Traits] = {"heat": HEATED, "solvent": Traits(solvent=("cover",))}
POULTICE = "with a poultice"
"""How paste comes off where water does no harm."""


class WayWords(NamedTuple):
    """How a step is done in one way, in words for steps, pieces, boxes and lists."""

    bond: str = ""
    lead: str = ""
    told: str = ""
    adhesive: str = ""
    needs: str = ""
    off: str = ""
    """How what was set in this way comes off again."""
    cautions: tuple[str, ...] = ()
    given: bool = False
    """Only a template can say how: nothing is set by it."""
    turns: bool = False
    """What was wetted is reached by a solvent instead."""


@dataclass(frozen=True, slots=True)
class _Row:
    """What every row begins with: a condition, and the traits it is about."""

    condition: str
    of: str
    does: tuple[str, ...]
    on: frozenset[Where]

    def met(self, condition: ConditionTable) -> bool:
        """Tell whether the record names this condition, and the very word of it that is meant."""
        if all(one.key != self.condition for one in met(condition)):
            return False
        found = getattr(condition, self.condition)
        return not self.of or self.of in (found if isinstance(found, tuple) else (found,))

    def touches(self, traits: Traits) -> bool:
        """Tell whether what a step does reaches what suffers by it."""
        return any(self.on.intersection(getattr(traits, one)) for one in self.does)


@dataclass(frozen=True, slots=True)
class Refusal(_Row):
    """Nothing is drafted that does this."""

    ruling: Ruling


@dataclass(frozen=True, slots=True)
class Before(_Row):
    """A step put before the first that touches."""

    text: str
    cautions: tuple[str, ...]
    traits: Traits
    needs: str
    told: str


@dataclass(frozen=True, slots=True)
class Instead(_Row):
    """A step done in another way, or left to a judgement."""

    ways: tuple[Way, ...]
    otherwise: Way | None
    judged: str
    cautions: tuple[str, ...]
    spared: tuple[Way, ...]
    """Ways in which a step does no harm here, whatever else asked for them."""
    lead: str
    """What a step begins with that is left to a judgement."""


@dataclass(frozen=True, slots=True)
class Undone(_Row):
    """How what was pasted comes off again."""

    off: str


class Rules(NamedTuple):
    """All rows of the table."""

    ways: Mapping[Way, WayWords]
    refusals: tuple[Refusal, ...]
    before: tuple[Before, ...]
    changes: tuple[Instead, ...]
    undone: tuple[Undone, ...]
    boxes: Mapping[str, str]
    """What a box says before the steps it names."""
    always: Mapping[str, str]
    """What a box says even where it names no step."""


@cache
def rules() -> Rules:
    """Return the rows of the table, in its order."""
    raw = tomllib.loads(TABLE.read_text(encoding="utf-8"))
    return Rules(
        {name: WayWords(**_tuples(row)) for name, row in raw["ways"].items()},
        tuple(
            Refusal(*_head(row), Ruling(row["words"], row.get("tie_or_box", False)))
            for row in raw["refusals"]
        ),
        tuple(
            Before(
                *_head(row), row["text"], tuple(row["cautions"]),
                Traits(solvent=tuple(row["solvent"])), row["needs"], row["told"],
            )
            for row in raw["before"]
        ),
        tuple(
            Instead(
                *_head(row), tuple(row.get("ways", ())), row.get("otherwise"), row["judged"],
                tuple(row.get("cautions", ())), tuple(row.get("spared", ())), row.get("lead", ""),
            )
            for row in raw["changes"]
        ),
        tuple(Undone(*_head(row), row["off"]) for row in raw["undone"]),
        raw["boxes"],
        raw["always"],
    )  # fmt: skip


def _tuples(row: Mapping[str, Any]) -> dict[str, Any]:
    return {key: tuple(one) if isinstance(one, list) else one for key, one in row.items()}


def _head(row: Mapping[str, Any]) -> tuple[str, str, tuple[str, ...], frozenset[Where]]:
    does = row.get("does", ())
    listed = (does,) if isinstance(does, str) else tuple(does)
    return row["condition"], row.get("of", ""), listed, frozenset(row["on"])


def refusals(condition: ConditionTable, traits: Traits) -> Iterator[Ruling]:
    """Yield why a step that does this is refused on such a book."""
    for row in rules().refusals:
        if row.touches(traits) and row.met(condition):
            yield row.ruling


@lru_cache(maxsize=64)
def bears_heat(condition: ConditionTable) -> bool:
    """Tell whether a bond may be set by heat on such a book."""
    return next(refusals(condition, HEATED), None) is None


def may_set(condition: ConditionTable, way: str) -> bool:
    """Tell whether an adhesive that sets by "heat" or a "solvent" may be advised for such a book.

    It may not where it is refused, nor where something must be brought out of its reach first.
    """
    away = any(row.lead for row in changes(condition, _SET[way]))
    return not away and next(refusals(condition, _SET[way]), None) is None


@lru_cache(maxsize=1024)
def changes(condition: ConditionTable, traits: Traits) -> tuple[Instead, ...]:
    """Return what such a book changes in a step that does this."""
    return tuple(row for row in _touched(traits) if row.met(condition))


@lru_cache(maxsize=4096)
def _touched(traits: Traits) -> tuple[Instead, ...]:
    """Return what could be changed in a step that does this; a template's steps are asked again and again."""
    return tuple(row for row in rules().changes if row.touches(traits))


def chosen(found: Sequence[Instead], offers: Callable[[Way], bool]) -> Way | None:
    """Return the way that a step is done in, of those it offers; None where it stays as it is.

    The driest that all rows allow, else the first of the first row that allows any.
    """
    allowed = [_allowed(row, offers) for row in found if row.ways]
    alike = [way for way in LEAST_WATER if allowed and all(way in one for one in allowed)]
    return next(iter((*alike, *(way for one in allowed for way in one))), None)


def _allowed(row: Instead, offers: Callable[[Way], bool]) -> tuple[Way, ...]:
    own = tuple(way for way in row.ways if offers(way))
    return own if own or row.otherwise is None else (row.otherwise,)


def satisfied(row: Instead, way: Way | None) -> bool:
    """Tell whether a way is one that the row allows."""
    return way is not None and way in (*row.ways, row.otherwise)


def pasted(condition: ConditionTable, traits: Traits) -> bool:
    """Tell whether what such a book is wetted with holds water, and not a solvent in its place."""
    way = chosen(changes(condition, traits), lambda _: False)
    return way is None or not rules().ways[way].turns


def unpasted(condition: ConditionTable, place: Where) -> str:
    """Return how what was pasted on a part of such a book comes off again."""
    rows = (row.off for row in rules().undone if place in row.on and row.met(condition))
    return next(rows, POULTICE)


def first(condition: ConditionTable, done: Sequence[Traits]) -> Iterator[tuple[int, Before]]:
    """Yield what comes before the first step that touches, with that step's place among all."""
    for row in rules().before:
        at = next((place for place, one in enumerate(done) if row.touches(one)), None)
        if at is not None and row.met(condition):
            yield at, row


def named(told: str, numbers: Collection[int]) -> str:
    """Put the numbers of steps into what is told of them.

    >>> named("{steps} dry, by hand", [3]), named("{steps} dry", [3, 5, 9])
    ('step 3 dry, by hand', 'steps 3, 5 and 9 dry')
    """
    *most, last = map(str, numbers)
    listed = f"steps {', '.join(most)} and {last}" if most else f"step {last}"
    return told.format(steps=listed)
