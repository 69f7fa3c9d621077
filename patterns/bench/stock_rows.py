"""The studio's stock file as the page shows it: each row in words, one added, one taken away.

What is written by hand in it stays: a row is added below the others, and one that is taken away goes
with its own lines alone (tomlkit).
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomlkit

from patterns import units
from patterns.cutting import stock
from patterns.cutting.stock import Stock
from patterns.errors import MaterialError, MendfoldError, WriteError
from patterns.files import write_file
from patterns.reading import read_text
from patterns.record.writing import toml

FILE = "stock.toml"
FORMS = ("sheet", "roll", "skin")
KEYS = ("material", "width", "length", "grain", "count", "from")


def text_of(folder: Path) -> str:
    """Return the stock file of a folder, empty where there is none. Raises MendfoldError."""
    path = folder / FILE
    if path.is_symlink():
        raise WriteError(f"{FILE} is a link to another place, and is not followed")
    return read_text(path) if path.is_file() else ""


def rows(folder: Path) -> tuple[Stock, ...]:
    """Return what the studio has, nothing where nothing was said yet. Raises MaterialError."""
    text = text_of(folder)
    return stock.parse(text, FILE) if text.strip() else ()


def add(folder: Path, form: str, words: Mapping[str, str]) -> None:
    """Add a row, in words as they are typed. Raises MendfoldError for what cannot stand in one."""
    if form not in FORMS:
        raise MaterialError(f"“{form[:40]}” is no stock; choose {', '.join(FORMS)}")
    lines = [f"{key} = {_value(key, said.strip())}" for key, said in words.items() if said.strip()]
    before = text_of(folder)
    block = "\n".join([f"[[{form}]]", *lines]) + "\n"
    stock.parse(block, "this row")
    _write(folder, f"{before.rstrip()}\n\n{block}" if before.strip() else block)


def remove(folder: Path, number: int, seen: Stock) -> None:
    """Take away the row of a number, from 0, if it is still the one that was seen."""
    there = rows(folder)
    if number >= len(there) or there[number] != seen:
        raise MaterialError(f"{FILE} has changed since it was shown; look at it again")
    forms = [one.form for one in there]
    document: Any = tomlkit.parse(text_of(folder))
    form = forms[number]
    del document[form][forms[:number].count(form)]
    if not document[form]:
        del document[form]
    text = tomlkit.dumps(document)
    left = stock.parse(text, FILE) if len(there) > 1 else ()
    if left != (*there[:number], *there[number + 1 :]):
        raise MaterialError(
            f"{FILE} is written so that a row cannot be taken out here; open the file"
        )
    _write(folder, text)


def _write(folder: Path, text: str) -> None:
    if text.strip() and "[[" in text:
        stock.parse(text, FILE)
    write_file(folder / FILE, text.encode())


def _value(key: str, said: str) -> str:
    """Return what was typed as TOML: a bare number as one, anything else as words."""
    if key == "count":
        return said if said.isascii() and said.isdigit() else toml(said)
    if key in ("width", "length"):
        try:
            return toml(units.bare_number(said))
        except MendfoldError:
            return toml(said)
    return toml(said)
