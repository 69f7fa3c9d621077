"""The boards of the book as layers of the section, where cloth is pasted to their inner faces."""

from __future__ import annotations

from patterns.book.boards import Board, Which
from patterns.book.book import Book
from patterns.model.part import Layer


def at_right(book: Book, which: Which) -> bool:
    """Tell whether a board lies at the right of a section seen from the head, spine up."""
    return (which == "front") == book.left_to_right


def board_layer(book: Book, board: Board, half_mm: float, least_mm: float) -> Layer:
    """Return a board as it is, beyond half the girth and its gap; `least_mm` wide where its width is not measured."""
    edge = half_mm + board.gap_mm
    wide = least_mm if board.width_mm is None else board.width_mm
    near, far = (edge, edge + wide) if at_right(book, board.side) else (-edge - wide, -edge)
    return Layer(
        f"{board.side} board",
        "",
        board.thickness_mm,
        near,
        far,
        "pasted",
        "pasted",
        on_spine=False,
        existing=True,
        beyond="board",
    )
