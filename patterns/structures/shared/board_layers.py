"""The boards of the book as layers of the section."""

from __future__ import annotations

from patterns.book.answer import recorded
from patterns.book.boards import Board, Which
from patterns.book.book import Book
from patterns.model.part import Layer, Union


def own_board(book: Book, side: Which, left_mm: float, right_mm: float, union: Union) -> Layer:
    """Return a board as it is, from so far left to so far right of the middle of the spine.

    One whose thickness was not measured is drawn without any: the table then tells none.
    """
    thick = recorded(book.board_thickness_mm(side), 0.0, "not measured: the table tells none")
    name = f"{side} board"
    return Layer(
        name,
        "",
        thick.value,
        left_mm,
        right_mm,
        union,
        union,
        on_spine=False,
        existing=True,
        beyond="board",
    )


def board_layer(book: Book, board: Board, half_mm: float, least_mm: float) -> Layer:
    """Return a board as it is, beyond half the girth and its gap; `least_mm` wide where its width is not measured."""
    edge = half_mm + board.gap_mm
    wide = least_mm if board.width_mm is None else board.width_mm
    near, far = (edge, edge + wide) if book.at_right(board.side) else (-edge - wide, -edge)
    return own_board(book, board.side, near, far, "pasted")
