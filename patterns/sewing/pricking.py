"""Pricking: every hole as a guide on the lining, and the folded strips that carry the heights."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from patterns.book.book import Book
from patterns.formulas import geometry
from patterns.model.capitals import BODY, LETTER
from patterns.model.drawing import Mark, Point, Words
from patterns.model.piece import Dimension, Fold, Hole, Piece
from patterns.sewing.lining import Cloth
from patterns.sewing.numbers import numbers
from patterns.sewing.sewn import Sewn
from patterns.units import tenth

STRIP_MM = 40.0
"""Width of a pricking strip before folding."""
CORNER_MM = 8.0
ROW_MM = 3.7
"""From line to line of the words at the holes: a little more than letters reach up and down."""


def guide_holes(book: Book, cloth: Cloth, sewn: Sewn, setback_head: float) -> tuple[Hole, ...]:
    """Return every hole on the lining; x shows the gathering's place, y is what counts."""
    holes = []
    for gathering in sorted(sewn.arrangement.centres_mm):
        share = (gathering - 0.5) / sewn.total
        along = 1 - share if book.left_to_right else share
        for y in (y for pair in sewn.holes(gathering) for y in pair):
            ends = cloth.spine_head_mm, cloth.spine_tail_mm
            x, down = geometry.tapered_point(*ends, cloth.height_mm, along, y - setback_head)
            holes.append(Hole((cloth.left_mm + max(ends) / 2 + x, down), radius=0.6))
    return tuple(holes)


def pricking_strips(book: Book, sewn: Sewn, structure: str) -> tuple[Piece, ...]:
    """Return one folded strip a class, its new holes numbered in the needle's order."""
    served: dict[str, list[int]] = {}
    for gathering, letter in sorted(sewn.strip_letters.items()):
        served.setdefault(letter, []).append(gathering)
    return tuple(
        _strip(book, sewn, structure, letter, found) for letter, found in sorted(served.items())
    )


def _strip(
    book: Book,
    sewn: Sewn,
    structure: str,
    letter: str,
    served: list[int],
) -> Piece:
    fold, height, path = STRIP_MM / 2, book.height_mm, sewn.path
    front_left = book.left_to_right
    own = sewn.own_holes.get(served[0])
    old = own if own is not None else book.old_sewing.holes_mm
    register = old[0] if old else None
    heights = [y for pair in sewn.holes(served[0]) for y in pair]
    new = tuple(Hole((fold, y)) for y in heights)
    kept = tuple(Hole((fold, y), old=True, radius=1.0) for y in old)
    right = STRIP_MM
    stops = [0.0, *heights, height]
    return Piece(
        name=f"pricking strip {letter}",
        title=f"pricking strip {letter}",
        structure=structure,
        material="card or stiff paper, folded",
        thickness_mm=0.2,
        outline=_cornered(height, front_left),
        grain="head-tail",
        grain_reason="grain head to tail, so that the strip folds true",
        folds=(Fold("valley", ((fold, 0.0), (fold, height)), "fold"),),
        holes=(*new, *kept),
        marks=_words(path, letter, heights, register, front_left),
        dimensions=(
            *(Dimension((right, a), (right, b), "right", 0) for a, b in pairwise(stops)),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
        ),
        left="FRONT" if front_left else "BACK",
        right="BACK" if front_left else "FRONT",
        face_up="seen from inside the fold; the cut corner lies at HEAD and FRONT",
        notes=(
            f"gatherings {numbers(served)}",
            "open circles: old holes, do not pierce; heights in mm at the right of the fold",
            *_ties(path),
            *(
                (f"register on the old hole {tenth(register)} below the head",)
                if register is not None
                else ("no old hole known: register on the head",)
            ),
        ),
        stock=False,
    )


def _ties(path: str) -> tuple[str, ...]:
    return {
        "fold": ("K: square knot with the tail; H: back to this hole, two half hitches",),
        "loops": ("K: square knot with the tail, and the thread is cut",),
    }.get(path, ())


def _words(
    path: str, letter: str, heights: Sequence[float], register: float | None, front_left: bool
) -> tuple[Mark, ...]:
    """Write the strip's letter at its head and, level with each hole, what is done there.

    What the needle does stands at the left of the fold, the height in mm at the right; K is the
    square knot, H the two half hitches. These words have fixed places: nothing may move them.
    """
    fold = STRIP_MM / 2
    shown = [*heights, *([_between(register, heights)] if register is not None else [])]
    marks: list[Mark] = [
        Words(
            (fold + (9.0 if front_left else -9.0), _clear_of(shown)),
            letter,
            LETTER,
            True,
            "middle",
        )
    ]
    rows = [(y, _deed(path, number, len(heights))) for number, y in enumerate(heights, 1)]
    if register is not None:
        rows.append((register, "register"))
    for (y, deed), level in zip(rows, shown, strict=True):
        marks += beside(fold, y, deed, level)
    return tuple(marks)


def _between(register: float, heights: Sequence[float]) -> float:
    """Return the line of the register's words: its height, or the nearest to it that is free of a hole's.

    >>> _between(39.3, (35.8, 60.0)), _between(50.0, (35.8, 60.0))
    (39.5, 50.0)
    """
    lines = [register, *(y + side * ROW_MM for y in heights for side in (1, -1))]
    free = [one for one in lines if all(abs(one - y) > ROW_MM - 1e-6 for y in heights)]
    return min(free, key=lambda one: abs(one - register))


def _clear_of(taken: Sequence[float]) -> float:
    """Return the letter's line, as near the head as no hole's height stands in its way."""
    line = 11.5
    while any(line - LETTER - BODY - 1.0 < y < line + BODY + 2.0 for y in taken):
        line += 1.0
    return line


def beside(x: float, y: float, deed: str, line: float | None = None) -> tuple[Words, Words]:
    """Return a hole's words in their fixed places, or on another line: what is done there, and its height in mm."""
    level = (y if line is None else line) + BODY / 2
    return (
        Words((x - 2.0, level), deed, BODY, anchor="end"),
        Words((x + 2.0, level), tenth(y), BODY),
    )


def _deed(path: str, number: int, count: int) -> str:
    """Say what the needle does at a hole, the knot or hitch that follows in front of it."""
    if path == "continuous":  # sewn from the head and from the tail by turns
        return ""
    words = f"{number} {'out' if number % 2 else 'in'}"
    if number % 2 == 0 and (path == "loops" or number == 2):
        return f"K  {words}"
    if path == "fold" and number == count - 1 and count > 2:
        return f"H  {words}"
    return words


def _cornered(height: float, front_left: bool) -> tuple[Point, ...]:
    c, w = CORNER_MM, STRIP_MM
    if front_left:
        return ((c, 0.0), (w, 0.0), (w, height), (0.0, height), (0.0, c))
    return ((0.0, 0.0), (w - c, 0.0), (w, c), (w, height), (0.0, height))
