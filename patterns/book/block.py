"""The leaves and gatherings of the text block."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from patterns.book.answer import Answer, certain, recorded
from patterns.record.record import Record


@dataclass(frozen=True, slots=True)
class Gatherings:
    """The anchor gatherings, numbered from 1: their folios, and the old holes of irregular ones."""

    total: int
    folios: Mapping[int, int]
    own_holes: Mapping[int, tuple[float, ...]]
    """In mm from the head of the block."""


SWOLLEN_MM, SWOLLEN_SHARE = 2.0, 0.05
"""The fore edge is swollen from the lesser of these on: beyond the spine, as a share of it (practice)."""


def usual_swelling_mm(thickness_mm: float) -> float:
    """Return how much thicker than the spine a fore edge usually may be."""
    return min(SWOLLEN_MM, SWOLLEN_SHARE * thickness_mm)


def swollen_mm(record: Record) -> float:
    """Return how much the fore edge is thicker than the spine, 0 when within what is usual."""
    block = record.text_block
    if block.thickness is None or block.thickness_fore_edge is None:
        return 0.0
    more = block.thickness_fore_edge - block.thickness
    return more if more > usual_swelling_mm(block.thickness) else 0.0


def leaf(record: Record) -> Answer:
    """Return the thickness of one leaf in mm: measured, else thickness ÷ leaves.

    Raises RecordError where neither leaf nor leaves are recorded.
    """
    block = record.text_block
    if block.leaf_thickness is not None:
        return Answer(block.leaf_thickness, "measured", "measured")
    leaves = certain(block.leaves, "text_block.leaf_thickness|text_block.leaves")
    thickness = certain(block.thickness, "text_block.thickness")
    return Answer(thickness / leaves, "estimated", "thickness ÷ leaves")


def folios(record: Record) -> Answer:
    """Return the folios of the usual gathering, at least one."""
    leaves = record.text_block.leaves_per_gathering
    usual = None if leaves is None else max(1, leaves // 2)
    return recorded(usual, 1, "leaves_per_gathering not given: one folio")


def anchors(record: Record) -> tuple[int, int | None]:
    """Return first and last gathering that can hold a sewing; None where the last is not known."""
    block = record.text_block
    first = 1 if block.anchor_first is None else block.anchor_first
    return first, block.anchor_last if block.anchor_last is not None else block.gatherings


def gatherings(record: Record, shift_mm: float) -> Gatherings:
    """Return the anchor gatherings; `shift_mm` is added to recorded heights.

    Raises RecordError where the last gathering is not known.
    """
    first, known = anchors(record)
    total = certain(known, "text_block.gatherings") - first + 1
    numbered = dict.fromkeys(range(1, total + 1), int(folios(record).value))
    odd = record.sewing.fold
    numbered |= {one.gathering: one.folios for one in odd if one.folios is not None}
    holes = {
        one.gathering: tuple(y + shift_mm for y in one.holes)
        for one in odd
        if one.holes is not None
    }
    return Gatherings(total, numbered, holes)
