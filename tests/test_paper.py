"""Papers: ISO 216 and ANSI sizes as published, and what is refused."""

from __future__ import annotations

import pytest

from patterns.commands import advice
from patterns.errors import PaperError
from patterns.stock.paper import parse

ISO_216 = {
    "A0": (841, 1189),
    "A1": (594, 841),
    "A2": (420, 594),
    "A3": (297, 420),
    "A4": (210, 297),
    "A5": (148, 210),
    "B0": (1000, 1414),
    "B1": (707, 1000),
    "B2": (500, 707),
    "B3": (353, 500),
    "B4": (250, 353),
    "B5": (176, 250),
}
"""ISO 216:2007, tables 1 and 2: trimmed sizes in mm."""


@pytest.mark.parametrize(("name", "size"), ISO_216.items())
def test_iso_sizes(name: str, size: tuple[float, float]) -> None:
    """The main series are those of ISO 216, whatever the case they are written in."""
    for text in (name, name.lower(), f" {name} "):
        paper = parse(text)
        assert (paper.name, paper.width_mm, paper.height_mm) == (name, *size)


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [("letter", 215.9, 279.4), ("Legal", 215.9, 355.6), ("TABLOID", 279.4, 431.8)],
)
def test_american_sizes(name: str, width: float, height: float) -> None:
    """ANSI/ASME Y14.1: 8.5 × 11, 8.5 × 14 and 11 × 17 inches of 25.4 mm."""
    paper = parse(name)
    assert paper.width_mm == pytest.approx(width)
    assert paper.height_mm == pytest.approx(height)


@pytest.mark.parametrize("text", ["297x420", "420x297", "297 x 420", "420 × 297"])
def test_a_free_size_may_be_given_either_way_round(text: str) -> None:
    """The program chooses how the page lies, so the order does not matter."""
    paper = parse(text)
    assert (paper.width_mm, paper.height_mm) == (297, 420)
    assert paper.pages == ((297, 420), (420, 297))


def test_a_roll_lies_one_way() -> None:
    """A roll keeps its width."""
    paper = parse("roll:610")
    assert (paper.width_mm, paper.roll) == (610, True)
    assert len(paper.pages) == 1


@pytest.mark.parametrize(
    "text",
    [
        "",
        "A",
        "A11",
        "C4",
        "A6",
        "A10",
        "B6",
        "foolscap",
        "147x300",
        "148x209",
        "-210x297",
        "nanx297",
        "210x1e9",
        "210x99999",
        "roll",
        "roll:100",
        "roll:inf",
        "roll:9999",
        "210",
        "210x297x4",
    ],
)
def test_what_is_no_paper_is_refused(text: str) -> None:
    """The line names the option and says what to give instead."""
    with pytest.raises(PaperError, match=r"(give|Give)") as refusal:
        parse(text)
    assert "\n" not in str(refusal.value)
    assert advice.told(refusal.value).startswith("--paper: ")


def test_the_smallest_paper_is_a5() -> None:
    """148 × 210 is accepted, a millimetre less is not."""
    assert parse("148x210").height_mm == 210
