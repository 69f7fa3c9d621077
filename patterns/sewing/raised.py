"""Raised bands beneath a cloth that goes over the whole spine: where they lie, and the way over them."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from shapely import LineString, Polygon

from patterns.book.book import Book
from patterns.model.drawing import Point, Ring
from patterns.model.piece import Piece
from patterns.units import tenth

Setbacks = tuple[float, float]
"""How far a piece stops short of head and tail, in mm."""
NARROW_MM = 1.0
"""A piece no wider than the spine by this has no flanges."""


def over_bands(book: Book, setbacks: Setbacks) -> tuple[str, ...]:
    """Say what cloth and tissue are drawn for where raised supports lie beneath them."""
    crossed = _crossed(book, setbacks)
    if not crossed:
        return ()
    more = book.old_sewing.over_mm(len(crossed))
    needs = (
        "is cut higher: measure how high they are (sewing.support_height)"
        if more is None
        else f"is cut {tenth(more)} mm higher"
    )
    return (
        f"the cloth and its tissue are drawn for the spine between {_counted(crossed)}: cut a window for each, "
        f"as drawn; laid over them instead, each {needs}",
    )


def marked(piece: Piece, book: Book, setbacks: Setbacks, spine: Ring) -> Piece:
    """Return a piece with the edges of the raised supports that lie beneath its part over the spine.

    What is to be done about them stands with it, with its height were it laid over them.
    """
    crossed = _crossed(book, setbacks)
    if not crossed:
        return piece
    half = book.old_sewing.support_width_mm / 2
    edges = (at + side * half - setbacks[0] for at in crossed for side in (-1, 1))
    lines = (_across(spine, y) for y in edges)
    more = book.old_sewing.over_mm(len(crossed))
    high = piece.height_mm
    flanged = piece.width_mm > max(x for x, _ in spine) - min(x for x, _ in spine) + NARROW_MM
    instead = (
        "Laid over them instead it must be higher: measure how high they are (sewing.support_height)."
        if more is None
        else f"Laid over them instead it takes {tenth(more)} mm more: cut it {tenth(high + more)} mm high"
        + (f", and trim its flanges to {tenth(high)}." if flanged else ".")
    )
    return replace(
        piece,
        references=(*piece.references, *(line for line in lines if line)),
        heed=f"Cut a window for {_counted(crossed, 'each of ')}, between the thin lines across. {instead}",
    )


def _crossed(book: Book, setbacks: Setbacks) -> list[float]:
    """Return the heights of the raised supports beneath a piece; none for supports that lie flat."""
    if book.supports != "raised":
        return []
    top, bottom = setbacks[0], book.height_mm - setbacks[1]
    return [y for y in book.old_sewing.supports_mm if top < y < bottom]


def _counted(crossed: list[float], each: str = "") -> str:
    """Say which raised supports are meant."""
    if len(crossed) == 1:
        return "the raised support"
    return f"{each}the {len(crossed)} raised supports"


def _across(spine: Ring, y: float) -> tuple[Point, ...]:
    """Return the line across a shape at a height; nothing where it lies beyond it."""
    shape: Any = Polygon(spine)
    left, _, right, _ = shape.bounds
    line: Any = LineString([(left - 1, y), (right + 1, y)]).intersection(shape)
    return () if line.is_empty else tuple((float(a), float(b)) for a, b in line.coords)
