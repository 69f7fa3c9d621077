"""What the gallery's page shows of a pattern, as plain values for its templates."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from patterns.errors import GalleryError, plain
from patterns.gallery.changes import said, with_unit
from patterns.gallery.foreign import why_no_sheet
from patterns.gallery.history import Chapter
from patterns.gallery.index import GalleryEntry
from patterns.gallery.pictures import is_shown, why_no_photograph
from patterns.gallery.store import is_drawn
from patterns.gallery.summary import kept_of
from patterns.model.kept import FORMAT, KeptPattern
from patterns.model.values import Value, leaves
from patterns.units import two_figures

PORTRAIT = "pieces.svg"
PDF = "sheets.pdf"
NOTES = (".txt", ".md")
_SHEET = re.compile(r"sheet-(\d+)\.svg")

NamedValue = tuple[str, str]


def words_of(structure: str) -> str:
    """Return a structure's name in words: `board_slot` is board slot."""
    return structure.replace("_", " ")


def made(entry: GalleryEntry) -> str:
    """Return the structures of a pattern in words."""
    return " + ".join(map(words_of, entry.structures))


def card(entry: GalleryEntry) -> dict[str, object]:
    """Return what the first page shows of a pattern, and what its filters go by."""
    height = entry.features.get("height")
    words = (entry.id, entry.title, entry.note, made(entry), *entry.materials)
    return {
        "name": entry.name,
        "words": " ".join(words),
        "structures": entry.structures,
        "materials": entry.materials,
        "height": f"{height:g}" if isinstance(height, float) else "",
        "date": entry.date,
        "page": f"{entry.name}.html",
        "picture": f"{entry.name}/{PORTRAIT}",
        "title": entry.title or entry.id,
        "id": entry.id,
        "what": made(entry),
        "size": _size(entry),
    }


def _size(entry: GalleryEntry) -> str:
    names = ("height", "width", "thickness")
    sizes = [f"{entry.features[name]:g}" for name in names if name in entry.features]
    weight = [f"{entry.features['weight']:g} kg"] if "weight" in entry.features else []
    return " · ".join([" × ".join(sizes) + " mm", *weight]) if sizes else " ".join(weight)


def index(entries: Sequence[GalleryEntry]) -> dict[str, object]:
    """Return what the first page shows: its cards, and what the filters offer in words."""
    structures = sorted({name for entry in entries for name in entry.structures})
    materials = sorted({name for entry in entries for name in entry.materials})
    return {
        "cards": [card(entry) for entry in entries],
        "structures": [(name, words_of(name)) for name in structures],
        "materials": [(name, name) for name in materials],
    }


def pictures(files: Mapping[str, bytes]) -> tuple[dict[str, bytes], list[str]]:
    """Return the files that a page may show or link to, and why others are not shown, a line each."""
    shown: dict[str, bytes] = {}
    left: list[str] = []
    for name, data in files.items():
        if _SHEET.fullmatch(name):
            reason = why_no_sheet(data)
        elif name == PDF:
            reason = ""
        elif is_shown(name) and not is_drawn(name.casefold()):
            reason = why_no_photograph(name, data)
        else:
            continue
        if reason:
            left.append(f"{name}: {reason}")
        else:
            shown[name] = data
    return shown, left


def pattern(
    entry: GalleryEntry,
    told: Sequence[Chapter],
    files: Mapping[str, bytes],
    shown: Mapping[str, bytes],
) -> dict[str, object]:
    """Return what a pattern's own page shows; `shown` holds the pictures that are copied."""
    last = told[-1]
    document = kept(files)
    return {
        "title": entry.title or entry.id,
        "id": entry.id,
        "what": made(entry),
        "trouble": last.trouble,
        "portrait": f"{entry.name}/{PORTRAIT}",
        "pdf": f"{entry.name}/{PDF}" if PDF in shown else "",
        "sheets": list(_sheets(entry.name, shown, document)),
        "photographs": [(f"{entry.name}/{name}", name) for name in last.added if name in shown],
        "tables": list(_tables(document, last)),
        "notes": [
            (name, files[name].decode(errors="replace"))
            for name in last.added
            if name.lower().endswith(NOTES)
        ],
        "revisions": [_revision(one) for one in reversed(told)],
    }


def kept(files: Mapping[str, bytes]) -> KeptPattern:
    """Return the pattern of a pattern's files; one that says nothing where it is damaged."""
    try:
        return kept_of(files, "pattern")
    except GalleryError:
        return KeptPattern(FORMAT, "", ())


def _sheets(
    name: str, shown: Mapping[str, bytes], document: KeptPattern
) -> Iterator[dict[str, object]]:
    titles = {sheet.file: plain(sheet.title) for sheet in document.sheets}
    numbers = {int(found[1]): file for file in shown if (found := _SHEET.fullmatch(file))}
    for number, file in sorted(numbers.items()):
        title = titles.get(file)
        words = f"Page {number}" + (f", {title}" if title else "")
        yield {"number": number, "file": f"{name}/{file}", "words": words}


def _tables(document: KeptPattern, last: Chapter) -> Iterator[tuple[str, list[NamedValue]]]:
    measured = [
        (_spoken(name), with_unit(name, value))
        for name, value in last.measurements
        if name not in ("book.id", "book.title")
    ]
    figures = [
        _figure(name, value)
        for name, value in document.quantities.items()
        if not isinstance(value, str)
    ]
    settings = [
        (_spoken(name), "worked out" if value is None else said(value))
        for name, value in leaves(document.parameters)
    ]
    for head, rows in (("Measurements", measured), ("Figures", figures), ("Settings", settings)):
        if rows:
            yield head, rows


def _spoken(name: str) -> str:
    return name.replace(".", ": ").replace("_", " ")


def _figure(name: str, value: Value) -> NamedValue:
    """Split the unit off a figure's name: `girth_head_mm`, 46 is girth head, 46 mm."""
    units = {"mm": " mm", "deg": "°", "kg": " kg"}
    stem, _, unit = name.rpartition("_")
    if unit == "n" and isinstance(value, int):  # a count
        return _spoken(stem), said(value)
    if unit == "n" and isinstance(value, float):
        return _spoken(stem), f"{two_figures(value)} N"
    if unit in units and isinstance(value, int | float):
        return _spoken(stem), said(round(float(value), 2)) + units[unit]
    return _spoken(name), said(value)


def _revision(one: Chapter) -> dict[str, object]:
    return {
        "name": one.revision.folder.name,
        "day": one.kept[:10] or "at an unknown date",
        "lines": list(one.lines),
    }
