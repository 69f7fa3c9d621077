"""The first lining of a spine: tissue pasted to the folds, so that what lies on it comes off again."""

from __future__ import annotations

from dataclasses import replace

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.book.results import LiningResult
from patterns.model.piece import Piece, Zone
from patterns.sewing import lining, raised
from patterns.sewing.lining import Flange


def first_lining(book: Book, structure: str, setbacks: tuple[float, float]) -> Piece:
    """Cut the tissue a(u, t) wide, tip to tip of the shoulders, H − setbacks high, tapered as the spine."""
    tissue = book.material("tissue")
    none = {side: Flange(0.0, 0.0, "", 1) for side in SIDES}
    tissue_book = replace(book, materials={**book.materials, "cloth": tissue.figures})
    onto = "folds of the spine" if book.result(LiningResult) is None else "spine lining"
    piece = lining.cut(tissue_book, structure, none, setbacks, spine_to=onto).piece
    plain = replace(
        piece,
        name="first lining",
        title="first lining, tissue",
        material=tissue.name,
        grain="head-tail",
        grain_reason="grain head to tail, as linings lie (Roberts & Etherington)",
        zones=(Zone("pasted", "under", onto, piece.outline, lining.PASTE, on="spine"),),
        references=(),
        labels=(),
        notes=(),
        heed="",
        left=book.edge_words[0],
        right=book.edge_words[1],
    )
    return raised.marked(plain, book, setbacks, piece.outline)
