"""What the gallery's page shows of a pattern, as plain values for its templates."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from patterns.errors import plain
from patterns.gallery import entered
from patterns.gallery.changes import Change, said, with_unit
from patterns.gallery.entered import Shown
from patterns.gallery.foreign import why_no_sheet
from patterns.gallery.history import Chapter
from patterns.gallery.index import GalleryEntry
from patterns.gallery.pictures import is_shown, why_no_photograph
from patterns.gallery.store import is_drawn
from patterns.model.kept import KeptPattern
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


@dataclass(frozen=True, slots=True)
class PagedPattern:
    """A pattern that has a page, with the photograph that leads it where there is one."""

    entry: GalleryEntry
    lead: Shown | None = None


def card(patterns: Sequence[PagedPattern]) -> dict[str, object]:
    """Return what the first page shows of a book, and what its filters go by.

    Its words are those of the pattern kept last; its picture the photograph of that one, else of
    another, else that one's pieces.
    """
    last, *_ = ordered = sorted(patterns, key=lambda one: (one.entry.kept, one.entry.name))[::-1]
    entry, height = last.entry, last.entry.features.get("height")
    lead = next((one for one in ordered if one.lead), None)
    structures = {name for one in patterns for name in one.entry.structures}
    return {
        "name": entry.id or entry.name,
        "words": " ".join(
            (entry.id, *{f"{one.entry.title} {one.entry.note}": 0 for one in ordered})
        ),
        "structures": sorted(structures),
        "materials": sorted({name for one in patterns for name in one.entry.materials}),
        "height": f"{height:g}" if isinstance(height, float) else "",
        "date": max(one.entry.date for one in patterns),
        "page": f"{(lead or last).entry.name}.html",
        "picture": f"{lead.entry.name}/{lead.lead.file}"
        if lead and lead.lead
        else f"{entry.name}/{PORTRAIT}",
        "alt": lead.lead.caption if lead and lead.lead else "",
        "title": entry.title or entry.id,
        "id": entry.id,
        "size": _size(entry),
        "patterns": [
            {"page": f"{one.entry.name}.html", "what": made(one.entry), "date": one.entry.date}
            for one in sorted(patterns, key=lambda one: one.entry.name)
        ],
    }


def _size(entry: GalleryEntry) -> str:
    names = ("height", "width", "thickness")
    sizes = [f"{entry.features[name]:g}" for name in names if name in entry.features]
    weight = [f"{entry.features['weight']:g} kg"] if "weight" in entry.features else []
    return " · ".join([" × ".join(sizes) + " mm", *weight]) if sizes else " ".join(weight)


def index(patterns: Sequence[PagedPattern]) -> dict[str, object]:
    """Return what the first page shows: a card for each book, and what the filters offer in words."""
    entries = [one.entry for one in patterns]
    books: dict[str, list[PagedPattern]] = {}
    for one in patterns:
        books.setdefault(one.entry.id or one.entry.name, []).append(one)
    structures = sorted({name for entry in entries for name in entry.structures})
    materials = sorted({name for entry in entries for name in entry.materials})
    return {
        "cards": [card(books[name]) for name in sorted(books)],
        "patterns": len(patterns),
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
    document: KeptPattern,
    shown: Mapping[str, bytes],
) -> dict[str, object]:
    """Return what a pattern's own page shows; `shown` holds the pictures that are copied."""
    last = told[-1]
    return {
        "title": entry.title or entry.id,
        "id": entry.id,
        "what": made(entry),
        "trouble": last.trouble,
        "portrait": f"{entry.name}/{PORTRAIT}",
        "pdf": f"{entry.name}/{PDF}" if PDF in shown else "",
        "sheets": list(_sheets(entry.name, shown, document)),
        "photographs": [
            (f"{entry.name}/{one.file}", one.caption) for one in photographs(files, shown)
        ],
        "tables": list(_tables(document, last)),
        "notes": [
            (name, files[name].decode(errors="replace"))
            for name in last.added
            if name.lower().endswith(NOTES)
        ],
        "revisions": [_revision(one) for one in reversed(told)],
    }


def photographs(files: Mapping[str, bytes], shown: Mapping[str, bytes]) -> list[Shown]:
    """Return the photographs on a pattern's page: those of its treatment in order, then the others."""
    named = [one for one in entered.photographs(files) if one.file in shown]
    known = {one.file for one in named} | {PDF}
    others = (name for name in shown if name not in known and not _SHEET.fullmatch(name))
    return [*named, *(Shown(name, name) for name in others)]


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


def compared(changes: Sequence[Change]) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """Return what differs between two revisions, in tables of name, before and after."""
    heads = {"measurement": "Measurements", "parameter": "Settings", "figure": "Figures"}
    found: dict[str, list[tuple[str, str, str]]] = {}
    for one in changes:
        name, before, after = _spoken(one.name), said(one.before), said(one.after)
        if one.where == "measurement":
            before, after = (with_unit(one.name, value) for value in (one.before, one.after))
        elif one.where == "figure":
            (known, before), (named, after) = (
                _figure(one.name, value) for value in (one.before, one.after)
            )
            name = known if one.after is None else named
        row = (name, before, after)
        found.setdefault(heads[one.where], []).append(row)
    return list(found.items())


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
