"""The text of a record: read from its file whole, and scanned for the line of every key.

tomllib keeps its line numbers to itself; a small scan of heads and keys gives them back.
"""

from __future__ import annotations

import re
from pathlib import Path

from patterns import reading
from patterns.errors import FileError, Problem, ProblemKind, RecordError, Why

_HEADER = re.compile(r"^\s*(\[\[?)\s*([A-Za-z][\w.\s\"'-]*?)\s*\]\]?\s*(?:#.*)?$")
_LONGEST_ROW = 400
"""A head or key stands within so many letters of its row; the rest is not searched for it."""
_KEY = re.compile(r"^\s*([\w\"'][\w.\s\"'-]*?)\s*=")


_REMEDIES: dict[Why, str] = {
    "missing": "check the name",
    "folder": "name the record's file in it",
    "special": "name a record, a plain text file ending in .toml",
    "forbidden": "ask for permission, or copy it to a folder of yours",
    "large": "name the book's own TOML file",
    "text": "save it as plain text, encoding UTF-8, ending in .toml",
    "other": "check the disk and the name",
}


def read_text(path: Path) -> str:
    """Read a record file as text. Raises RecordError when there is no readable text in it."""
    try:
        return reading.read_text(path)
    except FileError as error:
        allowed = "a plain text file, UTF-8, of a book's record"
        kind: ProblemKind = "absent" if error.why == "missing" else "text"
        problem = Problem("", error.words, allowed, _REMEDIES[error.why], kind)
        raise RecordError(f"{path.name or path} {problem.words}", [problem]) from None


def key_lines(text: str) -> dict[str, int]:
    """Find the line of every `[table]` and `key =`: dotted name → line number from 1."""
    lines: dict[str, int] = {}
    counts: dict[str, int] = {}
    table, fence = "", ""
    for number, row in enumerate(text.split("\n"), 1):
        if fence:
            fence = "" if fence in row else fence
            continue
        head, key = _HEADER.match(row[:_LONGEST_ROW]), _KEY.match(row[:_LONGEST_ROW])
        if head:
            table = _dotted(head[2])
            lines.setdefault(table, number)
            if head[1] == "[[":
                counts[table] = counts.get(table, 0) + 1
                table = f"{table}[{counts[table]}]"
            lines.setdefault(table, number)
        elif key:
            name = _dotted(key[1])
            lines.setdefault(f"{table}.{name}" if table else name, number)
            fence = next((f for f in ('"""', "'''") if row.count(f) == 1), "")
    return lines


def _dotted(name: str) -> str:
    return ".".join(part.strip().strip("\"'") for part in name.split("."))


def without_key(text: str, name: str) -> str:
    """Return the text without the line that sets `name` (a plain `key = …` of one line)."""
    line = key_lines(text).get(name)
    rows = text.split("\n")
    return "\n".join(row for number, row in enumerate(rows, 1) if number != line)


def line_of(name: str, text: str) -> int:
    """Return the line of a field, or of the table it was written in; 0 when neither is found."""
    lines = key_lines(text)
    while name and name not in lines:
        name = name.rpartition(".")[0]
    return lines.get(name, 0)
