"""How large the words of finished sheets are: read back from the PDF by a reader of its own."""

from __future__ import annotations

import io
from functools import cache

import numpy as np
import pypdf
import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.drafting.making import make
from patterns.model.capitals import BODY, SCALE, SMALL
from patterns.sheets import piece_words
from tests.books import changed, drafted
from tests.readers import pdf_labels, pdf_shapes
from tests.shapes import Label

ORDERS = {f"{o.record.book.id}-{o.structures[-1]}": o for o in orders()}
FRAME_MM = 0.5
"""Pen of the rules that part title block and column from the rest."""
H_EM = 0.656
"""Height of the H of Source Sans Regular as a share of the type size, measured on its outline."""


@cache
def pages(name: str) -> list[tuple[tuple[Label, ...], list[float], list[float]]]:
    """Return for each page its words, the heights of its level frame rules, the places of upright ones."""
    pdf = make(draft(ORDERS[name])).files["sheets.pdf"]
    found = []
    for number in range(len(pypdf.PdfReader(io.BytesIO(pdf)).pages)):
        rules = [s for s in pdf_shapes(pdf, number) if abs(s.width_mm - FRAME_MM) < 0.01]
        level = [s.box[1] for s in rules if s.box[2] - s.box[0] > 60 > s.box[3] - s.box[1]]
        upright = [s.box[0] for s in rules if s.box[3] - s.box[1] > 60 > s.box[2] - s.box[0]]
        found.append((pdf_labels(pdf, number), level, upright))
    return found


@pytest.mark.parametrize("name", ORDERS)
def test_every_word_has_a_height_of_the_scale(name: str) -> None:
    for labels, _, _ in pages(name):
        for label in labels:
            assert any(label.size_mm * H_EM == pytest.approx(cap, rel=0.02) for cap in SCALE), label


@pytest.mark.parametrize("name", ORDERS)
def test_nothing_read_at_the_bench_is_smaller_than_the_body(name: str) -> None:
    """Smaller words stand beyond a frame rule, in title block, legend and key map, and nowhere else."""
    small = 0
    for labels, level, upright in pages(name):
        for label in labels:
            if label.size_mm * H_EM > BODY * 0.98:
                continue
            small += 1
            assert label.size_mm * H_EM > SMALL * 0.98
            x, y = label.at
            assert y > max(level, default=1e9) or x > max(upright, default=1e9), label
    assert small  # title blocks there are: the test reads what it judges


def test_the_word_of_an_edge_stays_in_its_own_half_of_a_narrow_piece() -> None:
    """A cloth of 17 mm full of holes: FRONT and BACK stood one above the other, both left of its middle."""
    record = changed(
        "almanac",
        text_block={"thickness": 17.0, "gatherings": 14, "leaves": 112},
        spine={"girth_head": 17.9, "girth_tail": 18.3},
        cover={"spine_width": 20.0},
    )
    (part,) = drafted(record, "tissue_hinge").pattern.parts
    cloth = next(piece for piece in part.pieces if piece.name == "lining cloth")
    left, _, right, _ = cloth.bounds
    for text, inward in ((cloth.left, 1), (cloth.right, -1)):
        (wanted,) = [one for one in piece_words.batches(cloth)[0] if one.text == text]
        middles = np.array([(place.sides[0] + place.sides[2]) / 2 for place in wanted.slots])
        assert len(middles) > 0
        edge = left if inward == 1 else right
        assert (inward * (middles - edge) < (right - left) / 2).all()
