"""The gallery as a folder of plain web pages that open from the disk: pictures first.

Everything from a record, a note or a treatment passes one escaping template. Sheets are shown as
pictures to look at; what is cut by is the PDF, linked. No page needs a network, and without scripts
only the filters are gone.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import patterns
from patterns.errors import MendfoldError, WriteError
from patterns.files import make_folder, resolved
from patterns.gallery import page_folder, shown, store
from patterns.gallery.history import history
from patterns.gallery.index import GalleryEntry, Progress, Query, search
from patterns.gallery.owner import mentions, passed_on
from patterns.gallery.portrait import portrait
from patterns.gallery.summary import kept_of
from patterns.model import lettering
from patterns.model.kept import KeptPattern
from patterns.unfinished import part_folder
from patterns.writers import html
from patterns.writers.svg import svg_text

Reporter = Callable[[str, Mapping[str, bytes]], Mapping[str, bytes]]
"""Makes the treatment report of a pattern: files by name, `report.html` among them, or none."""
REPORT = "report/report.html"
_PAGES = Path(__file__).parent / "pages"


@dataclass(slots=True)
class Built:
    """What a page shows, and what is to be said of it."""

    paged: list[shown.PagedPattern] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    """Why patterns and pictures are not shown, a line each."""
    mentions: list[str] = field(default_factory=list)
    """Pages on which a title, a note or a treatment names the owner."""
    left: Path | None = None
    """Where files lie now that came into the folder while the page was written."""

    @property
    def entries(self) -> list[GalleryEntry]:
        """Every pattern that has a page."""
        return [one.entry for one in self.paged]


def build(
    gallery: Path,
    out: Path,
    report: Reporter | None = None,
    progress: Progress | None = None,
) -> Built:
    """Write the page of a gallery as the folder `out`.

    An earlier page there is replaced, and only its own files are removed; a folder that holds
    anything else is refused. Raises GalleryError and WriteError.
    """
    found = search(gallery, Query(), progress)[0]
    whole, built = resolved(out), Built()
    try:
        page_folder.check(whole)
        make_folder(whole.parent)
        with part_folder(whole.parent) as part:
            _looks(part)
            for number, entry in enumerate(found):
                if progress and number % 100 == 0:
                    progress(number, len(found))
                _add(part, gallery, entry, report, built)
            _write(part / "index.html", "index.html", shown.index(built.paged))
            page_folder.close(part)
            built.left = page_folder.swap(part, whole)
    except OSError as error:
        raise WriteError(
            f"{out}: could not be written ({error.strerror or error}); the earlier page is as it was"
        ) from error
    return built


def _looks(part: Path) -> None:
    """Copy what every page shares: its style, its filters, its typeface."""
    for name in ("style.css", "filter.js"):
        shutil.copyfile(_PAGES / name, part / name)
    for bold, name in ((False, "regular.ttf"), (True, "bold.ttf")):
        shutil.copyfile(lettering.font_path(bold), part / name)


def _add(
    part: Path, gallery: Path, entry: GalleryEntry, report: Reporter | None, built: Built
) -> None:
    """Write one pattern's page, or say why there is none."""
    if entry.trouble:
        built.missing.append(entry.trouble)
        return
    try:
        files = passed_on(store.newest(gallery / entry.name))
        document = kept_of(files, entry.name)
    except MendfoldError as error:
        built.missing.append(str(error))
        return
    _pattern(part, gallery, entry, files, document, report, built)


def _pattern(
    part: Path,
    gallery: Path,
    entry: GalleryEntry,
    files: Mapping[str, bytes],
    document: KeptPattern,
    report: Reporter | None,
    built: Built,
) -> None:
    """Write the page of one pattern and copy what it shows of the `files` of its last revision."""
    told = history(gallery / entry.name)
    pictures, left = shown.pictures(files)
    built.missing += [f"{entry.name}/{line}" for line in left]
    made = report(entry.name, files) if report and "treatment.toml" in files else {}
    drawn = svg_text(portrait(document.pieces), "All pieces, not to scale")
    folder = part / entry.name
    copies = {**pictures, shown.PORTRAIT: drawn.encode()}
    copies |= {f"report/{name}": data for name, data in made.items()}
    for name, data in copies.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    page = f"{entry.name}.html"
    values = shown.pattern(entry, told, files, document, pictures)
    lead = next(iter(shown.photographs(files, pictures)), None)
    built.paged.append(shown.PagedPattern(entry, lead))
    linked = {"report": f"{entry.name}/{REPORT}" if made else ""}
    _write(part / page, "pattern.html", values | linked)
    pages = (page, f"{entry.name}/{REPORT}") if made else (page,)
    if owner := told[-1].owner:
        read = ((one, (part / one).read_bytes()) for one in pages)
        built.mentions += [one for one, data in read if mentions(one, data, owner)]


def _write(place: Path, template: str, values: Mapping[str, object]) -> None:
    page = html.page(_PAGES, template, {"version": patterns.__version__, **values})
    place.write_bytes(page)
