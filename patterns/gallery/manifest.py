"""The list that closes a revision: every file with its SHA-256, when it was kept, what it is.

{"format": "mendfold-gallery/1", "pattern": "LOG-1-hollow_tube", "kept": "2026-11-25T09:00:00Z",
 "files": {"record.toml": {"sha256": "…", "bytes": 812}, …}, "added": ["before.jpg"],
 "summary": {…what `gallery list` and `find` show…}}
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from patterns.errors import FileError, GalleryError
from patterns.files import why_unsafe
from patterns.gallery.summary import Summary
from patterns.model import documents
from patterns.model.documents import Misshapen
from patterns.model.values import UNLESS_DEFAULT
from patterns.reading import read_bytes

MANIFEST = "manifest.json"
FORMAT = "mendfold-gallery/1"
LARGEST_BYTES = 4_000_000
_KEPT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
_SHA = re.compile(r"[0-9a-f]{64}")
_PATTERN = re.compile(r"(?=.{3,240}$)[A-Za-z0-9][A-Za-z0-9_-]*-[a-z]\w*(\+[a-z]\w*)*", re.ASCII)


@dataclass(frozen=True, slots=True)
class ListedFile:
    """What the manifest says of one file: its SHA-256 and its size in bytes."""

    sha256: str
    bytes: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """What one revision holds, and when it was kept: a UTC time such as 2026-11-25T09:00:00Z."""

    format: str
    pattern: str
    kept: str
    files: Mapping[str, ListedFile]
    added: tuple[str, ...]
    summary: Summary
    no_owner_drawn: bool = field(default=False, metadata=UNLESS_DEFAULT)
    """Known when it was kept: no drawing names the owner. False where nobody looked."""

    def write(self) -> bytes:
        """Return the manifest as it stands on the disk."""
        return documents.write(self)


def make(
    pattern: str,
    files: Mapping[str, bytes],
    added: tuple[str, ...],
    kept: str,
    summary: Summary,
) -> Manifest:
    """List `files`; `kept` is a UTC time such as 2026-11-25T09:00:00Z."""
    return Manifest(FORMAT, pattern, kept, rows(files), added, summary)


def rows(files: Mapping[str, bytes]) -> dict[str, ListedFile]:
    """Return what the manifest says of each file, by its name."""
    return {name: row(data) for name, data in files.items()}


def row(data: bytes) -> ListedFile:
    """Return what the manifest says of one file."""
    return ListedFile(hashlib.sha256(data).hexdigest(), len(data))


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
        found = documents.read(Manifest, data)
    except Misshapen as fault:
        raise _broken(where, f" ({fault})") from None
    whole = (
        found.format == FORMAT
        and valid_pattern_name(found.pattern)
        and _KEPT.fullmatch(found.kept)
        and found.summary.sound
        and set(found.added) <= set(found.files)
        and all(_sound(name, one) for name, one in found.files.items())
    )
    if not whole:
        raise _broken(where)
    return found


def _broken(where: str, why: str = "") -> GalleryError:
    return GalleryError(
        f"{where}: the manifest is broken{why}; restore this revision from a backup, "
        "or keep the pattern again"
    )


def _sound(name: str, one: ListedFile) -> bool:
    named = name != MANIFEST and not why_unsafe(name)
    return named and one.bytes >= 0 and bool(_SHA.fullmatch(one.sha256))


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
