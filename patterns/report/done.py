"""What was done, as it was filled in: steps, tests, materials, sizes, evidence, new holes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from patterns.errors import MendfoldError
from patterns.gallery.changes import said
from patterns.gallery.entered import WHEN, caption
from patterns.model.kept import KeptPattern
from patterns.report.blocks import Passage, Photograph, Table, Text
from patterns.report.treatment import Treatment, TreatmentRow
from patterns.report.unions import words
from patterns.structures import catalogue
from patterns.structures.shared.album_view import runs

NOT_ENTERED = "not entered"


def table(rows: Iterable[TreatmentRow], columns: Mapping[str, str]) -> Iterator[Table]:
    """Yield rows as a table under `columns` (key: head), columns without an entry left out."""
    given = list(rows)
    used = {key: head for key, head in columns.items() if any(row.get(key) for row in given)}
    if given:
        cells = tuple(tuple(str(row.get(key, "")) for key in used) for row in given)
        yield Table(tuple(used.values()), cells)


def _by_others(rows: Iterable[TreatmentRow], answerable: str) -> list[TreatmentRow]:
    """Return rows whose initials are told only where they are not those of who is answerable."""
    return [
        {key: value for key, value in row.items() if key != "by" or value != answerable}
        for row in rows
    ]


def done(treatment: Treatment) -> Iterator[Passage]:
    """Yield steps with their days, what was done otherwise, sizes as cut, before and after."""
    by = treatment.head.get("by", "")
    columns = {"number": "no.", "text": "step", "done": "day", "by": "by", "note": "note"}
    numbered = [{"number": n, **row} for n, row in enumerate(treatment.rows["step"], 1)]
    steps = [row for row in numbered if row.get("done")]
    yield from table(_by_others(steps, by), columns)
    open_steps = [row["text"] for row in treatment.filled("step", "text") if "done" not in row]
    if open_steps:
        yield Text(
            f"Not entered as done: {len(open_steps)} of {len(treatment.rows['step'])} steps."
        )
    columns = {"what": "done otherwise than proposed", "why": "why"}
    yield from table(treatment.filled("deviation", "what"), columns)
    if cut := tuple(_cut(row) for row in treatment.filled("piece", "cut_mm")):
        yield Table(("piece", "planned, mm", "as cut, mm", "difference, mm"), cut)
    if compared := tuple(_before_after(treatment.head)):
        yield Table(("", "before", "after"), compared)


def _cut(row: TreatmentRow) -> tuple[str, str, str, str]:
    cut, planned = row["cut_mm"], row.get("planned_mm")
    sizes = [f"{size[0]:.1f} × {size[1]:.1f}" if size else "" for size in (planned, cut)]
    gap = ""
    if planned:
        gap = " × ".join(_off(one - other) for one, other in zip(cut, planned, strict=True))
    return words(row.get("name", "")), sizes[0], sizes[1], gap


def _off(difference: float) -> str:
    """Write how far off a size is, to a tenth: +0.2, -0.1, 0."""
    text = f"{difference:+.1f}"
    return "0" if float(text) == 0 else text


def _before_after(head: TreatmentRow) -> Iterator[tuple[str, str, str]]:
    for key, name, unit in (("weight", "weight", " kg"), ("opening", "opens by itself to", "°")):
        pair = [head.get(f"{key}_{when}") for when in ("before", "after")]
        if any(value is not None for value in pair):
            cells = [said(value) + (unit if value is not None else "") for value in pair]
            yield name, cells[0], cells[1]


def tests(treatment: Treatment) -> Iterator[Passage]:
    """Yield the tests that were made, each with its result; those without one are named."""
    by = treatment.head.get("by", "")
    columns = {"what": "test", "where": "on", "result": "result", "done": "day", "by": "by"}
    yield from table(_by_others(treatment.filled("test", "result"), by), columns)
    left = [row["what"] for row in treatment.filled("test", "what") if "result" not in row]
    if left:
        yield Text(f"No result entered: {'; '.join(left)}.")


def materials(treatment: Treatment) -> Iterator[Passage]:
    """Yield every material, thread among them, and every adhesive, with lot or delivery."""
    used = [{"lot": NOT_ENTERED, **row} for row in treatment.filled("material", "name")]
    yield from table(used, {"name": "material", "lot": "lot", "used_for": "used for"})
    mixed = [
        {"recipe": NOT_ENTERED, "lot": NOT_ENTERED, **row}
        for row in treatment.filled("adhesive", "name")
    ]
    yield from table(mixed, {"name": "adhesive", "recipe": "recipe", "lot": "lot"})


def evidence(treatment: Treatment) -> Iterator[Passage]:
    """Yield what became of the evidence on the book."""
    columns = {"what": "evidence", "fate": "now", "note": "where, how"}
    yield from table(treatment.filled("evidence", "fate"), columns)
    open_rows = [row["what"] for row in treatment.filled("evidence", "what") if "fate" not in row]
    if open_rows:
        yield Text(f"Not entered: {'; '.join(open_rows)}.")


def holes(kept: KeptPattern) -> Iterator[Passage]:
    """Yield the new holes through the folds, height by height from the head."""
    places: dict[float, set[int]] = {}
    for stitch in kept.stitches:
        for height in (stitch.from_mm, stitch.to_mm):
            places.setdefault(round(height, 1), set()).add(stitch.gathering)
    if not places:
        yield from _by_strips(kept)
        return
    yield Text(
        f"The new sewing adds {len(kept.stitches)} stitches, two holes each, through the folds; "
        "heights from the head of the text block, along the fold."
    )
    rows = tuple(
        (f"{height:.1f}", runs(sorted(found)), str(len(found)))
        for height, found in sorted(places.items())
    )
    yield Table(("height, mm", "gatherings", "holes"), rows)


def _by_strips(kept: KeptPattern) -> Iterator[Passage]:
    """Yield the holes of what is laced or sewn on without stitches of its own, strip by strip."""
    new = {name for name in kept.structures if _pierces_only_new(name)}
    rows = tuple(
        (words(piece.name), ", ".join(sorted({f"{y:.1f}" for _, y in piece.holes_mm}, key=float)))
        for piece in kept.pieces
        if piece.holes_mm and not new.issuperset(piece.structures)
    )
    if rows:
        yield Text("New holes, by the strip that they are marked or sewn by.")
        yield Table(("strip", "height of its holes below its head, mm"), rows)


def _pierces_only_new(structure: str) -> bool:
    """Tell whether a structure is sewn through folds that it brings itself."""
    try:
        return catalogue.find(structure).sewn == "new folds"
    except MendfoldError:
        return False


def photographs(treatment: Treatment) -> Iterator[Photograph]:
    """Yield every photograph, before, during and after, each in the order it was entered."""
    order = {when: place for place, when in enumerate(WHEN)}
    rows = sorted(
        treatment.filled("photograph", "file"),
        key=lambda row: order.get(row.get("when", ""), len(order)),
    )
    for row in rows:
        told = caption(row["file"], row.get("when", ""), row.get("shows", ""))
        yield Photograph(row["file"], told)
