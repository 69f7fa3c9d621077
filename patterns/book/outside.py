"""The closed book over everything that stands out: what a wrapper or box is made to.

Read between two set squares (`book.outside`) it is certain. Else it is put together from board sizes and
from what stands out furthest at spine and fore edge, each figure with the doubt of its readings.
"""

from __future__ import annotations

from dataclasses import dataclass

from patterns.book import boards, cover, spine
from patterns.book.answer import Answer, certain
from patterns.book.boards import SIDES, Which
from patterns.formulas import geometry
from patterns.record.record import Record

TOGETHER = "put together from boards, covering and block"


@dataclass(frozen=True, slots=True)
class Outside:
    """Three lengths of the closed book in mm, and how far each may be out."""

    length: Answer
    """Head to tail."""
    width: Answer
    """Spine to fore edge."""
    thickness: Answer
    doubts_mm: tuple[float, float, float]

    @property
    def greatest_mm(self) -> tuple[float, float, float]:
        """The most that each length may be."""
        found = (self.length.value, self.width.value, self.thickness.value)
        length, width, thick = (mm + doubt for mm, doubt in zip(found, self.doubts_mm, strict=True))
        return length, width, thick


def outside(record: Record) -> Outside:
    """Return the outside of the closed book: as measured, else as its parts add up.

    Raises RecordError where neither is known.
    """
    read = record.book.outside
    if read is not None:
        length, width, thick = (Answer(mm, "measured", "measured") for mm in read)
        return Outside(length, width, thick, (0.0, 0.0, 0.0))
    error, caliper = spine.reading(record).value, spine.caliper(record).value
    skin = cover.thickness(record).value
    reach, readings = _width(record)
    found = (_length(record) + 2 * skin, reach + skin, _thickness(record) + 2 * skin)
    doubts = (error + 2 * caliper, readings * error + caliper, error + 4 * caliper)
    length, wide, thick = (Answer(mm, "estimated", TOGETHER) for mm in found)
    return Outside(length, wide, thick, doubts)


def _length(record: Record) -> float:
    known = [_either(record, side, "board_height", "side_height") for side in SIDES]
    return max(known)


def _width(record: Record) -> tuple[float, int]:
    """Return spine to fore edge without the covering there, and how many readings it rests on."""
    reach = max(
        boards.gap(record, side).value + _either(record, side, "board_width", "side_width")
        for side in SIDES
    )
    leaves = record.text_block.width
    read = record.spine.round_depth
    depth = _depth(record) if read is None else read
    out = max(depth, 0.0) + spine.linings(record).value + cover.thickness(record).value
    furthest = max(mm for mm in (reach, leaves) if mm is not None)
    return furthest + out, 2 if read is None else 3


def _depth(record: Record) -> float:
    """Return how far a spine of which the round was not read stands out: by its girth, else flat."""
    shape = spine.measure(record)
    return geometry.depth_mm(shape.chord_mm, shape.turn_deg)


def _thickness(record: Record) -> float:
    """Return the thicker of spine and fore edge, with both boards where there are any."""
    block = record.text_block
    leaves = certain(block.thickness, "book.outside|text_block.thickness")
    thickest = max(mm for mm in (leaves, block.thickness_fore_edge) if mm is not None)
    limp = boards.limp(record)
    own = 0.0 if limp else sum(_board(record, side) for side in SIDES)
    return max(thickest + own, spine.chord_mm(record))


def _board(record: Record, side: Which) -> float:
    return certain(boards.thickness_mm(record, side), f"book.outside|cover.{side}.board_thickness")


def _either(record: Record, side: Which, board: str, limp: str) -> float:
    own = record.cover.side(side)
    keys = (limp, board) if boards.limp(record) else (board, limp)
    known = [mm for key in keys if (mm := getattr(own, key)) is not None]
    first: float | None = known[0] if known else None
    return certain(first, f"book.outside|cover.{side}.{keys[0]}")
