"""What can be read of a record while its figures are compared: values, and names without one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple


class Unread(Exception):
    """A value was written, but cannot be read: nothing can be said that rests on it."""


class Legible(NamedTuple):
    """Values by table and key, and the dotted names of fields and tables that cannot be read."""

    tables: Mapping[str, Any]
    unread: frozenset[str] = frozenset()

    def get(self, name: str, otherwise: Any = None) -> Any:
        """Return the value of a dotted name, `otherwise` where none was written. Raises Unread."""
        table, _, key = name.rpartition(".")
        if name in self.unread or table in self.unread:
            raise Unread
        return self.tables.get(table, {}).get(key, otherwise)

    def where(self, which: str, key: str) -> str:
        """Return the name under which one side's value was written."""
        own = f"cover.{which}.{key}"
        given = own in self.unread or key in self.tables.get(f"cover.{which}", {})
        return own if given else f"cover.{key}"

    def side(self, which: str, key: str) -> Any:
        """Return a value of the front or back of the cover, else that of both. Raises Unread."""
        self.get(f"cover.{which}.{key}")
        return self.get(self.where(which, key))

    def alike(self, which: str) -> bool:
        """Say whether a side is the back and nothing is said of it alone: its front tells all."""
        return which == "back" and not self.tables.get("cover.back")

    def blocks(self, table: str) -> list[tuple[str, Mapping[str, Any]]]:
        """Return the blocks of a list table, each with its name; what cannot be read is not in them."""
        return [(f"{table}[{n}]", row) for n, row in enumerate(self.tables.get(table, []), 1)]
