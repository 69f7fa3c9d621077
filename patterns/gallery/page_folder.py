"""The folder that a gallery's page stands in: replaced as one, and nothing but its own files removed.

The page keeps a list of its files with their SHA-256. What lies in the folder and is not on that
list, or is no longer what was written, is somebody's own: the page is refused and names it.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

from patterns.errors import FileError, WriteError
from patterns.reading import LARGEST_ADDED_BYTES, read_bytes
from patterns.unfinished import HIDDEN

LIST = ".mendfold-page"
FORMAT = "mendfold-page/1"
LITTER = (".DS_Store", "Thumbs.db", "desktop.ini")
"""What a system's own file browser leaves in a folder; it stays, and nobody is asked about it."""


def check(out: Path) -> None:
    """Raise WriteError unless `out` is free, or holds an earlier page and nothing else.

    Whatever is not a file of that page, or was changed since, is named.
    """
    if not out.is_dir():
        return
    there = {path for path in _paths(out) if not _is_litter(out / path)}
    if not there:
        return
    own = _listed(out, there)
    foreign = sorted(there - own.keys() - {LIST})
    if foreign:
        raise WriteError.kind(
            "other page",
            f"{out}: holds {foreign[0]}{_more(foreign)}, which is no file of the gallery's page; "
            "nothing was changed. Move it elsewhere",
        )
    changed = [path for path in sorted(there & own.keys()) if digest(out / path) != own[path]]
    if changed:
        raise WriteError.kind(
            "other page",
            f"{out}: {changed[0]}{_more(changed)} was changed after the page was written; nothing was "
            "replaced. Move it elsewhere",
        )


def _more(names: list[str]) -> str:
    return f" ({len(names) - 1} more)" if len(names) > 1 else ""


def _listed(out: Path, there: set[str]) -> Mapping[str, str]:
    """Return the files of the page in `out` with their digests; raises WriteError without a list."""
    if LIST not in there:
        name = sorted(there)[0]
        raise WriteError.kind(
            "other page",
            f"{out}: holds {name} and no gallery page; nothing was changed. Move it elsewhere",
        )
    try:
        tree = json.loads(read_bytes(out / LIST, LARGEST_ADDED_BYTES))
        own = {str(name): str(digest) for name, digest in tree["files"].items()}
        if tree["format"] != FORMAT:
            raise ValueError
    except (FileError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise WriteError.kind(
            "other page",
            f"{out}: an earlier page without a list of its files, so nobody knows which are its own; "
            "nothing was changed. Look through it and remove it yourself",
        ) from None
    return own


def _paths(folder: Path) -> Iterator[str]:
    """Yield what lies below a folder, a path with slashes each; links and empty folders are named."""
    for at, folders, files in os.walk(folder):
        place = Path(at)
        links = [name for name in folders if (place / name).is_symlink()]
        for name in (*files, *links):
            yield (place / name).relative_to(folder).as_posix()
        if place != folder and not folders and not files:
            yield place.relative_to(folder).as_posix()


def _is_litter(path: Path) -> bool:
    return path.name in LITTER and path.is_file() and not path.is_symlink()


def digest(path: Path) -> str:
    """Return the SHA-256 of a file; empty for what is no plain file that a page could hold."""
    if path.is_symlink():
        return ""
    try:
        return hashlib.sha256(read_bytes(path, LARGEST_ADDED_BYTES)).hexdigest()
    except FileError:
        return ""


def close(part: Path) -> None:
    """Write the list of everything in `part`, its last file."""
    rows = {path: digest(part / path) for path in sorted(_paths(part))}
    tree = {"format": FORMAT, "files": rows}
    (part / LIST).write_bytes((json.dumps(tree, ensure_ascii=False, indent=1) + "\n").encode())


def swap(part: Path, out: Path) -> Path | None:
    """Put the finished folder `part` in the place of the page in `out`, and remove that page.

    Only files on the earlier page's list are removed. Returns where anything else lies now that
    came into the folder meanwhile. Raises WriteError as `check` does.
    """
    check(out)
    old = out.with_name(HIDDEN + secrets.token_hex(8))
    own: set[str] = set()
    if out.is_dir():
        own = set(_paths(out)) if any(out.iterdir()) else set()
        for path in own:
            if _is_litter(out / path) and (part / path).parent.is_dir():
                shutil.copyfile(out / path, part / path)
        os.rename(out, old)
    try:
        os.rename(part, out)
    except BaseException:  # whatever stops it, Ctrl-C too: the earlier page goes back
        if old.is_dir():
            os.rename(old, out)
        raise
    return _removed(old, own, out) if old.is_dir() else None


def _removed(old: Path, own: set[str], out: Path) -> Path | None:
    """Remove the files named in `own`; return where the rest lies, if there is a rest."""
    for path in own:
        with contextlib.suppress(OSError):
            (old / path).unlink()
    for at, _, _ in os.walk(old, topdown=False):
        with contextlib.suppress(OSError):
            os.rmdir(at)
    if not old.is_dir():
        return None
    number = 1
    while (aside := out.with_name(f"{out.name}.earlier-{number}")).exists():
        number += 1
    os.rename(old, aside)
    return aside
