"""A treatment told on the page, a tracing put in, a draft taken elsewhere in one file."""

from __future__ import annotations

import io
import re
import zipfile
from html import unescape
from pathlib import Path
from typing import Any

import pypdf
import pytest
from PIL import Image

from patterns.gallery import store
from patterns.reading import tables
from patterns.report import filling, treatment
from tests.bench.benches import Asking, opened
from tests.books import made

ATLAS, LOGBOOK = 1, 2

BY_HAND = """# Filled in at the bench, in pencil first.
format = "mendfold-treatment/1" # never change

[treatment] # the head
by = "AB"   # initials
weight_before = 1.75 # scales in the cellar

# The steps.
[[step]]
text = "Cut the strip." # done twice
done = "2026-03-06"
by = "CD"
# between two steps
[[step]]
text = "Wound the tube."
done = ""

[[piece]]
name = "tube"
planned_mm = [51.0, 194.0] # as drawn
cut_mm = []

[[deviation]]
what = "left dry" # told by telephone
why = "ink"
"""


def kept(bench: Asking, names: str = "hollow_tube") -> int:
    """Keep a draft of the logbook and return the number of its pattern."""
    bench.post(f"/books/{LOGBOOK}/structures", names=names, settings="")
    number: int = bench.post(f"/books/{LOGBOOK}/keep").json["pattern"]
    return number


def asked(bench: Asking, number: int) -> dict[str, Any]:
    """Return what the form of a treatment holds, as the page would send it back untouched."""
    html = bench.get(f"/gallery/{number}/treatment").json["html"]
    found: dict[str, Any] = {"seen": re.findall(r'data-seen="(\w+)"', html)[0]}
    for tag in re.findall(r"<(?:input|select)[^>]*data-table=[^>]*>(?:<option.*?</select>)?", html):
        table, row, key = re.findall(r'data-(?:table|row|key)="([^"]*)"', tag)
        chosen = re.findall(r'<option value="([^"]*)" selected', tag)
        value = unescape((chosen or re.findall(r' value="([^"]*)"', tag) or [""])[0])
        if table == "treatment":
            found.setdefault(table, {})[key] = value
            continue
        rows = found.setdefault(table, [])
        while len(rows) <= int(row):
            rows.append({})
        rows[int(row)][key] = value
    return found


def written(folder: Path) -> str:
    """Return the treatment.toml of the one pattern that is kept."""
    (name,) = store.names(folder / "gallery")
    return store.newest(folder / "gallery" / name).files()["treatment.toml"].decode()


def test_steps_are_ticked_off_and_the_report_is_made_from_there(
    bench: Asking, folder: Path
) -> None:
    """Day, initials, lot, test and its result, weights: the report prints each of them."""
    number = kept(bench)
    filled = asked(bench, number)
    filled["treatment"] |= {"by": "KL", "weight_before": "4.1", "weight_after": "9 lb 2 oz"}
    filled["step"][0] |= {"done": "2026-03-06", "by": "MN", "note": "went well"}
    filled["material"][0]["lot"] = "lot 77"
    filled["test"][0] |= {"what": "spot test", "result": "does not run", "done": "2026-03-05"}
    assert bench.post(f"/gallery/{number}/treatment", **filled).status == 200
    again = asked(bench, number)
    assert again["step"][0]["by"] == "MN"
    assert again["seen"] != filled["seen"]
    read = treatment.read(written(folder), "treatment.toml")
    assert read.head["weight_after"] == pytest.approx(4.139, abs=0.001)
    link = bench.post(f"/gallery/{number}/report").json["link"]
    pages = pypdf.PdfReader(io.BytesIO(bench.get(link).body)).pages
    words = " ".join(page.extract_text() for page in pages)
    for said in ("KL", "MN", "lot 77", "does not run", "went well", "2026-03-06"):
        assert said in words, said


def test_what_is_ticked_and_not_kept_is_not_lost(bench: Asking, folder: Path) -> None:
    """Held as a draft at once, shown again, told before a report; kept, it is a draft no more."""
    number = kept(bench)
    filled = asked(bench, number)
    filled["step"][0] |= {"done": "2026-03-06", "by": "MN"}
    filled["test"][0] |= {"what": "spot test", "result": "not rea"}
    assert bench.post(f"/gallery/{number}/treatment/draft", **filled).status == 200
    (name,) = store.names(folder / "gallery")
    assert "treatment.toml" not in store.newest(folder / "gallery" / name).files()
    with opened(folder) as after:  # closed or crashed, and opened again
        assert after.get("/gallery").status == 200
        again = asked(after, 1)
        assert again["step"] == filled["step"]
        told = [[row for row in one["test"] if any(row.values())] for one in (again, filled)]
        assert told[0] == told[1] != []
        assert not any(again["test"][-1].values())
        refused = after.post("/gallery/1/report")
        assert refused.status == 422
        assert "keep it first" in refused.json["refused"]
        assert after.post("/gallery/1/treatment", **again).status == 200
        assert after.post("/gallery/1/report").status == 200
    assert 'by = "MN"' in written(folder)
    assert not list((folder / ".bench").glob("*.treatment.json"))
    assert bench.post(f"/gallery/{number}/treatment/draft", colour=[]).status == 400


def test_a_draft_of_a_treatment_that_was_filled_in_elsewhere_is_left_lying(
    bench: Asking, folder: Path
) -> None:
    """What is kept is shown, and where the other lies."""
    number = kept(bench)
    filled = asked(bench, number)
    filled["step"][0]["by"] = "MN"
    bench.post(f"/gallery/{number}/treatment/draft", **filled)
    (name,) = store.names(folder / "gallery")
    store.add(folder / "gallery", name, {"treatment.toml": BY_HAND.encode()})
    html = bench.get(f"/gallery/{number}/treatment").json["html"]
    assert f".bench/{name}.treatment.json" in html
    assert "MN" in (folder / ".bench" / f"{name}.treatment.json").read_text()
    assert asked(bench, number)["step"][0]["by"] == "CD"


def test_what_was_written_by_hand_stays(bench: Asking, folder: Path) -> None:
    """Untouched, the file is the same to the letter; changed, every comment still stands in it."""
    number = kept(bench)
    (name,) = store.names(folder / "gallery")
    store.add(folder / "gallery", name, {"treatment.toml": BY_HAND.encode()})
    filled = asked(bench, number)
    assert filled["piece"] == [{"name": "tube", "planned_mm": "51 × 194", "cut_mm": ""}]
    assert bench.post(f"/gallery/{number}/treatment", **filled).status == 200
    assert written(folder) == BY_HAND
    filled["step"][1] |= {"done": "2026-03-07", "by": "EF"}
    filled["piece"][0]["cut_mm"] = "51.2 × 7 5/8 in"
    filled["test"][0] |= {"what": "spot test", "result": "dry"}
    filled["deviation"][0] = {"what": "", "why": ""}
    assert bench.post(f"/gallery/{number}/treatment", **filled).status == 200
    text = written(folder)
    tree = tables(text)
    assert tree["step"][1] == {"text": "Wound the tube.", "done": "2026-03-07", "by": "EF"}
    assert tree["piece"][0]["cut_mm"] == [51.2, "7 5/8 in"]
    assert tree["piece"][0]["planned_mm"] == [51.0, 194.0]
    assert tree["treatment"] == {"by": "AB", "weight_before": 1.75}
    assert tree["test"] == [{"what": "spot test", "result": "dry"}]
    assert "deviation" not in tree
    for line in BY_HAND.partition("[[deviation]]")[0].splitlines():
        assert not re.search(r"#", line) or line[line.index("#") :] in text, line


def test_a_row_in_the_middle_goes_with_its_own_comment() -> None:
    """The rows around it keep theirs."""
    text = BY_HAND.replace('done = "2026-03-06"\nby = "CD"\n', "")
    rows = {"step": [{"text": ""}, {"text": "Wound the tube.", "done": "2026-03-08"}]}
    after = filling.filled(text, {}, rows)
    assert tables(after)["step"] == [{"text": "Wound the tube.", "done": "2026-03-08"}]
    assert "# done twice" not in after
    assert "# initials" in after


def test_a_treatment_filled_in_elsewhere_is_left_alone(bench: Asking, folder: Path) -> None:
    """Two windows, or a file added by hand since: the later one is told, and nothing is lost."""
    number = kept(bench)
    filled = asked(bench, number)
    (name,) = store.names(folder / "gallery")
    store.add(folder / "gallery", name, {"treatment.toml": BY_HAND.encode()})
    filled["treatment"]["by"] = "XY"
    told = bench.post(f"/gallery/{number}/treatment", **filled)
    assert told.status == 422
    assert "filled in elsewhere" in told.json["refused"]
    assert written(folder) == BY_HAND


def test_what_cannot_stand_in_a_treatment_is_refused(bench: Asking, folder: Path) -> None:
    """A day that is none is told with its row; a table that is none is not even looked at."""
    number = kept(bench)
    filled = asked(bench, number)
    filled["step"][0]["done"] = "yesterday"
    told = bench.post(f"/gallery/{number}/treatment", **filled)
    assert told.status == 422
    assert "step 1, done" in told.json["refused"]
    assert bench.post(f"/gallery/{number}/treatment", colour=[]).status == 400
    assert bench.post(f"/gallery/{number}/treatment", step=[{"text": 7}]).status == 400
    (name,) = store.names(folder / "gallery")
    assert "treatment.toml" not in store.newest(folder / "gallery" / name).files()


def test_a_photograph_is_kept_and_shown(bench: Asking, folder: Path) -> None:
    """By a name given here, what was filled in kept with it; what is no photograph is refused."""
    number = kept(bench)
    (name,) = store.names(folder / "gallery")
    store.add(folder / "gallery", name, {"treatment.toml": BY_HAND.encode()})
    out = io.BytesIO()
    Image.new("RGB", (60, 40), (200, 190, 170)).save(out, "JPEG")
    told = bench.put(f"/gallery/{number}/file/before", out.getvalue())
    assert told.json["said"] == "Kept as before-1.jpg."
    assert bench.put(f"/gallery/{number}/file/before", b"no picture").status == 422
    assert bench.put(f"/gallery/{number}/file/never", out.getvalue()).status == 404
    tree = tables(written(folder))
    assert tree["photograph"] == [{"file": "before-1.jpg", "when": "before"}]
    assert "# scales in the cellar" in written(folder)
    html = bench.get(f"/gallery/{number}").json["html"]
    shown = bench.get(re.findall(rf"/gallery/{number}/picture/\d+", html)[0])
    assert shown.headers["Content-Type"] == "image/jpeg"
    assert f'data-from="/gallery/{number}/picture/' in bench.get("/gallery").json["html"]


TRACED = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="30mm" viewBox="0 0 60 30">'
    '<path d="M 1 1 L 29 1 L 25 18 L 4 15 Z"/><path id="scale" d="M 1 25 L 51 25"/></svg>'
)


def test_a_tracing_is_put_in_as_a_file_and_drawn(bench: Asking) -> None:
    """Its outline comes into the draft by itself; what is no outline is told, and taken back it is gone."""
    bench.post(f"/books/{ATLAS}/structures", names="loss_infill", settings="")
    before = bench.get(f"/books/{ATLAS}/look/pieces").json
    path = f"/books/{ATLAS}/file/svg/loss_infill.outline"
    told = bench.put(path, TRACED.encode())
    assert told.status == 200, told.body
    after = bench.get(f"/books/{ATLAS}/look/pieces").json
    assert after.get("svg"), after
    assert after.get("svg") != before.get("svg")
    assert bench.put(path, b"<svg>no outline</svg>").status == 422
    assert bench.put(path.replace("/svg/", "/exe/"), TRACED.encode()).status == 404
    assert bench.post(f"/books/{ATLAS}/undo").json["undone"] == "loss_infill.outline"
    assert bench.get(f"/books/{ATLAS}/look/pieces").json.get("svg") == before.get("svg")


def test_an_export_holds_what_a_draft_writes(bench: Asking) -> None:
    """One zip file, each of its files equal to `draft`'s, under the draft's own name."""
    bench.post(f"/books/{ATLAS}/structures", names="board_slot", settings="")
    told = bench.post(f"/books/{ATLAS}/export").json
    answer = bench.get(told["link"])
    assert "filename=atlas-board_slot.zip" in answer.headers["Content-Disposition"].replace('"', "")
    drawn = made("atlas", "board_slot")
    with zipfile.ZipFile(io.BytesIO(answer.body)) as packed:
        held = {name: packed.read(name) for name in packed.namelist()}
    assert held == {f"{drawn.folder}/{name}": data for name, data in drawn.files.items()}
