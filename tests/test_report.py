"""The treatment report: what is filled in stands in it, on the page and in print."""

from __future__ import annotations

import io
import json
import re
import tomllib
import xml.etree.ElementTree as ET
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING

import pypdf
import pypdfium2
import pytest
from PIL import Image

from patterns.cli import main
from patterns.errors import GalleryError
from patterns.examine.examination import examine
from patterns.gallery.store import add, keep
from patterns.gallery.summary import kept_of
from patterns.record import reading, writing
from patterns.report import treatment
from patterns.report.unions import Join, joins, picture, row_marks
from patterns.report.writing import blank_bytes, report_files
from patterns.stock import materials
from patterns.structures import catalogue
from tests.books import DEMO, changed
from tests.books import made as drafted
from tests.browsing import wait_until

if TYPE_CHECKING:
    from playwright.sync_api import Page

HOSTILE = "</p><script>document.title='owned'</script><img src=x onerror=alert(1)>"


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    """The files of the chart book's pattern."""
    made = drafted("chart_book", "hollow_tube", "spine_inlay")
    return dict(made.files)


def photograph(width: int, height: int, kind: str = "JPEG", orientation: int = 1) -> bytes:
    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x0112] = orientation  # the tag of TIFF 6.0, section 8
    Image.new("RGB", (width, height), (200, 190, 170)).save(out, kind, exif=exif)
    return out.getvalue()


def nothing(_name: str) -> bytes | None:
    """No file lies beside the treatment."""
    return None


FILLED = f"""
format = "mendfold-treatment/1"
[treatment]
by = "AB"
begun = "2026-03-05"
ended = 2026-03-19
proposal = "Tube and inlay as drawn."
weight_before = 1.75
weight_after = "3 lb 15 oz"
opening_before = 70
opening_after = 152.5
undo = "The inlay was sized."
[[step]]
text = "Cut the strip."
done = "2026-03-06"
by = "CD"
[[step]]
text = "Wound the tube."
done = ""
[[material]]
name = "kraft lining paper"
lot = "roll 7"
[[adhesive]]
name = "wheat starch paste"
recipe = "1 part to 5 of water, cooked half an hour"
[[deviation]]
what = "Tube slit at the head"
why = {json.dumps(HOSTILE)}
[[piece]]
name = "strip"
planned_mm = [140.7, 258.0]
cut_mm = [140.2, 258.1]
[[evidence]]
what = "old lining"
fate = "removed"
note = "in envelope 2"
[[photograph]]
file = "after é.png"
shows = "open at the middle"
when = "after"
[[photograph]]
file = "before.jpg"
shows = "the spine"
when = "before"
"""


@pytest.fixture(scope="module")
def made(files: dict[str, bytes]) -> dict[str, bytes]:
    """The report's files for a treatment filled in."""
    beside = {"before.jpg": photograph(60, 40), "after é.png": photograph(30, 50, "PNG")}
    return report_files(files, FILLED, beside.get, "treatment.toml")


class Words(HTMLParser):
    """The words of a page, its tags counted."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert not [name for name, _ in attrs if name.startswith("on")]
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def pdf_words(data: bytes) -> str:
    return " ".join(
        " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages).split()
    )


SAID = [
    "Pilot's chart book", "Tube and inlay as drawn.", "Treated 2026-03-05 to 2026-03-19 by AB.",
    "Cut the strip.", "CD", "Not entered as done: 1 of 2 steps.", "Tube slit at the head",
    "140.7 × 258.0", "140.2 × 258.1", "-0.5 × +0.1", "70°", "152.5°", "roll 7",
    "1 part to 5 of water, cooked half an hour", "old lining", "removed", "in envelope 2",
    "The inlay was sized.", "Before treatment: the spine", "After treatment: open at the middle",
]  # fmt: skip


@pytest.mark.parametrize("said", SAID)
def test_what_was_filled_in_stands_on_the_page_and_in_print(
    made: dict[str, bytes], said: str
) -> None:
    page = Words(made["report.html"].decode())
    assert said in " ".join("".join(page.words).split())
    assert said in pdf_words(made["report.pdf"])


def test_a_weight_in_pounds_is_told_in_kilograms(made: dict[str, bytes]) -> None:
    # 3 lb 15 oz = 63 oz of 0.028349523125 kg (the international pound of 1959)
    assert "1.786 kg" in pdf_words(made["report.pdf"])


def test_its_parts_come_in_order(made: dict[str, bytes]) -> None:
    heads = re.findall(r"<h2[^>]*>([^<]*)", made["report.html"].decode())
    assert heads == [
        "Condition before treatment", "Findings", "Proposal", "What was done", "Materials",
        "Unions, sewn and pasted", "Evidence covered or removed", "How to undo it", "Photographs",
        "Measurements",
    ]  # fmt: skip


def test_every_finding_of_the_examination_is_in_it(made: dict[str, bytes]) -> None:
    record = reading.load(DEMO / "chart_book.toml")
    found = examine(record, materials.load(), catalogue.templates(), "chart_book.toml").findings
    words = Words(made["report.html"].decode()).words
    assert len(found) > 3
    for one in found:
        assert one.title in words
        assert one.words in words


def test_no_warning_is_told_twice() -> None:
    """What stops the work is a finding and no warning as well; every other box stands once."""
    alive = changed("chart_book", condition={"mould": "active", "iron_gall": True})
    record = replace(alive, text=writing.dump(alive))
    draft = drafted(record, "hollow_tube")
    report = report_files(
        dict(draft.files), 'format = "mendfold-treatment/1"\n', nothing, "treatment.toml"
    )
    words = Words(report["report.html"].decode()).words
    said = " ".join(words)
    assert words.count("Stop: Active mould") == 1
    assert said.count("no wrapper, no other work") == 1
    (ink,) = [line for line in draft.warnings if line.startswith("Iron-gall ink: ")]
    assert [one for one in words if ink in one] == [f"Warned of beforehand: {ink}"]


def test_how_to_undo_each_structure_is_told(made: dict[str, bytes]) -> None:
    words = " ".join(Words(made["report.html"].decode()).words)
    for name in ("hollow_tube", "spine_inlay"):
        for line in catalogue.find(name).undo:
            parts = re.split(r"\{off_\w+\}", line)
            assert re.search("[^;]+".join(map(re.escape, parts)), words)


def test_hostile_words_stay_words(made: dict[str, bytes]) -> None:
    page = Words(made["report.html"].decode())
    assert "script" not in page.tags
    assert page.tags.count("img") == 3
    assert HOSTILE in page.words


def test_the_owner_is_named_only_when_asked(files: dict[str, bytes]) -> None:
    owner = reading.parse(files["record.toml"].decode(), "r").book.owner
    assert owner
    bare = 'format = "mendfold-treatment/1"'
    without = report_files(files, bare, nothing, "t")
    named = report_files(files, bare, nothing, "t", with_owner=True)
    assert owner not in without["report.html"].decode() + pdf_words(without["report.pdf"])
    assert owner in named["report.html"].decode()
    assert owner in pdf_words(named["report.pdf"])


def test_the_same_input_gives_the_same_report(files: dict[str, bytes]) -> None:
    bare = 'format = "mendfold-treatment/1"'
    assert report_files(files, bare, nothing, "t") == report_files(files, bare, nothing, "t")


@pytest.mark.parametrize("paper", ["A4", "letter", "A5"])
def test_no_word_in_print_leaves_the_page(files: dict[str, bytes], paper: str) -> None:
    long = FILLED.replace("Tube and inlay as drawn.", "Nachträgliche Einbandverbreiterung " * 40)
    beside = {"before.jpg": photograph(600, 40), "after é.png": photograph(30, 500, "PNG")}
    data = report_files(files, long, beside.get, "t", paper=paper)["report.pdf"]
    document = pypdfium2.PdfDocument(data)
    for page in document:
        width, height = page.get_size()
        text = page.get_textpage()
        for at in range(text.count_chars()):
            left, bottom, right, top = text.get_charbox(at)
            assert -0.1 <= left <= right <= width + 0.1
            assert -0.1 <= bottom <= top <= height + 0.1
        for item in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE]):
            left, bottom, right, top = item.get_bounds()
            assert left >= 40
            assert bottom >= 40
            assert right <= width - 40
            assert top <= height - 40
    document.close()


def test_photographs_stand_upright_and_keep_their_shape(files: dict[str, bytes]) -> None:
    # a camera held upright: 80 × 40 pixels to be turned a quarter (orientation 6 of TIFF 6.0)
    beside = {
        "before.jpg": photograph(80, 40, orientation=6),
        "after é.png": photograph(50, 50, "PNG"),
    }
    data = report_files(files, FILLED, beside.get, "t")["report.pdf"]
    document = pypdfium2.PdfDocument(data)
    shapes = []
    for page in document:
        for item in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_IMAGE]):
            left, bottom, right, top = item.get_bounds()
            shapes.append((right - left) / (top - bottom))
    document.close()
    assert sorted(shapes) == pytest.approx([0.5, 1.0], abs=0.01)


def test_a_picture_that_is_none_is_refused(files: dict[str, bytes]) -> None:
    for data in (b"", b"<svg/>", b"\xff\xd8\xff\xe0broken"):
        beside = {"before.jpg": data, "after é.png": data}
        with pytest.raises(GalleryError, match="not a picture that can be placed"):
            report_files(files, FILLED, beside.get, "t")
    with pytest.raises(GalleryError, match=r"photograph after é\.png is not there"):
        report_files(files, FILLED, {"before.jpg": b""}.get, "t")


def test_a_blank_treatment_asks_for_everything_the_pattern_says(files: dict[str, bytes]) -> None:
    blank = blank_bytes(files, "chart_book").decode()
    tree, pattern = tomllib.loads(blank), json.loads(files["pattern.json"])
    assert [row["text"] for row in tree["step"]] == [step["text"] for step in pattern["steps"]]
    assert [row["name"] for row in tree["piece"]] == [piece["name"] for piece in pattern["pieces"]]
    assert {row["name"] for row in tree["material"]} == {
        piece["material"] for piece in pattern["pieces"]
    }
    assert "wheat starch paste" in [row["name"] for row in tree["adhesive"]]
    assert any(row["what"].startswith("spine, under") for row in tree["evidence"])
    assert set(tree) == {"format", "treatment", *treatment.ROWS}
    read = treatment.read(blank, "blank")
    assert dict(read.head) == {}
    assert read.filled("step", "done") == ()
    assert report_files(files, blank, nothing, "blank")["report.pdf"].startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("format = 2", 'format must be "mendfold-treatment/1"'),
        ("[treatment", "Expected ']'"),
        ("[treatment]\nweigth_before = 2", "did you mean weight_before"),
        ("[treatment]\nbegun = 'soon'", "begun: 'soon'; allowed is a day"),
        ("[treatment]\nweight_before = -1", "allowed is a weight in kg"),
        ("[treatment]\nweight_before = true", "allowed is a weight in kg"),
        ("[treatment]\nweight_before = nan", "allowed is a weight in kg"),
        ("[treatment]\nweight_before = '2 stone'", "allowed is a weight in kg"),
        ("[treatment]\nopening_after = 400", "allowed is an angle"),
        ("[treatment]\nby = 3", "allowed is words in quotes"),
        ("[treatment]\nby = 'a\u202eb'", "allowed is words in quotes"),
        (f"[treatment]\nby = '{'x' * 2001}'", "at most 2000 characters"),
        ("treatment = 3", "must be a table"),
        ("[step]\ntext = 'a'", "with two brackets"),
        ("[[steps]]\ntext = 'a'", "did you mean step"),
        ("[[step]]\ntext = 'a'\ndone = '2026-13-01'", "step 1, done"),
        ("step = [3]", "must be a table"),
        ("[[piece]]\ncut_mm = [1]", "width and height in mm"),
        ("[[piece]]\ncut_mm = [1, inf]", "width and height in mm"),
        ("[[piece]]\ncut_mm = 'a lot'", "width and height in mm"),
        ("[[evidence]]\nwhat = 'a'\nfate = 'lost'", 'one of "covered", "removed", "kept"'),
        ("[[photograph]]\nfile = '../a.jpg'", "the name of a picture"),
        ("[[photograph]]\nfile = 'a.jpg'\nwhen = 'later'", 'one of "before", "during", "after"'),
    ],
)  # fmt: skip
def test_what_cannot_be_used_is_named(line: str, said: str) -> None:
    text = line if line.startswith("format") else f'format = "mendfold-treatment/1"\n{line}'
    with pytest.raises(GalleryError) as refusal:
        treatment.read(text, "treatment.toml")
    assert said in str(refusal.value)
    assert str(refusal.value).startswith("treatment.toml: ")


def test_every_zone_and_every_sewn_piece_is_a_union() -> None:
    made = drafted("logbook", "board_slot", "secondary_sewing")
    tree = json.loads(made.files["pattern.json"])
    found = joins(kept_of(made.files, "logbook"))
    wanted = {
        (piece["name"], zone["to"], zone["kind"])
        for piece in tree["pieces"]
        for zone in piece["zones"]
    }
    got = {(one.piece.replace(" ", "_"), one.to, one.made) for one in found}
    assert {(name, to, kind) for name, to, kind in got if kind != "sewn"} == {
        (name.replace(" ", "_"), to, kind) for name, to, kind in wanted
    }
    assert [one.to for one in found if one.made == "sewn"] == ["folds of the gatherings"]


def test_sewn_pasted_and_free_differ_without_colour() -> None:
    shapes = {}
    for made in ("pasted", "sewn", "free"):
        marks = row_marks(Join("a", "b", made), 160.0)
        shapes[made] = sorted({getattr(mark, "kind", None) for mark in marks}, key=str)
        assert all(getattr(mark, "grey", 0.0) in (0.0, 0.35) for mark in marks)
    assert len({str(kinds) for kinds in shapes.values()}) == 3


def test_the_picture_of_unions_is_one_row_each_inside_its_frame(made: dict[str, bytes]) -> None:
    found = [Join(f"part {n}", "partner", "pasted", "paste") for n in range(7)]
    drawn = picture(found)
    assert drawn.height_mm == pytest.approx(77.0)
    root = ET.fromstring(made["unions.svg"])
    width, height = (float(root.attrib[side].removesuffix("mm")) for side in ("width", "height"))
    for text in root.iter("{http://www.w3.org/2000/svg}text"):
        assert 0 <= float(text.attrib["x"]) <= width
        assert 0 <= float(text.attrib["y"]) <= height


@pytest.fixture
def at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name in ("CACHE", "CONFIG"):
        monkeypatch.setenv(f"MENDFOLD_{name}", str(tmp_path / name.lower()))
    monkeypatch.delenv("MENDFOLD_GALLERY", raising=False)
    return tmp_path


def typed(*words: str) -> int:
    with pytest.raises(SystemExit) as ended:
        main(words)
    return int(ended.value.code or 0)


def test_from_blank_to_report_on_the_command_line(
    at_home: Path, files: dict[str, bytes], capsys: pytest.CaptureFixture[str]
) -> None:
    name = "chart_book-hollow_tube+spine_inlay"
    keep(at_home / "gallery", name, files)
    assert typed("report", "chart_book") == 1
    assert "no treatment is kept yet" in capsys.readouterr().err
    assert typed("report", "chart_book", "--blank") == 0
    assert typed("report", "chart_book", "--blank") == 1
    assert "it may be filled in" in capsys.readouterr().err
    (at_home / "treatment.toml").write_text(FILLED, encoding="utf-8")
    assert typed("report", "chart_book", "--treatment", "treatment.toml") == 1
    assert "is not there" in capsys.readouterr().err
    (at_home / "before.jpg").write_bytes(photograph(60, 40))
    (at_home / "after é.png").write_bytes(photograph(30, 50, "PNG"))
    assert typed("report", "chart_book", "--treatment", "treatment.toml") == 0
    first = {p.name: p.read_bytes() for p in (at_home / f"{name}-report").iterdir()}
    assert set(first) == {"report.html", "report.pdf", "unions.svg", "before.jpg", "after é.png"}
    assert typed("gallery", "add", "chart_book", "treatment.toml", "before.jpg", "after é.png") == 0
    capsys.readouterr()
    assert typed("report", "chart_book") == 0
    assert "unchanged" in capsys.readouterr().out
    assert typed("gallery", "page") == 0
    page = at_home / "gallery-page"
    assert (page / name / "report" / "report.html").read_bytes() == first["report.html"]
    link = f'href="{name.replace("+", "%2B")}/report/report.html"'
    assert link in (page / f"{name}.html").read_text(encoding="utf-8")


def test_a_broken_treatment_leaves_the_page_without_a_report(
    at_home: Path, files: dict[str, bytes], capsys: pytest.CaptureFixture[str]
) -> None:
    name = "chart_book-hollow_tube+spine_inlay"
    keep(at_home / "gallery", name, files)
    add(at_home / "gallery", name, {"treatment.toml": b"format = 1"})
    assert typed("gallery", "page") == 0
    assert "no report on the page" in capsys.readouterr().err
    assert "Treatment report" not in (at_home / "gallery-page" / f"{name}.html").read_text("utf-8")


@pytest.mark.outside
def test_a_browser_shows_the_report_with_its_pictures(
    made: dict[str, bytes], tmp_path: Path, browser_page: Page
) -> None:
    for name, data in made.items():
        (tmp_path / name).write_bytes(data)
    said: list[str] = []
    browser_page.on("console", lambda message: said.append(message.text))
    browser_page.goto((tmp_path / "report.html").as_uri())
    browser_page.eval_on_selector_all("img", "all => all.forEach(one => one.loading = 'eager')")
    wait_until(
        browser_page,
        "[...document.images].length === 3 && [...document.images].every(one => one.naturalWidth > 0)",
    )
    assert browser_page.title() == "Treatment report: Pilot's chart book"
    assert said == []


def test_a_weight_or_opening_may_stand_in_the_forms_own_quotes() -> None:
    """The blank prints `weight_before = ""   # kg, as 1.25`: what is written there is read."""
    filled = '[treatment]\nweight_before = "1.25"\nweight_after = "2 lb 3 oz"\nopening_after = "95"'
    head = treatment.read(f'format = "{treatment.FORMAT}"\n{filled}', "form").head
    assert head["weight_before"] == 1.25
    assert head["weight_after"] == pytest.approx(0.992233, abs=1e-6)  # NIST SP 811: pound, ounce
    assert head["opening_after"] == 95


def test_a_blank_names_what_is_cut_and_sewn_not_the_printed_strips() -> None:
    """Tackets are thread alone; their marking strips are pages of the printout."""
    made = drafted("signal_book", "joint_tacket")
    tree = tomllib.loads(blank_bytes(dict(made.files), "signal_book").decode())
    assert [row["name"] for row in tree["material"]] == ["linen thread 18/3"]
    assert "piece" not in tree


def test_what_is_pasted_to_a_new_piece_is_no_evidence(files: dict[str, bytes]) -> None:
    """The tube hides spine and cover, not its own panels; the inlay the cover's spine."""
    found = joins(kept_of(files, "chart_book"))
    hidden = {one.to for one in found if one.covers}
    assert hidden == {"spine", "cover", "inside of the cover's spine"}
    assert all(one.made == "pasted" for one in found if one.covers)


def test_a_lining_over_a_new_lining_hides_nothing_more() -> None:
    """The paste reaches the spine through the tissue, which hides it already."""
    found = joins(kept_of(drafted("logbook", "board_slot", "secondary_sewing").files, "logbook"))
    hidden = {(one.piece, one.to) for one in found if one.covers and "board" not in one.to}
    assert hidden == {("first lining", "folds of the spine")}


def test_an_older_pattern_asks_of_everything_that_is_pasted(files: dict[str, bytes]) -> None:
    """Where a document does not tell what is covered, the conservator is asked rather than nobody."""
    tree = json.loads(files["pattern.json"])
    for piece in tree["pieces"]:
        for zone in piece["zones"]:
            del zone["covers"]
    old = joins(kept_of({**files, "pattern.json": json.dumps(tree).encode()}, "old"))
    assert {one.to for one in old if one.covers} == {one.to for one in old if one.made == "pasted"}
