"""What is seen of a draft: the same as `draft` writes, whatever was typed before; never in the way."""

from __future__ import annotations

import os
import signal
import threading
import time
from pathlib import Path

from patterns.bench.drawer import Drawer
from patterns.bench.wish import BookWish, NotDrawn, Overtaken, PagesSeen, SheetSeen
from patterns.examine.examination import examine
from patterns.gallery import store
from patterns.record import reading
from patterns.stock import materials
from patterns.structures import catalogue
from tests.bench.benches import Asking
from tests.books import demo, made

ATLAS, LOGBOOK, PAY_BOOK = 1, 2, 3
CHOSEN = "board_slot+secondary_sewing"


def test_the_sheets_equal_those_of_draft_byte_for_byte(bench: Asking) -> None:
    """After figures, settings, papers and structures came and went, each sheet is as draft writes it."""
    bench.post(f"/books/{ATLAS}/structures", names="hollow_tube", settings="")
    bench.get(f"/books/{ATLAS}/look/sheet")
    bench.post(f"/books/{ATLAS}/field", name="text_block.thickness", words="40", visit="")
    bench.get(f"/books/{ATLAS}/look/pieces")
    bench.post(f"/books/{ATLAS}/undo")
    bench.post(f"/books/{ATLAS}/paper", paper="A3")
    bench.get(f"/books/{ATLAS}/look/pages")
    bench.post(f"/books/{ATLAS}/undo")
    bench.post(f"/books/{ATLAS}/structures", names=CHOSEN, settings="")
    bench.post(f"/books/{ATLAS}/setting", name="secondary_sewing.stitch", words="12", visit="")
    drawn = made("atlas", *CHOSEN.split("+"), settings={"secondary_sewing.stitch": "12"})
    pages = bench.get(f"/books/{ATLAS}/look/pages").json["pages"]
    assert len(pages) == drawn.sheets
    for page in range(1, drawn.sheets + 1):
        told = bench.get(f"/books/{ATLAS}/look/sheet?page={page}")
        assert told.body == drawn.files[f"sheet-{page:02d}.svg"]
    link = bench.post(f"/books/{ATLAS}/print").json["link"]
    assert bench.raw("GET", link).body == drawn.files["sheets.pdf"]


def test_pieces_come_side_by_side_with_what_the_settings_came_to(bench: Asking) -> None:
    """One picture of all pieces, and every setting that was worked out."""
    bench.post(f"/books/{ATLAS}/structures", names=CHOSEN, settings="")
    told = bench.get(f"/books/{ATLAS}/look/pieces").json
    assert told["svg"].startswith("<svg")
    assert told["settings"]["secondary_sewing.stitch"] == "15"
    bench.post(f"/books/{ATLAS}/setting", name="secondary_sewing.stitch", words="9", visit="")
    again = bench.get(f"/books/{ATLAS}/look/pieces").json
    assert again["settings"]["secondary_sewing.stitch"] == "9"
    assert again["svg"] != told["svg"]


def test_findings_and_ways_are_told_with_reasons(bench: Asking) -> None:
    """What the book says, what would hold, for and against, and what is still to be measured."""
    html = bench.get(f"/books/{ATLAS}/look/findings").json["html"]
    said = examine(demo("atlas"), materials.load(), catalogue.templates())
    for choice in said.choices:
        assert choice.structure == "nothing" or f'data-choose="{choice.structure}"' in html
    assert len(said.choices) > 3
    assert '<ul class="pros"><li>' in html
    assert '<ul class="cons"><li>' in html


def test_a_wrong_figure_and_a_wrong_setting_are_told_beside_them(bench: Asking) -> None:
    """The drawing waits; what is wrong stands with its field or its setting."""
    bench.post(f"/books/{ATLAS}/structures", names=CHOSEN, settings="")
    bench.post(f"/books/{ATLAS}/setting", name="board_slot.depth", words="8 yards", visit="")
    told = bench.get(f"/books/{ATLAS}/look/pieces").json
    assert "board_slot.depth" in told["problems"]
    bench.post(f"/books/{ATLAS}/field", name="text_block.height", words="tall", visit="")
    told = bench.get(f"/books/{ATLAS}/look/pieces").json
    assert told["waiting"] is True
    assert "text_block.height" in told["problems"]


def test_nothing_outside_the_folder_changes(bench: Asking, folder: Path, tmp_path: Path) -> None:
    """Drafting, saving, keeping, exporting and reporting write into the folder alone."""

    index = Path(os.environ["MENDFOLD_CACHE"])

    def elsewhere() -> dict[str, bytes]:
        found = {}
        for path in tmp_path.rglob("*"):
            if path.is_file() and folder not in path.parents:
                found[str(path)] = path.read_bytes()
        return found

    before = elsewhere()
    bench.post(f"/books/{ATLAS}/structures", names=CHOSEN, settings="")
    bench.post(f"/books/{ATLAS}/field", name="book.note", words="seen", visit="")
    assert bench.post(f"/books/{ATLAS}/save").status == 200
    kept = bench.post(f"/books/{ATLAS}/keep").json
    assert bench.post(f"/books/{ATLAS}/export").status == 200
    number = kept["pattern"]
    assert bench.get("/gallery").status == 200
    assert bench.get(f"/gallery/{number}").status == 200
    assert bench.post(f"/gallery/{number}/report").status == 200
    assert elsewhere() == before
    assert not index.exists()


def test_what_is_kept_is_found_again_and_used(bench: Asking, folder: Path) -> None:
    """Kept as `draft --keep` keeps it, once; its structures and settings serve the next book."""
    bench.post(f"/books/{ATLAS}/structures", names=CHOSEN, settings="")
    bench.post(f"/books/{ATLAS}/setting", name="secondary_sewing.stitch", words="12", visit="")
    told = bench.post(f"/books/{ATLAS}/keep").json
    assert "pattern" in told, told
    number = told["pattern"]
    assert "unchanged" in bench.post(f"/books/{ATLAS}/keep").json["said"]
    (name,) = store.names(folder / "gallery")
    files = store.newest(folder / "gallery" / name).files()
    drawn = made("atlas", *CHOSEN.split("+"), settings={"secondary_sewing.stitch": "12"})
    assert files.items() >= drawn.files.items()
    assert "School atlas" in bench.get("/gallery?words=school").json["html"]
    assert "Nothing is found" in bench.get("/gallery?words=zebra").json["html"]
    html = bench.get(f"/gallery/{number}").json["html"]
    assert "secondary sewing" in html
    assert bench.post(f"/gallery/{number}/use/{LOGBOOK}").status == 200
    assert bench.get(f"/books/{LOGBOOK}").json["structures"] == CHOSEN.split("+")
    assert 'value="12"' in bench.get(f"/books/{LOGBOOK}/settings").json["html"]
    assert f'data-pattern="{number}"' in bench.get(f"/books/{LOGBOOK}/similar").json["html"]


def wish(text: str, want: str = "pages", **more: object) -> BookWish:
    """Return a wish for the atlas."""
    return BookWish(want, reading.parse(text, "atlas.toml"), ("board_slot",), **more)  # type: ignore[arg-type]


def test_killing_the_worker_leaves_the_next_look_right(folder: Path) -> None:
    """The process that draws is killed between two looks: the second comes from a new one."""
    text = (folder / "atlas.toml").read_text()
    drawer = Drawer()
    try:
        first = drawer.look(wish(text, "sheet", page=2))
        assert isinstance(first, SheetSeen)
        assert drawer.process is not None
        killed = drawer.process.pid
        assert killed is not None
        os.kill(killed, signal.SIGKILL)
        drawer.process.join()
        assert drawer.look(wish(text, "sheet", page=2)) == first
        assert drawer.process.pid != killed
    finally:
        drawer.stop()


def test_a_draft_that_takes_too_long_is_ended_and_said(folder: Path) -> None:
    """It is told what to do, and the next look is answered."""
    text = (folder / "atlas.toml").read_text()
    drawer = Drawer()
    try:
        drawer.warm()
        drawer.longest_s = 0.0
        ended = drawer.look(wish(text))
        assert isinstance(ended, NotDrawn)
        assert "take it back" in ended.words
        assert drawer.process is None
        drawer.longest_s = 60.0
        assert isinstance(drawer.look(wish(text)), PagesSeen)
    finally:
        drawer.stop()


def test_a_newer_look_gives_up_the_older_ones(folder: Path) -> None:
    """Of ten fast strokes few are drawn, the last of them always; what is printed is never given up."""
    text = (folder / "atlas.toml").read_text()
    drawer = Drawer()
    answers: dict[int, object] = {}

    def ask(number: int) -> None:
        answers[number] = drawer.look(
            wish(text, settings=(("board_slot.depth", f"{8 + number / 10}"),))
        )

    try:
        drawer.warm()
        threads = []
        for number in range(10):
            threads.append(threading.Thread(target=ask, args=(number,)))
            threads[-1].start()
            time.sleep(0.02)
        for thread in threads:
            thread.join()
        drawn = [number for number, answer in answers.items() if not isinstance(answer, Overtaken)]
        assert 9 in drawn
        assert len(drawn) <= 5
        assert isinstance(answers[9], PagesSeen)
    finally:
        drawer.stop()
