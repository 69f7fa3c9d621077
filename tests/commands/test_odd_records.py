"""Records that are no files, or not such as anybody writes: refused in one line, or read."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.books import DEMO
from tests.commands.bench import Run, refused


# records that are no files, or not such as anybody writes
def _odd_records(folder: Path) -> Iterator[tuple[str, str]]:
    """Make odd things to name as a record; yield each with a word of its refusal."""
    (folder / "folder").mkdir()
    (folder / "empty.toml").write_bytes(b"")
    (folder / "huge.toml").write_bytes(b"#" * 10_000_000)
    (folder / "deep.toml").write_text("a." * 300_000 + "a = 1")
    (folder / "brackets.toml").write_text("a = " + "[" * 100_000)
    (folder / "spaces.toml").write_text("[book]\nnote = '''\na" + " " * 900_000 + "'''\n")
    (folder / "picture.toml").write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)))
    yield from (
        ("folder", "is a folder"),
        ("none.toml", "is not there"),
        ("empty.toml", "is empty"),
        ("book.toml/more", "cannot be read"),
        ("x" * 300, "cannot be read"),
        ("huge.toml", "over 1 MB"),
        ("deep.toml", "nested too deep"),
        ("brackets.toml", "nested too deep"),
        ("spaces.toml", "book.note"),
        ("picture.toml", "UTF-8"),
    )
    os.mkfifo(folder / "pipe")
    (folder / "circle").symlink_to("circle")
    (folder / "dangling").symlink_to("nowhere")
    yield from (
        ("pipe", "a pipe or a device"),
        ("circle", "cannot be read"),
        ("dangling", "is not there"),
        ("/dev/zero", "a pipe or a device"),
        ("/dev/null", "a pipe or a device"),
    )


@pytest.mark.parametrize(
    "command", [("draft", "{}", "hollow_tube"), ("examine", "{}"), ("gallery", "similar", "{}")]
)
def test_what_is_no_record_file_is_refused(command: tuple[str, ...], run: Run, bench: Path) -> None:
    """Folders, pipes, devices, links in a circle, endless keys: named, at once."""
    for name, word in list(_odd_records(bench)):
        arguments = [part.format(name) for part in command]
        start = time.monotonic()
        said = run(*arguments)
        assert said.status == 1, name
        assert said.err.count("\n") == 1
        assert word in said.err, said.err
        assert time.monotonic() - start < 60, name  # nothing waits for a pipe
    assert not list(bench.glob("logbook-*"))


def test_a_record_may_come_from_any_editor(run: Run, bench: Path) -> None:
    """A byte-order mark and Windows line ends change nothing that is drawn."""
    text = (bench / "book.toml").read_text(encoding="utf-8")
    (bench / "windows.toml").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    for name, out in (("book.toml", "one"), ("windows.toml", "other")):
        assert run("draft", name, "spine_inlay", "--formats", "svg", "--out", out).status == 0
    one, other = (bench / out / "logbook-spine_inlay" for out in ("one", "other"))
    assert (one / "pattern.json").read_bytes() == (other / "pattern.json").read_bytes()


@pytest.mark.parametrize(
    "mark", ["\x07", "\x1b[31m", "\u202e", "\u2066", "\u200b", "\ufeff", "\u2028"]
)
@pytest.mark.parametrize(
    "field", ["book.title", "book.owner", "book.note", "sewing.kind", "measuring.by", "union"]
)
def test_hidden_characters_are_refused_in_every_text(
    field: str, mark: str, run: Run, bench: Path
) -> None:
    """Control, bidirectional and invisible characters stand in no text of a record."""
    table, _, key = field.partition(".")
    escaped = "".join(f"\\u{ord(one):04x}" for one in mark)
    row = f'{key} = "a{escaped}b"' if key else f'between = ["a{escaped}b", "c"]'
    head = f"[{table}]" if key else f"[[{table}]]"
    (bench / "odd.toml").write_text(f"{head}\n{row}\n")
    refused(run, "draft", "odd.toml", "hollow_tube", words=("hidden character",))


def test_letters_the_sheets_lack_are_named_with_their_field(run: Run, bench: Path) -> None:
    """A title in letters without a typeface here: field and letters, and nothing drawn as boxes."""
    (bench / "book.toml").write_text(
        (DEMO / "logbook.toml").read_text().replace("Harbour master's logbook", "港 logbook")
    )
    words = ("book.toml: book.title", "U+6E2F", "Latin, Greek and Cyrillic")
    refused(run, "draft", "book.toml", "spine_inlay", words=words)
    assert run("examine", "book.toml").status == 0


@pytest.mark.parametrize("name", ["CON", "nul", "aux", "LPT1", "a" * 64, "0", "a_-b"])
def test_an_allowed_id_names_a_folder_on_every_system(name: str, run: Run, bench: Path) -> None:
    """Device names are harmless before “-structure”."""
    text = (bench / "book.toml").read_text().replace('id = "logbook"', f'id = "{name}"')
    (bench / "book.toml").write_text(text)
    assert run("draft", "book.toml", "spine_inlay", "--formats", "svg").status == 0
    assert (bench / f"{name}-spine_inlay" / "pattern.json").is_file()
