"""Whole ways to go on: from attachment to covering with one command, and every one of them drafts."""

from __future__ import annotations

import shlex
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from patterns.book.book import Book
from patterns.book.results import AlbumResult
from patterns.book.suits import LEFT_OPEN, Opened
from patterns.drafting import closing, job
from patterns.drafting.given import settings_given
from patterns.drafting.order import Drafted, Order
from patterns.errors import MendfoldError, RecordError, Unsuitable
from patterns.examine.examination import examine
from patterns.examine.finding import Choice, Examination
from patterns.model.kept import KeptPattern
from patterns.record import reading
from patterns.record.record import Record
from patterns.stock import materials
from patterns.structures import asking, catalogue
from tests.books import changed, demo, drafted, made
from tests.differential import books, covers
from tests.differential.rows import toml
from tests.examine_books import joint
from tests.readers import svg_labels

STOCK = materials.built_in()
ORDINARY = range(160, 260)
MANY = [range(start, start + 250) for start in range(240, 1240, 250)]
"""A thousand books, in parts that several processes can share; five thousand were tried by hand."""
NARROW = changed("day_book", cover={"spine_width": 44.0})
"""A day book whose case lacks 4 mm."""


def drawn(number: int) -> Record | None:
    """Return one book as people meet them; None where its figures contradict each other."""
    chance = Random(f"ways/{number}")
    cover = chance.choice(covers.COVERS)
    tables = books.book(chance, number, cover, album=number % 9 == 0)
    try:
        return reading.parse(toml(tables), f"drawn-{number}.toml")
    except RecordError:
        return None


def told(record: Record) -> Examination:
    return examine(record, STOCK, catalogue.templates())


def ready(record: Record) -> Iterator[Choice]:
    """Yield the ways to go on that wait for no measurement."""
    for choice in told(record).choices:
        if choice.structure != "nothing" and not choice.missing:
            yield choice


def as_told(record: Record, choice: Choice) -> Drafted:
    """Draft a way as its command does."""
    names, given = tuple(choice.structure.split("+")), settings_given(choice.settings)
    return job.draft(Order(record, names, given, stock=STOCK))


def refused(numbers: range, first_only: bool) -> tuple[Counter[str], list[str]]:
    """Draft the ways of drawn books; return how often each was, and the refusals."""
    tried: Counter[str] = Counter()
    lines: list[str] = []
    for number in numbers:
        record = drawn(number)
        if record is None:
            continue
        for choice in list(ready(record))[: 1 if first_only else None]:
            tried[choice.structure] += 1
            try:
                as_told(record, choice)
            except MendfoldError as error:
                lines.append(f"book {number}, {choice.structure} {choice.settings}: {error}")
    return tried, lines


def test_every_way_without_missing_measurements_drafts() -> None:
    """With the defaults, and with what the way itself says must be set."""
    tried, lines = refused(ORDINARY, first_only=False)
    assert not lines, "\n".join(lines)
    assert sum(tried.values()) > 150
    for whole in ("joint_tacket+hollow_tube+reback", "spine_lining+casing_in+sewn_cloth_joint"):
        assert tried[whole], whole


@pytest.mark.long
@pytest.mark.parametrize("numbers", MANY, ids=lambda numbers: f"from {numbers.start}")
def test_the_first_way_of_many_drawn_books_drafts(numbers: range) -> None:
    """Of the first ways of drawn books none is refused."""
    tried, lines = refused(numbers, first_only=True)
    assert not lines, "\n".join(lines)
    assert sum(tried.values()) > 100


@pytest.mark.parametrize(
    ("record", "whole"),
    [
        (demo("signal_book"), "joint_tacket+hollow_tube+reback"),
        (demo("signal_book"), "board_slot+secondary_sewing+hollow_tube+reback"),
        (demo("logbook"), "board_slot+secondary_sewing+hollow_tube+reback"),
        (demo("day_book"), "spine_lining+casing_in"),
        (NARROW, "spine_lining+casing_in+cover_widening"),
        (changed("signal_book", sewing={"supports": "raised", "support_height": 3.0}),
         "spine_lining+joint_tacket+reback"),
    ],
)  # fmt: skip
def test_a_way_runs_from_attachment_to_covering(record: Record, whole: str) -> None:
    """One command drafts it all, and nothing of it is left to do."""
    way = next(choice for choice in told(record).choices if choice.structure == whole)
    assert shlex.split(way.command)[3:] == whole.split("+")
    assert (way.leaves, way.missing) == ((), ())
    assert as_told(record, way).pattern.unfinished == ""


def test_what_is_drafted_of_a_way_says_what_it_leaves() -> None:
    """Alone, tackets leave the spine unlined and uncovered, and the sheets and pattern.json say so."""
    words = (
        "This pattern leaves open the lining of the spine (hollow_tube or spine_lining would go with it) and "
        "the covering over spine and joints (reback would go with it)."
    )
    assert drafted("signal_book", "joint_tacket").pattern.unfinished == words
    done = made("signal_book", "joint_tacket")
    assert KeptPattern.from_json(done.files["pattern.json"]).unfinished == words
    page = svg_labels(done.files["sheet-01.svg"].decode())
    assert words in " ".join(label.text for label in page)
    whole = made("signal_book", "joint_tacket", "hollow_tube", "reback")
    assert b'"unfinished"' not in whole.files["pattern.json"]


def test_what_no_structure_closes_is_said_with_its_reason() -> None:
    """A new album block is covered from a record of its own; a limp cover hangs by nothing new."""
    album = drafted("seaweed_album", "album_guards").pattern.unfinished
    assert "the covering over spine and joints (casing_in: not beside album_guards)" in album
    inlaid = drafted("logbook", "secondary_sewing", "hollow_tube", "spine_inlay").pattern.unfinished
    assert "(reback: not beside spine_inlay)" in inlaid
    heavy = drafted("atlas", "spine_lining").pattern.unfinished
    assert "(casing_in: from 1.5 kg of block on, paste alone" in heavy
    limp = changed("chart_book", cover={"kind": "limp"})
    lined = drafted(replace(limp, unions=()), "spine_lining").pattern.unfinished
    assert "hollow_tube would go with it" in lined


def test_unions_that_nothing_mends_are_named() -> None:
    """The logbook's boards are off: a tube alone does not hang them, a sewn lining does."""
    tube = drafted("logbook", "hollow_tube").pattern.unfinished
    assert "It mends no union of text block and boards (parted)" in tube
    assert "text block and boards" not in drafted("logbook", "secondary_sewing").pattern.unfinished


def test_a_part_of_a_whole_way_is_no_way_of_its_own() -> None:
    """With the boards off, sewing alone would leave them off; what mends another thing stays."""
    names = [one.structure for one in told(demo("logbook")).choices]
    assert not [one for one in names if one.startswith("secondary_sewing")]
    assert "text_block_support" in names
    weak = replace(NARROW, unions=joint("pasted", "weak", "text block", "case"))
    assert "spine_lining+casing_in+cover_widening" in [one.structure for one in told(weak).choices]


def test_a_new_covering_sets_the_tube_beneath_it() -> None:
    """218 − 2 · 1 high as the boards, slit 15 + 3 for the turn-ins; in a case as the block, slit all the same."""
    tube, _ = drafted("signal_book", "hollow_tube", "reback").pattern.parts
    assert tube.quantities["height_mm"] == 216.0
    assert tube.quantities["slit_mm"] == pytest.approx(18.0)
    alone = drafted("signal_book", "hollow_tube").pattern.parts[0]
    assert (alone.quantities["height_mm"], alone.quantities["slit_mm"]) == (210.0, 0.0)
    case = drafted("day_book", "hollow_tube", "reback").pattern.parts[0]
    assert case.quantities["height_mm"] == 234.0
    assert case.quantities["slit_mm"] == pytest.approx(18.0)
    deep = drafted("signal_book", "hollow_tube", "reback", reback__turn_in=25).pattern.parts[0]
    assert deep.quantities["slit_mm"] == pytest.approx(28.0)


def steps_of(*structures: str, record: Record | str = "signal_book") -> list[str]:
    return [step.text for step in drafted(record, *structures).pattern.steps]


def place(steps: list[str], words: str) -> int:
    (found,) = (k for k, text in enumerate(steps) if words in text)
    return found


def test_the_covering_is_lifted_once_and_first() -> None:
    """Before any slot or hole is cut, and nothing lays it down again before the new one is beneath it."""
    steps = steps_of("joint_tacket", "hollow_tube", "reback")
    lifted = place(steps, "Cut the old covering along each joint")
    assert lifted < place(steps, "Drill the board")
    assert not [text for text in steps if "Reach the spine" in text or "Lift the covering" in text]
    down = place(steps, "Set the lifted covering of the boards down")
    assert place(steps, "down over the threads") < place(steps, "Paste the under face") < down
    slotted = steps_of("board_slot", "secondary_sewing", "hollow_tube", "reback")
    assert place(slotted, "Cut the old covering") < place(slotted, "Cut the slot")
    assert place(slotted, "Read the paper strip over") < place(slotted, "Reback: not drawn yet")


def test_a_block_is_cleaned_before_it_is_lined_and_tried_once_its_case_is_wide_enough() -> None:
    steps = steps_of("spine_lining", "casing_in", "cover_widening", record=NARROW)
    assert place(steps, "Take the block out of its case") < place(steps, "Take the old lining off")
    assert not [text for text in steps if "Clean the spine of old adhesive" in text]
    tried = place(steps, "Try the block in its widened case")
    assert place(steps, "Set the original spine on the new piece") < tried
    assert tried < place(steps, "Paste the flange")


@pytest.mark.parametrize(
    "name", ["signal_book", "day_book", "logbook", "almanac", "chart_book", "atlas"]
)
def test_what_is_asked_lies_on_what_is_drafted(name: str) -> None:
    """What a structure says it adds over the spine is what its layers add."""
    record = demo(name)
    for one in catalogue.names():
        try:
            found = drafted(name, one)
        except MendfoldError:
            continue
        template, asked = catalogue.find(one), catalogue.asked(one)
        (part,) = found.pattern.parts
        if asked.gives is AlbumResult:
            continue  # the block is built anew beneath its tapes
        book = Book.of(record, STOCK)
        book = replace(book, materials=found.materials[one], gives=asking.gives([template]))
        params = asked.params(**{key: found.parameters[one][key] for key in template.parameters})
        added = asked.adds(book, params) if asked.adds else 0.0
        assert added == pytest.approx(closing.added_mm(part), abs=1e-9), one


def test_a_case_is_found_too_narrow_for_all_that_is_drafted_in_it() -> None:
    """Its own lining needs 47.85, a spine lining of 0.12 and that 48.01; 1 mm less still closes, and 46.9 lies between."""
    wide, narrow = (changed("day_book", cover={"spine_width": mm}) for mm in (47.5, 46.9))
    drafted(narrow, "casing_in")
    with pytest.raises(Unsuitable, match="would gape"):
        drafted(narrow, "spine_lining", "casing_in")
    for record, whole in (
        (wide, "spine_lining+casing_in"),
        (narrow, "spine_lining+casing_in+cover_widening"),
    ):
        names = [one.structure for one in told(record).choices]
        assert [one for one in names if "casing_in" in one and "joint" not in one] == [whole]


def test_every_opened_thing_has_words_and_something_that_closes_it() -> None:
    every = catalogue.templates().values()
    opened: set[Opened] = {need for one in every for need in one.opens}
    assert opened == set(LEFT_OPEN)
    for need in opened:
        assert [one.name for one in every if need in one.answers]


def test_a_setting_that_a_way_needs_stands_in_its_command() -> None:
    """Paper that tears at a hole is lined first; parchment is set without heat, which needs none."""
    weak: dict[str, Any] = {"text_block": {"tear_strength": 120.0}}
    record = changed("signal_book", **weak)
    for choice in told(record).choices:
        if "sewn_cloth_joint" in choice.structure:
            assert choice.settings == ("sewn_cloth_joint.line_folds=yes",)
            as_told(record, choice)
    parchment = changed("almanac", condition={"parchment": ("leaves",)})
    (hinge,) = (one for one in told(parchment).choices if one.structure.startswith("tissue_hinge"))
    assert not hinge.settings
    as_told(parchment, hinge)
