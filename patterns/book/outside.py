"""The closed book over everything that stands out: what a wrapper or box is made to.

Read between two set squares (`book.outside`) it is certain. Else it is put together from board sizes and
from what stands out furthest at spine and fore edge, each figure with the doubt of its readings.
"""

from __future__ import annotations

from typing import NamedTuple

from patterns.book import boards, cover, spine
from patterns.book.answer import Answer, certain
from patterns.book.boards import SIDES, Which
from patterns.formulas import geometry
from patterns.record.record import Record

TOGETHER = "put together from boards, covering and block"


class Outside(NamedTuple):
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


class _Sum(NamedTuple):
    """A length put together of readings, and how far all of them may be out, in mm."""

    mm: float
    doubt: float

    @property
    def most(self) -> float:
        return self.mm + self.doubt


def outside(record: Record) -> Outside:
    """Return the outside of the closed book: as measured, else as its parts add up.

    Raises RecordError where neither is known.
    """
    read = record.book.outside
    if read is not None:
        length, width, thick = (Answer(mm, "measured", "measured") for mm in read)
        return Outside(length, width, thick, (0.0, 0.0, 0.0))
    found = tuple(
        _covered(record, bare) for bare in (_length(record), _width(record), _thickness(record))
    )
    length, width, thick = (Answer(one.mm, "estimated", TOGETHER) for one in found)
    doubts = (found[0].doubt, found[1].doubt, found[2].doubt)
    return Outside(length, width, thick, doubts)


def thickest_mm(record: Record) -> float:
    """Return the most that the closed book may be thick, whether or not its other lengths are known.

    Raises RecordError where the thickness is not known.
    """
    read = record.book.outside
    return _covered(record, _thickness(record)).most if read is None else read[2]


def _covered(record: Record, bare: _Sum) -> _Sum:
    """Return a length with the covering at both ends: one reading, wrong at both alike."""
    skin, caliper = cover.thickness(record).value, spine.caliper(record).value
    return _Sum(bare.mm + 2 * skin, bare.doubt + 2 * caliper)


def _length(record: Record) -> _Sum:
    """Return head to tail: the higher side, or both together where their squares differ."""
    error = spine.reading(record).value
    known = [_either(record, side, "board_height", "side_height") for side in SIDES]
    reach = [_Sum(max(known), error)]
    if len({boards.square_head(record, side).value for side in SIDES}) > 1:
        reach.append(_Sum(cover.height(record).value, 3 * error))
    return _furthest(reach)


def _width(record: Record) -> _Sum:
    """Return spine to fore edge: boards or leaves, whichever stand out, the round, its linings, raised bands."""
    error = spine.reading(record).value
    boards_reach = max(
        boards.gap(record, side).value + _either(record, side, "board_width", "side_width")
        for side in SIDES
    )
    reach = [_Sum(boards_reach, 2 * error)]
    if (leaves := record.text_block.width) is not None:
        reach.append(_Sum(leaves, error))
    furthest, depth, linings = _furthest(reach), _depth(record), spine.linings(record).value
    lined = spine.caliper(record).value if linings else 0.0
    bands = _bands(record)
    return _Sum(
        furthest.mm + depth.mm + linings + bands.mm,
        furthest.doubt + depth.doubt + lined + bands.doubt,
    )


def _bands(record: Record) -> _Sum:
    """Return how far raised bands stand out from the spine between them."""
    if record.sewing.supports != "raised":
        return _Sum(0.0, 0.0)
    height = certain(record.sewing.support_height, "book.outside|sewing.support_height")
    return _Sum(height, spine.reading(record).value)


def _furthest(found: list[_Sum]) -> _Sum:
    """Return the longest, with the doubt that covers whichever may turn out to be."""
    longest = max(one.mm for one in found)
    return _Sum(longest, max(one.most for one in found) - longest)


def _depth(record: Record) -> _Sum:
    """Return how far the spine's round stands out: as read, else by its girth, else flat.

    By girth and chord it is the less certain the flatter the spine: both are taken at their worst.
    """
    read, error = record.spine.round_depth, spine.reading(record).value
    if read is not None:
        return _Sum(max(read, 0.0), error)
    shape = spine.measure(record)
    mm = max(geometry.depth_mm(shape.chord_mm, shape.turn_deg), 0.0)
    if not shape.by_strip:
        return _Sum(mm, 0.0)
    girth, chord = max(shape.girth_head_mm, shape.girth_tail_mm) + error, shape.chord_mm - error
    worst = geometry.depth_mm(chord, geometry.turn_from_girth(girth, chord))
    return _Sum(mm, max(worst - mm, 0.0))


def _thickness(record: Record) -> _Sum:
    """Return the thicker of spine and fore edge, with both boards, or with a limp cover's turn-ins.

    These lie between side and leaves, unpared, as thick as the cover; a board's are pared.
    """
    block, limp = record.text_block, boards.limp(record)
    error, caliper = spine.reading(record).value, spine.caliper(record).value
    leaves = certain(block.thickness, "book.outside|text_block.thickness")
    thickest = max(mm for mm in (leaves, block.thickness_fore_edge) if mm is not None)
    own = sum(_turned_in(record, side) if limp else _board(record, side) for side in SIDES)
    shoulders = [boards.shoulder(record, side).value for side in SIDES]
    readings = 1 if record.spine.over_shoulders is not None else 1 + sum(map(bool, shoulders))
    return _furthest(
        [
            _Sum(thickest + own, error + (2 * caliper if own else 0.0)),
            _Sum(spine.chord_mm(record), readings * error),
        ]
    )


def _turned_in(record: Record, side: Which) -> float:
    """Return what a limp side's turn-ins add to the thickness."""
    return cover.thickness(record).value if boards.turn_in(record, side).value > 0 else 0.0


def _board(record: Record, side: Which) -> float:
    return certain(boards.thickness_mm(record, side), f"book.outside|cover.{side}.board_thickness")


def _either(record: Record, side: Which, board: str, limp: str) -> float:
    own = record.cover.side(side)
    keys = (limp, board) if boards.limp(record) else (board, limp)
    known = [mm for key in keys if (mm := getattr(own, key)) is not None]
    first: float | None = known[0] if known else None
    return certain(first, f"book.outside|cover.{side}.{keys[0]}")
