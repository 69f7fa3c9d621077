"""What the report says, in its order, for both the page and the print: one content, two writers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from patterns.errors import GalleryError, MendfoldError, TemplateError, plain
from patterns.examine.examination import examine
from patterns.gallery.changes import fields, said, with_unit
from patterns.gallery.pictures import why_no_photograph
from patterns.gallery.store import is_reserved
from patterns.gallery.summary import kept_of, record_of
from patterns.model.kept import KeptPattern
from patterns.record.record import Record
from patterns.report.treatment import Proposed, Row, Treatment
from patterns.report.unions import Join, joins
from patterns.stock import materials
from patterns.structures import catalogue

_OF_THE_BOOK = re.compile(
    r"\b(spine|cover|boards?|text block|folds?|leaf|leaves|sides?|paste-down|shoulders?|joints?)\b"
)
"""Words by which a pasted zone names a part of the book itself: what lies there is covered."""


@dataclass(frozen=True, slots=True)
class Text:
    """A paragraph."""

    words: str


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under heads; every row as long as the heads."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Unions:
    """The picture of sewn and pasted unions."""

    joins: tuple[Join, ...]


@dataclass(frozen=True, slots=True)
class Photograph:
    """One picture with its words; `file` lies beside the report."""

    file: str
    caption: str


Fetch = Callable[[str], bytes | None]
"""Returns a file that lies beside treatment.toml, by its name, or None."""
Passage = Text | Table | Unions | Photograph


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the report under its own heading."""

    title: str
    blocks: tuple[Passage, ...]


@dataclass(frozen=True, slots=True)
class Report:
    """The whole report."""

    title: str
    book_id: str
    made: str
    """Structures, in words."""
    foot: str
    sections: tuple[Section, ...]

    @property
    def photographs(self) -> tuple[Photograph, ...]:
        """Every photograph in it."""
        blocks = (block for section in self.sections for block in section.blocks)
        return tuple(block for block in blocks if isinstance(block, Photograph))


def proposed(files: Mapping[str, bytes], where: str) -> Proposed:
    """Return what a pattern's files say beforehand; raises GalleryError or RecordError."""
    kept, record = kept_of(files, where), record_of(files, where)
    zones = [zone for piece in kept.pieces for zone in piece.zones]
    own = {_words(piece.name) for piece in kept.pieces}
    covered = (
        one
        for one in joins(kept)
        if one.made == "pasted" and one.to not in own and _OF_THE_BOOK.search(one.to)
    )
    cut = [piece for piece in kept.pieces if piece.stock]
    roles = [role for held in kept.materials.values() for role in held.values()]
    threads = [role.name for role in roles if role.kind == "thread"]
    return Proposed(
        book=f"{record.book.id}, {record.book.title or 'no title'}",
        steps=tuple(step.text for step in kept.steps),
        materials=tuple(dict.fromkeys([*(piece.material for piece in cut), *threads])),
        adhesives=tuple(dict.fromkeys(zone.adhesive for zone in zones if zone.kind == "pasted")),
        pieces=tuple((piece.name, piece.width_mm, piece.height_mm) for piece in cut),
        evidence=tuple(f"{one.to}, under the {one.part.split(',')[0]}" for one in covered),
    )


def report(
    files: Mapping[str, bytes], treatment: Treatment, where: str, with_owner: bool = False
) -> Report:
    """Put the report together from a pattern's files and its treatment.

    Raises GalleryError or RecordError when the files cannot be read.
    """
    kept, record = kept_of(files, where), record_of(files, where)
    sections = [
        Section("The book", tuple(_book(record, with_owner))),
        Section("Findings", tuple(_findings(record))),
        Section("Proposal", tuple(_proposal(kept, treatment))),
        Section("What was done", tuple(_done(treatment))),
        Section("Materials", tuple(_materials(treatment))),
        Section("Unions, sewn and pasted", tuple(_unions(record, kept))),
        Section("Evidence covered or removed", tuple(_evidence(kept, treatment))),
        Section("How to undo it", tuple(_undo(kept.structures, treatment))),
        Section("Photographs", tuple(_photographs(treatment))),
    ]
    day = record.measuring.on
    return Report(
        plain(record.book.title or record.book.id or ""),
        record.book.id or "",
        " + ".join(_words(name) for name in kept.structures),
        f"Pattern drawn by mendfold {plain(kept.mendfold)}" + (f", record of {day}" if day else ""),
        tuple(section for section in sections if section.blocks),
    )


def _words(name: str) -> str:
    return plain(name).replace("_", " ")


def _book(record: Record, with_owner: bool) -> Iterator[Passage]:
    rows = []
    if with_owner and record.book.owner:
        rows.append(("owner", plain(record.book.owner)))
    for name, value in fields(record):
        if name not in ("book.id", "book.title"):
            rows.append((_words(name.replace(".", ": ")), with_unit(name, value)))
    yield Table(("measured", "value"), tuple(rows))


def _findings(record: Record) -> Iterator[Passage]:
    examined = examine(record, materials.load(), catalogue.templates(), record.source)
    rows = tuple((one.title, one.words, one.limit_source) for one in examined.findings)
    if rows:
        yield Table(("finding", "figure and limit", "limit from"), rows)
    else:
        yield Text("The examination of the measurements found nothing.")
    for stop in examined.stops:
        yield Text(f"Stop: {stop}")


def _proposal(kept: KeptPattern, treatment: Treatment) -> Iterator[Passage]:
    if agreed := treatment.head.get("proposal"):
        yield Text(agreed)
    rows = [
        (
            _words(piece.name),
            piece.material,
            str(piece.quantity),
            f"{piece.width_mm:.1f} × {piece.height_mm:.1f}",
            piece.grain,
        )
        for piece in kept.pieces
        if piece.stock
    ]
    if rows:
        yield Table(("piece", "material", "number", "size, mm", "grain"), tuple(rows))
    for line in (*kept.boxes, *kept.warnings):
        yield Text(f"Warning: {plain(line)}")


def _done(treatment: Treatment) -> Iterator[Passage]:
    head = treatment.head
    span = " to ".join(head[key] for key in ("begun", "ended") if key in head)
    by = f"by {head['by']}" if "by" in head else ""
    if span or by:
        yield Text(" ".join(filter(None, ("Treated", span, by))).removesuffix(".") + ".")
    columns = {"text": "step", "done": "day", "by": "by", "note": "note"}
    yield from _table(treatment.filled("step", "done"), columns)
    open_steps = [row["text"] for row in treatment.filled("step", "text") if "done" not in row]
    if open_steps:
        yield Text(
            f"Not entered as done: {len(open_steps)} of {len(treatment.rows['step'])} steps."
        )
    columns = {"what": "done otherwise than proposed", "why": "why"}
    yield from _table(treatment.filled("deviation", "what"), columns)
    if cut := tuple(_cut(row) for row in treatment.filled("piece", "cut_mm")):
        yield Table(("piece", "planned, mm", "as cut, mm", "difference, mm"), cut)
    if compared := tuple(_before_after(head)):
        yield Table(("", "before", "after"), compared)


def _table(rows: Iterable[Row], columns: Mapping[str, str]) -> Iterator[Table]:
    """Yield rows as a table under `columns` (key: head), columns without an entry left out."""
    given = list(rows)
    used = {key: head for key, head in columns.items() if any(row.get(key) for row in given)}
    if given:
        cells = tuple(tuple(str(row.get(key, "")) for key in used) for row in given)
        yield Table(tuple(used.values()), cells)


def _cut(row: Row) -> tuple[str, str, str, str]:
    cut, planned = row["cut_mm"], row.get("planned_mm")
    sizes = [f"{size[0]:.1f} × {size[1]:.1f}" if size else "" for size in (planned, cut)]
    gap = ""
    if planned:
        gap = " × ".join(f"{one - other:+.1f}" for one, other in zip(cut, planned, strict=True))
    return _words(row.get("name", "")), sizes[0], sizes[1], gap


def _before_after(head: Row) -> Iterator[tuple[str, str, str]]:
    for key, name, unit in (("weight", "weight", " kg"), ("opening", "opens by itself to", "°")):
        pair = [head.get(f"{key}_{when}") for when in ("before", "after")]
        if any(value is not None for value in pair):
            cells = [said(value) + (unit if value is not None else "") for value in pair]
            yield name, cells[0], cells[1]


def _materials(treatment: Treatment) -> Iterator[Passage]:
    used = (row for row in treatment.filled("material", "name") if len(row) > 1)
    yield from _table(used, {"name": "material", "lot": "lot", "used_for": "used for"})
    mixed = (row for row in treatment.filled("adhesive", "name") if len(row) > 1)
    yield from _table(mixed, {"name": "adhesive", "recipe": "recipe", "lot": "lot"})


def _unions(record: Record, kept: KeptPattern) -> Iterator[Passage]:
    rows = tuple(
        (
            " and ".join(union.between),
            {True: "moves", False: "does not move", None: ""}[union.moves],
            union.made or "",
            union.state or "",
        )
        for union in record.unions
    )
    if rows:
        yield Text("Before treatment:")
        yield Table(("between", "at use", "made", "state"), rows)
    if found := tuple(joins(kept)):
        yield Text(
            "As proposed, not to scale: pasted unions are hatched, sewn ones a row of stitches, "
            "what stays free an empty gap."
        )
        yield Unions(found)


def _evidence(kept: KeptPattern, treatment: Treatment) -> Iterator[Passage]:
    columns = {"what": "evidence", "fate": "now", "note": "where, how"}
    yield from _table(treatment.filled("evidence", "fate"), columns)
    open_rows = [row["what"] for row in treatment.filled("evidence", "what") if "fate" not in row]
    if open_rows:
        yield Text(f"Not entered: {'; '.join(open_rows)}.")
    if kept.stitches:
        yield Text(
            f"The new sewing adds {len(kept.stitches)} stitches, two holes each, through the folds."
        )


def _undo(structures: Sequence[str], treatment: Treatment) -> Iterator[Passage]:
    if told := treatment.head.get("undo"):
        yield Text(told)
    for name in structures:
        try:
            found = catalogue.find(name)
        except (TemplateError, MendfoldError):
            continue
        for line in found.undo:
            yield Text(f"{found.title}: {line}.")


def _photographs(treatment: Treatment) -> Iterator[Passage]:
    order = {"before": 0, "during": 1, "after": 2}
    rows = sorted(
        treatment.filled("photograph", "file"), key=lambda row: order.get(row.get("when", ""), 3)
    )
    for row in rows:
        words = [row.get("when", ""), row.get("shows", "")]
        yield Photograph(row["file"], ": ".join(word for word in words if word) or row["file"])


def needed_photographs(treatment: Treatment, fetch: Fetch, where: str) -> dict[str, bytes]:
    """Return the photographs a treatment names.

    Raises GalleryError for one that is missing, that is none by its name or its content, or that
    has the name of a file of the program's own.
    """
    found = {}
    for row in treatment.filled("photograph", "file"):
        name = row["file"]
        if is_reserved(name):
            raise GalleryError(
                f"{where}: the photograph {name} has a name that mendfold uses itself; give it another"
            )
        data = fetch(name)
        if data is None:
            raise GalleryError(
                f"{where}: the photograph {name} is not there; put it beside treatment.toml, "
                "or add it to the pattern with `mendfold gallery add`"
            )
        if reason := why_no_photograph(name, data):
            raise GalleryError(
                f"{where}: the photograph {name} is not a picture that can be placed: {reason}"
            )
        found[name] = data
    return found
