"""The list that closes a revision: every file with its SHA-256, when it was kept, what it is.

{"format": "mendfold-gallery/1", "pattern": "LOG-1-hollow_tube", "kept": "2026-11-25T09:00:00Z",
 "files": {"record.toml": {"sha256": "…", "bytes": 812}, …}, "added": ["before.jpg"],
 "summary": {…what `gallery list` and `find` show…}}
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from patterns.errors import FileError, GalleryError
from patterns.files import why_unsafe
from patterns.reading import read_bytes

MANIFEST = "manifest.json"
FORMAT = "mendfold-gallery/1"
LARGEST_BYTES = 4_000_000
_KEPT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
_SHA = re.compile(r"[0-9a-f]{64}")
_PATTERN = re.compile(r"(?=.{3,240}$)[A-Za-z0-9][A-Za-z0-9_-]*-[a-z]\w*(\+[a-z]\w*)*", re.ASCII)


@dataclass(frozen=True, slots=True)
class Manifest:
    """What one revision holds; `files` maps a name to its SHA-256 and its size in bytes."""

    pattern: str
    kept: str
    files: Mapping[str, tuple[str, int]]
    added: tuple[str, ...] = ()
    summary: Mapping[str, Any] = field(default_factory=dict)
    no_owner_drawn: bool = False
    """Known when it was kept: no drawing names the owner. False where nobody looked."""

    def write(self) -> bytes:
        """Return the manifest as it stands on the disk."""
        rows = {
            name: {"sha256": digest, "bytes": size} for name, (digest, size) in self.files.items()
        }
        tree: dict[str, Any] = {
            "format": FORMAT,
            "pattern": self.pattern,
            "kept": self.kept,
            "files": rows,
            "added": list(self.added),
            "summary": self.summary,
        }
        if self.no_owner_drawn:
            tree["no_owner_drawn"] = True
        return (json.dumps(tree, ensure_ascii=False, indent=1) + "\n").encode()


def make(
    pattern: str,
    files: Mapping[str, bytes],
    added: tuple[str, ...],
    kept: str,
    summary: Mapping[str, Any],
) -> Manifest:
    """List `files`; `kept` is a UTC time such as 2026-11-25T09:00:00Z."""
    rows = {name: row(data) for name, data in files.items()}
    return Manifest(pattern, kept, rows, added, summary)


def row(data: bytes) -> tuple[str, int]:
    """Return what the manifest says of one file: its SHA-256 and its size in bytes."""
    return hashlib.sha256(data).hexdigest(), len(data)


def valid_pattern_name(name: str) -> bool:
    """Return whether `name` can be a pattern's folder in the gallery."""
    return bool(_PATTERN.fullmatch(name))


def check_pattern_name(name: str) -> None:
    """Raise GalleryError unless `name` can be a pattern's folder in the gallery."""
    if not valid_pattern_name(name):
        raise GalleryError(
            f"pattern name {name!r}: it must be the book's id and its structures, "
            "as in LOG-1-board_slot+secondary_sewing"
        )


def read(data: bytes, where: str) -> Manifest:
    """Read a manifest, `where` being named in the GalleryError when it is broken."""
    try:
        tree = json.loads(data)
        rows = {name: (one["sha256"], one["bytes"]) for name, one in tree["files"].items()}
        found = Manifest(
            tree["pattern"], tree["kept"], rows, tuple(tree["added"]), tree["summary"],
            tree.get("no_owner_drawn") is True,
        )  # fmt: skip
        whole = (
            tree["format"] == FORMAT
            and valid_pattern_name(found.pattern)
            and _KEPT.fullmatch(found.kept)
            and isinstance(found.summary, dict)
            and set(found.added) <= set(rows)
            and all(_listed(name, *one) for name, one in rows.items())
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        whole = None
    if not whole:
        raise GalleryError(
            f"{where}: the manifest is broken; restore this revision from a backup, "
            "or keep the pattern again"
        )
    return found


def _listed(name: str, digest: str, size: int) -> bool:
    sound = isinstance(size, int) and not isinstance(size, bool) and size >= 0
    return name != MANIFEST and not why_unsafe(name) and sound and bool(_SHA.fullmatch(digest))


def load(folder: Path) -> Manifest:
    """Read the manifest of the revision in `folder`; raises GalleryError."""
    path = folder / MANIFEST
    try:
        data = read_bytes(path, LARGEST_BYTES)
    except FileError as error:
        raise GalleryError(f"{error}; restore this revision from a backup") from error
    return read(data, str(path))


def damage(manifest: Manifest, files: Mapping[str, bytes]) -> list[str]:
    """Say, a line a file, how the files of a revision differ from its manifest."""
    lines = [f"{name} is missing" for name in manifest.files if name not in files]
    for name, data in files.items():
        if name == MANIFEST:
            continue
        if name not in manifest.files:
            lines.append(f"{name} is not in the manifest")
        elif manifest.files[name] != row(data):
            lines.append(f"{name} was changed after it was kept")
    return lines
