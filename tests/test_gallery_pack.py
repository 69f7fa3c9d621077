"""Passing a pattern on: one zip out, and nothing unsafe back in."""

from __future__ import annotations

import io
import json
import os
import random
import stat
import struct
import subprocess
import sys
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from shutil import rmtree

import pytest

from patterns.errors import GalleryError, MendfoldError
from patterns.gallery import pack
from patterns.gallery.pack import export, take_in
from patterns.gallery.store import add, keep, revisions
from tests.gallery_samples import OWNER, pattern_files

NAME = "LOG-1-hollow_tube"
FIRST = f"{NAME}/r0001"


@pytest.fixture
def gallery(tmp_path: Path) -> Path:
    place = tmp_path / "gallery"
    keep(place, NAME, pattern_files(), kept="2025-01-02T03:04:05Z")
    keep(place, NAME, pattern_files(height=197.0), kept="2025-02-03T04:05:06Z")
    add(place, NAME, {"before.jpg": b"\xff\xd8\xff"}, kept="2025-03-04T05:06:07Z")
    return place


def members(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_there_and_back_with_the_dates_of_the_author(gallery: Path, tmp_path: Path) -> None:
    zip_path = tmp_path / "one.zip"
    zip_path.write_bytes(export(gallery, NAME).data)
    other = tmp_path / "other"
    results = take_in(other, zip_path)
    assert [(number, new) for number, _, new in results] == [
        ("r0001", True), ("r0002", True), ("r0003", True),
    ]  # fmt: skip
    dates = [revision.manifest().kept for revision in revisions(other / NAME)]
    assert dates == ["2025-01-02T03:04:05Z", "2025-02-03T04:05:06Z", "2025-03-04T05:06:07Z"]
    last = revisions(other / NAME)[-1]
    assert last.manifest().added == ("before.jpg",)
    assert last.files()["sheets.pdf"] == revisions(gallery / NAME)[-1].files()["sheets.pdf"]
    assert [new for _, _, new in take_in(other, zip_path)] == [False] * 3
    assert [new for _, _, new in take_in(gallery, zip_path)] == [False] * 3
    assert len(revisions(gallery / NAME)) == 3


def test_the_owner_stays_at_home_unless_asked(gallery: Path) -> None:
    bare, full = export(gallery, NAME), export(gallery, NAME, with_owner=True)
    assert all(OWNER.encode() not in data for data in members(bare.data).values())
    assert OWNER.encode() in members(full.data)[f"{FIRST}/record.toml"]


def test_a_note_that_names_the_owner_is_pointed_out(gallery: Path) -> None:
    add(gallery, NAME, {"letter.txt": f"From {OWNER}".encode()})
    assert export(gallery, NAME).mentions == ("letter.txt",)


def test_the_same_gallery_gives_the_same_zip(gallery: Path) -> None:
    assert export(gallery, NAME) == export(gallery, NAME)


def test_any_unzip_program_reads_it(gallery: Path) -> None:
    with zipfile.ZipFile(io.BytesIO(export(gallery, NAME).data)) as archive:
        assert archive.testzip() is None
        assert {name.split("/")[0] for name in archive.namelist()} == {NAME}


def zipped(files: Mapping[str, bytes], **marks: int) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            info = zipfile.ZipInfo(name)
            info.external_attr = marks.get("mode", 0o100644) << 16
            info.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(info, content)
    return data.getvalue()


def put(name: str, content: bytes = b"x") -> Callable[[dict[str, bytes]], bytes]:
    return lambda files: zipped({**files, name: content})


def renamed(files: dict[str, bytes], old: str, new: str) -> bytes:
    return zipped({name.replace(old, new): data for name, data in files.items()})


def linked(files: dict[str, bytes]) -> bytes:
    data = io.BytesIO(zipped(files))
    with zipfile.ZipFile(data, "a") as archive:
        info = zipfile.ZipInfo(f"{FIRST}/photo.jpg")
        info.external_attr = (stat.S_IFLNK | 0o777) << 16
        archive.writestr(info, "/etc/passwd")
    return data.getvalue()


def twice(files: dict[str, bytes]) -> bytes:
    return zipped({**files, f"{FIRST}/SHEETS.PDF": b"other"})


def locked(files: dict[str, bytes]) -> bytes:
    data = bytearray(zipped(files))
    at = data.find(b"PK\x01\x02")
    data[at + 8] |= 1
    return bytes(data)


def lying_about_its_size(files: dict[str, bytes]) -> bytes:
    data = bytearray(zipped({**files, f"{FIRST}/big.txt": b"\0" * 5_000_000}))
    at = data.rfind(b"PK\x01\x02")
    data[at + 24 : at + 28] = struct.pack("<I", 10)
    return bytes(data)


def repacked(files: dict[str, bytes], method: int) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", method) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return data.getvalue()


def edited(key: str, content: object) -> Callable[[dict[str, bytes]], bytes]:
    def change(files: dict[str, bytes]) -> bytes:
        place = f"{FIRST}/manifest.json"
        tree = json.loads(files[place])
        tree[key] = content
        return zipped({**files, place: json.dumps(tree).encode()})

    return change


UNSAFE: dict[str, Callable[[dict[str, bytes]], bytes]] = {
    "up and out": put("../evil.txt"),
    "up and out from within": put(f"{NAME}/../../evil.txt"),
    "up in the revision": put(f"{FIRST}/../evil.txt"),
    "absolute": put("/evil.txt"),
    "drive": put("C:/evil.txt"),
    "backslashes": put(f"{NAME}\\r0001\\evil.txt"),
    "backslash in a name": put(f"{FIRST}/..\\evil.txt"),
    "double slash": put(f"{NAME}//r0001/evil.txt"),
    "dot": put(f"{NAME}/./r0001/evil.txt"),
    "device": put(f"{FIRST}/NUL"),
    "device with an ending": put(f"{FIRST}/com1.txt"),
    "hidden": put(f"{FIRST}/.profile"),
    "trailing dot": put(f"{FIRST}/evil."),
    "control character": put(f"{FIRST}/ev\x1bil"),
    "reversed writing": put(f"{FIRST}/gpj.\u202eexe"),
    "too deep": put(f"{FIRST}/a/b.txt"),
    "not deep enough": put(f"{NAME}/a.txt"),
    "a folder": put(f"{FIRST}/"),
    "no revision number": put(f"{NAME}/latest/a.txt"),
    "two patterns": put("LOG-2-hollow_tube/r0001/a.txt"),
    "a link": linked,
    "a fifo": lambda files: zipped(files, mode=stat.S_IFIFO | 0o644),
    "a device file": lambda files: zipped(files, mode=stat.S_IFBLK | 0o644),
    "one name twice": twice,
    "a password": locked,
    "a bomb": put(f"{FIRST}/big.txt", b"\0" * 20_000_000),
    "a lie about size": lying_about_its_size,
    "another packing": lambda files: repacked(files, zipfile.ZIP_LZMA),
    "many files": lambda files: zipped({**files, **{f"{FIRST}/{n}": b"" for n in range(5_001)}}),
    "not listed": put(f"{FIRST}/more.txt"),
    "no manifest": lambda files: zipped(
        {name: data for name, data in files.items() if name != f"{FIRST}/manifest.json"}
    ),
    "missing file": lambda files: zipped(
        {name: data for name, data in files.items() if name != f"{FIRST}/sheets.pdf"}
    ),
    "changed file": put(f"{FIRST}/sheets.pdf", b"%PDF-1.4 other"),
    "manifest of another": lambda files: renamed(files, "LOG-1", "LOG-2"),
    "manifest is no JSON": put(f"{FIRST}/manifest.json", b"{"),
    "manifest is deep": put(f"{FIRST}/manifest.json", b"[" * 50_000),
    "manifest with a strange date": edited("kept", "yesterday"),
    "manifest of another format": edited("format", "mendfold-gallery/2"),
    "manifest with a path": edited("files", {"../x": {"sha256": "0" * 64, "bytes": 1}}),
    "manifest with no files": edited("files", []),
    "added but not there": edited("added", ["ghost.jpg"]),
    "empty": lambda _: zipped({}),
    "not a zip": lambda _: b"%PDF-1.4",
    "nothing": lambda _: b"",
    "cut off": lambda files: zipped(files)[:-30],
}


@pytest.mark.parametrize("case", UNSAFE)
def test_unsafe_and_broken_zips_are_refused_and_leave_nothing(
    gallery: Path, tmp_path: Path, case: str
) -> None:
    sound = members(export(gallery, NAME).data)
    bad, into = tmp_path / "bad.zip", tmp_path / "inner" / "into"
    bad.write_bytes(UNSAFE[case](sound))
    before = sorted(os.listdir(tmp_path))
    with pytest.raises(MendfoldError) as refusal:
        take_in(into, bad)
    assert "\n" not in str(refusal.value)
    assert str(bad) in str(refusal.value)
    assert sorted(os.listdir(tmp_path)) == before


def test_damage_anywhere_in_a_zip_never_writes_something_else(
    gallery: Path, tmp_path: Path
) -> None:
    sound, chance = export(gallery, NAME).data, random.Random(2)
    bad, refused = tmp_path / "bad.zip", 0
    for turn in range(150):
        data = bytearray(sound)
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
        bad.write_bytes(bytes(data))
        into = tmp_path / f"into-{turn}"
        try:
            take_in(into, bad)
        except MendfoldError:
            refused += 1
            assert not into.exists()
            continue
        for number in ("r0001", "r0002", "r0003"):
            got = {path.name: path.read_bytes() for path in (into / NAME / number).iterdir()}
            for name, content in members(sound).items():
                if name.startswith(f"{NAME}/{number}/") and not name.endswith("manifest.json"):
                    assert got[name.rpartition("/")[2]] == content
    assert refused > 100


def test_a_missing_file_is_one_line(tmp_path: Path) -> None:
    with pytest.raises(GalleryError, match="is not there; name the zip"):
        take_in(tmp_path, tmp_path / "none.zip")


def test_a_damaged_revision_is_not_passed_on(gallery: Path) -> None:
    (gallery / FIRST / "sheets.pdf").write_bytes(b"")
    with pytest.raises(GalleryError, match=r"sheets\.pdf was changed after it was kept"):
        export(gallery, NAME)
    with pytest.raises(GalleryError, match="no such pattern"):
        export(gallery, "LOG-9-hollow_tube")


def test_the_limits_leave_room_for_a_survey_photograph() -> None:
    assert pack.MOST_BYTES >= 100 * 3_000_000


TAKEN_IN = """
import resource, sys
from pathlib import Path
from patterns.gallery import pack

def most_mb():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024

gallery, small, large = map(Path, sys.argv[1:])
pack.take_in(gallery, small)
before = most_mb()
new = [new for _, _, new in pack.take_in(gallery, large)]
again = [new for _, _, new in pack.take_in(gallery, large)]
print(new, again, round(most_mb() - before))
"""


def test_a_zip_larger_than_the_memory_is_taken_in_a_file_at_a_time(tmp_path: Path) -> None:
    """Twelve photographs of 8 MB: taken in, and found to be there the second time, within 50 MB."""
    place = tmp_path / "gallery"
    keep(place, NAME, pattern_files())
    (tmp_path / "small.zip").write_bytes(export(place, NAME).data)
    add(place, NAME, {f"{number}.jpg": random.randbytes(8_000_000) for number in range(12)})
    rmtree(place / NAME / "r0001")
    (tmp_path / "large.zip").write_bytes(export(place, NAME).data)
    done = subprocess.run(
        [sys.executable, "-c", TAKEN_IN, "taken", "small.zip", "large.zip"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.stderr == ""
    told = done.stdout.rpartition(" ")
    assert told[0] == "[True] [False]"
    assert int(told[2]) < 50
