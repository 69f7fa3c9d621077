"""Finding past patterns: the index answers as the folders would, and is only ever derived."""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import time
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.commands import advice
from patterns.errors import GalleryError
from patterns.gallery import index
from patterns.gallery.index import Query, cache_file, search
from patterns.gallery.similar import nearest
from patterns.gallery.store import add, keep
from tests.gallery_samples import OWNER, pattern_files


@pytest.fixture
def gallery(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("MENDFOLD_CACHE", str(tmp_path / "cache"))
    place = tmp_path / "gallery"
    books = [
        ("LOG-1", "Harbour master's logbook", 330.0, ("board_slot", "secondary_sewing"), "cambric"),
        ("CHART-07", "Pilot's chart book", 196.0, ("hollow_tube",), "kraft lining paper"),
        ("ALM_2", "Gezeitenkalender für Fährleute", 170.0, ("tissue_hinge",), "kozo tissue"),
    ]
    for book_id, title, height, structures, material in books:
        files = pattern_files(
            book_id, title=title, height=height, structures=structures, material=material
        )
        keep(place, f"{book_id}-{'+'.join(structures)}", files)
    return place


def found(gallery: Path, **query: object) -> list[str]:
    return [entry.id for entry in search(gallery, Query(**query))[0]]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("query", "ids"),
    [
        ({}, ["ALM_2", "CHART-07", "LOG-1"]),
        ({"text": "logbook"}, ["LOG-1"]),
        ({"text": "LOG har"}, ["LOG-1"]),
        ({"text": "fahrleute"}, ["ALM_2"]),
        ({"text": "chart-07"}, ["CHART-07"]),
        ({"text": 'pilot" OR "log'}, []),
        ({"text": "logbook AND NEAR(pilot)"}, []),
        ({"structures": ("secondary_sewing",)}, ["LOG-1"]),
        ({"structures": ("logbook",)}, []),
        ({"materials": ("kozo",)}, ["ALM_2"]),
        ({"sizes": {"height": (170.0, 196.0)}}, ["ALM_2", "CHART-07"]),
        ({"sizes": {"height": (None, 195.9)}}, ["ALM_2"]),
        ({"sizes": {"weight": (5.0, None)}}, []),
        ({"since": "2026-11-25", "until": "2026-11-25"}, ["ALM_2", "CHART-07", "LOG-1"]),
        ({"until": "2026-11-24"}, []),
        ({"text": OWNER}, []),
    ],
)
def test_find(gallery: Path, query: dict[str, object], ids: list[str]) -> None:
    assert found(gallery, **query) == ids


def test_a_text_without_a_word_is_refused(gallery: Path) -> None:
    with pytest.raises(GalleryError, match="there is no word in it"):
        found(gallery, text="?! *")


@given(text=st.text(max_size=30))
def test_no_text_breaks_the_search(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    base = tmp_path_factory.getbasetemp() / "any"
    keep(base / "gallery", "LOG-1-hollow_tube", pattern_files())
    answered = any(mark.isalnum() for mark in text) or not text.strip()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("MENDFOLD_CACHE", str(base / "cache"))
        with nullcontext() if answered else pytest.raises(GalleryError, match="no word"):
            search(base / "gallery", Query(text=text))


def test_the_limit_says_how_many_there_are(gallery: Path) -> None:
    entries, total = search(gallery, Query(limit=2))
    assert ([entry.id for entry in entries], total) == (["ALM_2", "CHART-07"], 3)


def test_what_changes_in_the_folders_is_seen_at_once(gallery: Path) -> None:
    assert found(gallery, text="sextant") == []
    name = "CHART-07-hollow_tube"
    add(gallery, name, {"notes.txt": b"Found with a sextant table"})
    assert found(gallery, text="sextant") == ["CHART-07"]
    keep(gallery, name, pattern_files("CHART-07", title="Chart book", height=201.0))
    entry = next(one for one in search(gallery, Query())[0] if one.id == "CHART-07")
    assert (entry.title, entry.revision, entry.revisions) == ("Chart book", 3, 3)
    assert found(gallery, text="pilot") == []
    shutil.rmtree(gallery / name)
    assert found(gallery) == ["ALM_2", "LOG-1"]


def test_nothing_is_written_when_nothing_changed(gallery: Path) -> None:
    past = time.time() - 60
    for home in gallery.iterdir():
        os.utime(home, (past, past))
    search(gallery, Query())
    before = cache_file(gallery).stat().st_mtime_ns
    read: list[tuple[int, int]] = []
    search(gallery, Query(), lambda done, of: read.append((done, of)))
    assert cache_file(gallery).stat().st_mtime_ns == before
    assert read == []


def ruin(change: Callable[[bytes], bytes]) -> Callable[[Path], None]:
    return lambda place: (place.write_bytes(change(place.read_bytes())), None)[1]


def forget_a_table(place: Path) -> None:
    base = sqlite3.connect(place)
    base.execute("DROP TABLE words")
    base.commit()
    base.close()


@pytest.mark.parametrize(
    "harm",
    [
        lambda place: place.unlink(),
        ruin(lambda _: b""),
        ruin(lambda _: b"not a database at all" * 500),
        ruin(lambda data: data[: len(data) // 2]),
        ruin(lambda data: data[:100] + bytes(len(data) - 100)),
        ruin(lambda data: data[:4096] + b"\xff" * (len(data) - 4096)),
        forget_a_table,
    ],
)
def test_a_lost_or_broken_index_is_built_again(gallery: Path, harm: Callable[[Path], None]) -> None:
    whole = search(gallery, Query())
    harm(cache_file(gallery))
    assert found(gallery, text="logbook") == ["LOG-1"]
    assert search(gallery, Query()) == whole


def test_random_damage_to_the_index_never_ends_a_search(gallery: Path) -> None:
    search(gallery, Query())
    sound, chance = cache_file(gallery).read_bytes(), random.Random(5)
    for _ in range(60):
        data = bytearray(sound)
        start = chance.randrange(len(data))
        length = chance.randrange(1, 3000)
        data[start : start + length] = chance.randbytes(len(data[start : start + length]))
        cache_file(gallery).write_bytes(bytes(data))
        search(gallery, Query(text="logbook"))
    assert [one.id for one in search(gallery, Query(), rebuild=True)[0]] == [
        "ALM_2", "CHART-07", "LOG-1",
    ]  # fmt: skip


def test_without_a_cache_folder_the_search_still_answers(
    gallery: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_bytes(b"")
    monkeypatch.setenv("MENDFOLD_CACHE", str(tmp_path / "file" / "under"))
    assert found(gallery, text="logbook") == ["LOG-1"]


def test_a_broken_manifest_is_listed_with_its_trouble(gallery: Path) -> None:
    (gallery / "CHART-07-hollow_tube" / "r0001" / "manifest.json").write_bytes(b"{")
    troubles = {entry.name: entry.trouble for entry in search(gallery, Query(), rebuild=True)[0]}
    assert "the manifest is broken" in troubles["CHART-07-hollow_tube"]
    assert [name for name, trouble in troubles.items() if trouble] == ["CHART-07-hollow_tube"]


def test_a_missing_gallery_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(GalleryError, match="there is no gallery here") as refusal:
        search(tmp_path / "none", Query())
    assert "--gallery or MENDFOLD_GALLERY" in advice.told(refusal.value)


def test_progress_is_told_while_many_folders_are_read(gallery: Path) -> None:
    for number in range(120):
        shutil.copytree(gallery / "LOG-1-board_slot+secondary_sewing", gallery / f"X-{number}-tube")
    told: list[tuple[int, int]] = []
    search(gallery, Query(), lambda done, of: told.append((done, of)), rebuild=True)
    assert told == [(0, 123), (100, 123), (123, 123)]


def test_the_index_agrees_with_reading_every_folder(gallery: Path) -> None:
    chance = random.Random(11)
    heights = {f"B-{n}": round(chance.uniform(100, 400), 1) for n in range(40)}
    for book_id, height in heights.items():
        keep(gallery, f"{book_id}-hollow_tube", pattern_files(book_id, height=height))
    for _ in range(20):
        least, most = sorted(chance.uniform(100, 400) for _ in range(2))
        wanted = {one for one, height in heights.items() if least <= height <= most}
        got = set(found(gallery, text="B", sizes={"height": (least, most)}))
        assert got & set(heights) == wanted


def test_similar_names_what_is_near_and_what_is_not(gallery: Path) -> None:
    entries = search(gallery, Query())[0]
    asked: dict[str, float | str] = {
        "height": 200.0,
        "thickness": 38.0,
        "profile": "flat",
        "shoulder": 3.0,
    }
    near = nearest(asked, entries)
    assert [one.entry.id for one in near] == ["CHART-07", "ALM_2", "LOG-1"]
    # 200 and 196 differ by 4/200 = 0.2 tenths; flat is not rounded: 2; no shoulder: 1.5; equal: 0
    rows = {row.name: row.distance for row in near[0].features}
    assert rows == pytest.approx({"height": 0.2, "thickness": 0, "profile": 2, "shoulder": 1.5})
    assert near[0].distance == pytest.approx(((0.04 + 4 + 2.25) / 4) ** 0.5)
    assert [row.name for row in near[0].features][:2] == ["profile", "shoulder"]


@given(
    st.dictionaries(st.sampled_from(["height", "width", "girth"]), st.floats(1, 500), min_size=1),
    st.floats(0.5, 2),
)
def test_a_book_is_nearest_to_itself(asked: dict[str, float], factor: float) -> None:
    same = index.GalleryEntry("A-tube", features=dict(asked))
    other = index.GalleryEntry(
        "B-tube", features={key: value * factor for key, value in asked.items()}
    )
    near = nearest(asked, [other, same], most=2)
    assert next(one.distance for one in near if one.entry is same) == 0
    assert near[0].distance == 0
