"""The steps a template declares: when each is told, what it does to the book, its figures filled in."""

from __future__ import annotations

import string
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any, get_args, get_type_hints

from patterns import units
from patterns.model.traits import Traits, Way, Where
from patterns.stock.materials import SETS, Material
from patterns.structures.rows import one_of, only

PHASES = (
    "record",
    "prepare",
    "uncover",
    "boards",
    "lining",
    "sew",
    "join",
    "spine",
    "cover",
    "turn in",
    "set in",
    "attach",
    "finish",
)
"""Working order on the bench; the steps of several structures are merged by it."""
JOINS, JOINS_LATER = "join", "attach"


def working_order(cover_first: bool) -> tuple[str, ...]:
    """Return the phases in order; block and boards are joined late where the cover is made ready first.

    >>> working_order(True)[-4:]
    ('set in', 'join', 'attach', 'finish')
    """
    if not cover_first:
        return PHASES
    others = [phase for phase in PHASES if phase != JOINS]
    at = others.index(JOINS_LATER)
    return (*others[:at], JOINS, *others[at:])


_TRAITS = tuple(field.name for field in fields(Traits))
_WAYS = frozenset(get_args(Way))
_TOLD_ANEW = {"text", "cautions", "tools", *_TRAITS}
_KEYS = {"phase", "when", "sets", "seldom", "instead", "picture", "sees", *_TOLD_ANEW}
BOND = "bond"
"""Figure of a step that says with what it sets: paste, unless the book's condition asks for another."""
PLACES: tuple[Where, ...] = get_args(Where)
OFF = "off_"
"""Before a part of the book: how what is set on it comes off, in a way to undo."""
UNHEATED = "unheated"
"""In a way to undo an adhesive of its own: without heat, where such a book bears none; else nothing."""


@dataclass(frozen=True, slots=True)
class Anew:
    """What a step says and does when it is done in another way."""

    text: str
    cautions: tuple[str, ...]
    traits: Traits
    tools: tuple[str, ...] = ()
    """What only this way of doing it takes."""


@dataclass(frozen=True, slots=True, eq=False)
class StepTemplate:
    """A step with {figures} to fill in; `when` names the flags that must hold, or not, if it is told.

    Each is itself alone, equal to no other: what a book changes in it is remembered by it.
    """

    phase: str
    text: str
    cautions: tuple[str, ...]
    when: tuple[tuple[str, bool], ...]
    """Every flag, and whether it must hold."""
    traits: Traits
    seldom: bool
    """Done only with a setting or a material that is not the default."""
    ways: Mapping[Way, Anew]
    """How it is told where it is done in another way than with so much water."""
    picture: str = ""
    """Name of the picture beside it, which the structure's module draws."""
    sees: tuple[str, ...] = ()
    """Pieces and drawings of the structure that it is done by, as their names begin."""
    tools: tuple[str, ...] = ()
    sets: str = ""
    """Told only where the adhesive sets by loss of "water" or "solvent", or by "heat"; "" for any."""

    def suits(self, materials: Mapping[str, Material]) -> bool:
        """Tell whether a structure's materials leave it to be told."""
        return not self.sets or materials["adhesive"].sets == self.sets

    @property
    def tellings(self) -> tuple[Anew, ...]:
        """Every way it is told in, the usual one first."""
        return (Anew(self.text, self.cautions, self.traits, self.tools), *self.ways.values())

    def offers(self, way: Way) -> bool:
        """Tell whether it can be done in a way: told anew, or its bond set by something else."""
        return way in self.ways or (way != "dry" and BOND in named(self.text))


def declared(row: Mapping[str, Any]) -> StepTemplate:
    """Return the step that a row of a template declares; a ValueError names what is wrong."""
    only("steps", row, _KEYS)
    one_of(row["phase"], PHASES, "steps.phase")
    instead = row.get("instead", {})
    only("steps.instead", instead, _WAYS)
    return StepTemplate(
        phase=row["phase"],
        text=row["text"],
        cautions=tuple(row.get("cautions", ())),
        when=tuple(_flags(row.get("when", ""))),
        traits=_traits(row),
        seldom=row.get("seldom", False),
        ways={way: _anew(way, one) for way, one in instead.items()},
        picture=row.get("picture", ""),
        sees=tuple(row.get("sees", ())),
        tools=tuple(row.get("tools", ())),
        sets=one_of(row["sets"], SETS, "steps.sets") if "sets" in row else "",
    )


def _flags(text: str) -> Iterator[tuple[str, bool]]:
    """Yield each flag and whether it must hold.

    >>> list(_flags("covered and not lined")), list(_flags(""))
    ([('covered', True), ('lined', False)], [])
    """
    for part in text.split(" and ") if text else ():
        *negated, flag = part.split(" ")
        if negated not in ([], ["not"]):
            raise ValueError(f"steps.when {text!r}: write flags, or not and a flag, joined by and")
        yield flag, not negated


def _anew(way: Way, row: Mapping[str, Any]) -> Anew:
    only(f"steps.instead.{way}", row, _TOLD_ANEW)
    return Anew(
        row["text"], tuple(row.get("cautions", ())), _traits(row), tuple(row.get("tools", ()))
    )


def _traits(row: Mapping[str, Any]) -> Traits:
    traits = {name: tuple(row[name]) for name in _TRAITS if name in row}
    for name, places in traits.items():
        if not set(PLACES).issuperset(places):
            raise ValueError(f"steps.{name} may name {', '.join(PLACES)} alone")
    return Traits(**traits)


def fill(text: str, figures: Mapping[str, object], angles: Collection[str] = ()) -> str:
    """Put this book's figures into a step; lengths to 0.1, those among `angles` in whole degrees.

    >>> fill("cut {strip_mm} mm, {n} times", {"strip_mm": 153.94, "n": 2})
    'cut 153.9 mm, 2 times'
    """
    shown = {name: _shown(figures[name], 0 if name in angles else 1) for name in named(text)}
    return text.format(**shown)


def named(text: str) -> tuple[str, ...]:
    """Return the {figures} of a text, in order.

    >>> named("cut {strip_mm} mm, {n} times")
    ('strip_mm', 'n')
    """
    return tuple(name for _, name, _, _ in string.Formatter().parse(text) if name is not None)


def _shown(value: object, places: int) -> str:
    if isinstance(value, float):
        return units.mm(value, places)
    if isinstance(value, tuple | list):
        return ", ".join(_shown(item, places) for item in value)
    return str(value)


def wanted(step: StepTemplate, figures: Mapping[str, object]) -> bool:
    """Tell whether a step's conditions hold for these figures."""
    return all(bool(figures[flag]) == holds for flag, holds in step.when)


def figures_of(kind: type[Any] | None) -> Iterator[str]:
    """Yield the names of a structure's figures, those of a dataclass within it among them."""
    for name, held in get_type_hints(kind).items() if kind else ():
        if isinstance(held, type) and is_dataclass(held):
            yield from figures_of(held)
        else:
            yield name
