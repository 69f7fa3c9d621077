"""What is printed speaks as the bench does: forces to two figures, no formula's words, no thickness of nothing.

Read back from the finished PDF, every page of it, and from what the command line warns of.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest
from pypdf import PdfReader

from patterns.drafting import job
from patterns.drafting.making import make
from patterns.drafting.order import Order
from patterns.record.record import ConditionTable, Record
from tests.books import changed, demo

FORCE = re.compile(r"([\d.]+)\s+m?N\b(?!/)")


def _heavy() -> Record:
    """A block of 3.83 kg whose ink bears no water: its bonds are set with an ether, and what they bear is told."""
    return changed("logbook", condition={"iron_gall": True, "paper": "fair"})


def _strong() -> Record:
    """Tackets on paper whose tear strength was read."""
    return changed("signal_book", text_block={"tear_strength": 420.0})


def _unread() -> Record:
    """Tackets on paper of which nothing is known: what a leaf must bear is told."""
    return replace(demo("signal_book"), condition=ConditionTable())


PRINTED: dict[str, tuple[Record, tuple[str, ...], dict[str, str]]] = {
    "own flanges": (_heavy(), ("secondary_sewing",), {"secondary_sewing.path": "fold"}),
    "slots": (_heavy(), ("board_slot", "secondary_sewing"), {}),
    "tear unknown": (
        changed("logbook", condition={"paper": None}),
        ("secondary_sewing",),
        {
            "secondary_sewing.path": "loops",
            "secondary_sewing.thread": "linen thread 25/3",
            "secondary_sewing.every": "8",
        },
    ),
    "tackets, tear read": (_strong(), ("joint_tacket",), {}),
    "tackets, tear unknown": (_unread(), ("joint_tacket",), {}),
    "too weak tackets": (
        changed("signal_book", condition={"paper": "weak"}),
        ("joint_tacket",),
        {"joint_tacket.stations": "2"},
    ),
    "cloth joint": (demo("light_list"), ("sewn_cloth_joint",), {}),
    "tissue hinge": (changed("almanac", condition={"paper": "fair"}), ("tissue_hinge",), {}),
}
FORCES = {"own flanges": 8, "tackets, tear read": 3, "too weak tackets": 4}
"""How many forces are told there at least: a pattern that finds none proves nothing."""


@cache
def printed(name: str) -> str:
    """Return every word of the sheets and of the warnings, each line break a space."""
    record, structures, settings = PRINTED[name]
    made = make(job.draft(Order(record, structures, settings, formats=("pdf",))))
    (pdf,) = (data for path, data in made.files.items() if path.endswith(".pdf"))
    pages = [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]
    return re.sub(r"\s+", " ", " ".join((*pages, *made.warnings)))


def forces(text: str) -> Iterator[str]:
    yield from FORCE.findall(text)


@pytest.mark.parametrize("name", PRINTED)
def test_no_force_is_told_to_more_than_two_figures(name: str) -> None:
    """Nobody knows a tear strength, a thread or a lift better; a reading of the user's own stands as it is."""
    told = list(forces(re.sub(r"[\d.]+ mN (measured|assumed)", "", printed(name))))
    assert len(told) >= FORCES.get(name, 0)
    for one in told:
        digits = one.replace(".", "").lstrip("0")
        if "." not in one:
            digits = digits.rstrip("0")
        assert len(digits) <= 2, one


@pytest.mark.parametrize("name", PRINTED)
def test_no_word_of_a_formula_is_printed(name: str) -> None:
    text = printed(name)
    assert "geometry" not in text.lower()
    assert not re.search(r"\bJ\b", text)
    assert not re.search(r"lies on 0(\.0*)? mm", text)
    assert "lies on −" not in text


@pytest.mark.parametrize(
    ("kind", "said", "never"),
    [
        ("in-boards", ("reaches round", "reach round"), ("closes", "does not close")),
        ("case", ("closes", "close"), ("reaches round", "reach round")),
    ],
)
@pytest.mark.parametrize("spine", [60.0, 90.0])
def test_a_covering_reaches_round_and_a_case_closes(
    kind: str, said: tuple[str, ...], never: tuple[str, ...], spine: float
) -> None:
    """A covering on its boards is no cover that closes, narrow (60) or wide (90)."""
    book = changed("logbook", cover={"kind": kind, "spine_width": spine})
    fits = job.draft(Order(book, ("spine_lining",), {})).pattern.closing
    assert any(word in fits for word in said), fits
    assert not any(word in fits for word in never), fits
