"""One pattern as one zip file to pass on, and the careful way back in.

The zip holds the revisions as they lie in the gallery: `LOG-1-hollow_tube/r0001/record.toml` and
so on. Nothing is unpacked to the disk before everything in it has been looked at.
"""

from __future__ import annotations

import io
import stat
import struct
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from patterns import reading
from patterns.errors import FileError, GalleryError
from patterns.files import why_unsafe
from patterns.gallery import manifest as manifests
from patterns.gallery import store
from patterns.gallery.equal import different_files
from patterns.gallery.foreign import why_no_pdf, why_no_sheet
from patterns.gallery.manifest import MANIFEST, Manifest
from patterns.gallery.owner import mentions as mentions_owner
from patterns.gallery.owner import passed_on
from patterns.gallery.summary import record_of, summarise
from patterns.one_at_a_time import OneAtATime
from patterns.record.writing import without_owner

MOST_FILES = 5_000
MOST_BYTES = 400_000_000
"""All files of one zip together, packed or unpacked."""
MOST_RATIO = 250
"""Unpacked to packed, beyond which a file over 1 MB is taken for a trap (drawings reach 30)."""
_UNSOUND = (
    zipfile.BadZipFile,
    zlib.error,
    struct.error,
    EOFError,
    NotImplementedError,
    RuntimeError,
    ValueError,
)
_END_BYTES, _END_COUNT_AT = 22, 10
_EARLIEST = (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True)
class Packed:
    """A zip file's bytes; `mentions` names the files in which the owner's name can still be read."""

    data: bytes
    mentions: tuple[str, ...]
    left_out: tuple[str, ...] = ()
    """Files added by hand under a name that the program uses itself; no import would take them."""


def export(gallery: Path, name: str, with_owner: bool = False) -> Packed:
    """Pack every revision of a pattern; the owner is left out unless asked.

    Raises GalleryError when there is no such pattern, a revision is damaged, or its sheets name
    the owner and cannot be drawn again without.
    """
    found = store.revisions(gallery / name)
    if not found:
        raise GalleryError.kind("no pattern", f"{name}: no such pattern in {gallery}")
    packed, mentions, left_out = io.BytesIO(), set[str](), set[str]()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for revision in found:
            one = _outgoing(revision, with_owner)
            mentions |= one.mentions
            left_out |= one.left_out
            for key, data in {**one.files, MANIFEST: one.listed.write()}.items():
                place = zipfile.ZipInfo(f"{name}/{revision.folder.name}/{key}", _EARLIEST)
                place.compress_type = zipfile.ZIP_DEFLATED
                place.external_attr = 0o644 << 16
                archive.writestr(place, data)
    return Packed(packed.getvalue(), tuple(sorted(mentions)), tuple(sorted(left_out)))


@dataclass(frozen=True, slots=True)
class _Outgoing:
    """One revision as it is packed."""

    files: Mapping[str, bytes]
    listed: Manifest
    mentions: set[str]
    left_out: set[str]


def _outgoing(revision: store.Revision, with_owner: bool) -> _Outgoing:
    files: Mapping[str, bytes] = revision.files()
    listed = revision.manifest()
    if lines := manifests.damage(listed, files):
        raise GalleryError(f"{revision.folder}: {lines[0]}; restore it from a backup first")
    summarise(files, listed.added, str(revision.folder))  # as whoever imports it will read it
    owner = record_of(files, revision.pattern).book.owner
    hide = not with_owner
    if hide:
        files = _without_owner(passed_on(revision))
    left_out = {key for key in listed.added if store.is_reserved(key)}
    files = {key: data for key, data in files.items() if key not in left_out}
    listed = replace(
        listed,
        files=manifests.rows(files),
        added=tuple(key for key in listed.added if key in files),
        no_owner_drawn=hide or listed.no_owner_drawn,
    )
    named = {key for key in files if hide and owner and mentions_owner(key, files[key], owner)}
    return _Outgoing(files, listed, named, left_out)


def _without_owner(files: Mapping[str, bytes]) -> Mapping[str, bytes]:
    bare = without_owner(record_of(files, "record"))
    return OneAtATime(files, files.__getitem__, {"record.toml": bare.text.encode()})


def take_in(gallery: Path, zip_path: Path) -> list[tuple[str, Path, bool]]:
    """Unpack a pattern into the gallery; return (revision in the zip, its folder, whether new).

    Revisions that are there already, the owner apart, are not added again; the others follow as
    the next numbers with their authors' dates. Everything is checked before anything is written.
    Raises GalleryError, RecordError or WriteError.
    """
    try:
        with (
            reading.plain_file(zip_path, MOST_BYTES) as file,
            zipfile.ZipFile(file) as archive,
        ):
            _whole(archive, file)
            name, members = _members(archive, zip_path)
            listed = {
                number: _checked(archive, rows, f"{zip_path}: {name}/{number}", name)
                for number, rows in members.items()
            }
            results = []
            for number, rows in members.items():
                files = _unpacked(archive, {k: info for k, info in rows.items() if k != MANIFEST})
                kept, added = listed[number].kept, listed[number].added
                before = {revision.folder for revision in store.revisions(gallery / name)}
                place = store.receive(gallery, name, files, added, kept, _same)
                results.append((number, place, place not in before))
            return results
    except FileError as error:
        raise GalleryError(f"{error}; name the zip that was exported") from error
    except _UNSOUND as error:
        raise GalleryError(
            f"{zip_path}: not a sound zip file ({error}); ask for it to be exported again"
        ) from error
    except OSError as error:
        raise GalleryError(f"{zip_path}: cannot be read ({error.strerror or error})") from error


def _whole(archive: zipfile.ZipFile, file: BinaryIO) -> None:
    """Raise unless the zip lists as many files as its closing record says (PKWARE APPNOTE 4.3.16)."""
    end = _END_BYTES + len(archive.comment)
    file.seek(-end, io.SEEK_END)
    (count,) = struct.unpack_from("<H", file.read(end), _END_COUNT_AT)
    if count != len(archive.infolist()):
        raise zipfile.BadZipFile(f"{count} files counted, {len(archive.infolist())} listed")


def _same(one: Mapping[str, bytes], other: Mapping[str, bytes]) -> bool:
    return not different_files(_without_owner(one), _without_owner(other))


def _members(
    archive: zipfile.ZipFile, where: Path
) -> tuple[str, dict[str, dict[str, zipfile.ZipInfo]]]:
    """Return the pattern's name and its members by revision and file name, all of them safe."""
    infos = archive.infolist()
    if len(infos) > MOST_FILES or sum(info.file_size for info in infos) > MOST_BYTES:
        raise GalleryError(
            f"{where}: it unpacks to more than {MOST_FILES} files or {MOST_BYTES // 10**6} MB; "
            "nothing was unpacked. Import patterns one at a time"
        )
    found: dict[str, dict[str, dict[str, zipfile.ZipInfo]]] = {}
    for info in infos:
        name, number, key = _place(info, where)
        rows = found.setdefault(name, {}).setdefault(number, {})
        if key.casefold() in {other.casefold() for other in rows}:
            raise GalleryError(f"{where}: {info.filename!r} is in it twice; nothing was unpacked")
        rows[key] = info
    if len(found) != 1:
        raise GalleryError(
            f"{where}: it holds {len(found)} patterns instead of one; nothing was unpacked"
        )
    ((name, members),) = found.items()
    return name, dict(sorted(members.items(), key=lambda row: int(row[0][1:])))


def _place(info: zipfile.ZipInfo, where: Path) -> tuple[str, str, str]:
    """Return pattern, revision and file name of a member; raises GalleryError for unsafe ones."""
    parts = PurePosixPath(info.orig_filename).parts
    kind = stat.S_IFMT(info.external_attr >> 16)
    reason = ""
    if kind not in (0, stat.S_IFREG):
        reason = "is a link or a device"
    elif info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        reason = "is packed in an unusual way"
    elif info.flag_bits & 1:
        reason = "is locked with a password"
    elif info.file_size > 10**6 and info.file_size > MOST_RATIO * max(1, info.compress_size):
        reason = "unpacks to far more than its size"
    elif (
        "/".join(parts) != info.orig_filename
        or len(parts) != 3
        or not manifests.valid_pattern_name(parts[0])
        or not store.is_number(parts[1])
    ):
        reason = "does not lie in PATTERN/r0001/"
    else:
        reason = why_unsafe(parts[2])
    if reason:
        raise GalleryError(f"{where}: {info.orig_filename!r} {reason}; nothing was unpacked")
    return parts[0], parts[1], parts[2]


def _unpacked(archive: zipfile.ZipFile, rows: Mapping[str, zipfile.ZipInfo]) -> OneAtATime:
    """Return members by name, each unpacked when it is asked for: together they may not fit the memory."""
    return OneAtATime(rows, lambda key: _read(archive, rows[key]))


def _read(archive: zipfile.ZipFile, info: zipfile.ZipInfo) -> bytes:
    """Unpack one member, never more of it than its entry says."""
    with archive.open(info) as member:
        return member.read(info.file_size + 1)


def _checked(
    archive: zipfile.ZipFile, rows: Mapping[str, zipfile.ZipInfo], where: str, name: str
) -> Manifest:
    """Return the manifest of one revision, everything it lists found as listed."""
    if MANIFEST not in rows or rows[MANIFEST].file_size > manifests.LARGEST_BYTES:
        raise GalleryError(f"{where}: there is no manifest; ask for it to be exported again")
    listed = manifests.read(_read(archive, rows[MANIFEST]), where)
    files = _unpacked(archive, rows)
    _check_plain(files, where)
    lines = manifests.damage(listed, files)
    if listed.pattern != name:
        lines.append(f"its manifest is that of {listed.pattern}")
    if lines:
        raise GalleryError(f"{where}: {lines[0]}; nothing was unpacked. Ask for it again")
    summarise(files, listed.added, where)
    return listed


def _check_plain(files: Mapping[str, bytes], where: str) -> None:
    """Raise GalleryError for a name of the program's own, or a sheet that could do or fetch more."""
    for key in files:
        reason = ""
        if key != MANIFEST and not store.is_drawn(key) and store.is_reserved(key):
            reason = "has a name that mendfold uses itself"
        elif store.is_drawn(key) and key.endswith(".svg"):
            reason = why_no_sheet(files[key])
        elif store.is_drawn(key) and key.endswith(".pdf"):
            reason = why_no_pdf(files[key])
        if reason:
            raise GalleryError(f"{where}: {key} {reason}; nothing was unpacked")
