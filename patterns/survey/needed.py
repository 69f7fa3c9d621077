"""What a drafted book takes from stock: pieces and their area by material, thread by its length, adhesives by name."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.drafting.order import Drafted
from patterns.model.part import Part
from patterns.model.piece import Piece

Needed = tuple[str, int, float, float]
"""A material's name, how many pieces of it, their area in m² by the rectangles about them, and metres of thread."""


def needed(drafted: Drafted) -> list[Needed]:
    """Return what a draft needs of each material; what is only brushed on has neither pieces nor length."""
    found: dict[str, Needed] = {}
    for name, count, area, thread in _rows(drafted):
        before = found.get(name, (name, 0, 0.0, 0.0))
        found[name] = (name, before[1] + count, before[2] + area, before[3] + thread)
    return [
        (name, count, round(area, 4), round(thread, 2))
        for name, count, area, thread in found.values()
    ]


def _rows(drafted: Drafted) -> Iterator[Needed]:
    for part in drafted.pattern.parts:
        for piece in part.pieces:
            if piece.stock and piece.material and len(piece.outline) > 2:
                yield piece.material, piece.quantity, piece.quantity * _area_m2(piece), 0.0
            yield from ((zone.adhesive, 0, 0.0, 0.0) for zone in piece.zones if zone.adhesive)
        yield from _thread(part, drafted)


def _thread(part: Part, drafted: Drafted) -> Iterator[Needed]:
    thread = drafted.materials[part.structure].get("thread")
    long_mm = part.thread_mm if part.sewing is None else part.sewing.thread_mm
    if thread is not None and long_mm is not None:
        yield thread.name, 0, 0.0, long_mm / 1000


def _area_m2(piece: Piece) -> float:
    outline = piece.rough or piece.outline
    width = max(x for x, _ in outline) - min(x for x, _ in outline)
    height = max(y for _, y in outline) - min(y for _, y in outline)
    return width * height / 1e6
