"""The leaves and gatherings of the text block."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from patterns.book.answer import Answer, certain, recorded
from patterns.record.record import Record


class Gatherings(NamedTuple):
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


def leaves_by_gatherings(record: Record) -> int | None:
    """Return the leaves by the gatherings, irregular ones at their own number of folios."""
    block = record.text_block
    if block.gatherings is None or block.leaves_per_gathering is None:
        return None
    usual = block.leaves_per_gathering
    odd = sum(2 * f.folios - usual for f in record.sewing.fold if f.folios is not None)
    return block.gatherings * usual + odd


def leaves_spare(in_gatherings: int, in_each: int) -> float:
    """Return how many leaves more or fewer than in the gatherings may be tipped in or lost: one gathering, or 5 %."""
    return max(in_each, 0.05 * in_gatherings)


def leaves_doubt(record: Record) -> str:
    """Say that leaves and gatherings do not agree; "" where they do or are not known."""
    block, sewn = record.text_block, leaves_by_gatherings(record)
    if block.leaves is None or sewn is None or block.leaves_per_gathering is None:
        return ""
    if abs(block.leaves - sewn) <= leaves_spare(sewn, block.leaves_per_gathering):
        return ""
    return (
        f"{block.leaves} leaves were counted, {block.gatherings} gatherings of {block.leaves_per_gathering} make {sewn}: "
        "count both again before anything is pricked by these sheets"
    )


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
