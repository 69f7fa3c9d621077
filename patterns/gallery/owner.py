"""Keeping the owner off every drawing that is kept, shown or passed on.

The owner stands in record.toml alone. Earlier versions could keep sheets on which the overview
names the owner; such sheets are found by their words and drawn again without, or refused.
"""

from __future__ import annotations

import html
import json
import re
import unicodedata
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from dataclasses import replace

from patterns.errors import GalleryError, MendfoldError
from patterns.gallery import manifest as manifests
from patterns.gallery.foreign import pdf_reader
from patterns.gallery.store import Revision
from patterns.gallery.summary import kept_of, record_of
from patterns.model.kept import KeptPattern
from patterns.writers import table

LABEL = "owner"
"""The word in front of the owner's name on an overview that gives it."""
BEGINNING = 8
"""So many letters of the owner's first word are looked for behind the label: a name may wrap."""
_SHEET = re.compile(r"sheet-\d+\.(svg|png)")
_TAG = re.compile(r"<[^>]*>")


def passed_on(revision: Revision) -> dict[str, bytes]:
    """Return a revision's files, none of its drawings naming the owner; record.toml is as it was.

    A revision that was kept as one without the owner, and is whole, is taken as it is. Raises
    GalleryError for drawings that name the owner and cannot be drawn again.
    """
    files, listed = revision.files(), revision.manifest()
    if listed.no_owner_drawn and not manifests.damage(listed, files):
        return files
    return drawn_without_owner(files, f"{revision.pattern}/{revision.folder.name}")


def drawn_without_owner(files: Mapping[str, bytes], where: str) -> dict[str, bytes]:
    """Return a pattern's files with every drawing that may name the owner drawn again without.

    Raises GalleryError, naming a drawing, where today's version draws the pattern otherwise, and
    RecordError for a record that cannot be read.
    """
    owner = record_of(files, where).book.owner
    if not owner or not (found := doubtful(files, owner)):
        return dict(files)
    try:
        drawn = _redrawn(files, where)
    except MendfoldError as error:
        raise GalleryError(
            f"{where}: {found[0]} may name the owner, and it cannot be drawn again without ({error}); "
            "nothing of it is passed on. Draft the record again and keep that, and move this "
            "revision out of the gallery"
        ) from error
    return {name: data for name, data in files.items() if not _is_drawing(name)} | drawn


def naming_owner(revision: Revision) -> list[str]:
    """Return the drawings of a revision on which the owner stands, or may stand.

    What was kept as without the owner is taken at its word. Raises GalleryError or RecordError
    for a revision that cannot be read.
    """
    files = revision.files()
    owner = record_of(files, revision.pattern).book.owner
    if not owner or revision.manifest().no_owner_drawn:
        return []
    return doubtful(files, owner)


def doubtful(files: Mapping[str, bytes], owner: str) -> list[str]:
    """Return the names of the drawings on which the owner stands, or may stand.

    A PDF that cannot be read may; so may a PNG, unless the same sheet as SVG does not.
    """
    found = [name for name in files if _is_drawing(name) and _is_named(name, files[name], owner)]
    return [
        name
        for name in sorted(files)
        if name in found
        or (_SHEET.fullmatch(name) and name.endswith(".png") and _unproven(name, files, found))
    ]


def _unproven(name: str, files: Mapping[str, bytes], found: list[str]) -> bool:
    twin = name.replace(".png", ".svg")
    return twin not in files or twin in found


def _is_drawing(name: str) -> bool:
    return bool(table.format_of(name))


def _is_named(name: str, data: bytes, owner: str) -> bool:
    if name.endswith(".png"):
        return False
    words, first = words_of(name, data), _squeezed(owner.split()[0])
    return words is None or LABEL + first[:BEGINNING] in _squeezed(words)


def mentions(name: str, data: bytes, owner: str) -> bool:
    """Return whether the owner's name can be read, as words of their own, anywhere in a file.

    >>> mentions("note.txt", b"lent by the  harbour", "the harbour"), mentions("a", b"tidal", "tid")
    (True, False)
    """
    words = unicodedata.normalize("NFC", words_of(name, data) or "")
    written = {owner, json.dumps(owner, ensure_ascii=False)[1:-1]}
    return any(
        re.search(r"(?<!\w)" + r"\s+".join(map(re.escape, one.split())) + r"(?!\w)", words)
        for one in (unicodedata.normalize("NFC", own) for own in written)
    )


def _squeezed(words: str) -> str:
    """Return words without the spaces that a line's end or a PDF reader may put anywhere."""
    return "".join(unicodedata.normalize("NFC", words).split())


def words_of(name: str, data: bytes) -> str | None:
    """Return the words of a drawing or a text, a PDF's metadata included; None if unreadable."""
    if name.lower().endswith(".pdf"):
        return _pdf_words(data)
    if name.lower().endswith(".html"):
        return html.unescape(_TAG.sub(" ", data.decode(errors="replace")))
    if name.lower().endswith(".svg"):
        try:
            return " ".join(ET.fromstring(data).itertext())
        except (ET.ParseError, ValueError):
            return None
    return data.decode(errors="replace")


def _pdf_words(data: bytes) -> str | None:
    from pypdf.errors import PyPdfError  # only what an earlier version kept is read again

    try:
        reader = pdf_reader(data)
        told = [str(value) for value in (reader.metadata or {}).values()]
        return "\n".join([*told, *(page.extract_text() for page in reader.pages)])
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


def _redrawn(files: Mapping[str, bytes], where: str) -> dict[str, bytes]:
    """Draw a pattern's sheets again without the owner, as many and of the kinds that were kept.

    Raises MendfoldError unless today's version draws them the same but for the owner.
    """
    from patterns.drafting import again
    from patterns.drafting.job import draft
    from patterns.drafting.making import make
    from patterns.gallery.differences import differences

    if other := differences(files, where):
        raise GalleryError(f"today's version draws it otherwise: {other[0]}")
    kept, record = kept_of(files, where), record_of(files, where)
    formats = tuple(sorted(set(map(table.format_of, files)) - {""}))
    order, _ = again.order_of(kept, record)
    made = make(draft(replace(order, formats=formats)))
    if made.remarks:
        raise GalleryError(made.remarks[0])
    return {
        name: data
        for name, data in made.files.items()
        if name == "pattern.json"
        or (_is_drawing(name) and (name in files or _all(name, files, kept)))
    }


def _all(name: str, files: Mapping[str, bytes], kept: KeptPattern) -> bool:
    """Return whether every sheet was kept as files of this kind, and not the first few alone."""
    there = [one for one in files if _SHEET.fullmatch(one) and one[-3:] == name[-3:]]
    return len(there) >= len(kept.sheets)
