"""The report as its recipient reads it: the book first, everything once, nothing of the program's."""

from __future__ import annotations

import io
import json
import re
import tomllib
from typing import TYPE_CHECKING

import pypdf
import pypdfium2
import pytest

from patterns.model.kept import KeptPattern
from patterns.report import done, treatment
from patterns.report.blocks import Table
from patterns.report.unions import joins
from patterns.report.writing import blank_bytes, report_files
from patterns.sheets.flow import table
from tests.books import demo
from tests.books import made as drafted
from tests.test_report import Words, nothing, photograph

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

FORMAT = f'format = "{treatment.FORMAT}"\n'
ALBUM = (
    FORMAT
    + """
[treatment]
by = "B.B."
begun = "2026-03-09"
ended = "2026-03-27"
[[step]]
text = "Took the album down."
done = "2026-03-10"
by = "B.B."
[[step]]
text = "Sewed the sections."
done = "2026-03-20"
by = "C.D."
[[test]]
what = "spot test: wheat starch paste"
where = "violet stamp, leaf 3"
result = "runs in water: no paste within 10 mm of it"
done = "2026-03-09"
by = "B.B."
[[test]]
what = "spot test: ethanol"
[[material]]
name = "linen thread 25/3"
lot = "spool of May 2025"
used_for = "sewing, album guards"
[[material]]
name = "album guard paper"
[[photograph]]
file = "c.jpg"
shows = "finished"
when = "after"
[[photograph]]
file = "b.jpg"
shows = "a lap under weights"
when = "during"
[[photograph]]
file = "a2.jpg"
shows = "stubs let go at leaf 3"
when = "before"
[[photograph]]
file = "a1.jpg"
shows = "front board and spine"
when = "before"
"""
)


@pytest.fixture(scope="module")
def album() -> dict[str, bytes]:
    """The files of the guarded album's pattern."""
    return dict(drafted("seaweed_album", "album_guards").files)


@pytest.fixture(scope="module")
def told(album: dict[str, bytes]) -> dict[str, bytes]:
    """Its report, filled in."""
    return report_files(album, ALBUM, lambda _: photograph(60, 40), "t")


def page_words(made: dict[str, bytes]) -> str:
    """Return the words of the page in their order."""
    text = made["report.html"].decode()
    return " ".join("".join(Words(text[text.index("<body") :]).words).split())


def test_it_begins_with_the_books_photograph_and_one_paragraph(told: dict[str, bytes]) -> None:
    """The first photograph from before, then what the book is and who treated it when."""
    body = told["report.html"].decode().partition("<main>")[2]
    tags = re.findall(r"<(figure|img|p|section)\b[^>]*>", body)
    assert tags[:4] == ["figure", "img", "p", "section"]
    assert 'src="a2.jpg"' in body.partition("</figure>")[0]
    opening = body.partition('<p class="opening">')[2].partition("</p>")[0]
    said = " ".join(re.sub(r"<[^>]*>", "", opening).split())
    assert said == (
        "A quarto in a case, 24 leaves, its text block 270 × 234 × 18 mm (height, width, thickness), "
        "1.05 kg. Stiff single leaves, each hung on a glued paper stub; eleven stubs have let go. "
        "Measured 2026-03-06. Treated 2026-03-09 to 2026-03-27 by B.B. Made: album guards."
    )


def test_in_print_the_photograph_stands_on_the_first_page(told: dict[str, bytes]) -> None:
    """One picture there; the others follow at the end, two to a page."""
    document = pypdfium2.PdfDocument(told["report.pdf"])
    counts = [
        sum(1 for _ in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE]))
        for page in document
    ]
    document.close()
    assert counts[0] == 1
    assert counts[-2:] == [2, 1]
    assert sum(counts) == 4


def test_photographs_stand_before_during_after_with_their_captions(told: dict[str, bytes]) -> None:
    """However they were entered."""
    captions = [
        "Before treatment: stubs let go at leaf 3", "Before treatment: front board and spine",
        "During treatment: a lap under weights", "After treatment: finished",
    ]  # fmt: skip
    html = told["report.html"].decode()
    found = re.findall(r"<figcaption>([^<]*)", html)
    assert found == captions
    words = " ".join(
        " ".join(page.extract_text().split())
        for page in pypdf.PdfReader(io.BytesIO(told["report.pdf"])).pages
    )
    places = [words.index(one) for one in captions]
    assert places == sorted(places)


def test_a_long_caption_is_printed_whole(album: dict[str, bytes]) -> None:
    """It is set in lines, not cut off at the edge of the picture."""
    long = "seen from the tail with the light from the left, " * 8 + "the last word"
    text = ALBUM.replace("a lap under weights", long)
    made = report_files(album, text, lambda _: photograph(60, 40), "t")
    reader = pypdf.PdfReader(io.BytesIO(made["report.pdf"]))
    assert "the last word" in " ".join(reader.pages[-2].extract_text().split())


def test_by_is_told_once(told: dict[str, bytes]) -> None:
    """Who is answerable stands in the first paragraph; steps name only who was somebody else."""
    words = page_words(told)
    assert words.count("B.B.") == 1
    assert words.count("C.D.") == 1


def test_condition_is_told_in_words_and_measurements_come_last(told: dict[str, bytes]) -> None:
    """Sentences of the record's condition and joins; a row for each part of the book at the end."""
    words = page_words(told)
    assert "The paper is fair at the folds." in words
    assert "Noted: inks, dyes or stamps that run; green 19th-century cloth or paper." in words
    assert (
        "The join of leaves and stubs, which moves in use, is pasted and has failed. "
        "The join of text block and case, which moves in use, is pasted and weak." in words
    )
    html = told["report.html"].decode()
    *_, last = re.findall(r"<h2[^>]*>([^<]*)", html)
    assert last == "Measurements"
    rows = html.partition(">Measurements</h2>")[2].count("<tr>") - 1
    assert rows == 6  # book, text block, spine, cover, sewing, album


def test_tests_and_materials_are_told_with_results_and_lots(told: dict[str, bytes]) -> None:
    """What was entered, and what was not: a material without its lot is not left out."""
    words = page_words(told)
    assert "runs in water: no paste within 10 mm of it" in words
    assert "No result entered: spot test: ethanol." in words
    row = re.search(r"linen thread 25/3</td>.*?spool of May 2025", told["report.html"].decode())
    assert row
    assert re.search(r"album guard paper</td><td[^>]*>not entered", told["report.html"].decode())


@pytest.mark.parametrize(
    ("book", "structures"),
    [
        ("seaweed_album", ("album_guards",)),
        ("logbook", ("board_slot", "secondary_sewing", "hollow_tube")),
        ("almanac", ("tissue_hinge",)),
        ("chart_book", ("hollow_tube", "cover_widening")),
    ],
)
def test_nothing_of_the_program_is_in_it_and_no_box_twice(
    book: str, structures: tuple[str, ...]
) -> None:
    """No setting, no file of the studio's, no command; the blank filled in as it stands."""
    files = dict(drafted(book, *structures).files)
    blank = blank_bytes(files, book).decode().replace('done = ""', 'done = "2026-03-10"')
    words = page_words(report_files(files, blank, nothing, "t"))
    for foreign in ("--set", "materials.toml", "mendfold draft", "draft it"):
        assert foreign not in words
    from patterns.gallery.summary import kept_of

    for box in kept_of(files, book).boxes:
        assert words.count(" ".join(box.split())) == 1


def test_new_holes_are_told_height_by_height() -> None:
    """Every end of a stitch, with the gatherings it goes through, from the head."""
    from patterns.gallery.summary import kept_of

    files = dict(drafted("logbook", "secondary_sewing").files)
    stitches = kept_of(files, "logbook").stitches
    html = report_files(files, FORMAT, nothing, "t")["report.html"].decode()
    holes = html.partition(">New holes</h2>")[2].partition("</section>")[0]
    rows = re.findall(r"<tr><td[^>]*>([\d.]+)</td><td[^>]*>([^<]*)</td><td[^>]*>(\d+)</td>", holes)
    heights = [float(height) for height, _, _ in rows]
    ends = sorted({round(y, 1) for one in stitches for y in (one.from_mm, one.to_mm)})
    assert heights == ends
    assert sum(int(count) for _, _, count in rows) == 2 * len(stitches)
    first = rows[0]
    through = {one.gathering for one in stitches if round(one.from_mm, 1) == float(first[0])}
    told = {
        n
        for part in first[1].split(", ")
        for n in range(int(part.split("–")[0]), int(part.split("–")[-1]) + 1)
    }
    assert told == through


def test_holes_of_tackets_are_told_by_the_strip_that_marks_them() -> None:
    """Every height of both strips; an album's holes go through its new guards and are no loss."""
    files = dict(drafted("signal_book", "joint_tacket").files)
    html = report_files(files, FORMAT, nothing, "t")["report.html"].decode()
    holes = html.partition(">New holes</h2>")[2].partition("</section>")[0]
    for piece in json.loads(files["pattern.json"])["pieces"]:
        row = holes.partition(f">{piece['name']}</td>")[2].partition("</tr>")[0]
        assert {f"{y:.1f}" for _, y in piece["holes_mm"]} == set(re.findall(r"[\d.]+", row))
    album = dict(drafted("seaweed_album", "album_guards").files)
    assert "New holes" not in report_files(album, FORMAT, nothing, "t")["report.html"].decode()


def test_a_blank_asks_for_tests_and_says_what_materials_are_for(album: dict[str, bytes]) -> None:
    """A spot test for every adhesive; thread among the materials."""
    tree = tomllib.loads(blank_bytes(album, "album").decode())
    assert [row["what"] for row in tree["test"]] == ["spot test: cellulose ether in ethanol"]
    uses = {row["name"]: row["used_for"] for row in tree["material"]}
    assert uses == {
        "album guard paper": "album guards",
        "compensation paper": "album guards",
        "linen thread 25/3": "sewing, album guards",
    }


def test_sizes_as_cut_may_have_their_units() -> None:
    """2 in are 50.8 mm, 19.4 cm are 194; a quoted number without a unit says nothing."""
    text = FORMAT + '[[piece]]\nname = "a"\ncut_mm = ["2 in", "19.4 cm"]'
    (row,) = treatment.read(text, "t").filled("piece", "cut_mm")
    assert row["cut_mm"] == pytest.approx((50.8, 194.0))
    with pytest.raises(Exception, match="width and height in mm"):
        treatment.read(text.replace("2 in", "2"), "t")


def test_a_narrow_table_parts_only_its_longest_words() -> None:
    """Six columns on 97 mm: five of short words keep them whole, the long one is parted."""
    from patterns.model.drawing import Words as Mark

    row = ("2026-03-10", "a", "b", "2026-03-11", "c", "Einbandverbreiterungsverfahren")
    strips = table(("day", "a", "b", "day", "c", "what"), [row], 97.0)
    said = {mark.text for strip in strips for mark in strip.marks if isinstance(mark, Mark)}
    assert {"2026-03-10", "2026-03-11"} <= said
    assert "Einbandverbreiterungsverfahren" not in said


@pytest.mark.outside
def test_no_date_and_no_short_word_breaks_at_any_width(
    album: dict[str, bytes], tmp_path: Path, browser_page: Page
) -> None:
    """Every word of up to 12 letters lies on one line, and nothing runs out at the side."""
    blank = blank_bytes(album, "album").decode().replace('done = ""', 'done = "2026-03-10"')
    made = report_files(album, blank.replace('begun = ""', 'begun = "2026-03-09"'), nothing, "t")
    for name, data in made.items():
        (tmp_path / name).write_bytes(data)
    for width in (1366, 1100, 900, 768, 500, 320):
        browser_page.set_viewport_size({"width": width, "height": 900})
        browser_page.goto((tmp_path / "report.html").as_uri())
        assert browser_page.evaluate("document.documentElement.scrollWidth") <= width
        broken = browser_page.evaluate(
            """() => {
              const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), found = [];
              for (let node; node = walk.nextNode();)
                for (const one of node.data.matchAll(/\\d{4}-\\d\\d-\\d\\d|[^\\s-–]{1,12}(?=[\\s]|$)/g)) {
                  if (one.index && /[^\\s]/.test(node.data[one.index - 1])) continue;
                  const range = document.createRange();
                  range.setStart(node, one.index);
                  range.setEnd(node, one.index + one[0].length);
                  const tops = new Set([...range.getClientRects()].map(r => Math.round(r.top)));
                  if (tops.size > 1) found.push(one[0]);
                }
              return found;
            }"""
        )
        assert broken == [], width


def test_parts_that_differ_by_their_letter_are_one_row_of_the_unions() -> None:
    """Guards are pasted to one face or the other, strips meet nothing: one row a kind, its letters named."""
    kept = KeptPattern.from_json(drafted("seaweed_album", "album_guards").files["pattern.json"])
    rows = joins(kept)
    assert len({(row.part, row.to, row.made) for row in rows}) == len(rows) <= 8
    faces = {row.to: row.part for row in rows if row.made == "pasted"}
    assert set(faces) == {"inner face of the leaf", "outer face of the leaf"}
    for face, part in faces.items():
        letters = re.findall(r"\b[A-Z]\b", part)
        on = [
            piece.name
            for piece in kept.pieces
            if any(zone.to == face and zone.kind == "pasted" for zone in piece.zones)
        ]
        assert (on[0], on[-1]) == (f"guard {letters[0]}", f"guard {letters[-1]}")
    assert [row for row in rows if row.made == "sewn" and "folds of the sections" in row.part]
    assert not [row for row in rows if row.to == "its neighbour"]


def test_a_cloth_joint_is_told_as_sewn() -> None:
    """Its strips go through the fold with holes of their own, though no stitches are scattered."""
    made = drafted("light_list", "sewn_cloth_joint")
    rows = joins(KeptPattern.from_json(made.files["pattern.json"]))
    assert [row for row in rows if row.made == "sewn"]


def test_the_steps_done_keep_their_numbers() -> None:
    """A warning that names step 11 names one that can be found in the report."""
    rows = [{"text": "cut"}, {"text": "paste", "done": "2026-01-02"}]
    text = FORMAT + "".join(
        "[[step]]\n" + "".join(f'{key} = "{value}"\n' for key, value in row.items()) for row in rows
    )
    found = done.done(treatment.read(text, "treatment.toml"))
    (steps,) = (one for one in found if isinstance(one, Table) and "step" in one.heads)
    assert steps.rows == (("2", "paste", "2026-01-02"),)


def test_undoing_is_told_in_full_for_older_patterns_as_well() -> None:
    """A document that does not say how it is undone is told by its structures, nothing left to fill in."""
    from dataclasses import replace

    from patterns.report.content import _undo

    kept = KeptPattern.from_json(drafted("chart_book", "hollow_tube").files["pattern.json"])
    assert kept.undo
    for one in (kept, replace(kept, undo=())):
        told = [
            str(line)
            for line in _undo(demo("chart_book"), one, treatment.read(FORMAT, "treatment.toml"))
        ]
        assert told
        assert not [line for line in told if "{" in line]
