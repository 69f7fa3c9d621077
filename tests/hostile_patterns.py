"""Patterns that no draft wrote, as a shared gallery or a zip from elsewhere may hold them.

Each is whole by its manifest, so that nothing but its content is wrong.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from patterns.gallery import manifest as manifests
from patterns.gallery.summary import summarise
from tests.gallery_samples import pattern_files

NAME = "BAD-1-hollow_tube"
KEPT = "2026-11-25T09:00:00Z"
HUGE = 10**30
FLOOD = b"[" + b"[]," * 20_000_000 + b"[]]"
"""61 MB, which as Python has them would be 1.5 GB."""

Tree = dict[str, Any]
Change = Callable[[Tree], object]


def changed(**keys: object) -> Change:
    """Return what puts keys into the document."""
    return lambda tree: tree.update(keys)


def _piece(**keys: object) -> Change:
    return lambda tree: tree["pieces"][0].update(keys)


def _deep(many: int) -> object:
    value: object = 1
    for _ in range(many):
        value = [value]
    return value


MISSHAPEN: dict[str, Change | bytes] = {
    "sheets are a number": changed(sheets=5),
    "a sheet is a word": changed(sheets=["sheet-01.svg"]),
    "a sheet without its page": changed(sheets=[{"file": "sheet-01.svg"}]),
    "structures are numbers": changed(structures=[1, 2]),
    "structures are one word": changed(structures="hollow_tube"),
    "structures are nothing": changed(structures=None),
    "no structures": lambda tree: tree.pop("structures"),
    "pieces are a table": changed(pieces={"name": "strip"}),
    "a piece is a list": changed(pieces=[["strip"]]),
    "a piece 10^30 high": _piece(height_mm=HUGE),
    "a piece of no number": _piece(width_mm=float("nan")),
    "an endless piece": _piece(width_mm=float("inf")),
    "an outline of words": _piece(outline_mm="round"),
    "an outline of halves": _piece(outline_mm=[[0], [1], [2]]),
    "an outline of depths": _piece(outline_mm=[[0, 0, 0], [1, 1, 1], [2, 0, 0]]),
    "a corner 10^30 away": _piece(outline_mm=[[0, 0], [HUGE, 0], [0, HUGE]]),
    "half a piece": _piece(quantity=0.5),
    "a material of figures": _piece(material=3),
    "glued zones": _piece(zones=[{"kind": "glued", "face": "under", "to": "spine"}]),
    "parameters are a list": changed(parameters=[1]),
    "a parameter of a structure is a number": changed(parameters={"hollow_tube": 4}),
    "a huge parameter": changed(parameters={"hollow_tube": {"setback": HUGE}}),
    "figures are a list": changed(quantities=[1, 2]),
    "a huge figure": changed(quantities={"strip_mm": HUGE}),
    "steps are words": changed(steps="cut"),
    "warnings are figures": changed(warnings=[1]),
    "a record is a list": changed(record=[1]),
    "a height of 10^30 in the record": changed(record={"text_block": {"height": HUGE}}),
    "a paper of figures": changed(paper=4),
    "a format of figures": changed(format=1),
    "another format": changed(format="mendfold-treatment/1"),
    "sixty lists in one another": changed(record={"a": _deep(60)}),
    "half a letter": changed(steps=[{"phase": "prepare", "text": "\ud800"}]),
    "a list": b"[]",
    "a million brackets": b"[" * 1_000_000,
    "a flood of empty lists": FLOOD,
    "no JSON": b"{",
    "no text": b"\xff\xfe\x00",
}
"""What is wrong with pattern.json, and how: a change of the small pattern's, or its bytes."""


def _steps(text: str) -> Change:
    return changed(steps=[{"phase": "prepare", "text": text, "cautions": [text]}])


EXTREME: dict[str, Change] = {
    "no piece": changed(pieces=[]),
    "a piece of nothing": _piece(width_mm=0, height_mm=0, outline_mm=[]),
    "an outline on one point": _piece(outline_mm=[[5, 5], [5, 5], [5, 5]]),
    "an outline of one line": _piece(outline_mm=[[0, 0], [9, 0], [4, 0]]),
    "a piece a thousand kilometres wide": _piece(width_mm=1e9, outline_mm=[[0, 0], [1e9, 0], [1e9, 1e-9]]),
    "a piece crossed": _piece(outline_mm=[[0, 0], [9, 9], [9, 0], [0, 9]]),
    "minus a million pieces": _piece(quantity=-1_000_000, thickness_mm=-5, grain="around"),
    "a sheet elsewhere": changed(sheets=[{"file": "../../x.svg", "pdf_page": -9,
        "page_width_mm": -1, "page_height_mm": 0, "title": "<b>&\x1b[2J", "pieces": ["none"]}]),
    "words as long as a book": _steps("wide " * 40_000),
    "one word as long as a book": _steps("w" * 200_000),
    "words that are marks": _steps("<script>alert(1)</script> &amp; \x07\x1b[31m \u202e ]]> {{ 7*7 }} \U0001f4d5"),
    "a structure nobody knows": changed(structures=["no_such_thing"]),
    "a structure with a path": changed(structures=["../../etc"]),
    "no structure": changed(structures=[]),
    "a structure a thousand times": changed(structures=["hollow_tube"] * 1000),
    "unknown parameters": changed(parameters={"hollow_tube": {"setback": {"a": [1, {"b": None}]}, "": ""}}),
    "a paper nobody sells": changed(paper="9999999x1"),
    "a printer elsewhere": changed(printer="../../printer"),
    "a factor of nothing": changed(correction={"across": 0, "down": -1e9}),
    "a bare pattern": lambda tree: [tree.pop(key) for key in list(tree) if key not in ("format", "mendfold", "structures")],
    "figures without a unit": changed(quantities={"": 1, "_mm": 2, "n_n": True, "x_n": 1e-300, "y_n": 0, "z_kg": None}),
    "a material with figures of a million": changed(materials={"hollow_tube": {"lining": {"name": "", "kind": "thread", "figures": {"n": {"value": 1e9}}}}}),
    "a path of nothing": changed(path=[], stitches=[], stations_mm=[1e9, -1e9, 0], thread_mm=-1),
    "many boxes": changed(boxes=["x"] * 3000, warnings=["x"] * 3000),
    "empty words": changed(steps=[{"phase": "", "text": ""}], undo=[""], boxes=[""], mendfold=""),
}  # fmt: skip
"""Well shaped, and of no book: read, shown and passed over like any other."""


def pattern(change: Change | bytes) -> dict[str, bytes]:
    """Return the files of the pattern BAD-1 with its pattern.json changed."""
    files = pattern_files("BAD-1", title="Wrong")
    if isinstance(change, bytes):
        return {**files, "pattern.json": change}
    tree = json.loads(files["pattern.json"])
    change(tree)
    return {**files, "pattern.json": json.dumps(tree).encode()}


def lay(place: Path, files: dict[str, bytes], name: str = NAME) -> Path:
    """Put a pattern into a gallery's folder as it lies, looked at by nobody; return its revision."""
    folder = place / name / "r0001"
    folder.mkdir(parents=True)
    for file, data in sealed(files, name).items():
        (folder / file).write_bytes(data)
    return folder


def sealed(files: dict[str, bytes], name: str = NAME) -> dict[str, bytes]:
    """Return a pattern's files with a manifest that agrees with them."""
    summary = summarise(pattern_files("BAD-1", title="Wrong"), (), name)
    added = tuple(file for file in files if file == "treatment.toml")
    listed = manifests.make(name, files, added, KEPT, summary)
    return {**files, manifests.MANIFEST: listed.write()}
