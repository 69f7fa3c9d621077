"""What the report says, in its order, for both the page and the print: one content, two writers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from patterns.book.condition import met
from patterns.drafting import hazards
from patterns.errors import GalleryError, MendfoldError, TemplateError, plain
from patterns.examine.examination import examine
from patterns.gallery.pictures import why_no_photograph
from patterns.gallery.store import is_reserved
from patterns.gallery.summary import kept_of, record_of
from patterns.model.kept import KeptPattern
from patterns.record.record import Record
from patterns.report import done
from patterns.report.blocks import Fetch, Passage, Report, Section, Table, Text, Unions
from patterns.report.opening import condition, measurements, opening
from patterns.report.treatment import Treatment
from patterns.report.unions import joins, words
from patterns.stock import materials
from patterns.structures import catalogue


def report(
    files: Mapping[str, bytes], treatment: Treatment, where: str, with_owner: bool = False
) -> Report:
    """Put the report together from a pattern's files and its treatment.

    Raises GalleryError or RecordError when the files cannot be read.
    """
    kept, record = kept_of(files, where), record_of(files, where)
    shown = tuple(done.photographs(treatment))
    sections = [
        Section("Condition before treatment", tuple(condition(record))),
        Section("Findings", tuple(_findings(record))),
        Section("Tests", tuple(done.tests(treatment))),
        Section("Proposal", tuple(_proposal(record, kept, treatment))),
        Section("What was done", tuple(done.done(treatment))),
        Section("Materials", tuple(done.materials(treatment))),
        Section("Unions, sewn and pasted", tuple(_unions(kept))),
        Section("Evidence covered or removed", tuple(done.evidence(treatment))),
        Section("New holes", tuple(done.holes(kept))),
        Section("How to undo it", tuple(_undo(record, kept, treatment))),
        Section("Photographs", shown[1:]),
        Section("Measurements", tuple(measurements(record))),
    ]
    day = record.measuring.on
    return Report(
        plain(record.book.title or record.book.id or ""),
        record.book.id or "",
        " + ".join(words(name) for name in kept.structures),
        shown[0] if shown else None,
        opening(record, kept, treatment, with_owner),
        f"Pattern drawn by mendfold {plain(kept.mendfold)}" + (f", record of {day}" if day else ""),
        tuple(section for section in sections if section.blocks),
    )


def _findings(record: Record) -> Iterator[Passage]:
    examined = examine(record, materials.load(), catalogue.templates(), record.source)
    rows = tuple(
        (f"Stop: {one.title}" if one.call == "stop" else one.title, one.words)
        for one in examined.findings
    )
    if rows:
        yield Table(("finding", "what was found"), rows)
    else:
        yield Text("The examination of the measurements found nothing.")


def _proposal(record: Record, kept: KeptPattern, treatment: Treatment) -> Iterator[Passage]:
    """Yield what was proposed, and each warning once; what stops the work is among the findings."""
    if agreed := treatment.head.get("proposal"):
        yield Text(agreed)
    rows = [
        (
            words(piece.name),
            piece.material,
            str(piece.quantity),
            f"{piece.width_mm:.1f} × {piece.height_mm:.1f}",
            piece.grain.replace("-", "–"),
        )
        for piece in kept.pieces
        if piece.stock
    ]
    if rows:
        yield Table(("piece", "material", "number", "size, mm", "grain"), tuple(rows))
    found = {one.stop for one in met(record.condition)}
    for line in dict.fromkeys(kept.boxes):
        if line not in found:
            yield Text(f"Warned of beforehand: {plain(line)}")


def _unions(kept: KeptPattern) -> Iterator[Passage]:
    if found := tuple(joins(kept)):
        yield Text(
            "As proposed, not to scale: pasted unions are hatched, sewn ones a row of stitches, "
            "what stays free an empty gap."
        )
        yield Unions(found)


def _undo(record: Record, kept: KeptPattern, treatment: Treatment) -> Iterator[Passage]:
    """Yield what undoes it: as drafted, else, of an older document, as its structures say today."""
    if told := treatment.head.get("undo"):
        yield Text(told)
    for line in kept.undo:
        yield Text(f"{line}.")
    for name in () if kept.undo else reversed(kept.structures):
        try:
            found = catalogue.find(name)
        except (TemplateError, MendfoldError):
            continue
        for line in hazards.undone(record.condition, found.undo, (), ()):
            yield Text(f"{found.title}: {line}.")


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
            raise GalleryError.kind(
                "no photograph",
                f"{where}: the photograph {name} is not there; put it beside treatment.toml, "
                "or add it to the pattern",
            )
        if reason := why_no_photograph(name, data):
            raise GalleryError(
                f"{where}: the photograph {name} is not a picture that can be placed: {reason}"
            )
        found[name] = data
    return found
