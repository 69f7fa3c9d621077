"""Killed keepers and power cuts: what was promised is there, and nothing is half there."""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from patterns.errors import GalleryError
from patterns.gallery.manifest import damage
from patterns.gallery.store import add, keep, names, revisions
from tests.disk_model import (
    Operation,
    after_power_cut,
    applied,
    materialise,
    observed,
    recorded,
)
from tests.gallery_samples import pattern_files

NAME = "LOG-1-hollow_tube"


def test_three_hundred_kills_lose_nothing_and_leave_nothing_half(tmp_path: Path) -> None:
    gallery, log, kills = tmp_path / "gallery", tmp_path / "told", 300
    keepers = subprocess.run(
        [sys.executable, "-m", "tests.gallery_keepers", gallery, log, str(kills)],
        check=True, stdout=subprocess.PIPE,
    )  # fmt: skip
    told = [line.split() for line in log.read_text().splitlines()]
    listed = {name: revisions(gallery / name) for name in names(gallery)}
    for name, found in listed.items():
        assert [revision.number for revision in found] == list(range(1, len(found) + 1)), name
        for revision in found:
            assert damage(revision.manifest(), revision.files()) == []
    for name, place, content in told:
        files = {path.name: path.read_text() for path in (gallery / name / place).iterdir()}
        assert any(content in text for text in files.values())
    assert len({(name, place) for name, place, _ in told}) == len(told), "a number given twice"
    # the kills fell in the middle of the work, or this test shows nothing
    assert len(told) > kills / 2
    assert int(keepers.stdout) > kills / 20
    # what they left is swept by whoever keeps next
    for name in listed:
        keep(gallery, name, pattern_files(height=99.0))
    assert list(gallery.glob("*/.part-*")) == []


def test_eight_keepers_of_equal_content_keep_it_once(tmp_path: Path) -> None:
    for turn in range(5):
        files = pattern_files(height=150.0 + turn)
        with ThreadPoolExecutor(8) as keepers:
            places = list(keepers.map(lambda _, kept=files: keep(tmp_path, NAME, kept), range(8)))
        assert {place.name for place in places} == {f"r{turn + 1:04d}"}


def promised(done: list[Operation]) -> list[tuple[str, bytes]]:
    return [(step.name, step.data) for step in done if step.kind == "ack"]


def check_gallery(gallery: Path, promises: list[tuple[str, bytes]]) -> None:
    """Everything listed is whole, every promise is kept, numbers are each there once."""
    listed = {}
    for name in names(gallery) if gallery.is_dir() else []:
        for revision in revisions(gallery / name):
            assert damage(revision.manifest(), revision.files()) == []
            listed[f"{name}/{revision.folder.name}"] = revision.files()
    for place, marked in promises:
        assert place in listed, f"{place} was promised and is gone"
        assert marked in listed[place].values()


def record(root: Path, monkeypatch: pytest.MonkeyPatch) -> list[Operation]:
    """Record a first keep, other content, photographs and equal content."""
    gallery = root / "gallery"
    with recorded(root, monkeypatch) as recorder:
        for height in (196.0, 197.5, 197.5):
            files = pattern_files(height=height)
            place = keep(gallery, NAME, files)
            promise = f"{NAME}/{place.name}"
            recorder.done.append(Operation("ack", -1, promise, data=files["pattern.json"]))
        place = add(gallery, NAME, {"before.jpg": b"\xff\xd8"})
        promise = f"{NAME}/{place.name}"
        recorder.done.append(Operation("ack", -1, promise, data=b"\xff\xd8"))
    assert applied(recorder.done) == observed(root), "an operation was not recorded"
    return recorder.done


def replay(done: list[Operation], scratch: Path) -> int:
    """Cut the power after every operation; return how many different disks were looked at."""
    chance, seen = random.Random(3), set()
    for cut in range(len(done) + 1):
        promises = promised(done[:cut])
        for tree in after_power_cut(done[:cut], chance):
            if (key := (repr(tree), len(promises))) in seen:
                continue
            seen.add(key)
            materialise(tree, scratch)
            check_gallery(scratch / "gallery", promises)
            shutil.rmtree(scratch)
    return len(seen)


def test_a_power_cut_at_any_point_breaks_no_promise(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = tmp_path / "root"
    root.mkdir()
    done = record(root, monkeypatch)
    assert len(done) > 50
    assert replay(done, tmp_path / "disk") > 150


@pytest.mark.parametrize("forgotten", ["files", "new folders", "after the rename"])
def test_a_keeper_that_forgets_to_sync_is_caught(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, forgotten: str
) -> None:
    root = tmp_path / "root"
    root.mkdir()
    done = record(root, monkeypatch)
    files = {step.node for step in done if step.kind == "create"}
    staged = {step.node for step in done if step.kind == "rename"}
    rest = {step.node for step in done} - files - staged
    left_out = {"files": files, "new folders": staged, "after the rename": rest}[forgotten]
    careless = [
        replace(step, node=-2) if step.kind == "sync" and step.node in left_out else step
        for step in done
    ]
    with pytest.raises((AssertionError, GalleryError)):
        replay(careless, tmp_path / "disk")
