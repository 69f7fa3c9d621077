"""Which parts are pasted, sewn or left free, read from a pattern, and a picture of it.

The three are told apart without colour: pasted is a hatched band, sewn a row of heavy stitches,
free an empty gap.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from patterns.errors import plain
from patterns.model.capitals import BODY
from patterns.model.drawing import Circle, Drawing, Line, LineKind, Mark, Words
from patterns.model.kept import KeptPattern, KeptPiece
from patterns.sheets.flow import fit
from patterns.sketch.hatching import paste
from patterns.sketch.marks import moved

Meeting = Literal["pasted", "sewn", "free"]
ROW_MM = 11.0
BOX_MM = 62.0


@dataclass(frozen=True, slots=True)
class Join:
    """Two parts and how they meet; `note` names the adhesive, or the stitches."""

    part: str
    to: str
    made: Meeting
    note: str = ""


def joins(kept: KeptPattern) -> list[Join]:
    """Return every union of a pattern's pieces, each once, in the order of the pieces."""
    found: dict[tuple[str, str, str], Join] = {}
    for piece in kept.pieces:
        name = _part(piece)
        for zone in piece.zones:
            to = plain(zone.to) or "its neighbour"
            join = Join(name, to, zone.kind, plain(zone.adhesive))
            found.setdefault((name, to, zone.kind), join)
        if piece.holes_mm and piece.stock and kept.stitches:
            sewn = Join(name, "folds of the gatherings", "sewn", f"{len(piece.holes_mm)} holes")
            found.setdefault((name, sewn.to, "sewn"), sewn)
    return list(found.values())


def _part(piece: KeptPiece) -> str:
    """Return a piece's name with its structure: strip, hollow tube."""
    words = (piece.name, *piece.structures[:1])
    return ", ".join(plain(word).replace("_", " ") for word in words)


def row_marks(join: Join, width: float) -> tuple[Mark, ...]:
    """Return the marks of one union, ROW_MM high: part, band, partner."""
    top, bottom, middle = 1.0, ROW_MM - 2.0, (ROW_MM - 1.0) / 2
    box = min(BOX_MM, width * 0.38)
    right = width - box
    marks: list[Mark] = []
    for left, words in ((0.0, join.part), (right, join.to)):
        corners = ((left, top), (left + box, top), (left + box, bottom), (left, bottom))
        marks.append(Line(LineKind.OUTLINE, corners, closed=True))
        text = fit(words, BODY, box - 4.0)
        marks.append(Words((left + 2.0, middle + BODY / 2), text, BODY))
    marks += _band(join.made, box, right, middle)
    words = join.made + (f", {join.note}" if join.note else "")
    text = fit(words, 1.8, right - box - 2.0)
    marks.append(Words(((box + right) / 2, bottom + 0.9), text, 1.8, anchor="middle"))
    return tuple(marks)


def _band(made: Meeting, left: float, right: float, middle: float) -> Iterable[Mark]:
    if made == "free":
        return []
    top, bottom = middle - 3.2, middle + 0.6
    if made == "sewn":
        count = max(2, round((right - left) / 7.0))
        step = (right - left) / count
        stitches: list[Mark] = [
            Line(
                LineKind.SEWN_OUTSIDE,
                (
                    (left + (k + 0.22) * step, middle - 1.3),
                    (left + (k + 0.78) * step, middle - 1.3),
                ),
            )
            for k in range(count)
        ]
        ends = [left + (k + share) * step for k in range(count) for share in (0.22, 0.78)]
        return [*stitches, *(Circle(LineKind.HOLE, (x, middle - 1.3), 0.6) for x in ends)]
    edges = [Line(LineKind.REFERENCE, ((left, y), (right, y))) for y in (top, bottom)]
    return [*edges, *paste(left, right, top, bottom, 1.6)]


def picture(found: Sequence[Join], width: float = 180.0) -> Drawing:
    """Return the picture of all unions, not to scale, `width` mm wide."""
    marks: list[Mark] = []
    for number, join in enumerate(found):
        marks += moved(row_marks(join, width - 2.0), 1.0, number * ROW_MM)
    return Drawing(width, max(1, len(found)) * ROW_MM, tuple(marks))
