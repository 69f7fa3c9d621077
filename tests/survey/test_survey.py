"""A survey through the command line: equal however the table was kept, honest about what it could not read."""

from __future__ import annotations

import csv
import io
import json
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import pandas
import pytest
from statsmodels.stats.proportion import proportion_confint

from patterns import cli
from patterns.survey.columns import columns
from patterns.survey.rows import from_cells
from patterns.survey.sample import interval, pick
from patterns.survey.writing import held
from tests.survey import harbour
from tests.survey.surveying import as_records, as_xlsx, digests, rows, surveyed

SOME = 60
PLAIN = "book.id,text_block.height,text_block.width,text_block.thickness,spine.profile,spine.linings,spine.shoulder,cover.kind"
"""Headings of the least that a book can be examined by."""


def bare(count: int = SOME) -> list[dict[str, object]]:
    """Return whole rows without the library's own judgement, which records do not hold."""
    return [
        {key: cell for key, cell in row.items() if not key.startswith(("value", "use"))}
        | {"value [1 to 4]": "", "use [1 to 4]": ""}
        for row in harbour.books(count, at_the_bench=0.05)
    ]


@pytest.fixture(scope="module")
def shipped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shipped collection, surveyed once."""
    return surveyed(harbour.SHIPPED, tmp_path_factory.mktemp("harbour") / "survey")


def test_the_shipped_table_is_what_its_script_writes() -> None:
    """Its seed is fixed, so that every figure told of it can be looked up."""
    made = harbour.as_csv(harbour.with_slips(harbour.books()), ";", ",")
    assert harbour.SHIPPED.read_bytes() == made


def test_one_collection_kept_in_four_ways_gives_one_table(tmp_path: Path) -> None:
    """Comma CSV, semicolons with decimal commas, a workbook, a folder of records: equal books.csv."""
    (tmp_path / "point.csv").write_bytes(harbour.as_csv(iter(bare())))
    (tmp_path / "comma.csv").write_bytes(harbour.as_csv(iter(bare()), ";", ","))
    as_xlsx(tmp_path / "book.xlsx", bare())
    as_records(tmp_path / "records", bare())
    found = {
        name: surveyed(tmp_path / name, tmp_path / f"{name}-survey") / "books.csv"
        for name in ("point.csv", "comma.csv", "book.xlsx", "records")
    }
    first = found["point.csv"].read_text(encoding="utf-8-sig")
    assert first.count("examined") == SOME
    for name, table in found.items():
        assert table.read_text(encoding="utf-8-sig") == first, name


def test_headings_over_merged_cells(tmp_path: Path) -> None:
    """The tables in one row over merged cells, the fields below: the same books."""
    text = harbour.as_csv(iter(bare(20))).decode("utf-8-sig")
    heads, *body = list(csv.reader(io.StringIO(text)))
    upper, lower, before = [], [], ""
    for head in heads:
        table, _, key = head.rpartition(".") if "." in head else ("", "", head)
        upper.append("" if table == before else table)
        lower.append(key)
        before = table
    above = io.StringIO()
    csv.writer(above).writerows([["Condition survey of the harbour office"], upper, lower, *body])
    (tmp_path / "merged.csv").write_text(above.getvalue(), encoding="utf-8")
    (tmp_path / "plain.csv").write_text(text, encoding="utf-8")
    merged = surveyed(tmp_path / "merged.csv", tmp_path / "m")
    plain = surveyed(tmp_path / "plain.csv", tmp_path / "p")
    assert (merged / "books.csv").read_bytes() == (plain / "books.csv").read_bytes()


def test_every_problem_of_a_row_is_told_with_its_column_and_remedy(tmp_path: Path) -> None:
    """Not the first alone; and the row below is examined all the same."""
    table = "book.id,text_block.height [mm],text_block.width [mm],spine.profile,cover.kind\nA,9000,abc,round,case\nB,240,160,flat,case\n"
    (tmp_path / "b.csv").write_text(table)
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    assert [row["state"] for row in rows(out / "books.csv")] == ["refused", "examined"]
    told = rows(out / "problems.csv")
    assert [row["column"] for row in told] == [
        "text_block.height [mm]",
        "text_block.width [mm]",
        "spine.profile",
    ]
    assert [row["where"] for row in told] == ["row 2"] * 3
    assert all(row["found"] and row["allowed"] and row["remedy"] for row in told)


def test_about_is_three_times_the_error_and_a_dash_is_not_measured(tmp_path: Path) -> None:
    """A reading taken “ca.” is doubted three times as far; “–” is counted apart from an empty cell."""
    table = "book.id;text_block.thickness;cover.board_thickness\nA;ca. 30;–\nB;30;?\nC;30;\n"
    (tmp_path / "b.csv").write_text(table)
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    told = [json.loads(line)["told"] for line in (out / "results.jsonl").read_text().splitlines()]
    assert [one["about"] for one in told] == [["text_block.thickness"], [], []]
    assert [one["not_measured"] for one in told] == [["cover.board_thickness"]] * 2 + [[]]
    read = columns(["book.id", "text_block.thickness"], {}, "b.csv").read
    (rough, plain) = (from_cells(["A", cell], read, "point").record for cell in ("ca. 30", "30"))
    assert rough is not None
    assert plain is not None
    assert (rough.measuring.error, plain.measuring.error) == (1.5, None)
    assert rough.measuring.caliper_error is None


def test_a_german_sheet_is_never_read_in_thousandths(tmp_path: Path) -> None:
    """“1.250 mm” beside “24,5” is a metre and a quarter, out of range, not 1.25 mm."""
    (tmp_path / "b.csv").write_text(
        "book.id;text_block.height;text_block.width\nA;1.250 mm;24,5\nB;99.250 mm;24,5\n"
    )
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    (told,) = rows(out / "problems.csv")
    assert told["id"] == "B"
    assert "99250" in told["found"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"book.id;text_block.height\nA;1.250\n", "--decimal point or --decimal comma"),
        (b"Shelf;Author\nA;B\n", "survey --blank"),
        (b"book.id,text_block.height\n", "holds no book below its headings"),
        (b"\xff\xff\x00a", "UTF-8"),
        (b"", "headings"),
    ],
)
def test_a_table_that_cannot_be_read_is_one_line(
    tmp_path: Path, content: bytes, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 1, one line that says what to do, and nothing half-written."""
    (tmp_path / "b.csv").write_bytes(content)
    with pytest.raises(SystemExit) as leave:
        cli.main(["survey", str(tmp_path / "b.csv"), "--out", str(tmp_path / "s")])
    told = capsys.readouterr().err
    assert leave.value.code == 1
    assert words in told
    assert told.count("\n") == 1
    assert not (tmp_path / "s").exists()


def test_a_formula_without_a_value_is_no_empty_cell(tmp_path: Path) -> None:
    """What a spreadsheet never reckoned, or could not, is refused in its row."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["book.id", "text_block.height"], ["A", "=2*120"], ["B", "#N/A"], ["C", 240.5]):
        sheet.append(row)
    book.save(tmp_path / "b.xlsx")
    out = surveyed(tmp_path / "b.xlsx", tmp_path / "s")
    assert [row["state"] for row in rows(out / "books.csv")] == ["refused", "refused", "examined"]
    told = [row["found"] for row in rows(out / "problems.csv")]
    assert told == [
        "holds a formula without a stored value",
        "holds the spreadsheet's own error #N/A",
    ]


def test_injected_formulas_are_written_harmless(tmp_path: Path) -> None:
    """No cell of any table begins with what a spreadsheet would run; the page shows words alone."""
    evil = [
        '=HYPERLINK("http://127.0.0.1","x")',
        "+1+1",
        "-2+3",
        "@SUM(A1)",
        "<script>alert(1)</script>",
    ]
    text = io.StringIO()
    csv.writer(text).writerows(
        [["book.id", "spine.profile", "text_block.height"], *([one, one, one] for one in evil)]
    )
    (tmp_path / "b.csv").write_text(text.getvalue())
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    for name in ("books.csv", "problems.csv", "materials.csv"):
        with (out / name).open(encoding="utf-8-sig", newline="") as file:
            cells = [cell for row in csv.reader(file) for cell in row]
        assert not [cell for cell in cells if cell.startswith(("=", "+", "-", "@"))]
    page = (out / "survey.html").read_text()
    assert "<script>alert" not in page


def test_the_page_counts_what_pandas_counts(shipped: Path) -> None:
    """Classes, findings and ways, counted anew from books.csv by another hand."""
    books = pandas.read_csv(shipped / "books.csv", encoding="utf-8-sig", keep_default_na=False)
    judged = books[books["state"] != "refused"]
    shown = _tables((shipped / "survey.html").read_text())
    findings = judged["findings"].str.split().explode().value_counts()
    assert shown["found"] == {key.replace("_", " "): int(n) for key, n in findings.items() if key}
    ways = judged["first_way"].value_counts()
    expected = {
        " + ".join(one.replace("_", " ") for one in way.split("+"))
        or "do nothing, tie or box": int(n)
        for way, n in ways.items()
    }
    assert shown["structures"] == expected
    classes = judged["class"].astype(int).value_counts()
    whole = shown["part"]["the whole book"]
    assert whole == [int(classes.get(one, 0)) for one in (1, 2, 3, 4)] + [0]
    assert (
        f"{len(books)} books read: {len(judged)} examined, {len(books) - len(judged)} refused"
        in (shipped / "survey.html").read_text()
    )


def test_fields_of_which_one_is_enough_are_told_with_or(shipped: Path) -> None:
    """The page is read by people: “or”, where books.csv has a mark between the names."""
    page = (shipped / "survey.html").read_text()
    assert "cover.board_height or cover.side_height" in page
    assert "board_height|cover" not in page
    assert "board_height|cover" in (shipped / "books.csv").read_text()


def test_urgency_is_the_product_of_what_stands_beside_it(shipped: Path) -> None:
    """Need × value × use, by the source's own columns, for books that have both and no other."""
    source = pandas.read_csv(harbour.SHIPPED, sep=";", decimal=",", encoding="utf-8-sig")
    books = pandas.read_csv(shipped / "books.csv", encoding="utf-8-sig")
    joined = books[books["state"] == "examined"].copy()
    value, use = (
        source.iloc[joined["row"] - 1][f"{one} [1 to 4]"].to_numpy() for one in ("value", "use")
    )
    assert (joined["urgency"].to_numpy() == joined["class"].to_numpy() * value * use).all()
    assert set(joined["urgency"]) <= {
        a * b * c for a in range(1, 5) for b in range(1, 5) for c in range(1, 5)
    }


@pytest.mark.parametrize(
    ("found", "sample", "population"), [(38, 385, 50_000), (0, 40, 900), (40, 40, 900), (3, 7, 8)]
)
def test_intervals_agree_with_statsmodels(found: int, sample: int, population: int) -> None:
    """Wilson's, on the sample size corrected for a finite population."""
    size = sample * (population - 1) / (population - sample)
    low, high = proportion_confint(found / sample * size, size, method="wilson")
    assert interval(found, sample, population) == pytest.approx((low, high), abs=1e-12)


def test_a_whole_collection_has_no_interval_and_a_sample_is_told(tmp_path: Path) -> None:
    """No per cent of a collection without its size; with it, the page says what the shares rest on."""
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(bare(30))))
    whole = surveyed(tmp_path / "b.csv", tmp_path / "w") / "survey.html"
    assert "of the collection" not in whole.read_text()
    assert " %" not in whole.read_text().partition("<main")[2].partition('id="books"')[0]
    sample = surveyed(tmp_path / "b.csv", tmp_path / "s", "--sample", "12", "--seed", "4")
    assert "A sample of a collection of 30 books" in (sample / "survey.html").read_text()
    assert {int(row["row"]) for row in rows(sample / "books.csv")} == pick(30, 12, 4)


def test_a_sample_is_simple_and_random() -> None:
    """Every book as likely as any other; the same seed, the same books."""
    drawn = [pick(20, 5, seed) for seed in range(4000)]
    counts = [sum(row in one for one in drawn) for row in range(1, 21)]
    assert all(len(one) == 5 for one in drawn)
    assert max(abs(count - 1000) for count in counts) < 5 * (4000 * 0.25 * 0.75) ** 0.5
    assert pick(20, 5, 7) == pick(20, 5, 7)


def test_a_second_run_takes_what_is_there_and_changes_nothing(tmp_path: Path) -> None:
    """The same command twice gives the same bytes; one mended row is the only one judged again."""
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(bare(30))))
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    before = digests(out)
    assert digests(surveyed(tmp_path / "b.csv", out)) == before
    mended = bare(30)
    mended[4]["text_block.height [mm]"] = 231.5
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(mended)))
    keys = [json.loads(line)["key"] for line in (out / "results.jsonl").read_text().splitlines()]
    surveyed(tmp_path / "b.csv", out)
    anew = [json.loads(line)["key"] for line in (out / "results.jsonl").read_text().splitlines()]
    assert [place for place, (a, b) in enumerate(zip(keys, anew, strict=True)) if a != b] == [4]


def test_a_torn_last_line_is_dropped(tmp_path: Path) -> None:
    """A run ended while it wrote goes on to the same end."""
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(bare(30))))
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    before = digests(out)
    whole = (out / "results.jsonl").read_bytes()
    for cut in (0, 1, len(whole) // 2, len(whole) - 1):
        (out / "results.jsonl").write_bytes(whole[:cut])
        assert digests(surveyed(tmp_path / "b.csv", out)) == before


def test_another_s_files_are_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A folder that holds a books.csv of somebody's own is refused before anything is done."""
    (tmp_path / "books.csv").write_bytes(harbour.as_csv(iter(bare(3))))
    before = (tmp_path / "books.csv").read_bytes()
    with pytest.raises(SystemExit) as leave:
        cli.main(["survey", str(tmp_path / "books.csv"), "--out", str(tmp_path)])
    assert leave.value.code == 1
    assert "give another --out" in capsys.readouterr().err
    assert (tmp_path / "books.csv").read_bytes() == before


def test_another_s_results_are_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A results.jsonl that no survey began: a whole file of somebody's own would be dropped as torn."""
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(bare(3))))
    own = b'{"experiment": 1}\n'
    (tmp_path / "s").mkdir()
    (tmp_path / "s" / "results.jsonl").write_bytes(own)
    with pytest.raises(SystemExit) as leave:
        cli.main(["survey", str(tmp_path / "b.csv"), "--out", str(tmp_path / "s")])
    assert leave.value.code == 1
    assert "give another --out" in capsys.readouterr().err
    assert (tmp_path / "s" / "results.jsonl").read_bytes() == own


def test_a_library_s_own_shelf_marks_name_its_books(tmp_path: Path) -> None:
    """Marks with spaces, points, slashes and letters of every alphabet; each drafts into a folder of its own."""
    marks = ["MS. 12/3", "MS 12.3", "Séa «4»", "Ж 7"]
    lines = [f'"{mark}",226,160,30,flat,0,0,limp' for mark in marks]
    (tmp_path / "b.csv").write_text("\n".join([PLAIN, *lines]), encoding="utf-8")
    out = surveyed(tmp_path / "b.csv", tmp_path / "s", "--draft")
    told = rows(out / "books.csv")
    assert sorted(one["id"] for one in told) == sorted(marks)
    assert {one["state"] for one in told} <= {"examined", "drafted"}
    drafted = [one for one in told if one["state"] == "drafted"]
    assert len(list((out / "books").glob("*"))) == len(drafted)


def test_a_row_with_a_cell_too_many_is_refused(tmp_path: Path) -> None:
    """A comma in words without quotes moves every cell behind it: nothing of such a row is believed."""
    lines = [
        "a,226,160,30,flat,0,0,limp",
        "b,226,160,30,flat,0,0,limp,,",
        "c,226,160,30,flat,0,0,limp, old",
    ]
    (tmp_path / "b.csv").write_text("\n".join([PLAIN, *lines]), encoding="utf-8")
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    assert [one["state"] for one in rows(out / "books.csv")] == ["examined", "examined", "refused"]
    (problem,) = rows(out / "problems.csv")
    assert "“ old” stands to the right of the last heading" in problem["found"]


def test_fractions_stand_below_a_heading_in_inches(tmp_path: Path) -> None:
    """9 1/2 below [in] is 241.3 mm: beyond 240.0 of another book in nothing but its unit."""
    head = PLAIN.replace("height", "height [in]")
    (tmp_path / "b.csv").write_text(
        f"{head}\na,9 1/2,160,30,flat,0,0,limp\nb,95,160,30,flat,0,0,limp", "utf-8"
    )
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    one, other = rows(out / "books.csv")
    assert one["state"] == "examined"
    assert other["state"] == "refused"
    assert "2413 mm" in rows(out / "problems.csv")[0]["found"]


def test_two_surveys_never_write_into_one_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second waits a moment and is refused; the folder is as the first left it."""
    monkeypatch.setattr("patterns.survey.writing.PATIENCE_S", 0.1)
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(bare(3))))
    out = surveyed(tmp_path / "b.csv", tmp_path / "s")
    before = digests(out)
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(bare(5))))
    with held(out), pytest.raises(SystemExit) as leave:
        cli.main(["survey", str(tmp_path / "b.csv"), "--out", str(out), "--jobs", "1"])
    assert leave.value.code == 1
    assert "another survey is writing here" in capsys.readouterr().err
    assert digests(out) == before
    assert digests(surveyed(tmp_path / "b.csv", out)) != before


@pytest.mark.parametrize(
    "address",
    ["tcp://192.0.2.7:8786", "192.0.2.7:8786", "tls://192.0.2.7:8786", "tcp://example.invalid:1"],
)
def test_an_open_scheduler_elsewhere_is_refused(
    tmp_path: Path, address: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """It would run anyone's code: on this machine or behind TLS, nowhere else; nothing is asked of it."""
    (tmp_path / "b.csv").write_bytes(harbour.as_csv(iter(bare(3))))
    with pytest.raises(SystemExit) as leave:
        cli.main(
            [
                "survey",
                str(tmp_path / "b.csv"),
                "--out",
                str(tmp_path / "s"),
                "--scheduler",
                address,
            ]
        )
    assert leave.value.code == 1
    assert "--tls ca,certificate,key" in capsys.readouterr().err


class _Tables(HTMLParser):
    """Cells of every table by the first heading of each."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self.inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert attrs is not None
        if tag == "table":
            self.tables.append([])
        if tag == "tr":
            self.tables[-1].append([])
        if tag in ("th", "td"):
            self.tables[-1][-1].append("")
            self.inside = True

    def handle_endtag(self, tag: str) -> None:
        if tag in ("th", "td"):
            self.inside = False

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.tables[-1][-1][-1] += data.strip()


def _tables(page: str) -> dict[str, dict[str, object]]:
    reader = _Tables()
    reader.feed(page)
    found: dict[str, dict[str, object]] = {}
    for table in reader.tables:
        (head, *_), *body = table
        if head == "part":
            found[head] = {row[0]: [int(cell) for cell in row[1:]] for row in body}
        elif head not in found and table[0][1:2] == ["books"]:
            found[head] = {row[0]: int(row[1]) for row in body}
    return found
