"""Keeping a pattern: numbered, never overwritten, equal content once."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from patterns.errors import GalleryError, WriteError
from patterns.gallery import store
from patterns.gallery.equal import different_files, masked
from patterns.gallery.manifest import damage
from patterns.gallery.store import add, keep, latest, names, revisions
from tests.gallery_samples import pattern_files

NAME = "LOG-1-hollow_tube"


def test_the_first_keep_is_revision_one_with_every_file_and_a_manifest(tmp_path: Path) -> None:
    files = pattern_files()
    place = keep(tmp_path / "gallery", NAME, files)
    assert place == tmp_path / "gallery" / NAME / "r0001"
    assert {path.name for path in place.iterdir()} == {*files, "manifest.json"}
    assert all((place / name).read_bytes() == data for name, data in files.items())


def test_the_manifest_holds_the_digests_that_sha256sum_would_print(tmp_path: Path) -> None:
    # FIPS 180-2, appendix B.1: SHA-256 of "abc"
    place = keep(tmp_path, NAME, {**pattern_files(), "abc.txt": b"abc"})
    rows = json.loads((place / "manifest.json").read_bytes())["files"]
    assert rows["abc.txt"] == {
        "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
        "bytes": 3,
    }


def test_equal_content_adds_nothing(tmp_path: Path) -> None:
    first = keep(tmp_path, NAME, pattern_files())
    assert keep(tmp_path, NAME, pattern_files()) == first
    assert [r.number for r in revisions(tmp_path / NAME)] == [1]


def test_another_version_drawing_the_same_adds_nothing(tmp_path: Path) -> None:
    first = keep(tmp_path, NAME, pattern_files(version="0.1.0"))
    assert keep(tmp_path, NAME, pattern_files(version="0.12.0rc1")) == first


def test_other_content_is_the_next_revision_and_going_back_another(tmp_path: Path) -> None:
    for height in (196.0, 197.0, 196.0):
        keep(tmp_path, NAME, pattern_files(height=height))
    kept = [json.loads(r.files()["pattern.json"])["record"]["text_block"]["height"]
            for r in revisions(tmp_path / NAME)]  # fmt: skip
    assert kept == [196.0, 197.0, 196.0]


@pytest.mark.parametrize("name", ["record.toml", "pattern.json", "sheet-01.svg"])
def test_a_change_in_any_of_the_three_counts(name: str) -> None:
    files = pattern_files()
    changed = {**files, name: files[name].replace(b"196.0", b"196.1")}
    assert different_files(files, changed) == [name]


def test_only_the_signature_is_masked_in_a_drawing() -> None:
    svg = '<text x="{0}" textLength="{0}">girth 46 · mendfold {1}</text><text x="2">a</text>'
    one, two = svg.format(30, "0.1.0").encode(), svg.format(31, "1.2.10").encode()
    assert masked("s.svg", one) == masked("s.svg", two)
    assert masked("s.svg", one) != masked("s.svg", two.replace(b"46", b"47"))
    assert masked("s.svg", one) != masked("s.svg", two.replace(b'x="2"', b'x="2.01"'))


def test_what_was_added_by_hand_goes_along_with_the_next_revision(tmp_path: Path) -> None:
    keep(tmp_path, NAME, pattern_files())
    added = add(tmp_path, NAME, {"before.jpg": b"\xff\xd8", "notes.txt": b"hinge weak"})
    assert added.name == "r0002"
    assert keep(tmp_path, NAME, pattern_files()) == added
    third = keep(tmp_path, NAME, pattern_files(height=200.0))
    assert third.name == "r0003"
    assert (third / "before.jpg").read_bytes() == b"\xff\xd8"
    assert add(tmp_path, NAME, {"notes.txt": b"hinge weak"}) == third
    assert add(tmp_path, NAME, {"notes.txt": b"hinge mended"}).name == "r0004"
    assert (third / "notes.txt").read_bytes() == b"hinge weak"


def test_adding_cannot_replace_a_file_of_the_pattern(tmp_path: Path) -> None:
    keep(tmp_path, NAME, pattern_files())
    for name in ("sheets.pdf", "manifest.json"):
        with pytest.raises(GalleryError, match="a name that mendfold uses itself"):
            add(tmp_path, NAME, {name: b"x"})
    with pytest.raises(GalleryError, match="no such pattern"):
        add(tmp_path, "LOG-2-hollow_tube", {"a.txt": b"x"})
    assert os.listdir(tmp_path) == [NAME]


def test_a_damaged_revision_does_not_pass_for_equal_and_its_photographs_are_not_passed_on(
    tmp_path: Path,
) -> None:
    first = keep(tmp_path, NAME, pattern_files())
    (first / "record.toml").write_bytes(b"[book]\n")
    with pytest.raises(GalleryError, match=r"record\.toml was changed after it was kept"):
        add(tmp_path, NAME, {"a.txt": b"x"})
    second = keep(tmp_path, NAME, pattern_files())
    assert second.name == "r0002"
    third = add(tmp_path, NAME, {"a.jpg": b"a", "b.jpg": b"b"})
    (third / "a.jpg").write_bytes(b"spoilt")
    fourth = keep(tmp_path, NAME, pattern_files(height=99.0))
    assert {path.name for path in fourth.glob("*.jpg")} == {"b.jpg"}


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        (lambda folder: (folder / "sheets.pdf").unlink(), "sheets.pdf is missing"),
        (lambda folder: (folder / "new.txt").write_bytes(b""), "new.txt is not in the manifest"),
        (
            lambda folder: (folder / "sheets.pdf").write_bytes(b"%PDF-1.5"),
            "sheets.pdf was changed after it was kept",
        ),
    ],
)
def test_damage_is_named(tmp_path: Path, harm: object, said: str) -> None:
    place = keep(tmp_path, NAME, pattern_files())
    revision = store.Revision(place)
    assert damage(revision.manifest(), revision.files()) == []
    assert callable(harm)
    harm(place)
    assert damage(revision.manifest(), revision.files()) == [said]


def test_other_files_in_the_gallery_are_ignored(tmp_path: Path) -> None:
    keep(tmp_path, NAME, pattern_files())
    (tmp_path / "README.md").write_text("Examples.")
    (tmp_path / "LOG-9-hollow_tube").mkdir()
    (tmp_path / NAME / ".part-0123").mkdir()
    (tmp_path / NAME / "r0002").mkdir()
    assert names(tmp_path) == [NAME]
    found = latest(tmp_path / NAME)
    assert found is not None
    assert found.number == 1
    assert keep(tmp_path, NAME, pattern_files(height=99.0)).name == "r0003"


@pytest.mark.parametrize(
    "name",
    ["../L-tube", "a/b-t", "", "-x", ".x-t", "a b-t", "é-t", "x" * 241 + "-t", "aux", "a-t\n"],
)
def test_a_name_that_is_no_folder_name_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(GalleryError):
        keep(tmp_path / "g", name, pattern_files())
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("data", [b"", b"{}", b"[]", b"\xff", b"[" * 100_000, b'{"format": 1}'])
def test_what_is_no_pattern_is_refused(tmp_path: Path, data: bytes) -> None:
    with pytest.raises(GalleryError):
        keep(tmp_path / "g", NAME, {**pattern_files(), "pattern.json": data})
    assert os.listdir(tmp_path) == []


def test_a_full_disk_leaves_the_gallery_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(tmp_path, NAME, pattern_files())

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "write", full)
    with pytest.raises(WriteError, match="No space left on device"):
        keep(tmp_path, NAME, pattern_files(height=99.0))
    assert os.listdir(tmp_path / NAME) == ["r0001"]


def test_only_unfinished_folders_an_hour_old_are_swept(tmp_path: Path) -> None:
    place = keep(tmp_path, NAME, pattern_files())
    for token, age in (("old", 3700), ("new", 60)):
        left = tmp_path / NAME / f".part-{token}"
        left.mkdir()
        os.utime(left, (1e9 - age, 1e9 - age))
    os.utime(place, (0, 0))
    killed_at_once = tmp_path / "LOG-7-hollow_tube" / ".part-alone"
    killed_at_once.mkdir(parents=True)
    os.utime(killed_at_once, (0, 0))
    swept = store.sweep(tmp_path, 1e9)
    assert swept == [tmp_path / NAME / ".part-old", killed_at_once]
    assert sorted(os.listdir(tmp_path / NAME)) == [".part-new", "r0001"]
