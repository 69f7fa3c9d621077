"""The story of one pattern: every revision, and what changed from the one before."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from patterns.errors import MendfoldError, plain
from patterns.gallery import manifest as manifests
from patterns.gallery.changes import Change, between, fields
from patterns.gallery.equal import different_files
from patterns.gallery.store import Revision, revisions
from patterns.gallery.summary import kept_of, record_of
from patterns.model.values import Value


@dataclass(frozen=True, slots=True)
class Chapter:
    """One revision as `show` and the page tell it."""

    revision: Revision
    kept: str
    title: str
    owner: str
    files: tuple[str, ...]
    added: tuple[str, ...]
    measurements: tuple[tuple[str, Value], ...]
    changes: tuple[Change, ...]
    news: tuple[str, ...]
    """Files added, changed or gone since the revision before."""
    trouble: str

    @property
    def lines(self) -> Iterator[str]:
        """What is told of it, a line each."""
        if self.trouble:
            yield f"DAMAGED: {self.trouble}"
        for change in self.changes:
            yield f"{change.where} {change}"
        if self.news:
            yield f"files: {', '.join(self.news)}"


def history(home: Path) -> list[Chapter]:
    """Return every revision in a pattern's folder, oldest first; damage is told, not raised."""
    told: list[Chapter] = []
    before: dict[str, bytes] = {}
    for revision in revisions(home):
        files = revision.files()
        told.append(_chapter(revision, files, before))
        before = files
    return told


def _chapter(revision: Revision, files: dict[str, bytes], before: dict[str, bytes]) -> Chapter:
    kept, title, owner, trouble = "", "", "", ""
    added: tuple[str, ...] = ()
    measurements: tuple[tuple[str, Value], ...] = ()
    changes: list[Change] = []
    try:
        listed = revision.manifest()
        kept, added = listed.kept, listed.added
        trouble = "; ".join(manifests.damage(listed, files))
        record = record_of(files, revision.folder.name)
        kept_of(files, revision.folder.name)
        title, owner = plain(record.book.title or ""), plain(record.book.owner or "")
        measurements = tuple(fields(record))
        changes = between(before, files, revision.folder.name) if before else []
    except MendfoldError as error:
        trouble = trouble or str(error)
    return Chapter(
        revision,
        kept,
        title,
        owner,
        tuple(files),
        added,
        measurements,
        tuple(changes),
        tuple(different_files(before, files)) if before else (),
        trouble,
    )
