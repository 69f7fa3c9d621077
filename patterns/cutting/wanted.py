"""What is to be cut: the pieces of patterns that come from stock, with their grain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from patterns.errors import MaterialError
from patterns.model.drawing import Ring
from patterns.model.kept import KeptPattern, KeptPiece

Axis = Literal["x", "y"]
TORN_GAP_MM = 10.0
"""Between pieces of tissue, whose edges are torn (practice)."""
MOST_PIECES = 5000
SELVEDGE_MM = 10.0
"""What a cloth keeps off the sides of its roll (practice)."""
_ALONG: Mapping[str, Axis] = {
    "head-tail": "y",
    "warp head-tail": "y",
    "spine-fore edge": "x",
    "warp spine-fore edge": "x",
}


@dataclass(frozen=True, slots=True)
class StockPiece:
    """Pieces that are alike, `count` of them; sizes and outline in mm, the outline from (0, 0).

    `along` is the axis its grain runs along; a piece that takes any has none. `pattern` names the
    pattern it belongs to.
    """

    pattern: str
    name: str
    material: str
    kind: str
    outline: Ring
    along: Axis | None
    count: int

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width (x) and height (y) of the rectangle about it."""
        return max(x for x, _ in self.outline), max(y for _, y in self.outline)

    @property
    def lain_mm(self) -> tuple[float, float]:
        """Its size across the grain and along it."""
        width, height = self.size_mm
        return (height, width) if self.along == "x" else (width, height)

    def gap_mm(self, asked: float) -> float:
        """Return what it keeps off its neighbours: a torn tissue more than is asked for."""
        return max(asked, TORN_GAP_MM) if self.kind == "tissue" and asked else asked


def wanted(patterns: Sequence[tuple[str, KeptPattern]]) -> tuple[StockPiece, ...]:
    """Return every piece to be cut from stock, by its pattern's name, in the patterns' order.

    Raises MaterialError for more pieces than one plan is made for.
    """
    found = tuple(
        _wanted(name, pattern, piece, _named(pattern, piece))
        for name, pattern in patterns
        for piece in pattern.pieces
        if piece.stock and piece.material and piece.quantity > 0 and len(piece.outline_mm) > 2
    )
    if (count := sum(one.count for one in found)) > MOST_PIECES:
        most = max(found, key=lambda one: one.count)
        raise MaterialError(
            f"{count} pieces are asked for, {most.count} of them {most.pattern}, {most.name}; "
            f"allowed: up to {MOST_PIECES} in one plan. Plan fewer patterns at once"
        )
    return found


def _named(pattern: KeptPattern, piece: KeptPiece) -> str:
    """Return a piece's name; where another structure of its pattern has one so called, with its own."""
    others = [one for one in pattern.pieces if one.name == piece.name and one is not piece]
    if not others or not piece.structures:
        return piece.name
    return f"{piece.name}, {piece.structures[-1].replace('_', ' ')}"


def _wanted(name: str, pattern: KeptPattern, piece: KeptPiece, named: str) -> StockPiece:
    outline = piece.cut_first_mm or piece.outline_mm
    left, top = min(x for x, _ in outline), min(y for _, y in outline)
    kinds = {one.name: one.kind for roles in pattern.materials.values() for one in roles.values()}
    return StockPiece(
        pattern=name,
        name=named,
        material=piece.material,
        kind=kinds.get(piece.material, ""),
        outline=tuple((x - left, y - top) for x, y in outline),
        along=_ALONG.get(piece.grain),
        count=piece.quantity,
    )
