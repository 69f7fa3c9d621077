"""Whatever opens a file that somebody named does it in one place."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from patterns import reading
from tests.test_floors import modules

OPENING = {"open", "read_bytes", "read_text"}
OWN_DATA = {
    "stock.cautions",
    "stock.materials",
    "structures.rows",
    "structures.template",
    "structures.shared.conditions",
    "gallery.site",
    "commands.demo",
    "writers.png",
    "survey.page",
    "bench.app",
}
"""Modules that read files of the package itself."""
OTHERWISE = {
    "reading": "the one place",
    "files": "os.open on a folder to force it to the disk",
    "unfinished": "os.open on what it has just made, or to lock it",
    "cli": "os.open on the null device",
    "survey.store": "the results that a survey writes and goes on from",
    "survey.tables": "a part file of its own",
    "bench.server": "os.open on the address that nobody else may read; the browser",
    "gallery.pack": "members of a zip that is open already",
    "gallery.pictures": "Pillow, on bytes",
}


def opened(path: Path) -> set[str]:
    """Return what is called in a file to open something: methods, or the builtin open."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            called = node.func
            if isinstance(called, ast.Attribute) and called.attr in OPENING:
                module = isinstance(called.value, ast.Name) and called.value.id == "reading"
                found |= set() if module else {called.attr}
            elif isinstance(called, ast.Name) and called.id == "open":
                found.add("open")
    return found


def test_files_are_opened_in_one_place() -> None:
    """A new way to open a file goes by `reading`, which knows plain files and limits."""
    allowed = OWN_DATA | OTHERWISE.keys()
    there = {name for name, path in modules() if opened(path)}
    assert there <= allowed, there - allowed
    assert allowed <= there, "an exception that is none any more"


def test_a_figure_of_thousands_of_digits_is_told_in_plain_words() -> None:
    """Not in Python's, which name a function of its own."""
    with pytest.raises(ValueError, match=r"^a figure of thousands of digits$"):
        reading.tables(f"weight = {'9' * 5000}")
