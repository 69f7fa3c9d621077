"""What happens to a record on its way: measures left out, other units, and now and then a slip."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from random import Random

from tests.differential.rows import Bare, Row, Tables

KEPT = ("book.id",)
"""Never left out: it names the folder."""
WEIGHTS = ("weight", "board_weight", "grammage", "tear_strength")


def only_known(tables: Tables, known: Collection[str]) -> Tables:
    """Return the record without fields that one of the two versions does not know."""
    left: Tables = {}
    for name, held in tables.items():
        rows = [
            {key: value for key, value in row.items() if f"{name}.{key}" in known}
            for row in (held if isinstance(held, list) else [held])
        ]
        full = [row for row in rows if row]
        if full:
            left[name] = full if isinstance(held, list) else full[0]
    return left


def slipped(chance: Random, tables: Tables) -> Tables:
    """Leave out fields in a quarter of the records, and put a slip of the pen into one of fifteen."""
    fields = [(row, name, key) for row, name, key in _fields(tables) if f"{name}.{key}" not in KEPT]
    if chance.random() < 0.25:
        for row, _name, key in chance.sample(fields, min(len(fields), chance.randint(1, 3))):
            row.pop(key, None)
    if chance.random() < 0.1:
        _other_units(chance, fields)
    if chance.random() < 0.065:
        row, _name, key = chance.choice(fields)
        if key in row:
            chance.choice(SLIPS)(chance, row, key)
    return tables


def _fields(tables: Tables) -> Iterator[tuple[Row, str, str]]:
    for name, held in tables.items():
        for row in held if isinstance(held, list) else [held]:
            for key in list(row):
                yield row, name, key


def _other_units(chance: Random, fields: list[tuple[Row, str, str]]) -> None:
    lengths = [
        (row, key)
        for row, _name, key in fields
        if isinstance(row.get(key), float) and key not in WEIGHTS
    ]
    for row, key in chance.sample(lengths, min(len(lengths), 4)):
        value = row[key]
        if isinstance(value, float):
            row[key] = chance.choice(
                [f"{value / 10:g} cm", f"{value:g} mm", f"{round(value / 25.4, 3):g} in"]
            )


def _times(chance: Random, row: Row, key: str) -> None:
    value = row[key]
    if isinstance(value, int | float) and not isinstance(value, bool):
        row[key] = type(value)(value * chance.choice([10, 0.1, 2.54, -1, 100]))
    else:
        row[key] = chance.choice(["", "yes", 7])


def _off(chance: Random, row: Row, key: str) -> None:
    value = row[key]
    if isinstance(value, float):
        row[key] = round(value * chance.uniform(0.6, 1.5), 1)
    else:
        row[key] = 3


def _misspelt(chance: Random, row: Row, key: str) -> None:
    at = chance.randrange(len(key))
    row[key[:at] + key[at + 1 :] or "x"] = row.pop(key)


def _words(chance: Random, row: Row, key: str) -> None:
    row[key] = chance.choice(["about 30", "12 kg", "9 furlong", "ʒ", "none", "7,5"])


def _nothing(chance: Random, row: Row, key: str) -> None:
    row[key] = chance.choice([Bare("nan"), Bare("inf"), Bare("true"), Bare("[]"), 0.0, 1e9])


SLIPS: tuple[Callable[[Random, Row, str], None], ...] = (_times, _off, _misspelt, _words, _nothing)
