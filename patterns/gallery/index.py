"""Search over the gallery: an SQLite index in the user's cache folder, derived from the folders.

The index is never the truth. It is compared with the folders before every search (their names and
times), mended where they moved on, and built anew when it is gone, broken or of another shape.
"""

from __future__ import annotations

import hashlib
import os
import re
import sqlite3
import sys
import time
from collections.abc import Callable, Mapping
from contextlib import closing
from dataclasses import dataclass, field, replace
from pathlib import Path

from patterns.errors import GalleryError
from patterns.gallery import manifest as manifests
from patterns.gallery.store import Revision, revisions
from patterns.gallery.summary import WORDS
from patterns.model import documents

Progress = Callable[[int, int], None]
SIZES = ("height", "width", "thickness", "weight")
"""Features that can be searched by range; mm, the weight in kg."""
SHAPE = 2
MOST_ROWS = 2**63 - 1
"""SQLite's largest whole number."""
SETTLED_NS = 2_000_000_000
"""A folder changed less than this before it was read may change again within one clock tick."""
_TABLES = """
CREATE TABLE facts (key TEXT PRIMARY KEY, value TEXT) WITHOUT ROWID;
CREATE TABLE pattern (number INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT UNIQUE, stamp INTEGER, date TEXT,
  height REAL, width REAL, thickness REAL, weight REAL, entry TEXT);
CREATE VIRTUAL TABLE words USING fts5(text, structures, materials,
  tokenize="unicode61 remove_diacritics 2");
"""


@dataclass(frozen=True, slots=True)
class GalleryEntry:
    """One pattern as the gallery lists it, by its newest revision."""

    name: str
    id: str = ""
    title: str = ""
    note: str = ""
    date: str = ""
    structures: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    features: Mapping[str, float | str] = field(default_factory=dict)
    kept: str = ""
    revision: int = 0
    revisions: int = 0
    trouble: str = ""
    """Why its newest revision cannot be read; empty when it can."""


@dataclass(frozen=True, slots=True)
class Query:
    """What to look for; all that is given must hold. Ranges are inclusive, None is open."""

    text: str = ""
    structures: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    sizes: Mapping[str, tuple[float | None, float | None]] = field(default_factory=dict)
    since: str = ""
    until: str = ""
    limit: int | None = None


def cache_file(gallery: Path) -> Path:
    """Return where the index of a gallery lies; `MENDFOLD_CACHE` overrides the folder."""
    digest = hashlib.sha256(str(gallery.resolve()).encode()).hexdigest()[:16]
    return cache_folder() / f"gallery-{digest}.sqlite"


def cache_folder() -> Path:
    """Return the user's cache folder for mendfold, as the system has it."""
    if own := os.environ.get("MENDFOLD_CACHE"):
        return Path(own)
    home = Path.home()
    if sys.platform == "darwin":
        return home / "Library" / "Caches" / "mendfold"
    if sys.platform == "win32":
        return Path(os.environ.get("LOCALAPPDATA", home)) / "mendfold" / "cache"
    return Path(os.environ.get("XDG_CACHE_HOME") or home / ".cache") / "mendfold"


def search(
    gallery: Path,
    query: Query,
    progress: Progress | None = None,
    rebuild: bool = False,
    index: Path | None = None,
) -> tuple[list[GalleryEntry], int]:
    """Return the patterns that answer a query, by name, and how many there are without its limit.

    `progress` is called with (done, all) while many folders are read; the index lies in the user's
    cache folder unless `index` names its file. Raises GalleryError when
    there is no gallery.
    """
    stamps = _stamps(gallery)
    place = index or cache_file(gallery)
    if rebuild:
        _discard(place)
    for target in (str(place), str(place), ":memory:"):
        try:
            if target != ":memory:":
                place.parent.mkdir(parents=True, exist_ok=True)
            with closing(sqlite3.connect(target, timeout=10, isolation_level=None)) as base:
                _freshen(base, gallery, stamps, progress)
                return _answer(base, query)
        except (sqlite3.DatabaseError, OSError, ValueError, TypeError):
            if target == ":memory:":
                raise
            _discard(place)
    raise AssertionError("unreachable")


def _discard(place: Path) -> None:
    for path in (place, place.with_name(place.name + "-wal"), place.with_name(place.name + "-shm")):
        try:
            path.unlink(missing_ok=True)
        except OSError:
            return


def _stamps(gallery: Path) -> dict[str, int]:
    """Return the time of the last change of every pattern's folder, by its name."""
    matches = manifests.valid_pattern_name
    try:
        with os.scandir(gallery) as entries:
            return {
                entry.name: entry.stat().st_mtime_ns
                for entry in entries
                if matches(entry.name) and entry.is_dir()
            }
    except (FileNotFoundError, NotADirectoryError):
        raise GalleryError.kind("no gallery", f"{gallery}: there is no gallery here") from None


def _freshen(
    base: sqlite3.Connection, gallery: Path, stamps: dict[str, int], progress: Progress | None
) -> None:
    """Bring the index to what the folders hold now; nothing is written when it agrees."""
    seal = _seal(stamps)
    if _facts(base).get("seal") == seal:
        return
    base.execute("PRAGMA synchronous = OFF")
    base.execute("BEGIN IMMEDIATE")
    if _facts(base).get("shape") != str(SHAPE):
        for table in ("facts", "pattern", "words"):
            base.execute(f"DROP TABLE IF EXISTS {table}")
        for statement in _TABLES.split(";\n"):
            base.execute(statement)
        base.execute("INSERT INTO facts VALUES ('shape', ?)", (str(SHAPE),))
    known = dict(base.execute("SELECT name, stamp FROM pattern"))
    for name in known.keys() - stamps.keys():
        _drop(base, name)
    stale = [name for name, stamp in stamps.items() if known.get(name) != stamp]
    settled = time.time_ns() - SETTLED_NS
    for done, name in enumerate(sorted(stale)):
        if progress and done % 100 == 0:
            progress(done, len(stale))
        _take_in(base, gallery, name, stamps[name] if stamps[name] < settled else -1)
    if progress and len(stale) >= 100:
        progress(len(stale), len(stale))
    steady = all(stamp < settled for stamp in stamps.values())
    base.execute("REPLACE INTO facts VALUES ('seal', ?)", (seal if steady else "",))
    base.execute("COMMIT")


def _facts(base: sqlite3.Connection) -> dict[str, str]:
    if not base.execute("SELECT 1 FROM sqlite_master WHERE name = 'facts'").fetchone():
        return {}
    return dict(base.execute("SELECT key, value FROM facts"))


def _drop(base: sqlite3.Connection, name: str) -> None:
    numbers = "SELECT number FROM pattern WHERE name = ?"
    base.execute(f"DELETE FROM words WHERE rowid IN ({numbers})", (name,))
    base.execute("DELETE FROM pattern WHERE name = ?", (name,))


def _seal(stamps: dict[str, int]) -> str:
    text = "\n".join([f"{name}\t{stamp}" for name, stamp in stamps.items()])
    return f"{SHAPE} {hashlib.sha256(text.encode()).hexdigest()}"


def _take_in(base: sqlite3.Connection, gallery: Path, name: str, stamp: int) -> None:
    """Put the newest revision of one pattern into the index in place of what it had."""
    _drop(base, name)
    found = revisions(gallery / name)
    if not found:
        return
    entry, notes = _entry(name, found)
    sizes = [entry.features.get(size) for size in SIZES]
    cursor = base.execute(
        "INSERT INTO pattern(name, stamp, date, height, width, thickness, weight, entry) "
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        (name, stamp, entry.date, *sizes, documents.write(entry).decode()),
    )
    words = " ".join((entry.id, entry.title, entry.note, notes))
    described = " ".join(str(entry.features[one]) for one in WORDS if one in entry.features)
    base.execute(
        "INSERT INTO words(rowid, text, structures, materials) VALUES (?, ?, ?, ?)",
        (
            cursor.lastrowid,
            f"{words} {described}",
            " ".join(entry.structures),
            " ".join(entry.materials),
        ),
    )


def _entry(name: str, found: list[Revision]) -> tuple[GalleryEntry, str]:
    """Return what is listed of a pattern, and the words of its notes."""
    bare = GalleryEntry(name, revision=found[-1].number, revisions=len(found))
    try:
        listed = found[-1].manifest()
    except GalleryError as error:
        return replace(bare, trouble=str(error)), ""
    told = listed.summary
    entry = replace(
        bare,
        id=told.id,
        title=told.title,
        note=told.note,
        date=told.date,
        structures=told.structures,
        materials=told.materials,
        features=told.features,
        kept=listed.kept,
    )
    return entry, told.notes


def _answer(base: sqlite3.Connection, query: Query) -> tuple[list[GalleryEntry], int]:
    wheres, values = _conditions(query)
    where = f" WHERE {' AND '.join(wheres)}" if wheres else ""
    rows = base.execute(
        f"SELECT entry FROM pattern{where} ORDER BY name LIMIT ?",
        (*values, -1 if query.limit is None else min(query.limit, MOST_ROWS)),
    ).fetchall()
    total = len(rows)
    if query.limit is not None and total == query.limit:
        total = base.execute(f"SELECT count(*) FROM pattern{where}", values).fetchone()[0]
    return [documents.read(GalleryEntry, row[0].encode()) for row in rows], total


def _conditions(query: Query) -> tuple[list[str], list[object]]:
    wheres: list[str] = []
    values: list[object] = []
    if query.text.strip() and not _phrases("", query.text):
        raise GalleryError(f"find {query.text!r}: there is no word in it; give letters or figures")
    asked = [_phrases("text : ", query.text)]
    asked += [_phrases("structures : ", text) for text in query.structures]
    asked += [_phrases("materials : ", text) for text in query.materials]
    if match := " AND ".join(part for part in asked if part):
        wheres.append("number IN (SELECT rowid FROM words WHERE words MATCH ?)")
        values.append(match)
    for size, (least, most) in query.sizes.items():
        for sign, limit in ((">=", least), ("<=", most)):
            if limit is not None:
                wheres.append(f"{size} {sign} ?")
                values.append(limit)
    for sign, day in ((">=", query.since), ("<=", query.until)):
        if day:
            wheres.append(f"date != '' AND date {sign} ?")
            values.append(day)
    return wheres, values


def _phrases(column: str, text: str) -> str:
    """Turn a person's words into an FTS expression: every word wanted, its beginning enough."""
    words = re.findall(r"[^\W_]+", text)
    return " AND ".join(f'{column}"{word}"*' for word in words)
