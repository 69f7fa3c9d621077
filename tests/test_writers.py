"""Several writers at once: one wins, the others are told, and nothing of anybody is lost."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Iterator
from pathlib import Path

import pytest

from patterns import files, unfinished
from patterns.errors import WriteError
from patterns.files import contents, write_file, write_folder, write_new_file
from patterns.gallery.store import keep, revisions
from patterns.stock import printer
from patterns.unfinished import HIDDEN, part_folder
from tests.gallery_samples import pattern_files
from tests.writers import RACERS, content

FILES = {"record.toml": b"[book]\n", "sheets.pdf": b"%PDF-"}
RACES = [30, pytest.param(300, marks=pytest.mark.long)]


def raced(kind: str, place: Path, races: int) -> Iterator[tuple[Path, list[str]]]:
    """Hold the races in processes of their own; yield each race's place and what was told."""
    said = subprocess.run(
        [sys.executable, "-m", "tests.writers", kind, place, str(races)],
        capture_output=True, text=True, check=True, timeout=600,
    ).stdout.splitlines()  # fmt: skip
    assert len(said) == races
    for race, line in enumerate(said):
        yield place / f"{race:04d}", line.split("\t")


def left(place: Path) -> list[str]:
    return sorted(name for name in os.listdir(place) if name.startswith("."))


@pytest.mark.parametrize("races", RACES)
def test_of_eight_who_draft_into_one_folder_one_wins(tmp_path: Path, races: int) -> None:
    """The others are refused, none sets anything aside; what is there is the winner's, whole."""
    for place, told in raced("folder", tmp_path, races):
        assert sorted(told) == ["refused"] * (RACERS - 1) + ["written"]
        assert contents(place) == content(told.index("written"))
    assert len(os.listdir(tmp_path)) == races
    assert left(tmp_path) == []


@pytest.mark.parametrize("races", [10, pytest.param(100, marks=pytest.mark.long)])
def test_of_eight_who_force_none_is_lost(tmp_path: Path, races: int) -> None:
    """Every one is told "written", and every one's folder is there: the last, and seven aside."""
    for place, told in raced("forced", tmp_path, races):
        assert told == ["written"] * RACERS
        aside = [place.with_name(f"{place.name}.earlier-{n}") for n in range(1, RACERS)]
        there = [contents(folder) for folder in (place, *aside)]
        assert sorted(one["record.toml"] for one in there) == [b"%d\n" % n for n in range(RACERS)]
        assert all(one == content(int(one["record.toml"])) for one in there)
    assert len(os.listdir(tmp_path)) == races * RACERS


@pytest.mark.parametrize("races", RACES)
@pytest.mark.parametrize("kind", ["file", "copied"])
def test_of_eight_who_write_one_new_file_one_wins(tmp_path: Path, kind: str, races: int) -> None:
    """With links, and on a disk without them."""
    for place, told in raced(kind, tmp_path, races):
        assert sorted(told) == ["refused"] * (RACERS - 1) + ["written"]
        assert place.read_bytes() == b"%d" % told.index("written") * 40_000
    assert len(os.listdir(tmp_path)) == races


@pytest.mark.parametrize("races", [5, pytest.param(50, marks=pytest.mark.long)])
def test_of_eight_who_store_a_printer_all_are_kept(tmp_path: Path, races: int) -> None:
    """Each reads the file, adds its own and writes it; none writes over another's."""
    for place, told in raced("printer", tmp_path, races):
        assert told == ["written"] * RACERS
        kept = printer.profiles(place)
        assert set(kept) == {f"desk-{n}" for n in range(RACERS)}
        assert [kept[f"desk-{n}"].across.measured_mm for n in range(RACERS)] == [
            199 + n / 10 for n in range(RACERS)
        ]


def test_a_printer_is_not_stored_while_another_is_for_too_long(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody holds the lock and does not let go: told in one line, nothing changed."""
    printer.store(tmp_path, printer.profile("desk", "199/200", "250/250"))
    monkeypatch.setattr(printer, "PATIENCE_S", 0.2)
    hold = "import sys, filelock; lock = filelock.FileLock(sys.argv[1]); lock.acquire(); print('held', flush=True); sys.stdin.read()"
    with subprocess.Popen(
        [sys.executable, "-c", hold, tmp_path / ".printers.lock"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
    ) as holder:  # fmt: skip
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"held\n"
        with pytest.raises(WriteError, match="storing a printer"):
            printer.store(tmp_path, printer.profile("hall", "199/200", "250/250"))
        holder.communicate()
    assert set(printer.profiles(tmp_path)) == {"desk"}
    printer.store(tmp_path, printer.profile("hall", "199/200", "250/250"))
    assert set(printer.profiles(tmp_path)) == {"desk", "hall"}


def test_a_folder_that_appears_between_looking_and_renaming_is_not_touched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another writes while this one's files go to the disk: equal is unchanged, other is refused."""
    real = files.staged
    for number, other in enumerate(({"notes.txt": b"mine"}, FILES)):
        target = tmp_path / f"book-{number}"

        def late(parent: Path, made: dict[str, bytes], target: Path = target, other: dict[str, bytes] = other) -> object:  # fmt: skip
            target.mkdir(parents=True)
            for name, data in other.items():
                (target / name).write_bytes(data)
            return real(parent, made)

        with monkeypatch.context() as patch:
            patch.setattr(files, "staged", late)
            if other == FILES:
                assert write_folder(target, FILES) == "unchanged"
            else:
                with pytest.raises(WriteError, match="already there and different"):
                    write_folder(target, FILES)
        assert contents(target) == other
    assert sorted(os.listdir(tmp_path)) == ["book-0", "book-1"]


# links
@pytest.mark.parametrize("force", [False, True])
@pytest.mark.parametrize("leads_to", ["empty", "full", "equal", "file", "nowhere"])
def test_a_link_planted_under_the_pattern_s_name_is_refused(
    tmp_path: Path, leads_to: str, force: bool
) -> None:
    """Wherever it leads, nothing is written there, nothing is moved, and the link stays."""
    elsewhere, target = tmp_path / "elsewhere", tmp_path / "out" / "book"
    target.parent.mkdir()
    if leads_to == "file":
        elsewhere.write_bytes(b"mine")
    elif leads_to != "nowhere":
        elsewhere.mkdir()
        for name, data in {"empty": {}, "full": {"a": b"mine"}, "equal": FILES}[leads_to].items():
            (elsewhere / name).write_bytes(data)
    target.symlink_to(elsewhere)
    before = {path: path.read_bytes() for path in elsewhere.rglob("*")}
    with pytest.raises(WriteError, match="is a link to another place"):
        write_folder(target, FILES, force)
    assert target.is_symlink()
    assert {path: path.read_bytes() for path in elsewhere.rglob("*")} == before
    assert os.listdir(target.parent) == ["book"]


@pytest.mark.parametrize("force", [False, True])
def test_a_link_planted_meanwhile_is_not_followed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, force: bool
) -> None:
    """Planted after the look: the system renames no folder onto it."""
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "a").write_bytes(b"mine")
    real = files.staged

    def late(parent: Path, made: dict[str, bytes]) -> object:
        (tmp_path / "out" / "book").symlink_to(tmp_path / "elsewhere")
        return real(parent, made)

    (tmp_path / "out").mkdir()
    monkeypatch.setattr(files, "staged", late)
    with pytest.raises(WriteError):
        write_folder(tmp_path / "out" / "book", FILES, force)
    assert os.listdir(tmp_path / "out") == ["book"]
    assert contents(tmp_path / "elsewhere") == {"a": b"mine"}


@pytest.mark.parametrize("force", [False, True])
@pytest.mark.parametrize("there", [True, False])
def test_a_link_planted_under_a_new_file_s_name_is_refused(
    tmp_path: Path, there: bool, force: bool
) -> None:
    """A calibration page is not written through a link into somebody's letter."""
    if there:
        (tmp_path / "letter").write_bytes(b"mine")
    (tmp_path / "page.pdf").symlink_to(tmp_path / "letter")
    with pytest.raises(WriteError, match="is a link to another place"):
        write_new_file(tmp_path / "page.pdf", b"new", force)
    assert (tmp_path / "letter").exists() == there
    assert not there or (tmp_path / "letter").read_bytes() == b"mine"


def test_links_on_the_way_and_to_settings_are_followed(tmp_path: Path) -> None:
    """Out folders and the studio's own settings may lie behind links, as people have them."""
    (tmp_path / "disk").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "disk")
    assert write_folder(tmp_path / "out" / "book", FILES) == "written"
    assert contents(tmp_path / "disk" / "book") == FILES
    (tmp_path / "printers.toml").symlink_to(tmp_path / "disk" / "ours.toml")
    write_file(tmp_path / "printers.toml", b"one")
    assert (tmp_path / "disk" / "ours.toml").read_bytes() == b"one"
    assert (tmp_path / "printers.toml").is_symlink()


def test_a_link_in_the_place_of_a_kept_pattern_is_refused(tmp_path: Path) -> None:
    """Keeping does not write through it either."""
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "gallery").mkdir()
    (tmp_path / "gallery" / "LOG-1-hollow_tube").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(WriteError, match="is a link to another place"):
        keep(tmp_path / "gallery", "LOG-1-hollow_tube", pattern_files())
    assert os.listdir(tmp_path / "elsewhere") == []


# what killed writers leave
def killed(work: str, *arguments: object) -> None:
    """Run a piece of work that stops at its first rename, link or replacement, and kill it there."""
    script = textwrap.dedent(
        """
        import os, signal, sys
        from pathlib import Path
        def stop(*_, **__):
            os.kill(os.getpid(), signal.SIGKILL)
        os.rename = os.replace = os.link = stop
        """
    )
    done = subprocess.run([sys.executable, "-c", script + work, *map(str, arguments)], check=False)
    assert done.returncode == -signal.SIGKILL


KILLED_FOLDER = (
    "from patterns.files import write_folder; write_folder(Path(sys.argv[1]), {'a': b'1' * 9999})"
)
KILLED_FILE = "from patterns.files import write_file; write_file(Path(sys.argv[1]), b'1' * 9999)"
KILLED_NEW = "from patterns.files import write_new_file; write_new_file(Path(sys.argv[1]), b'1')"


@pytest.mark.parametrize("work", [KILLED_FOLDER, KILLED_FILE, KILLED_NEW])
@pytest.mark.parametrize("following", ["folder", "file", "new file"])
def test_what_a_killed_writer_left_is_swept_by_the_next(
    tmp_path: Path, work: str, following: str
) -> None:
    """At once, not after an hour; nothing else of that folder is touched."""
    others = (".part-", ".part-mine", ".partner", f"{HIDDEN}0123456789abcdef", ".hidden")
    for name in others:
        (tmp_path / name).write_bytes(b"mine")
    killed(work, tmp_path / "book")
    assert len(left(tmp_path)) == len(others) + 1
    if following == "folder":
        write_folder(tmp_path / "other", FILES)
    elif following == "file":
        write_file(tmp_path / "other", b"2")
    else:
        write_new_file(tmp_path / "other", b"2")
    assert sorted(os.listdir(tmp_path)) == sorted((*others, "other"))


def test_what_a_killed_keeper_left_is_swept_by_the_next(tmp_path: Path) -> None:
    """The gallery's unfinished revisions as well."""
    name = "LOG-1-hollow_tube"
    work = (
        "from patterns.gallery.store import keep; from tests.gallery_samples import pattern_files;"
        f"keep(Path(sys.argv[1]), '{name}', pattern_files())"
    )
    killed(work, tmp_path)
    assert len(left(tmp_path / name)) == 1
    keep(tmp_path, name, pattern_files())
    assert os.listdir(tmp_path / name) == ["r0001"]
    assert len(revisions(tmp_path / name)) == 1


def test_what_a_living_writer_writes_is_left_alone(tmp_path: Path) -> None:
    """However long it takes: its lock is asked, not its age."""
    with part_folder(tmp_path) as part:
        (part / "a").write_bytes(b"1")
        os.utime(part, (0, 0))
        write_folder(tmp_path / "book", FILES)
        write_file(tmp_path / "other", b"2")
        assert contents(part) == {"a": b"1"}
    assert sorted(os.listdir(tmp_path)) == ["book", "other"]


def test_a_writer_of_another_process_is_left_alone(tmp_path: Path) -> None:
    """The same between processes: only when it ends, by whatever way, is it swept."""
    work = (
        "import sys; from pathlib import Path; from patterns.unfinished import part_folder\n"
        "with part_folder(Path(sys.argv[1])):\n print('begun', flush=True); sys.stdin.read()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", work, tmp_path], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as writer:
        assert writer.stdout is not None
        assert writer.stdout.readline() == b"begun\n"
        write_file(tmp_path / "one", b"1")
        assert len(left(tmp_path)) == 1
        writer.kill()
        writer.wait()
        write_file(tmp_path / "two", b"2")
    assert sorted(os.listdir(tmp_path)) == ["one", "two"]


def test_without_locks_an_hour_decides(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk or a system that knows none: what is young stays, what is old goes."""
    killed(KILLED_FOLDER, tmp_path / "book")
    (part,) = (tmp_path / name for name in left(tmp_path))
    monkeypatch.setattr(unfinished, "_lock", lambda _path: None)
    write_file(tmp_path / "one", b"1")
    assert part.is_dir()
    os.utime(part, (1e9, 1e9))
    write_file(tmp_path / "two", b"2")
    assert sorted(os.listdir(tmp_path)) == ["one", "two"]


def test_a_sweeper_in_between_costs_nothing_but_a_second_try(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Swept after it was made and before it was locked: made again under another name."""
    real, swept = unfinished._lock, list[Path]()

    def late(path: Path) -> int | None:
        if not swept:
            swept.append(path)
            path.rmdir()
        return real(path)

    monkeypatch.setattr(unfinished, "_lock", late)
    assert write_folder(tmp_path / "book", FILES) == "written"
    assert contents(tmp_path / "book") == FILES
    assert os.listdir(tmp_path) == ["book"]
