"""Putting a draft into the gallery of the folder, or into one file to take elsewhere."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from pathlib import Path

from patterns.drafting.making import Made
from patterns.gallery import store
from patterns.gallery.thumbnail import with_thumbnail

_DAY = (1980, 1, 1, 0, 0, 0)
"""The same files give the same zip."""


def keep(gallery: Path, made: Made) -> tuple[str, str]:
    """Keep a draft; return the pattern's name, and in words what came of it. Raises MendfoldError."""
    before = {revision.folder for revision in store.revisions(gallery / made.folder)}
    whole, _ = with_thumbnail(made.files)
    folder = store.keep(gallery, made.folder, whole, no_owner_drawn=True)
    number = int(folder.name[1:])
    if folder in before:
        return made.folder, f"Already in the gallery, unchanged, as revision {number}."
    return made.folder, f"In the gallery as {made.folder}, revision {number}."


def zipped(folder: str, files: Mapping[str, bytes]) -> bytes:
    """Return files as one zip, all in a folder of their own."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(f"{folder}/{name}", _DAY), data, zipfile.ZIP_DEFLATED)
    return held.getvalue()
