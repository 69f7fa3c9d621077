"""Two exchanged digits in any governing measurement of a demonstration book are noticed."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import pytest

from patterns.examine.examination import examine
from patterns.record import reading
from tests.examine_books import BOOKS, DEMO, LIBRARY, changed

FIELDS = (
    "text_block.height", "text_block.width", "text_block.thickness", "book.weight",
    "text_block.weight", "text_block.gatherings", "text_block.leaf_thickness",
    "album.leaf_thickness", "spine.girth_head", "spine.girth_tail", "cover.board_height",
    "cover.board_width", "cover.board_thickness", "cover.back.board_thickness",
    "cover.front.board_thickness", "cover.side_height", "cover.side_width", "cover.spine_width",
    "cover.spine_width_head", "cover.spine_width_tail",
)  # fmt: skip


def swaps(value: float) -> Iterator[float]:
    """Yield the value with two of its digits exchanged, where that changes it by over 10 %."""
    text = f"{value:g}"
    places = [place for place, mark in enumerate(text) if mark.isdigit()]
    for one, other in combinations(places, 2):
        marks = list(text)
        marks[one], marks[other] = marks[other], marks[one]
        slip = float("".join(marks))
        if abs(slip / value - 1) > 0.10:
            yield slip


def slips() -> Iterator[tuple[str, str, float]]:
    for path in BOOKS:
        book = reading.load(path)
        for field in FIELDS:
            value = book.get(field)
            for slip in swaps(value) if value else ():
                yield path.name, field, int(slip) if isinstance(value, int) else slip


@pytest.mark.parametrize("path", BOOKS, ids=lambda path: str(path.stem))
def test_a_demonstration_book_has_no_measurement_in_doubt(path: Path) -> None:
    found = examine(reading.load(path), LIBRARY)
    assert [finding.key for finding in found.findings if finding.call == "measure"] == []


def test_there_are_slips_in_every_field_asked_for() -> None:
    """Sizes, weights, counts: none of the fields goes untried over the five books."""
    tried = {field for _, field, _ in slips()}
    assert set(FIELDS) - tried <= {
        "text_block.weight",
        "cover.front.board_thickness",
    }  # no demonstration book gives these
    assert len(list(slips())) > 100


@pytest.mark.parametrize(("name", "field", "slip"), list(slips()))
def test_two_exchanged_digits_raise_a_finding_that_names_the_field(
    name: str, field: str, slip: float
) -> None:
    book = reading.load(DEMO / name)
    before = {(f.key, f.fields) for f in examine(book, LIBRARY).findings}
    found = [
        finding
        for finding in examine(changed(book, {field: slip}), LIBRARY).findings
        if field in finding.fields and (finding.key, finding.fields) not in before
    ]
    assert found
