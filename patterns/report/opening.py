"""The book in words: what it is, how it was treated, in what condition it came."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from patterns.book.condition import met
from patterns.errors import plain
from patterns.gallery.changes import measured, said, with_unit
from patterns.model.kept import KeptPattern
from patterns.record.record import Record, UnionTable
from patterns.report.blocks import Passage, Table, Text
from patterns.report.treatment import Treatment
from patterns.report.unions import words

NBSP = "\u00a0"
BOUND = {
    "in-boards": "bound in boards",
    "case": "in a case",
    "limp": "in a limp cover",
    "wrapper": "in a wrapper",
    "wooden boards": "bound in wooden boards",
}
PAPER = {
    "strong": "strong at the folds",
    "fair": "fair at the folds",
    "weak": "weak at the folds",
    "brittle": "brittle at the folds",
}


def opening(record: Record, kept: KeptPattern, treatment: Treatment, with_owner: bool) -> str:
    """Return the paragraph that a report begins with: the book, and who treated it when."""
    sentences = [_book(record)]
    if record.book.note:
        sentences.append(plain(record.book.note))
    if with_owner and record.book.owner:
        sentences.append(f"It belongs to: {plain(record.book.owner)}")
    if record.measuring.on:
        by = f" by {plain(record.measuring.by)}" if record.measuring.by else ""
        sentences.append(f"Measured {record.measuring.on}{by}")
    sentences.append(_treated(kept, treatment))
    return " ".join(_stopped(one) for one in sentences if one)


def _stopped(sentence: str) -> str:
    return sentence if sentence.endswith((".", "!", "?")) else f"{sentence}."


def _book(record: Record) -> str:
    block, cover = record.text_block, record.cover
    kind = words(record.book.format or "book")
    parts = [f"{'An' if kind[0] in 'aeiou' else 'A'} {kind}"]
    if bound := BOUND.get(cover.kind or ""):
        parts[0] += f" {bound}"
    leaves = record.album.leaves or block.leaves
    if leaves:
        parts.append(f"{leaves} leaves")
    sizes = [said(one) for one in (block.height, block.width, block.thickness) if one is not None]
    if len(sizes) == 3:
        size = f"{NBSP}×{NBSP}".join(sizes)
        parts.append(f"its text block {size}{NBSP}mm (height, width, thickness)")
    if record.book.weight is not None:
        parts.append(f"{said(record.book.weight)}{NBSP}kg")
    return ", ".join(parts)


def _treated(kept: KeptPattern, treatment: Treatment) -> str:
    head = treatment.head
    span = " to ".join(head[key] for key in ("begun", "ended") if key in head)
    by = f"by {head['by']}" if "by" in head else ""
    made = listed([words(name) for name in kept.structures])
    if not (span or by):
        return f"Proposed: {made}"
    told = " ".join(filter(None, ("Treated", span, by)))
    return f"{_stopped(told)} Made: {made}"


def listed(names: Sequence[str]) -> str:
    """Return names as a list in a sentence.

    >>> listed(["tube", "inlay", "lining"])
    'tube, inlay and lining'
    """
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def condition(record: Record) -> Iterator[Passage]:
    """Yield the condition as the book came, in sentences: paper, hazards, how its parts hold."""
    held = record.condition
    hazards = [one.title for one in met(held)]
    sentences = [f"The paper is {PAPER[held.paper]}"] if held.paper in PAPER else []
    if held.leather == "sound":
        sentences.append("The leather is sound")
    if hazards:
        sentences.append(f"Noted: {'; '.join(one[0].lower() + one[1:] for one in hazards)}")
    sentences += [_union(one) for one in record.unions]
    if sentences:
        yield Text(" ".join(_stopped(one) for one in sentences))


def _union(union: UnionTable) -> str:
    """Say of one join how it is made and how it holds.

    >>> _union(UnionTable(("leaves", "stubs"), True, "pasted", "failed"))
    'The join of leaves and stubs, which moves in use, is pasted and has failed'
    """
    moves = {True: ", which moves in use,", False: ", which does not move,", None: ""}[union.moves]
    made = f"is {union.made}" if union.made else ""
    state = {"sound": "is sound", "weak": "is weak", "failed": "has failed"}.get(union.state or "")
    told = " and ".join(filter(None, (made, state))) or "is recorded"
    return f"The join of {' and '.join(map(plain, union.between))}{moves} {told}".replace(
        "is pasted and is", "is pasted and"
    ).replace("is sewn and is", "is sewn and")


def measurements(record: Record) -> Iterator[Passage]:
    """Yield the measurements, one row for each part of the book."""
    rows = []
    for part, given in groupby(_measured(record), key=lambda one: one[0]):
        rows.append((part, "; ".join(f"{name} {value}".strip() for _, name, value in given)))
    if rows:
        yield Table(("part of the book", "as measured"), tuple(rows))


def _measured(record: Record) -> Iterable[tuple[str, str, str]]:
    for name, value in measured(record):
        table, _, field = name.partition(".")
        if table in ("condition", "measuring"):
            continue
        if name in ("book.id", "book.title", "book.note"):
            continue
        told = with_unit(name, value).replace(" ", NBSP, 1) if " " in said(value) + " " else ""
        yield words(table), words(field.replace(".", " ")), told or with_unit(name, value)
