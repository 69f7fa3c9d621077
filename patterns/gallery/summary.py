"""What the gallery says of a pattern at a glance, taken from its own files and nothing else."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from patterns.errors import GalleryError, plain

NUMBERS = {
    "height": ("text_block", "height"),
    "width": ("text_block", "width"),
    "thickness": ("text_block", "thickness"),
    "weight": ("book", "weight"),
    "girth": ("spine", "girth_head"),
    "round depth": ("spine", "round_depth"),
    "leaves": ("text_block", "leaves"),
    "gatherings": ("text_block", "gatherings"),
    "leaf thickness": ("text_block", "leaf_thickness"),
    "board thickness": ("cover", "board_thickness"),
    "cover spine width": ("cover", "spine_width"),
    "joint gap": ("cover", "joint_gap"),
}
"""Measured features by name, and where the record has them; mm, kg and counts."""

WORDS = {
    "format": ("book", "format"),
    "profile": ("spine", "profile"),
    "supports": ("sewing", "supports"),
    "sewing": ("sewing", "kind"),
    "cover": ("cover", "kind"),
    "joint": ("cover", "joint"),
    "paper": ("condition", "paper"),
}
"""Described features by name, and where the record has them."""

MOST_WORDS = 20_000
"""Characters of added notes that can be searched."""


def features(record: Mapping[str, Any]) -> dict[str, float | str]:
    """Return the features of a record tree that books are compared by; missing ones left out."""
    found: dict[str, float | str] = {}
    for name, (table, key) in NUMBERS.items():
        value = _cell(record, table, key)
        if isinstance(value, int | float) and not isinstance(value, bool):
            found[name] = float(value)
    for name, (table, key) in WORDS.items():
        value = _cell(record, table, key)
        if isinstance(value, str) and value:
            found[name] = plain(value)
    return found


def _cell(record: Mapping[str, Any], table: str, key: str) -> object:
    row = record.get(table)
    return row.get(key) if isinstance(row, Mapping) else None


def parsed(files: Mapping[str, bytes], where: str) -> dict[str, Any]:
    """Return pattern.json of a pattern's files as a tree; raises GalleryError."""
    try:
        tree = json.loads(files["pattern.json"])
    except KeyError:
        raise GalleryError(
            f"{where}: there is no pattern.json; name a folder that `mendfold draft` wrote"
        ) from None
    except (ValueError, RecursionError):
        tree = None
    shape = tree.get("format") if isinstance(tree, dict) else None
    if not (isinstance(shape, str) and shape.startswith("mendfold-pattern/")):
        raise GalleryError(
            f"{where}: pattern.json is not a pattern that mendfold wrote; draft the record again"
        )
    return dict(tree)


def summarise(files: Mapping[str, bytes], added: tuple[str, ...], where: str) -> dict[str, Any]:
    """Return the summary of one revision's files; raises GalleryError when it is no pattern."""
    tree = parsed(files, where)
    record = tree.get("record")
    record = record if isinstance(record, Mapping) else {}
    notes = " ".join(
        files[name].decode(errors="replace")
        for name in added
        if name.endswith((".txt", ".md", ".toml"))
    )
    return {
        "id": _text(_cell(record, "book", "id")),
        "title": _text(_cell(record, "book", "title")),
        "note": _text(_cell(record, "book", "note")),
        "date": _text(_cell(record, "measuring", "on")),
        "structures": [_text(name) for name in tree.get("structures", ())],
        "materials": _materials(tree),
        "features": features(record),
        "notes": plain(notes)[:MOST_WORDS],
    }


def _text(value: object) -> str:
    return plain(str(value)) if value is not None else ""


def _materials(tree: Mapping[str, Any]) -> list[str]:
    pieces = tree.get("pieces", ())
    names = [piece.get("material") for piece in pieces if isinstance(piece, Mapping)]
    return sorted({_text(name) for name in names if name})
