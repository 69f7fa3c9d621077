"""Rows of a template: those it shares with others, and what may stand in each.

A word that nothing reads is a fault, named with what is allowed: a misspelt `range` would else be a
setting without limits, a misspelt `encloses` a wrapper that is put round live mould.
"""

from __future__ import annotations

import tomllib
import typing
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

SHARED = Path(__file__).parent / "shared" / "declared.toml"
"""Parameters and materials that several templates declare alike."""


@cache
def _shared() -> Mapping[str, Any]:
    return tomllib.loads(SHARED.read_text(encoding="utf-8"))


def held(raw: Mapping[str, Any], section: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield a template's parameters or materials, those it shares with others in their place.

    `use = ["edge", "every"]` stands for these shared rows as they are, whatever its own name;
    `like = "edge"` begins a row from a shared one, of which it changes what it gives itself.
    """
    for name, row in raw.get(section, {}).items():
        if "use" in row:
            only(f"{section}.{name}", row, {"use"})
            yield from ((one, _like(section, one)) for one in row["use"])
        elif "like" in row:
            own = {key: value for key, value in row.items() if key != "like"}
            yield name, {**_like(section, row["like"]), **own}
        else:
            yield name, row


def _like(section: str, name: str) -> Mapping[str, Any]:
    one_of(name, _shared()[section], f"shared/declared.toml: {section}")
    found: Mapping[str, Any] = _shared()[section][name]
    return found


def only(where: str, row: Mapping[str, Any], allowed: Collection[str]) -> None:
    """Raise ValueError for the first word of a row that nothing reads; `where` "" is the whole template."""
    if unknown := set(row) - set(allowed):
        place = f"{where}.{min(unknown)}" if where else min(unknown)
        raise ValueError(f"{place} is unknown; allowed are {', '.join(sorted(allowed))}")


def one_of(text: str, known: Any, where: str) -> Any:
    """Return a word that a Literal or a collection knows; a ValueError names the place and what is allowed."""
    allowed = typing.get_args(known) or tuple(known)
    if text not in allowed:
        words = ", ".join(repr(one) for one in allowed if one)
        raise ValueError(f"{where} {text!r} is none of {words}")
    return text
