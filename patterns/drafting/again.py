"""Drafting a kept pattern again: on its own record to check it, on a new book to use it.

What was set by hand is told from what was worked out by comparing a pattern's parameters with
the templates' defaults; what was worked out is worked out anew.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from patterns.drafting.job import draft
from patterns.drafting.making import Made, make
from patterns.drafting.order import Order
from patterns.drafting.settings import SET_HERE
from patterns.errors import MendfoldError
from patterns.model.kept import KeptMaterial, KeptPattern
from patterns.model.values import Value
from patterns.record.record import Record
from patterns.stock import paper
from patterns.stock.printer import Correction
from patterns.structures import catalogue


def order_of(kept: KeptPattern, record: Record) -> tuple[Order, tuple[str, ...]]:
    """Return the order a pattern was drafted by, and a line for each setting no longer known.

    Raises MendfoldError for a structure or paper that is not known any more.
    """
    settings, gone = settings_of(kept)
    factors = kept.correction
    correction = Correction(factors.across, factors.down, kept.printer)
    order = Order(
        record,
        kept.structures,
        settings,
        paper=paper.named(kept.paper),
        correction=correction,
        full_size=kept.full_size,
        shown=kept.shown,
    )
    return order, gone


def settings_of(kept: KeptPattern) -> tuple[dict[str, str], tuple[str, ...]]:
    """Return the settings a pattern was drafted with, and a line for each no longer known."""
    found: dict[str, str] = {}
    gone: list[str] = []
    for name, values in kept.parameters.items():
        template = catalogue.find(name)
        defaults: dict[str, object] = {
            **{key: row.default for key, row in template.parameters.items()},
            **{role: row.default for role, row in template.materials.items()},
        }
        for key, value in values.items():
            if key not in defaults:
                gone.append(f"{name}.{key} is not known any more and was left out")
            elif value is not None and value != defaults[key]:
                found[f"{name}.{key}"] = _text(value)
        found |= _figures_set(name, kept.materials.get(name, {}))
    return found, tuple(gone)


def _figures_set(name: str, roles: Mapping[str, KeptMaterial]) -> dict[str, str]:
    return {
        f"{name}.{role}_{key}": _text(figure.value)
        for role, held in roles.items()
        for key, figure in held.figures.items()
        if figure.source == SET_HERE
    }


def _text(value: Value) -> str:
    """Return a value as a setting is written."""
    match value:
        case True | False:
            return "true" if value else "false"
        case tuple():
            return ",".join(map(_text, value))
    return str(value)


@dataclass(frozen=True, slots=True)
class Reused:
    """An old pattern's structures and settings on a new book."""

    made: Made
    settings: Mapping[str, str]
    left_out: tuple[str, ...]
    """Settings of the old pattern that this book, or this version, does not allow, and why."""


def reuse(kept: KeptPattern, own: Order) -> Reused:
    """Draft an old pattern's structures and settings as `own` says: its record, paper and factors.

    Settings of `own` win; one of the old pattern that the new book does not allow is left out and
    named. Raises MendfoldError when the structures cannot be drafted for this book at all.
    """
    old, gone = settings_of(kept)
    bare = {key for key in own.settings if "." not in key}
    taken = {key: text for key, text in old.items() if key.rpartition(".")[2] not in bare}
    settings = {**taken, **own.settings}

    def attempt(chosen: Mapping[str, str]) -> Made:
        return make(draft(replace(own, structures=kept.structures, settings=chosen)))

    try:
        return Reused(attempt(settings), settings, gone)
    except MendfoldError as error:
        refusal = error
    for key in sorted(settings.keys() - own.settings.keys()):
        rest = {name: text for name, text in settings.items() if name != key}
        try:
            made = attempt(rest)
        except MendfoldError:
            continue
        line = f"{key} = {settings[key]} was left out: {refusal}"
        return Reused(made, rest, (*gone, line))
    raise refusal
