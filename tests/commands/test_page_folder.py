"""`gallery page` removes nothing from its folder but the files that it wrote there itself."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from patterns.errors import WriteError
from patterns.gallery import page_folder, site, store
from tests.commands.bench import Run
from tests.commands.bench import listing as everything
from tests.gallery_samples import pattern_files

MINE = b"years of work"


def listing(folder: Path) -> dict[str, bytes]:
    """Return every path below a folder with what is in it, the search index apart."""
    return {name: data for name, data in everything(folder).items() if "settings" not in name}


@pytest.fixture
def page(run: Run, bench: Path) -> Path:
    """A page of two patterns, written once."""
    for number in (1, 2):
        store.keep(bench / "gallery", f"B-{number}-hollow_tube", pattern_files(f"B-{number}"))
    assert run("gallery", "page").status == 0
    return bench / "gallery-page"


def file(name: str) -> Callable[[Path], None]:
    """Put a file of one's own into the page's folder."""

    def put(page: Path) -> None:
        (page / name).parent.mkdir(parents=True, exist_ok=True)
        (page / name).write_bytes(MINE)

    return put


def link(page: Path) -> None:
    """Put a link to a folder of one's own into the page's folder."""
    elsewhere = page.parent / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "index.html").write_bytes(MINE)
    (page / "mine").symlink_to(elsewhere)


def linked_pattern(page: Path) -> None:
    """Lead a folder of the page elsewhere, to files of the same names."""
    shutil.move(page / "B-1-hollow_tube", page.parent / "elsewhere")
    (page / "B-1-hollow_tube").symlink_to(page.parent / "elsewhere")


FOREIGN = [
    (file("thesis.txt"), "thesis.txt"),
    (file("B-1-hollow_tube/thesis.txt"), "B-1-hollow_tube/thesis.txt"),
    (file("photographs/spine/one.jpg"), "photographs/spine/one.jpg"),
    (file(".htaccess"), ".htaccess"),
    (file(".part-0123456789abcdef/one.txt"), ".part-0123456789abcdef/one.txt"),
    (link, "mine"),
    (linked_pattern, "B-1-hollow_tube"),
    (lambda page: (page / "empty").mkdir(), "empty"),
]


@pytest.mark.parametrize(("put", "name"), FOREIGN, ids=[name for _, name in FOREIGN])
def test_what_a_user_put_there_stays_and_is_named(
    run: Run, bench: Path, page: Path, put: Callable[[Path], None], name: str
) -> None:
    """The run is refused in one line with the name, and everything is as it was."""
    put(page)
    store.keep(bench / "gallery", "B-3-hollow_tube", pattern_files("B-3"))
    before = listing(bench)
    said = run("gallery", "page")
    assert (said.status, said.out) == (1, "")
    assert said.err.count("\n") == 1
    assert f"holds {name}" in said.err
    assert "no file of the gallery's page" in said.err
    assert listing(bench) == before


@pytest.mark.parametrize("name", ["index.html", "style.css", "B-1-hollow_tube/sheets.pdf"])
def test_a_file_of_the_page_that_was_changed_is_a_user_s_own(
    run: Run, page: Path, name: str
) -> None:
    """Whoever edited the page, or laid a file of theirs in its place, loses nothing."""
    (page / name).write_bytes(MINE)
    said = run("gallery", "page")
    assert said.status == 1
    assert f"{name} was changed after the page was written" in said.err
    assert (page / name).read_bytes() == MINE


@pytest.mark.parametrize("listed", [b"", b"{}", b"[]", b'{"format": "x", "files": {}}', b"\xff"])
def test_an_earlier_page_without_a_list_is_left_alone(run: Run, page: Path, listed: bytes) -> None:
    """Earlier versions left an empty mark: nobody knows which files are the page's own."""
    (page / page_folder.LIST).write_bytes(listed)
    before = listing(page)
    said = run("gallery", "page")
    assert said.status == 1
    assert "an earlier page without a list of its files" in said.err
    assert listing(page) == before


def test_a_forged_list_removes_nothing_outside(run: Run, bench: Path, page: Path) -> None:
    """Names that lead out of the folder are not followed."""
    (bench / "mine.txt").write_bytes(MINE)
    path = page / page_folder.LIST
    tree = json.loads(path.read_bytes())
    tree["files"] |= {"../mine.txt": page_folder.digest(bench / "mine.txt")}
    path.write_text(json.dumps(tree))
    assert run("gallery", "page").status == 0
    assert (bench / "mine.txt").read_bytes() == MINE


def test_the_pages_of_patterns_that_are_gone_go_too(run: Run, bench: Path, page: Path) -> None:
    """All that is on the list is replaced; nothing is left beside the page."""
    shutil.rmtree(bench / "gallery" / "B-2-hollow_tube")
    there = {path.name for path in bench.iterdir()}
    assert run("gallery", "page").status == 0
    assert not (page / "B-2-hollow_tube.html").exists()
    assert not (page / "B-2-hollow_tube").exists()
    assert {path.name for path in bench.iterdir()} == there
    listed = json.loads((page / page_folder.LIST).read_bytes())["files"]
    assert listed.keys() == {
        path.relative_to(page).as_posix()
        for path in page.rglob("*")
        if path.is_file() and path.name != page_folder.LIST
    }


def test_what_a_file_browser_leaves_stays_and_hinders_nobody(run: Run, page: Path) -> None:
    """The marks that systems write into every folder one looks at are carried along."""
    (page / ".DS_Store").write_bytes(b"icons")
    (page / "B-1-hollow_tube" / "Thumbs.db").write_bytes(b"small")
    assert run("gallery", "page").status == 0
    assert (page / ".DS_Store").read_bytes() == b"icons"
    assert (page / "B-1-hollow_tube" / "Thumbs.db").read_bytes() == b"small"
    assert run("gallery", "page").status == 0


def test_a_file_that_comes_while_the_page_is_written_is_kept(
    bench: Path, page: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seen by no check, it is not on the list, so it is not removed; where it lies is told."""
    check = page_folder.check
    calls: list[Path] = []

    def late(out: Path) -> None:
        check(out)
        calls.append(out)
        if len(calls) == 2:
            rename = os.rename

            def renamed(source: Path, target: Path) -> None:
                monkeypatch.setattr(os, "rename", rename)
                (page / "B-1-hollow_tube" / "late.txt").write_bytes(MINE)
                rename(source, target)

            monkeypatch.setattr(os, "rename", renamed)

    monkeypatch.setattr(page_folder, "check", late)
    built = site.build(bench / "gallery", page)
    assert built.left == bench / "gallery-page.earlier-1"
    assert listing(built.left) == {"B-1-hollow_tube": b"", "B-1-hollow_tube/late.txt": MINE}
    assert (page / "index.html").is_file()


def test_a_stop_between_the_two_renames_leaves_the_earlier_page(
    bench: Path, page: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Ctrl-C at the worst moment: the page is as it was, and nothing lies beside it."""
    before = listing(bench)
    rename, calls = os.rename, []

    def stopped(source: Path, target: Path) -> None:
        calls.append(source)
        if len(calls) == 2:
            raise KeyboardInterrupt
        rename(source, target)

    monkeypatch.setattr(os, "rename", stopped)
    with pytest.raises(KeyboardInterrupt):
        site.build(bench / "gallery", page)
    assert listing(bench) == before


def test_a_folder_that_is_no_page_is_refused_by_what_it_holds(bench: Path) -> None:
    """Nothing is taken for a page that has no list."""
    store.keep(bench / "gallery", "B-1-hollow_tube", pattern_files("B-1"))
    with pytest.raises(WriteError, match=r"gallery: holds B-1-hollow_tube/r0001/manifest\.json"):
        site.build(bench / "gallery", bench / "gallery")
