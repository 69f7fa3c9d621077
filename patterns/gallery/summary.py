"""What the gallery says of a pattern at a glance, taken from its own files and nothing else."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from patterns.errors import GalleryError, plain
from patterns.reading import LARGEST_BYTES
from patterns.record import reading
from patterns.record.record import Record

NUMBERS = {
    "height": "text_block.height",
    "width": "text_block.width",
    "thickness": "text_block.thickness",
    "weight": "book.weight",
    "girth": "spine.girth_head",
    "round depth": "spine.round_depth",
    "shoulder": "spine.shoulder",
    "leaves": "text_block.leaves",
    "gatherings": "text_block.gatherings",
    "leaf thickness": "text_block.leaf_thickness",
    "board thickness": "cover.board_thickness",
    "cover spine width": "cover.spine_width",
    "joint gap": "cover.joint_gap",
}
"""Measured features by name, and where the record has them; mm, kg and counts."""

WORDS = {
    "format": "book.format",
    "profile": "spine.profile",
    "supports": "sewing.supports",
    "cover": "cover.kind",
    "joint": "cover.joint",
    "paper": "condition.paper",
}
"""Described features by name, and where the record has them."""

MOST_WORDS = 20_000
"""Characters of added notes that can be searched."""


def features(record: Record) -> dict[str, float | str]:
    """Return the features books are compared by; what the record lacks is left out."""
    found: dict[str, float | str] = {}
    for name, place in NUMBERS.items():
        if (value := record.get(place)) is not None:
            found[name] = float(value)
    for name, place in WORDS.items():
        if value := record.get(place):
            found[name] = plain(value)
    return found


def parsed(files: Mapping[str, bytes], where: str) -> dict[str, Any]:
    """Return pattern.json of a pattern's files as a tree; raises GalleryError."""
    tree: object = None
    try:
        tree = json.loads(files["pattern.json"])
    except KeyError:
        raise GalleryError(
            f"{where}: there is no pattern.json; name a folder that `mendfold draft` wrote"
        ) from None
    except (ValueError, RecursionError):
        pass
    if isinstance(tree, dict) and str(tree.get("format")).startswith("mendfold-pattern/"):
        return tree
    raise GalleryError(
        f"{where}: pattern.json is not a pattern that mendfold wrote; draft the record again"
    )


def record_of(files: Mapping[str, bytes], where: str) -> Record:
    """Read record.toml of a pattern's files; raises GalleryError or RecordError."""
    if "record.toml" not in files:
        raise GalleryError(
            f"{where}: there is no record.toml; name a folder that `mendfold draft` wrote"
        )
    if len(files["record.toml"]) > LARGEST_BYTES:
        raise GalleryError(
            f"{where}: record.toml is over {LARGEST_BYTES // 10**6} MB, far more than a record holds"
        )
    try:
        text = files["record.toml"].decode()
    except UnicodeDecodeError:
        raise GalleryError(
            f"{where}: record.toml is not UTF-8 text; draft the record again"
        ) from None
    return reading.parse(text, f"{where}/record.toml")


def pattern_name(files: Mapping[str, bytes], where: str) -> str:
    """Return the name of a pattern's folder: the book's id and the structures.

    Raises GalleryError or RecordError when the files are no pattern.
    """
    structures = parsed(files, where).get("structures") or []
    book_id = record_of(files, where).book.id
    if not book_id or not structures:
        raise GalleryError(
            f"{where}: the record has no id, or the pattern no structures; draft it again"
        )
    return f"{book_id}-{'+'.join(map(str, structures))}"


def summarise(files: Mapping[str, bytes], added: tuple[str, ...], where: str) -> dict[str, Any]:
    """Return the summary of one revision's files; raises GalleryError when it is no pattern."""
    tree, record = parsed(files, where), record_of(files, where)
    notes = " ".join(
        files[name].decode(errors="replace")
        for name in added
        if name.endswith((".txt", ".md", ".toml"))
    )
    return {
        "id": record.book.id or "",
        "title": plain(record.book.title or ""),
        "note": plain(record.book.note or ""),
        "date": str(record.measuring.on or ""),
        "structures": [plain(str(name)) for name in tree.get("structures", ())],
        "materials": _materials(tree),
        "features": features(record),
        "notes": plain(notes)[:MOST_WORDS],
    }


def _materials(tree: Mapping[str, Any]) -> list[str]:
    pieces = tree.get("pieces", ())
    names = [piece.get("material") for piece in pieces if isinstance(piece, Mapping)]
    return sorted({plain(str(name)) for name in names if name})
