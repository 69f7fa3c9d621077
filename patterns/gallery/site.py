"""The gallery as a folder of plain web pages that open from the disk: pictures first.

Everything that comes from a record is escaped. Sheets are shown as pictures to look at; what is
cut by is the PDF, linked. No page needs a network, and without scripts only the filters are gone.
"""

from __future__ import annotations

import os
import re
import secrets
import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from html import escape
from pathlib import Path
from string import Template
from urllib.parse import quote

import patterns
from patterns.errors import GalleryError, MendfoldError, WriteError, plain
from patterns.files import make_folder, resolved
from patterns.gallery import store
from patterns.gallery.changes import said, with_unit
from patterns.gallery.history import Chapter, history
from patterns.gallery.index import Entry, Progress, Query, search
from patterns.gallery.owner import mentions as mentions_owner
from patterns.gallery.owner import passed_on
from patterns.gallery.portrait import portrait
from patterns.gallery.summary import kept_of
from patterns.model import lettering
from patterns.model.kept import FORMAT, KeptPattern
from patterns.model.values import Value, leaves
from patterns.unfinished import HIDDEN
from patterns.writers.svg import svg_text

Report = Callable[[str, Mapping[str, bytes]], Mapping[str, bytes]]
"""Makes the treatment report of a pattern: files by name, `report.html` among them, or none."""
PORTRAIT = "pieces.svg"
MARK = ".mendfold-page"
PHOTOGRAPHS = (".jpg", ".jpeg", ".png", ".webp", ".gif")
NOTES = (".txt", ".md")
_PAGES = Path(__file__).parent / "pages"
_SHEET = re.compile(r"sheet-(\d+)\.svg")


@dataclass(frozen=True, slots=True)
class Built:
    """What a page shows: how many patterns, and what is to be said of it."""

    shown: int
    missing: tuple[str, ...]
    """Why patterns are not shown, a line each."""
    mentions: tuple[str, ...]
    """Pages on which a title, a note or a treatment names the owner."""


def build(
    gallery: Path,
    out: Path,
    report: Report | None = None,
    progress: Progress | None = None,
) -> Built:
    """Write the page of a gallery as the folder `out`.

    An earlier page there is replaced; any other folder is refused. Raises GalleryError and
    WriteError.
    """
    found = search(gallery, Query(), progress)[0]
    missing = [entry.trouble for entry in found if entry.trouble]
    mentions: list[str] = []
    entries: list[Entry] = []
    if out.is_dir() and any(out.iterdir()) and not (out / MARK).is_file():
        raise WriteError(f"{out}: holds something other than a gallery page; give another --out")
    whole = resolved(out)
    part = whole.with_name(HIDDEN + secrets.token_hex(8))
    try:
        make_folder(part)
        (part / MARK).write_bytes(b"")
        for name in ("style.css", "filter.js"):
            shutil.copyfile(_PAGES / name, part / name)
        for bold in (False, True):
            shutil.copyfile(
                lettering.font_path(bold), part / f"{'bold' if bold else 'regular'}.ttf"
            )
        for number, entry in enumerate(found):
            if progress and number % 100 == 0:
                progress(number, len(found))
            if entry.trouble:
                continue
            try:
                files = passed_on(store.newest(gallery / entry.name))
            except MendfoldError as error:
                missing.append(str(error))
                continue
            mentions += _pattern(part, gallery, entry, files, report)
            entries.append(entry)
        _write(part, "index.html", "Past patterns", "index", _index(entries))
        _swap(part, whole)
    except OSError as error:
        raise WriteError(
            f"{out}: could not be written ({error.strerror or error}); the earlier page is as it was"
        ) from error
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return Built(len(entries), tuple(missing), tuple(mentions))


def _swap(part: Path, out: Path) -> None:
    old = out.with_name(HIDDEN + secrets.token_hex(8))
    if out.is_dir():
        os.rename(out, old)
    os.rename(part, out)
    shutil.rmtree(old, ignore_errors=True)


def _fill(page: str, **values: str) -> str:
    return Template((_PAGES / page).read_text(encoding="utf-8")).substitute(values)


def _write(part: Path, name: str, title: str, kind: str, body: str) -> None:
    script = '<script src="filter.js" defer></script>' if kind == "index" else ""
    text = _fill("frame.html", title=escape(title), kind=kind, script=script, body=body)
    (part / name).write_bytes(text.encode())


def _link(*parts: str) -> str:
    return escape("/".join(quote(part, safe="") for part in parts))


def words_of(structure: str) -> str:
    """Return a structure's name in words: `board_slot` is board slot."""
    return structure.replace("_", " ")


def _index(entries: list[Entry]) -> str:
    structures = sorted({name for entry in entries for name in entry.structures})
    materials = sorted({name for entry in entries for name in entry.materials})
    count = f"{len(entries)} pattern{'' if len(entries) == 1 else 's'}"
    return _fill(
        "index.html",
        count=count,
        structures="".join(_option(name, words_of(name)) for name in structures),
        materials="".join(_option(name, name) for name in materials),
        cards="\n".join(_card(entry) for entry in entries),
        version=patterns.__version__,
    )


def _option(value: str, words: str) -> str:
    return f'<option value="{escape(value)}">{escape(words)}</option>'


def _card(entry: Entry) -> str:
    what = " + ".join(map(words_of, entry.structures))
    height = entry.features.get("height")
    words = " ".join((entry.id, entry.title, entry.note, what, *entry.materials))
    title = entry.title or entry.id
    source = _link(entry.name, PORTRAIT)
    picture = f'<img src="{source}" alt="" width="640" height="480" loading="lazy">'
    return _fill(
        "card.html",
        name=escape(entry.name),
        words=escape(words),
        structures=escape("\n".join(entry.structures)),
        materials=escape("\n".join(entry.materials)),
        height=f"{height:g}" if isinstance(height, float) else "",
        date=escape(entry.date),
        link=_link(f"{entry.name}.html"),
        picture=picture,
        title=escape(title),
        id=escape(entry.id),
        what=escape(what),
        size=escape(_size(entry)),
    )


def _size(entry: Entry) -> str:
    names = ("height", "width", "thickness")
    sizes = [f"{entry.features[name]:g}" for name in names if name in entry.features]
    weight = [f"{entry.features['weight']:g} kg"] if "weight" in entry.features else []
    return " · ".join([" × ".join(sizes) + " mm", *weight]) if sizes else " ".join(weight)


def _pattern(
    part: Path, gallery: Path, entry: Entry, files: Mapping[str, bytes], report: Report | None
) -> list[str]:
    """Write the page of one pattern and copy what it shows of the `files` of its last revision.

    Returns the pages on which the owner's name can be read all the same.
    """
    told = history(gallery / entry.name)
    last = told[-1]
    folder = part / entry.name
    folder.mkdir()
    shown = [name for name in files if _is_shown(name)]
    made = report(entry.name, files) if report and "treatment.toml" in files else {}
    for name in shown:
        (folder / name).write_bytes(files[name])
    kept = _kept(files, last)
    picture = svg_text(portrait(kept.pieces), "All pieces, not to scale")
    (folder / PORTRAIT).write_bytes(picture.encode())
    if made:
        (folder / "report").mkdir()
        for name, data in made.items():
            (folder / "report" / name).write_bytes(data)
    body = _fill(
        "pattern.html",
        title=escape(entry.title or entry.id),
        id=escape(entry.id),
        what=escape(" + ".join(map(words_of, entry.structures))),
        trouble=f'<p class="trouble">{escape(last.trouble)}</p>' if last.trouble else "",
        portrait=_link(entry.name, PORTRAIT),
        links=_links(entry.name, files, bool(made)),
        sheets="\n".join(_sheets(entry, files, kept)),
        photographs=_photographs(entry.name, last),
        tables="\n".join(_tables(kept, last)),
        notes=_notes(files, last),
        revisions="\n".join(_chapter(one) for one in reversed(told)),
        version=patterns.__version__,
    )
    _write(part, f"{entry.name}.html", entry.title or entry.id, "pattern", body)
    pages = [f"{entry.name}.html"] + [f"{entry.name}/report/report.html"] * bool(made)
    return [one for one in pages if last.owner and _mentions(part / one, last.owner)]


def _mentions(page: Path, owner: str) -> bool:
    return mentions_owner(page.name, page.read_bytes(), owner)


def _is_shown(name: str) -> bool:
    if store.is_drawn(name):
        return name == "sheets.pdf" or bool(_SHEET.fullmatch(name))
    return name.lower().endswith(PHOTOGRAPHS)


def _links(name: str, files: Mapping[str, bytes], has_report: bool) -> str:
    links = []
    if "sheets.pdf" in files:
        href = _link(name, "sheets.pdf")
        links.append(f'<a class="button" href="{href}">Sheets for cutting (PDF)</a>')
    else:
        links.append("<p>The sheets for cutting are not kept here; draft the record again.</p>")
    if has_report:
        href = _link(name, "report", "report.html")
        links.append(f'<a class="button" href="{href}">Treatment report</a>')
    return "\n".join(links)


def _sheets(entry: Entry, files: Mapping[str, bytes], kept: KeptPattern) -> Iterator[str]:
    titles = {sheet.file: plain(sheet.title) for sheet in kept.sheets}
    numbers = {int(found[1]): name for name in files if (found := _SHEET.fullmatch(name))}
    for number, name in sorted(numbers.items()):
        words = f"Page {number}" + (f", {titles[name]}" if titles.get(name) else "")
        caption = escape(words)
        if "sheets.pdf" in files:
            href = f"{_link(entry.name, 'sheets.pdf')}#page={number}"
            caption = f'<a href="{href}">{caption}</a>'
        yield (
            f'<figure><img src="{_link(entry.name, name)}" loading="lazy" '
            f'alt="{escape(words)}, of {escape(entry.title or entry.id)}">'
            f"<figcaption>{caption}: not to scale here</figcaption></figure>"
        )


def _photographs(name: str, last: Chapter) -> str:
    pictures = [one for one in last.added if one.lower().endswith(PHOTOGRAPHS)]
    if not pictures:
        return ""
    figures = "\n".join(
        f'<figure><img src="{_link(name, one)}" alt="Photograph {escape(one)}" loading="lazy">'
        f"<figcaption>{escape(one)}</figcaption></figure>"
        for one in pictures
    )
    return (
        '<section aria-labelledby="photographs"><h2 id="photographs">Photographs</h2>'
        f'<div class="sheets">{figures}</div></section>'
    )


def _notes(files: Mapping[str, bytes], last: Chapter) -> str:
    notes = [one for one in last.added if one.lower().endswith(NOTES)]
    if not notes:
        return ""
    texts = "\n".join(
        f"<h3>{escape(one)}</h3><pre>{escape(files[one].decode(errors='replace'))}</pre>"
        for one in notes
    )
    return f'<section aria-labelledby="notes"><h2 id="notes">Notes</h2>{texts}</section>'


def _kept(files: Mapping[str, bytes], last: Chapter) -> KeptPattern:
    """Return a revision's pattern; one that says nothing where it is damaged, as the page tells."""
    try:
        return kept_of(files, last.revision.folder.name)
    except GalleryError:
        return KeptPattern(FORMAT, "", ())


def _tables(kept: KeptPattern, last: Chapter) -> Iterator[str]:
    measured = [
        (_spoken(name), with_unit(name, value))
        for name, value in last.measurements
        if name not in ("book.id", "book.title")
    ]
    figures = [
        _figure(name, value)
        for name, value in kept.quantities.items()
        if not isinstance(value, str)
    ]
    settings = [
        (_spoken(name), "worked out" if value is None else said(value))
        for name, value in leaves(kept.parameters)
    ]
    for head, rows in (("Measurements", measured), ("Figures", figures), ("Settings", settings)):
        if rows:
            yield _table(head, rows)


def _spoken(name: str) -> str:
    return name.replace(".", ": ").replace("_", " ")


def _figure(name: str, value: Value) -> tuple[str, str]:
    """Split the unit off a figure's name: `girth_head_mm`, 46 is girth head, 46 mm."""
    units = {"mm": " mm", "deg": "°", "n": " N", "kg": " kg"}
    stem, _, unit = name.rpartition("_")
    if unit in units and isinstance(value, int | float):
        return _spoken(stem), said(round(float(value), 2)) + units[unit]
    return _spoken(name), said(value)


def _table(head: str, rows: list[tuple[str, str]]) -> str:
    lines = "\n".join(
        f'<tr><th scope="row">{escape(name)}</th><td>{escape(value)}</td></tr>'
        for name, value in rows
    )
    return f"<section><h2>{head}</h2><table>{lines}</table></section>"


def _chapter(one: Chapter) -> str:
    lines = "".join(f"<li>{escape(line)}</li>" for line in one.lines)
    told = f"<ul>{lines}</ul>" if lines else ""
    day = escape(one.kept[:10] or "at an unknown date")
    return f"<li><h3>{one.revision.folder.name}, kept {day}</h3>{told}</li>"
