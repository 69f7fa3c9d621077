"""Which parts are pasted, sewn or left free, read from a pattern, and a picture of it.

The three are told apart without colour: pasted is a hatched band, sewn a row of heavy stitches,
free an empty gap.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from patterns.errors import MendfoldError, plain
from patterns.model.capitals import BODY
from patterns.model.drawing import Circle, Drawing, Line, LineKind, Mark, Words
from patterns.model.kept import KeptPattern, KeptPiece
from patterns.sheets.flow import fit
from patterns.sketch.hatching import paste
from patterns.sketch.marks import moved
from patterns.structures import catalogue

Meeting = Literal["pasted", "sewn", "free"]
ROW_MM = 11.0
BOX_MM = 62.0
_LETTERED = re.compile(r"(.+) [A-Z]\d*")


@dataclass(frozen=True, slots=True)
class Join:
    """Two parts and how they meet; `note` names the adhesive, or the stitches."""

    piece: str
    to: str
    made: Meeting
    note: str = ""
    structure: str = ""
    covers: bool = False
    """It hides a part of the book as it is."""

    @property
    def part(self) -> str:
        """The piece with its structure: strip, hollow tube."""
        return ", ".join(filter(None, (self.piece, self.structure)))


def joins(kept: KeptPattern) -> list[Join]:
    """Return every union of a pattern's pieces, each once, in the order of the pieces.

    Pieces that differ by their letter alone are told together: guards A to E, album guards. What is
    left free for no neighbour that anyone named is none.
    """
    stems = _stems(kept)
    found: dict[tuple[str, str, Meeting], list[KeptPiece]] = {}
    first: dict[tuple[str, str, Meeting], Join] = {}
    for piece in kept.pieces:
        for join in (*_pasted(piece), *_sewn(piece)):
            key = (stems.get(piece.name, piece.name), join.to, join.made)
            found.setdefault(key, []).append(piece)
            first.setdefault(key, join)
    told = [replace(first[key], piece=_together(key[0], pieces)) for key, pieces in found.items()]
    return [*told, *_folded(kept)]


def _pasted(piece: KeptPiece) -> Iterator[Join]:
    """Yield what zones say; where an old document does not tell what is covered, all that is pasted may be."""
    for zone in piece.zones:
        if zone.to or zone.kind == "pasted":
            covers = zone.kind == "pasted" and bool(zone.covers)
            to = plain(zone.to) or "its neighbour"
            yield Join(piece.name, to, zone.kind, plain(zone.adhesive), _structure(piece), covers)


def _sewn(piece: KeptPiece) -> Iterator[Join]:
    if piece.holes_mm and piece.stock and any(map(_sewn_through, piece.structures)):
        holes = f"{len(piece.holes_mm)} holes"
        yield Join(piece.name, "folds of the gatherings", "sewn", holes, _structure(piece))


def _folded(kept: KeptPattern) -> Iterator[Join]:
    """Yield the sewing of new folds to each other, which goes through no piece's own holes."""
    for name in kept.structures:
        if _sewn_through(name) == "new folds":
            roles = kept.materials.get(name, {}).values()
            threads = ", ".join(plain(one.name) for one in roles if one.kind == "thread")
            yield Join("folds of the sections", "each other", "sewn", threads, words(name))


def _sewn_through(structure: str) -> str:
    """Return what a structure is sewn through; "" where nothing, or where it is not known today."""
    try:
        return catalogue.find(structure).sewn
    except MendfoldError:
        return ""


def _stems(kept: KeptPattern) -> dict[str, str]:
    """Return, by the names of pieces that differ by their letter alone, what they are called without it."""
    lettered = [m for m in (_LETTERED.fullmatch(piece.name) for piece in kept.pieces) if m]
    counted = Counter(one[1] for one in lettered)
    return {one[0]: one[1] for one in lettered if counted[one[1]] > 1}


def _together(stem: str, pieces: Sequence[KeptPiece]) -> str:
    """Return what pieces are called together: strip; strips A to J."""
    letters = list(dict.fromkeys(piece.name.removeprefix(stem).strip() for piece in pieces))
    name = stem
    if len(letters) > 1:
        name = f"{stem}s {letters[0]} to {letters[-1]}"
    elif letters[0]:
        name = f"{stem} {letters[0]}"
    return words(name)


def _structure(piece: KeptPiece) -> str:
    return words(piece.structures[0]) if piece.structures else ""


def words(name: str) -> str:
    """Return a name of the program's own as words."""
    return plain(name).replace("_", " ")


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
