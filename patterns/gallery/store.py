"""The folder of past patterns: `gallery/<id>-<structures>/r0001/`, nothing ever overwritten.

There is no lock. A revision is written whole under a hidden name, its manifest last, forced to the
disk and renamed to the next free number; a rename onto a number another keeper took fails, and
the next number is tried. What has no number is not there, so a kill at any moment leaves the
gallery as it was.
"""

from __future__ import annotations

import os
import re
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from patterns.errors import GalleryError, WriteError, nearest
from patterns.files import content, contents, make_folder, names_in, staged, sync_folder
from patterns.gallery import manifest as manifests
from patterns.gallery.equal import different_files
from patterns.gallery.manifest import MANIFEST, Manifest
from patterns.gallery.summary import kept_of, summarise
from patterns.one_at_a_time import OneAtATime
from patterns.unfinished import HIDDEN, remove_if_left
from patterns.writers import table

_NUMBERED = re.compile(r"r(\d{4,8})")
_OWN = ("record.toml", "pattern.json", "thumbnail.png")
"""What a draft leaves beside its sheets, and the small picture kept with them."""
_RESERVED = frozenset(
    [
        "manifest.json",
        "report.html",
        "report.pdf",
        "unions.svg",
        "pieces.svg",
        "index.html",
        "style.css",
        "filter.js",
        "regular.ttf",
        "bold.ttf",
    ]
)
"""What the program itself writes beside a pattern's files, on its page or into its report."""


@dataclass(frozen=True, slots=True)
class Revision:
    """One numbered revision of one pattern."""

    folder: Path

    @property
    def number(self) -> int:
        """Its number, from 1."""
        return int(self.folder.name[1:])

    @property
    def pattern(self) -> str:
        """Name of the pattern it belongs to."""
        return self.folder.parent.name

    def manifest(self) -> Manifest:
        """Read its manifest; raises GalleryError."""
        return manifests.load(self.folder)

    def files(self) -> dict[str, bytes]:
        """Return its files by name, the manifest left out."""
        return {name: data for name, data in contents(self.folder).items() if name != MANIFEST}

    def one_at_a_time(self) -> OneAtATime:
        """Return the same files, each read only when it is asked for."""
        names = (name for name in names_in(self.folder) if name != MANIFEST)
        return OneAtATime(names, lambda name: content(self.folder / name))


@dataclass(frozen=True, slots=True)
class _Content:
    files: Mapping[str, bytes]
    added: tuple[str, ...] = ()
    no_owner_drawn: bool = False


def names(gallery: Path) -> list[str]:
    """Return the names of the patterns in a gallery, sorted; other files are ignored."""
    return [path.name for path in _folders(gallery) if latest(path) is not None]


def _folders(gallery: Path) -> Iterator[Path]:
    if not gallery.is_dir():
        raise GalleryError.kind("no gallery", f"{gallery}: there is no gallery here")
    with os.scandir(gallery) as entries:
        found = sorted(entry.name for entry in entries if entry.is_dir())
    return (gallery / name for name in found if manifests.valid_pattern_name(name))


def is_number(name: str) -> bool:
    """Return whether a folder's name is that of a revision, as r0001."""
    return bool(_NUMBERED.fullmatch(name))


def find(gallery: Path, asked: str) -> str:
    """Return the name of the one pattern a person means: its full name, or its book's id.

    Raises GalleryError when there is none, or several.
    """
    there = names(gallery)
    found = [name for name in there if asked == name] or [
        name for name in there if asked == name.rpartition("-")[0]
    ]
    if len(found) == 1:
        return found[0]
    if found:
        raise GalleryError(f"{asked}: several patterns of this book; name one: {', '.join(found)}")
    close = nearest(asked, [*there, *{name.rpartition("-")[0] for name in there}])
    line = f"{asked}: no such pattern in {gallery}"
    if close:
        raise GalleryError(f"{line}; the nearest: {', '.join(close)}")
    raise GalleryError.kind("no pattern", line)


def revisions(home: Path) -> list[Revision]:
    """Return the revisions in a pattern's folder, oldest first."""
    if not home.is_dir():
        return []
    found = [home / name for name in os.listdir(home) if _NUMBERED.fullmatch(name)]
    whole = [Revision(path) for path in found if (path / MANIFEST).is_file()]
    return sorted(whole, key=lambda revision: revision.number)


def latest(home: Path) -> Revision | None:
    """Return the newest revision in a pattern's folder, or None."""
    found = revisions(home)
    return found[-1] if found else None


def newest(home: Path) -> Revision:
    """Return the newest revision in a pattern's folder; raises GalleryError when there is none."""
    found = latest(home)
    if found is None:
        raise GalleryError.kind("no pattern", f"{home}: holds no revision")
    return found


def keep(
    gallery: Path,
    name: str,
    files: Mapping[str, bytes],
    kept: str = "",
    no_owner_drawn: bool = False,
) -> Path:
    """Keep a pattern's files as the next revision of `name`; return the revision's folder.

    Equal content adds nothing and returns the revision that has it. What was added by hand to the
    revision before goes along, and files that no draft writes count as added by hand. `kept` is a
    UTC time, now unless given. `no_owner_drawn` says that it is known of every drawing. Raises
    GalleryError when the files are no pattern, WriteError when the disk refuses.
    """
    drawn = {key: data for key, data in files.items() if is_drawn(key)}
    more = {key: files[key] for key in files.keys() - drawn.keys() - {MANIFEST}}
    _check_free(more, name)
    kept_of(drawn, name)

    def compose(last: Revision | None) -> _Content | Path:
        if last is None:
            return _Content({**drawn, **more}, tuple(sorted(more)), no_owner_drawn)
        before, listed = last.files(), last.manifest()
        own = {key: data for key, data in before.items() if key not in listed.added}
        news = any(before.get(key) != data for key, data in more.items())
        if not (news or manifests.damage(listed, before) or different_files(own, drawn)):
            return last.folder
        intact = {key: before[key] for key in listed.added if _intact(listed, key, before)}
        together = {**intact, **more}
        return _Content({**drawn, **together}, tuple(sorted(together)), no_owner_drawn)

    return _append(gallery, name, compose, kept)


def is_drawn(name: str) -> bool:
    """Return whether a file of this name is one that a draft writes."""
    return name in _OWN or bool(table.format_of(name))


def is_reserved(name: str) -> bool:
    """Return whether a file's name, however it is capitalised, is one that the program writes.

    >>> is_reserved("Report.HTML"), is_reserved("before.jpg")
    (True, False)
    """
    return is_drawn(name.casefold()) or name.casefold() in _RESERVED


def _check_free(names: Iterable[str], where: str) -> None:
    if own := sorted(filter(is_reserved, names)):
        raise GalleryError(
            f"{where}: {own[0]} is a name that mendfold uses itself; give your file another name"
        )


def add(gallery: Path, name: str, files: Mapping[str, bytes], kept: str = "") -> Path:
    """Add photographs, notes or a treatment to a pattern as a new revision; return its folder.

    Files that are there already, equal, add nothing. Raises GalleryError for an unknown pattern
    or a name that belongs to the pattern itself.
    """

    def compose(last: Revision | None) -> _Content | Path:
        if last is None:
            raise GalleryError.kind("no pattern", f"{name}: no such pattern in {gallery}")
        before, listed = last.files(), last.manifest()
        if lines := manifests.damage(listed, before):
            raise GalleryError(
                f"{last.folder}: {lines[0]}; restore it from a backup or keep the pattern again"
            )
        _check_free(files, name)
        if all(before.get(key) == data for key, data in files.items()):
            return last.folder
        together = tuple(sorted({*listed.added, *files}))
        return _Content({**before, **files}, together, listed.no_owner_drawn)

    return _append(gallery, name, compose, kept)


def receive(
    gallery: Path,
    name: str,
    files: Mapping[str, bytes],
    added: tuple[str, ...],
    kept: str,
    same: Callable[[Mapping[str, bytes], Mapping[str, bytes]], bool],
) -> Path:
    """Take in a revision kept elsewhere, with its date; return the folder that holds it now.

    A revision that is there already, by `same`, is not added. Raises GalleryError, RecordError or
    WriteError.
    """

    def compose(_last: Revision | None) -> _Content | Path:
        for revision in revisions(gallery / name):
            if same(revision.one_at_a_time(), files):
                return revision.folder
        return _Content(files, added)

    return _append(gallery, name, compose, kept)


def _intact(listed: Manifest, name: str, files: Mapping[str, bytes]) -> bool:
    return name in files and listed.files[name] == manifests.row(files[name])


def _append(
    gallery: Path, name: str, compose: Callable[[Revision | None], _Content | Path], kept: str
) -> Path:
    manifests.check_pattern_name(name)
    home = gallery / name
    if home.is_symlink():
        raise WriteError(
            f"{home}: is a link to another place, and is not followed; nothing was kept. Put the "
            "pattern's own folder there"
        )
    try:
        while True:
            place = _next_free(home)  # before looking at what is there
            last = latest(home)
            content = compose(last)
            if isinstance(content, Path):
                return content
            if _write(place, content, kept or _now()):
                return place
    except OSError as error:
        raise WriteError(
            f"{home}: could not be written ({error.strerror}); nothing was changed. "
            "Check the free space and your rights to that folder"
        ) from error


def _now() -> str:
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime())


def _write(place: Path, content: _Content, kept: str) -> bool:
    """Write one revision; False when another keeper took its number meanwhile."""
    home = place.parent
    summary = summarise(content.files, content.added, home.name)
    listed = replace(
        manifests.make(home.name, content.files, content.added, kept, summary),
        no_owner_drawn=content.no_owner_drawn,
    )
    make_folder(home)
    files = OneAtATime(content.files, content.files.__getitem__, {MANIFEST: listed.write()})
    with staged(home, files) as folder:
        try:
            os.rename(folder, place)
        except OSError:
            if not place.exists():
                raise
            return False
    for changed in (home, home.parent):
        sync_folder(changed)
    return True


def _next_free(home: Path) -> Path:
    """Return the folder of the next revision; raises GalleryError behind the last number there is."""
    there = os.listdir(home) if home.is_dir() else []
    highest = max((int(name[1:]) for name in there if _NUMBERED.fullmatch(name)), default=0)
    place = home / f"r{highest + 1:04d}"
    if not is_number(place.name):
        raise GalleryError(
            f"{home}: no number comes behind r{highest}, so nothing was kept; give that folder the number "
            "behind the others, as r0002"
        )
    return place


def sweep(gallery: Path, now: float) -> list[Path]:
    """Remove what writers that are gone left unfinished; return it.

    Where it cannot be told otherwise, they are gone when nobody has touched it for an hour before `now`.
    """
    swept: list[Path] = []
    for home in (gallery, *_folders(gallery)):
        swept += [path for path in home.glob(f"{HIDDEN}*") if remove_if_left(path, now)]
    return sorted(swept)
