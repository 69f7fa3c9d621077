"""The interview: order, units, reasons, mistakes asked again, and nothing lost to a break."""

from __future__ import annotations

import contextlib
import datetime
import re
import tomllib
from pathlib import Path
from typing import Any

import click
import pypdf
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.commands.measure import measure
from patterns.errors import MendfoldError, RecordError, WriteError
from patterns.record import reading, record
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES, ORDER
from patterns.record.interview import Interview, steps_for, understood
from patterns.structures import catalogue
from patterns.unfinished import held

FRONT = "Does the front board differ from what you gave?"
BACK = "Does the back board differ from what you gave?"
ALBUM = "Is it an album, its leaves on stubs or guards?"
NEEDED = {"id": ["book-1"], "height": ["240"], "thickness": ["40"]}


class Person:
    """Somebody who answers a prompt by its words, in turn; Enter when nothing is left to say."""

    def __init__(self, answers: dict[str, list[str]]) -> None:
        self.answers = {words: list(turns) for words, turns in answers.items()}
        self.asked: list[str] = []
        self.said: list[str] = []
        self.saved: list[str] = []

    def ask(self, prompt: str) -> str:
        """Answer by the prompt's own words, before its unit."""
        self.asked.append(prompt)
        words = re.split(r" [(\[]", prompt)[0]
        turns = self.answers.get(words, [])
        return turns.pop(0) if turns else ""

    def talk(self, **more: Any) -> Interview:
        """Return an interview with this person."""
        return Interview(ask=self.ask, say=self.said.append, save=self.saved.append, **more)


def test_a_book_of_three_answers() -> None:
    """Enter passes over everything that is not needed."""
    assert tomllib.loads(Person(NEEDED).talk().run()) == {
        "book": {"id": "book-1"},
        "text_block": {"height": 240, "thickness": 40},
    }


LATER = ("spine.girth_sewn_head", "spine.girth_sewn_tail", "measuring.checked")
"""What cannot be said at a first visit: girths over a new sewing, and which readings were right after all."""


def test_every_question_comes_once_in_handling_order_with_unit_and_reason() -> None:
    """Each measurement shows its unit and every question its reason."""
    gates = {FRONT: ["y"], BACK: ["y"], ALBUM: ["y"]}
    person = Person(NEEDED | gates)
    person.talk().run()
    first = {table: next(f for f in FIELDS if f.table == table) for table in LIST_TABLES}
    wanted = [
        f
        for f in FIELDS
        if f.name not in LATER and (f.table not in LIST_TABLES or f in first.values())
    ]
    asked = [prompt for prompt in person.asked if not prompt.endswith("no)")]
    assert [prompt.removesuffix(" [book-1]") for prompt in asked] == [
        field.key.replace("_", " ") + (f" ({field.unit})" if field.unit else "") for field in wanted
    ]
    told = "\n".join(person.said)
    assert all(field.reason in told for field in wanted)


def test_what_is_typed_is_what_is_kept() -> None:
    """Units, lists, choices begun, yes and no, dates and joins, as a person types them."""
    person = Person(
        NEEDED
        | {
            "weight": ["2 lb 3 oz"],
            "width": ["160,5"],
            "leaves": ["320"],
            "profile": ["round"],
            "round depth": ["8 mm"],
            "mould": ["n"],
            "parchment": ["cov"],
            "photographs": ["y"],
            "kettles": ["12, 228"],
            "supports at": ["2 in; 4 1/2 in; 180 mm"],
            "error": ["0.5"],
            "on": ["2026-11-25"],
            "between": ["text block / boards", "text block and cover"],
            "moves": ["y", "no"],
            "made": ["pasted", "s"],
            "gathering": ["3"],
            "folios": ["2"],
            ALBUM: ["y"],
            "contents thickness": ["0.5 1"],
        }
    )
    text = person.talk().run()
    book = reading.parse(text, "typed")
    assert 'weight = "2 lb 3 oz"' in text
    assert book.book.weight == pytest.approx(35 * 0.028349523125)  # NIST SP 811: ounce
    assert book.text_block.width == 160.5
    assert book.text_block.leaves == 320
    assert book.spine.profile == "rounded"
    assert book.condition.mould == "none"
    assert book.condition.parchment == ("cover",)
    assert book.condition.photographs is True
    assert book.sewing.kettles == (12.0, 228.0)
    assert book.sewing.supports_at == pytest.approx((50.8, 114.3, 180.0))
    assert book.sewing.fold == (record.FoldTable(3, folios=2),)
    assert book.album.contents_thickness == (0.5, 1.0)
    assert book.measuring.on == datetime.date(2026, 11, 25)
    assert book.unions == (
        record.UnionTable(("text block", "boards"), moves=True, made="pasted"),
        record.UnionTable(("text block", "cover"), moves=False, made="sewn"),
    )


@pytest.mark.parametrize(
    ("question", "typed", "words"),
    [
        ("height", "tall", "is not a length"),
        ("height", "9 3/4", "without a unit"),
        ("height", "1,250", "two ways"),
        ("height", "4000", "allowed: 20 to 2000 mm"),
        ("height", "nan", "is not a length"),
        ("height", "-240", "-240 mm"),
        ("height", "", "is needed"),
        ("id", "a/b", "allowed: 1 to 64"),
        ("leaves", "many", "a whole number"),
        ("leaves", "12.5", "a whole number"),
        ("profile", "oval", '"rounded"'),
        ("mould", "perhaps", "inactive"),
        ("parchment", "boards", "leaves, cover, all or none"),
        ("photographs", "perhaps", "yes or no"),
        ("kettles", "12 250", "outside the fold"),
        ("kettles", "12,228", "put spaces between"),
        ("kettles", "1 in 2 in", "does not add up"),
        ("on", "yesterday", "2026-11-25"),
        ("between", "boards", "two names"),
        ("girth head", "4400", "allowed: 0.5 to 900"),
        ("over shoulders", "20", "does not go with the other answers"),
    ],
)
def test_a_typed_mistake_is_told_and_asked_again(question: str, typed: str, words: str) -> None:
    """Nothing wrong is kept: the same question comes again, and the second answer stands."""
    right = {
        "height": "240", "id": "book-1", "leaves": "320", "profile": "flat", "mould": "no", "parchment": "no", "photographs": "no",
        "kettles": "12 228", "on": "today", "between": "text block / boards",
        "girth head": "44", "over shoulders": "44",
    }  # fmt: skip
    person = Person(NEEDED | {question: [typed, right[question]]})
    book = reading.parse(person.talk().run(), "typed")
    again = [line for line in person.said if line.endswith("Please answer again.")]
    assert len(again) == 1
    assert words in again[0]
    assert book.book.id == "book-1"
    for text in person.saved:
        reading.parse(text, "saved")  # every saved state can be read


def test_back_goes_to_the_question_before_and_minus_takes_an_answer_away() -> None:
    """A slip seen too late is put right."""
    person = Person(NEEDED | {"title": ["Wrong", "Right"], "owner": ["<", "Somebody", "-"],
                              "note": ["<"]})  # fmt: skip
    book = reading.parse(person.talk().run(), "typed").book
    assert book.title == "Right"
    assert sum(prompt.startswith("owner") for prompt in person.asked) == 3
    assert book.owner is None


def test_a_dot_passes_over_the_rest_of_a_section() -> None:
    """After the dot the next section begins."""
    person = Person(NEEDED | {"profile": ["."]})
    person.talk().run()
    assert "round depth (mm)" not in person.asked
    assert "board height (mm)" in person.asked


@pytest.mark.parametrize("after", range(0, 112, 4))
def test_a_break_anywhere_loses_nothing(after: int) -> None:
    """Stopped after any question and taken up again, the record is the one of a single sitting."""
    answers = NEEDED | {
        "weight": ["1.5 kg"],
        "width": ["160"],
        "girth head": ["44"],
        "board height": ["246"],
        "kettles": ["12 228"],
        "gathering": ["2", "3"],
        "folios": ["3"],
        "between": ["a / b", "c / d"],
        "state": ["weak"],
        "error": ["0.5"],
    }
    whole = Person(answers).talk().run()
    person = Person(answers)

    def until(prompt: str) -> str:
        if len(person.asked) == after:
            raise KeyboardInterrupt
        return person.ask(prompt)

    first = Interview(ask=until, say=lambda _: None, save=person.saved.append)
    with contextlib.suppress(KeyboardInterrupt):
        first.run()
    second = person.talk()
    if person.saved:
        second.resume(person.saved[-1], "part")
    assert second.run() == whole


def test_only_what_a_structure_needs_is_asked() -> None:
    """The questions are the needs, alternatives included, and the three every record has."""
    person = Person(NEEDED)
    person.talk(steps=steps_for(["cover.board_height", "spine.girth_head|spine.round_depth"])).run()
    assert person.asked == [
        "id", "height (mm)", "thickness (mm)", "round depth (mm)", "girth head (mm)",
        "board height (mm)",
    ]  # fmt: skip


@given(st.sampled_from(FIELDS), st.text(max_size=30))
@settings(max_examples=400)
def test_any_answer_is_understood_or_refused(field: Any, typed: str) -> None:
    """Whatever is typed, a value or one plain line comes of it."""
    try:
        understood(field, typed)
    except MendfoldError as why:
        line = str(why)
    else:
        line = ""
    assert "\n" not in line


def _measure(path: Path, typed: str, *options: str) -> Any:
    return CliRunner().invoke(measure, [str(path), *options], input=typed)


SKIP = ".\n"
REST = f"160\n40\n{SKIP * 3}\n\n{SKIP}\n\n\n{SKIP}"
"""Width and thickness of a block, and nothing else after them."""


def test_the_command_asks_saves_and_goes_on_after_a_break(tmp_path: Path) -> None:
    """Input that ends, as Ctrl-C does, leaves the part file; the next run ends with the record."""
    path = tmp_path / "log book.toml"
    part = tmp_path / "log book.toml.part"
    stopped = _measure(path, f"\n{SKIP}{SKIP}240\n")
    assert isinstance(stopped.exception, MendfoldError)
    assert "every answer is kept in" in str(stopped.exception)
    assert not path.exists()
    assert reading.load(part).text_block.height == 240
    assert reading.load(part).book.id == "log-book"  # suggested from the file's name
    done = _measure(path, REST)
    assert done.exit_code == 0, done.output
    assert "Going on from" in done.output
    book = reading.load(path).text_block
    assert (book.height, book.width, book.thickness) == (240, 160, 40)
    assert not part.exists()


def test_an_interrupt_is_told_in_one_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before the first answer there is nothing to keep, and the line says so."""

    def interrupted(*_: object, **__: object) -> str:
        raise click.Abort

    monkeypatch.setattr(click, "prompt", interrupted)
    stopped = _measure(tmp_path / "x.toml", "")
    assert isinstance(stopped.exception, MendfoldError)
    assert "nothing was answered yet" in str(stopped.exception)
    assert list(tmp_path.iterdir()) == []


def test_a_record_that_came_meanwhile_is_not_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An hour of questions ends where somebody has put another record: both are kept."""
    path = tmp_path / "x.toml"
    asked = Interview.run

    def meanwhile(talk: Interview) -> str:
        text = asked(talk)
        path.write_text("theirs")
        return text

    with monkeypatch.context() as patch:
        patch.setattr(Interview, "run", meanwhile)
        refused = _measure(path, f"\n{SKIP}{SKIP}240\n{REST}")
    assert isinstance(refused.exception, WriteError)
    assert "x.toml.part" in str(refused.exception)
    assert path.read_text() == "theirs"
    assert (tmp_path / "x.toml.part").exists()
    assert _measure(path, SKIP * 12, "--force").exit_code == 0
    assert reading.load(path).text_block.height == 240


def test_a_spoilt_part_file_is_refused_and_left(tmp_path: Path) -> None:
    """What cannot be read is not thrown away."""
    part = tmp_path / "x.toml.part"
    part.write_text("[book]\nid = \n")
    result = _measure(tmp_path / "x.toml", "")
    assert isinstance(result.exception, RecordError)
    assert "x.toml.part, line 2" in str(result.exception)
    assert part.read_text() == "[book]\nid = \n"


def test_blank_writes_a_record_that_loads(tmp_path: Path) -> None:
    """The empty record is whole, names every field, and is replaced only when forced."""
    path = tmp_path / "new.toml"
    assert _measure(path, "", "--blank").exit_code == 0
    assert reading.load(path) == record.Record()
    text = path.read_text("utf-8")
    assert all(f"#{field.key} =" in text for field in FIELDS)
    assert isinstance(_measure(path, "", "--blank").exception, MendfoldError)
    assert _measure(path, "", "--blank", "--force").exit_code == 0


def test_for_a_structure_by_name(tmp_path: Path) -> None:
    """--for takes the needs from the structure's own template; an unknown one is refused."""
    name = next(iter(catalogue.templates()))
    needs = [n for need in catalogue.find(name).needs for n in need.split("|")]
    result = _measure(tmp_path / "x.toml", "", "--for", name)
    assert isinstance(result.exception, MendfoldError)
    assert all(need in ORDER and need in BY_NAME for need in needs)
    unknown = _measure(tmp_path / "x.toml", "", "--for", "hollow_tub")
    assert isinstance(unknown.exception, MendfoldError)


def test_the_form_is_written_as_pdf_or_svg_on_the_paper_asked_for(tmp_path: Path) -> None:
    """Pages at their own size: A4 is 210 × 297 mm (ISO 216); another ending is refused."""
    pdf, svg, other = (tmp_path / f"form.{end}" for end in ("pdf", "svg", "toml"))
    assert _measure(pdf, "", "--form").exit_code == 0
    page, *_ = pypdf.PdfReader(pdf).pages
    assert [float(page.mediabox.width), float(page.mediabox.height)] == pytest.approx(
        [210 * 72 / 25.4, 297 * 72 / 25.4], abs=0.01
    )
    assert _measure(svg, "", "--form", "--paper", "letter").exit_code == 0
    assert 'width="215.9mm"' in svg.read_text("utf-8")  # 8 1/2 in
    assert isinstance(_measure(other, "", "--form").exception, MendfoldError)
    assert not other.exists()


def test_a_second_interview_on_one_file_does_not_write_over_the_first(tmp_path: Path) -> None:
    """Both would keep their answers in FILE.part: the second is refused while the first goes on."""
    file = tmp_path / "book.toml"
    with held(file.with_name("book.toml.part")):
        result = CliRunner().invoke(measure, [str(file)], input="\n")
        assert isinstance(result.exception, MendfoldError)
        assert "another interview" in str(result.exception)
    assert not list(tmp_path.iterdir())
