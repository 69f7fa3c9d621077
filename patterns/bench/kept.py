"""Kept patterns as the page takes them: by the number that they were shown under, any revision."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patterns.bench.bench import OpenBench
from patterns.errors import GalleryError
from patterns.gallery import shown, store
from patterns.gallery.index import GalleryEntry, Query, search
from patterns.gallery.owner import passed_on
from patterns.gallery.store import Revision


def entries(bench: OpenBench, query: Query | None = None) -> list[GalleryEntry]:
    """Return what is kept and answers a query; nothing where nothing was kept yet."""
    place, index = bench.shelf.gallery, bench.shelf.hidden / "gallery.sqlite"
    return search(place, query or Query(), index=index)[0] if place.is_dir() else []


@dataclass(frozen=True, slots=True)
class KeptNow:
    """One revision of a kept pattern; `entry` is the pattern as the gallery lists it now."""

    entry: GalleryEntry
    files: Mapping[str, bytes]
    pictures: Mapping[str, bytes]


def kept(bench: OpenBench, number: int, revision: int = 0) -> KeptNow:
    """Return a revision of the pattern of a number, 0 for the newest. Raises KeyError and GalleryError."""
    name = bench.patterns[number]
    found = [one for one in entries(bench) if one.name == name]
    if not found:
        raise GalleryError(f"{name} is not in the gallery any more")
    if found[0].trouble and not revision:
        raise GalleryError(found[0].trouble)
    home = bench.shelf.gallery / name
    asked = _numbered(home.name, store.revisions(home), revision)
    files = passed_on(asked)
    return KeptNow(found[0], files, shown.pictures(files)[0])


def _numbered(name: str, there: list[Revision], number: int) -> Revision:
    found = [one for one in there if number in (0, one.number)]
    if not found:
        raise GalleryError(f"{name} has no revision {number}")
    return found[-1]
