"""What the demonstration's pages say, read off them as a person at the bench reads: nothing that is not so."""

from __future__ import annotations

from functools import cache

import pytest

from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.model.drawing import Words
from patterns.model.sheet import Sheet
from patterns.sheets import whole
from patterns.sheets.page import Layout

ORDERS = {str(order.record.book.id): order for order in reversed(orders())}
"""The first order of each book."""


@cache
def laid(name: str) -> tuple[Sheet, ...]:
    """Return all sheets of a book."""
    return whole.sheets(Layout(draft(ORDERS[name]).pattern, ORDERS[name].paper))


def words(sheet: Sheet) -> list[Words]:
    return [mark for mark in sheet.drawing.marks if isinstance(mark, Words)]


def said(name: str) -> str:
    """Return all that the sheets of a book say, line after line."""
    every = " ".join(mark.text for sheet in laid(name) for mark in words(sheet))
    return every.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("name", "there", "not_there"),
    [
        ("atlas", ("hatched = pasted", "Tinted"), ("zigzag", "dot outside", "white = free")),
        ("logbook", ("hatched = pasted", "dot outside = sewn", "white = free"), ("zigzag",)),
    ],
)
def test_the_section_explains_the_signs_that_it_shows_and_no_other(
    name: str, there: tuple[str, ...], not_there: tuple[str, ...]
) -> None:
    """A paper lining pasted on the atlas; a sewn cloth, a hollow tube and an inlay on the logbook."""
    text = said(name)
    assert "from the middle of the spine" in text
    assert [sign for sign in there if sign not in text] == []
    assert [sign for sign in not_there if sign in text] == []


def test_a_view_of_the_sewing_names_the_supports_and_old_holes_that_there_are() -> None:
    """The almanac is sewn without supports through four holes; the logbook on four tapes with kettles."""
    assert "thin lines: old holes: pierce none" in said("almanac")
    assert "grey bands" not in said("almanac")
    assert "grey bands: supports; thin lines: old holes: pierce neither" in said("logbook")


@pytest.mark.parametrize("name", ["signal_book", "light_list", "day_book"])
def test_no_legend_calls_a_joints_heavy_line_thread_on_a_lining(name: str) -> None:
    """There it is a tacket's thread or a cloth, as the notes beside it say; dashes are a paste-down."""
    text = said(name)
    assert "heavy line: the " in text
    assert "heavy = outside on the lining" not in text
    assert "thin dashes = inside the fold" not in text


def test_a_gatherings_holes_are_told_from_the_head_and_head_and_tail_are_marked() -> None:
    (sheet,) = [one for one in laid("almanac") if "one gathering" in one.pieces]
    assert "in mm below the head" in " ".join(mark.text for mark in words(sheet))
    at = {mark.text: mark.at for mark in words(sheet) if mark.text in ("HEAD", "TAIL")}
    (first,) = [mark.at for mark in words(sheet) if mark.text == "1  out at 20.0"]
    marked = [m.at for m in words(sheet) if m.text in ("HEAD", "TAIL") and m.at[0] == first[0]]
    assert len(at) == len(marked) == 2
    assert min(marked)[1] < first[1] < max(marked)[1]


def test_nothing_is_written_twice_on_a_piece_nor_in_its_key() -> None:
    """Its name once; what a zone is pasted to once; zones pasted alike in one line of the key."""
    album = [mark.text.lower() for sheet in laid("seaweed_album")[3:7] for mark in words(sheet)]
    assert album.count("single strip") == 2  # on it and above its notes
    lights = [mark.text for mark in words(laid("light_list")[-1])]
    assert "inside of the front board" not in lights
    assert "pasted to inside of the front board," in lights
    keyed = {mark.text for mark in words(laid("chart_book")[5]) if mark.bold}
    assert {"b, d", "g, h"} <= keyed
    assert not {"b", "d", "g", "h"} & keyed
    assert said("atlas").count("no paste: the text block stands here") == 1
    assert "here: no paste" not in said("atlas")
