"""Records with structures: drawn books, books at the ends of what is allowed, spoiled files."""

from __future__ import annotations

import io
import json
from contextlib import redirect_stdout
from functools import cache
from random import Random

from patterns import cli
from patterns.record.fields import FIELDS
from tests import extreme_books
from tests.campaign.asking import Ask, Command, Looks
from tests.campaign.spoiling import spoiled
from tests.differential import wishes
from tests.differential.settings import Structure, drawn
from tests.differential.wishes import PRINTER, RECORD, Common

KIND = "records"


@cache
def common() -> Common:
    """Return the structures and fields that the program says it knows."""
    said = io.StringIO()
    with redirect_stdout(said):
        cli.cli.main(["structures", "--json"], prog_name="mendfold", standalone_mode=False)
    rows = json.loads(said.getvalue())
    known = [Structure(row["name"], row["parameters"], row["materials"]) for row in rows]
    return Common(known, frozenset(field.name for field in FIELDS))


@cache
def _extremes() -> tuple[extreme_books.Tables, ...]:
    ends = (tables for _, _, tables in extreme_books.limits())
    return (*extreme_books.BOOKS.values(), *ends)


def draw(seed: int, number: int, looks: Looks) -> Ask:
    """Return the record of that number: its structure by turns, its book by chance."""
    chance = Random(f"{KIND}/{seed}/{number}")
    wish = wishes.draw(seed, number, common())
    main, text, settings = wish.structures[0], wish.record, wish.settings
    odd = chance.random()
    if odd < 0.2:
        tables = chance.choice(_extremes())
        text = extreme_books.toml(tables)
        chosen = [one for one in common().structures if one.name in wish.structures]
        settings = drawn(chance, chosen, tables)
    data = spoiled(chance, text.encode()) if odd > 0.9 else text.encode()
    pairs = [word for key, value in settings for word in ("--set", f"{key}={value}")]
    formats = "svg,pdf" if looks.sheets else "svg"
    commands: list[Command] = [
        ("draft", RECORD, *wish.structures, *pairs, *wish.options, "--formats", formats)
    ]
    if looks.examine:
        commands.append(("examine", RECORD))
    if "--printer" in wish.options:
        name, across, down = PRINTER
        commands.insert(0, ("printer", "set", name, "--across", across, "--down", down))
    name = f"{KIND} {seed}/{number}"
    return Ask(KIND, main, name, {RECORD: data}, tuple(commands), RECORD, looks.sheets)
