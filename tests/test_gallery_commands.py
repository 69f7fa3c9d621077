"""`mendfold gallery` and `mendfold report` as a person types them."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from patterns.cli import main
from patterns.gallery import manifest as manifests
from tests.books import DEMO
from tests.gallery_samples import DOT, OWNER, pattern_files, record_text


@dataclass
class Said:
    """What a command printed, and how it ended."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


Run = Callable[..., Said]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    monkeypatch.chdir(tmp_path)
    for name in ("CACHE", "CONFIG"):
        monkeypatch.setenv(f"MENDFOLD_{name}", str(tmp_path / name.lower()))
    monkeypatch.delenv("MENDFOLD_GALLERY", raising=False)

    def typed(*words: object) -> Said:
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main([str(word) for word in words])
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        return Said(int(ended.value.code or 0), said.out, said.err)

    return typed


def put(folder: Path, files: dict[str, bytes]) -> Path:
    folder.mkdir(parents=True)
    for name, data in files.items():
        (folder / name).write_bytes(data)
    return folder


@pytest.fixture
def kept(run: Run, tmp_path: Path) -> Run:
    for book_id, title in (("LOG-1", "Harbour master's logbook"), ("ALM-2", "Tide almanac")):
        put(tmp_path / f"{book_id}-hollow_tube", pattern_files(book_id, title=title))
        assert run("gallery", "keep", f"{book_id}-hollow_tube").status == 0
    return run


def test_keep_says_where_and_says_unchanged(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "any name", pattern_files())
    assert run("gallery", "keep", "any name").out == "gallery/LOG-1-hollow_tube/r0001: kept\n"
    again = run("gallery", "keep", "any name", "--json").json
    assert again == {"pattern": "LOG-1-hollow_tube", "revision": "r0001", "new": False}


def test_list_and_find_print_tables_and_json(kept: Run) -> None:
    lines = kept("gallery", "list").out.splitlines()
    assert lines[0].split() == [
        "id",
        "title",
        "structures",
        "height",
        "×",
        "width",
        "×",
        "thickness",
        "measured",
        "revision",
    ]
    assert [line.split()[0] for line in lines[1:]] == ["ALM-2", "LOG-1"]
    found = kept("gallery", "find", "logb", "--height", "190-200", "--json").json
    assert [one["id"] for one in found["patterns"]] == ["LOG-1"]
    assert found["all"] == 1
    assert kept("gallery", "find", "sextant").out == "No pattern found.\n"
    assert "1 more" in kept("gallery", "find", "--limit", "1").err


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("--structure", "spine_inlay"), ["CHART-3"]),
        (("--structure", "spine_inlay", "--structure", "hollow_tube"), []),
        (("--material", "calf"), ["CHART-3"]),
        (("--width", "201-"), ["CHART-3"]),
        (("--width", "-200"), ["ALM-2", "LOG-1"]),
        (("--thickness", "12"), ["CHART-3"]),
        (("--thickness", "30-40"), ["ALM-2", "LOG-1"]),
        (("--weight", "5-"), ["CHART-3"]),
        (("--until", "2026-11-24"), ["CHART-3"]),
        (("--since", "2026-11-25"), ["ALM-2", "LOG-1"]),
        (("--since", "2026-11-20", "--until", "2026-11-24"), []),
    ],
)
def test_every_option_of_find_leaves_the_others_out(
    kept: Run, tmp_path: Path, words: tuple[str, ...], found: list[str]
) -> None:
    """Of three books: 160 wide, 38 thick, 4.1 kg, read on 25 November; one 210, 12, 6 kg, on the 19th."""
    files = pattern_files(
        "CHART-3",
        title="Chart book",
        structures=("spine_inlay",),
        material="vegetable-tanned calf",
        book={"weight": 6.0},
        text_block={"width": 210.0, "thickness": 12.0},
        spine={"girth_head": 14.0},
        measuring={"on": "2026-11-19"},
    )
    put(tmp_path / "CHART-3-spine_inlay", files)
    assert kept("gallery", "keep", "CHART-3-spine_inlay").err == ""
    said = kept("gallery", "find", *words, "--json")
    assert [one["id"] for one in said.json["patterns"]] == found


def test_rebuild_reads_what_the_index_took_for_known(kept: Run, tmp_path: Path) -> None:
    """A manifest changed behind an old folder's back is listed anew only then."""
    home = tmp_path / "gallery" / "LOG-1-hollow_tube"
    for folder in home.parent.iterdir():
        os.utime(folder, (1_700_000_000, 1_700_000_000))
    assert "Harbour master's logbook" in kept("gallery", "list").out
    manifest = home / "r0001" / manifests.MANIFEST
    manifest.write_text(manifest.read_text("utf-8").replace("Harbour master", "Pilot"), "utf-8")
    assert "Harbour master's logbook" in kept("gallery", "list").out
    assert "Pilot's logbook" in kept("gallery", "list", "--rebuild").out


@pytest.mark.parametrize(
    "words",
    [
        ("find", "--height", "20-10"),
        ("find", "--height", "tall"),
        ("find", "--weight", "-"),
        ("find", "--since", "yesterday"),
        ("find", "???"),
        ("show", "LOG-9"),
        ("show", "../LOG-1"),
        ("keep", "nowhere"),
        ("keep", "."),
        ("add", "LOG-9", "picture.jpg"),
        ("export", "LOG-9"),
        ("import", "nowhere.zip"),
        ("similar", "nowhere.toml"),
        ("reuse", "LOG-1", "nowhere.toml"),
        ("verify", "LOG-9"),
        ("list", "--gallery", "nowhere"),
        ("page", "--gallery", "nowhere"),
        ("page", "--out", "."),
    ],
)
def test_a_refusal_is_one_line_and_status_1(kept: Run, tmp_path: Path, words: tuple[str]) -> None:
    (tmp_path / "picture.jpg").write_bytes(b"x")
    said = kept("gallery", *words)
    assert said.status == 1
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert said.err.startswith("mendfold: ")


def test_a_folder_that_is_no_pattern_says_what_is_wanted(run: Run, tmp_path: Path) -> None:
    put(tmp_path / "photos", {"a.jpg": b"x"})
    assert "there is no pattern.json" in run("gallery", "keep", "photos").err
    put(tmp_path / "deep" / "inner", {"a.jpg": b"x"})
    assert "holds the folder inner" in run("gallery", "keep", "deep").err


def test_show_tells_what_changed_and_keeps_the_owner_back(kept: Run, tmp_path: Path) -> None:
    put(tmp_path / "again", pattern_files("LOG-1", height=199.0, setback=2.5))
    assert "r0002: kept" in kept("gallery", "keep", "again").out
    said = kept("gallery", "show", "LOG-1")
    assert "measurement text_block.height: 196 → 199" in said.out
    assert "parameter hollow_tube.setback: 1 → 2.5" in said.out
    assert OWNER not in said.out
    assert OWNER in kept("gallery", "show", "LOG-1", "--with-owner").out
    document = kept("gallery", "show", "LOG-1-hollow_tube", "--json").json
    changes = document["revisions"][1]["changes"]
    assert {(one["name"], one["before"], one["after"]) for one in changes} == {
        ("text_block.height", 196.0, 199.0),
        ("hollow_tube.setback", 1.0, 2.5),
    }
    assert "owner" not in document


def test_add_makes_a_revision_and_keep_carries_it_on(kept: Run, tmp_path: Path) -> None:
    (tmp_path / "before.jpg").write_bytes(DOT)
    said = kept("gallery", "add", "LOG-1", "before.jpg")
    assert said.status == 1
    assert "before.jpg: a GIF file by its content" in said.err
    (tmp_path / "before.jpg").rename(tmp_path / "before.gif")
    assert "r0002: kept" in kept("gallery", "add", "LOG-1", "before.gif").out
    assert "unchanged" in kept("gallery", "add", "LOG-1", "before.gif").out
    assert "unchanged" in kept("gallery", "keep", "LOG-1-hollow_tube").out
    assert (tmp_path / "gallery/LOG-1-hollow_tube/r0002/before.gif").is_file()


def test_similar_names_features_and_distances(kept: Run, tmp_path: Path) -> None:
    tables = {"book": {"id": "NEW"}, "text_block": {"height": 196.0, "thickness": 19.0}}
    (tmp_path / "new.toml").write_text(record_text(tables))
    near = kept("gallery", "similar", "new.toml", "--json").json["nearest"]
    assert [one["entry"]["id"] for one in near] == ["ALM-2", "LOG-1"]
    # half the thickness is 5 tenths of the larger apart, the height 0: the root of 25 / 2
    assert near[0]["distance"] == pytest.approx((25 / 2) ** 0.5)
    assert near[0]["features"][0] == {
        "name": "thickness", "asked": 19.0, "found": 38.0, "distance": 5.0,
    }  # fmt: skip
    assert "thickness" in kept("gallery", "similar", "new.toml").out


def test_similar_names_what_it_could_not_read(kept: Run, tmp_path: Path) -> None:
    """A manifest that is none is passed over, with its pattern's name; the other book is still compared."""
    broken = tmp_path / "gallery" / "ALM-2-hollow_tube" / "r0001" / manifests.MANIFEST
    broken.write_text("[]", encoding="utf-8")
    (tmp_path / "new.toml").write_text(record_text({"text_block": {"height": 196.0}}))
    said = kept("gallery", "similar", "new.toml")
    assert said.status == 0
    assert "LOG-1" in said.out
    assert "ALM-2" not in said.out
    assert "ALM-2-hollow_tube" in said.err
    assert said.err.count("\n") == 1


def test_export_and_import_between_two_galleries(kept: Run, tmp_path: Path) -> None:
    assert kept("gallery", "export", "LOG-1").status == 0
    assert "unchanged" in kept("gallery", "export", "LOG-1").out
    there = tmp_path / "there"
    said = kept("gallery", "import", "LOG-1-hollow_tube.zip", "--gallery", there)
    assert said.out == f"r0001: {there}/LOG-1-hollow_tube/r0001\n"
    assert "already there" in kept("gallery", "import", "LOG-1-hollow_tube.zip").out
    assert OWNER.encode() not in (there / "LOG-1-hollow_tube/r0001/record.toml").read_bytes()
    assert kept("gallery", "show", "LOG-1", "--gallery", there).status == 0


def test_the_gallery_may_be_named_by_the_environment(
    kept: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.move(tmp_path / "gallery", tmp_path / "share")
    assert kept("gallery", "list").status == 1
    monkeypatch.setenv("MENDFOLD_GALLERY", str(tmp_path / "share"))
    assert "LOG-1" in kept("gallery", "list").out


def test_page_is_written_and_replaced(kept: Run, tmp_path: Path) -> None:
    assert kept("gallery", "page").out == "gallery-page/index.html: 2 patterns\n"
    assert kept("gallery", "page").status == 0
    assert (tmp_path / "gallery-page/ALM-2-hollow_tube.html").is_file()


def test_verify_checks_files_and_drawings_and_sweeps(run: Run, tmp_path: Path) -> None:
    run("draft", DEMO / "chart_book.toml", "hollow_tube", "--keep")
    home = tmp_path / "gallery" / "chart_book-hollow_tube"
    assert run("gallery", "verify").status == 0
    stale = home / ".part-0123456789abcdef"
    stale.mkdir()
    os.utime(stale, (time.time() - 4000,) * 2)
    assert "removed" in run("gallery", "verify", "--files-only").err
    assert not stale.exists()
    text = (home / "r0001" / "sheet-01.svg").read_bytes()
    (home / "r0001" / "sheet-01.svg").write_bytes(text + b" ")
    said = run("gallery", "verify", "--json")
    assert said.status == 1
    assert said.json["patterns"][0]["damage"] == [
        "r0001: sheet-01.svg was changed after it was kept"
    ]


def test_verify_names_what_would_be_drawn_differently(run: Run, tmp_path: Path) -> None:
    run("draft", DEMO / "chart_book.toml", "hollow_tube")
    path = tmp_path / "chart_book-hollow_tube" / "pattern.json"
    tree = json.loads(path.read_bytes())
    tree["quantities"]["strip_mm"] += 1.25
    path.write_text(json.dumps(tree))
    run("gallery", "keep", "chart_book-hollow_tube")
    said = run("gallery", "verify")
    assert said.status == 1
    assert "quantities.strip_mm: " in said.out
    assert "(by 1.25)" in said.out


def test_reuse_drafts_and_shows_what_had_to_differ(run: Run, tmp_path: Path) -> None:
    run("draft", DEMO / "chart_book.toml", "hollow_tube", "--set", "slit=12", "--keep")
    said = run("gallery", "reuse", "chart_book", DEMO / "logbook.toml", "--json")
    assert said.json["settings"] == {"hollow_tube.slit": "12.0"}
    assert (tmp_path / "logbook-hollow_tube" / "sheets.pdf").is_file()
    names = {one["name"] for one in said.json["differs"]}
    assert {"text_block.height", "strip_mm"} <= names
    assert "unchanged" in run("gallery", "reuse", "chart_book", DEMO / "logbook.toml").out


def test_listing_loads_no_geometry_and_no_writer(kept: Run, tmp_path: Path) -> None:
    assert kept("gallery", "list").status == 0
    code = (
        "import sys; from patterns.cli import main\n"
        "try: main(['gallery', 'list'])\n"
        "except SystemExit as end: assert not end.code\n"
        "heavy = {'shapely', 'numpy', 'reportlab', 'svgwrite', 'cairosvg', 'ezdxf'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=tmp_path, capture_output=True)


def test_help_names_every_command(run: Run) -> None:
    said = run("gallery", "--help").out
    for name in ("keep", "add", "list", "find", "similar", "show", "reuse", "page", "verify",
                 "export", "import"):  # fmt: skip
        assert f"\n  {name} " in said
        assert run("gallery", name, "--help").out.startswith("Usage:")


def test_verify_says_which_old_sheets_name_the_owner(run: Run, tmp_path: Path) -> None:
    """Sheets kept by an earlier version named the owner; the folder itself is told not to be passed on."""
    run("draft", DEMO / "pay_book.toml", "flap_wrapper", "--keep")
    home = tmp_path / "gallery" / "pay_book-flap_wrapper" / "r0001"
    assert "names the owner" not in run("gallery", "verify", "--files-only").out
    sheet = (home / "sheet-01.svg").read_text()
    title = "owner The harbour office"
    (home / "sheet-01.svg").write_text(re.sub(r"<title>[^<]*", f"<title>{title}", sheet, count=1))
    listed = manifests.read((home / manifests.MANIFEST).read_bytes(), "r0001")
    files = {row: (home / row).read_bytes() for row in listed.files}
    older = replace(listed, files=manifests.rows(files), no_owner_drawn=False)
    (home / manifests.MANIFEST).write_bytes(older.write())
    said = run("gallery", "verify", "--files-only")
    assert "names the owner, or may, on r0001: sheet-01.svg" in said.out
    assert "pass the folder itself to nobody" in said.out
