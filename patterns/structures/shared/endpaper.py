"""A new endpaper as a piece: a folio, drawn unfolded with its outer faces up.

The leaf at the left goes onto the board, the other one lies on the block. Hooked, its folded edge is
wider by the hook and goes round the outermost gathering, so that each leaf is cut wider by it.
"""

from __future__ import annotations

from typing import Literal

from patterns.book.answer import certain
from patterns.book.book import Book
from patterns.model.drawing import Ring
from patterns.model.piece import Dimension, Fold, Label, Piece, Zone
from patterns.sewing.lining import PASTE

Joined = Literal["tipped", "hooked", "sewn"]


def folio(
    book: Book, structure: str, joined: Joined, hook_mm: float, tip_mm: float, larger_mm: float
) -> Piece:
    """Draw one folio, its outer faces up: paste-down at the left, the leaf on the block at the right."""
    paper = book.material("endpaper")
    leaf, height = certain(book.width_mm, "text_block.width"), book.height_mm
    hook = hook_mm if joined == "hooked" else 0.0
    width, more = 2 * (leaf + hook), larger_mm
    middle = leaf + hook

    def band(near: float, far: float, out: float = 0.0) -> Ring:
        return ((near, -out), (far, -out), (far, height + out), (near, height + out))

    folds = [Fold("mountain", ((middle, 0.0), (middle, height)), "fold")]
    folds += [
        Fold("valley", ((x, 0.0), (x, height)), "hook")
        for x in ((leaf, middle + hook) if hook else ())
    ]
    zones = [
        Zone(
            "pasted",
            "up",
            "inner face of the board",
            band(0.0, leaf),
            PASTE,
            "the paste-down",
            "cover",
        ),
        Zone("free", "under", "seen when the board is open", band(0.0, leaf), words="no paste"),
    ]
    if joined == "tipped":
        tip = band(middle, middle + tip_mm)
        zones.append(
            Zone("pasted", "up", "outermost leaf of the block", tip, PASTE, "tipped on", "leaf")
        )
    elif hook:
        ring = band(middle, middle + hook)
        fold = "inner fold of the outermost gathering"
        zones.append(Zone("pasted", "up", fold, ring, PASTE, on="leaf"))
    return Piece(
        name="endpaper",
        title=f"endpaper, {joined}",
        structure=structure,
        material=paper.name,
        thickness_mm=paper.thickness_mm,
        outline=band(0.0, width),
        rough=band(-more, width + more, more) if more else (),
        grain="head-tail",
        grain_reason="grain head to tail, as the leaves should lie: it bends easily at the joint",
        quantity=2,
        folds=tuple(folds),
        zones=tuple(zones),
        dimensions=(
            Dimension((0.0, 0.0), (leaf, 0.0), "head"),
            *((Dimension((leaf, 0.0), (middle, 0.0), "head"),) if hook else ()),
            Dimension((0.0, 0.0), (width, 0.0), "head", 1),
            Dimension((0.0, 0.0), (0.0, height), "left"),
        ),
        labels=(
            Label((leaf / 2, height / 2), "onto the board", "note"),
            Label((width - leaf / 2, height / 2), "on the block", "note"),
        ),
        left="FORE EDGE",
        right="FORE EDGE",
        face_up="outer faces up: they meet board and block",
        tolerance_mm=book.reading.value,
        notes=("one for each board; trimmed level with the leaves when it is on the block",),
    )
