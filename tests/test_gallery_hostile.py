"""One pattern that no draft wrote stops no command of the gallery: it is named and passed over."""

from __future__ import annotations

import tracemalloc
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from patterns.cli import main
from patterns.gallery.store import keep
from tests.gallery_samples import pattern_files, record_text
from tests.hostile_patterns import (
    EXTREME,
    FLOOD,
    MISSHAPEN,
    NAME,
    lay,
    pattern,
    sealed,
)

Typed = Callable[..., tuple[int, str, str]]
ROOM = 300_000_000
"""Bytes that taking a zip in may need."""


@pytest.fixture
def typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Typed:
    """Types a command beside a gallery with one good pattern; returns status and both outputs."""
    monkeypatch.chdir(tmp_path)
    for name in ("CACHE", "CONFIG"):
        monkeypatch.setenv(f"MENDFOLD_{name}", str(tmp_path / name.lower()))
    monkeypatch.delenv("MENDFOLD_GALLERY", raising=False)
    keep(Path("gallery"), "GOOD-1-hollow_tube", pattern_files("GOOD-1"))
    tables = {"book": {"id": "NEW"}, "text_block": {"height": 196.0, "thickness": 38.0}}
    Path("new.toml").write_text(record_text(tables))
    Path("filled.toml").write_text('format = "mendfold-treatment/1"\n[treatment]\nby = "B."\n')

    def run(*words: str) -> tuple[int, str, str]:
        with pytest.raises(SystemExit) as ended:
            main(words)
        said = capsys.readouterr()
        assert "Traceback" not in said.err
        return int(ended.value.code or 0), said.out, said.err

    return run


def zipped(files: dict[str, bytes], packing: int = zipfile.ZIP_DEFLATED) -> str:
    with zipfile.ZipFile("bad.zip", "w", packing) as archive:
        for name, data in sealed(files).items():
            archive.writestr(f"{NAME}/r0001/{name}", data)
    return "bad.zip"


REFUSED = (
    ("gallery", "reuse", "BAD-1", "new.toml"),
    ("report", "BAD-1", "--blank"),
    ("report", "BAD-1", "--treatment", "filled.toml"),
    ("gallery", "export", "BAD-1"),
)
"""Commands that need the pattern itself."""


@pytest.mark.parametrize("wrong", MISSHAPEN)
def test_a_misshapen_pattern_is_named_and_passed_over(typed: Typed, wrong: str) -> None:
    """The others are listed, found, compared, checked and shown as before."""
    files = pattern(MISSHAPEN[wrong])
    lay(Path("gallery"), files)
    for words in (("list",), ("find", "harbour"), ("similar", "new.toml")):
        status, out, err = typed("gallery", *words)
        assert (status, err) == (0, ""), words
        assert "GOOD-1" in out
    status, out, err = typed("gallery", "page")
    assert (status, out) == (0, "gallery-page/index.html: 1 pattern\n")
    assert err.count("\n") == 1
    assert err.startswith(f"warning: not on the page: {NAME}: pattern.json")
    assert Path("gallery-page/GOOD-1-hollow_tube.html").is_file()
    assert not Path(f"gallery-page/{NAME}.html").exists()
    status, out, err = typed("gallery", "verify", "--files-only")
    assert (status, err) == (1, "")
    damaged, remedy, whole, last = out.splitlines()
    assert damaged.startswith(f"{NAME}: DAMAGED r0001: pattern.json is not a pattern")
    assert remedy.startswith(f"{NAME}: to mend it, ")
    assert whole.startswith("GOOD-1-hollow_tube: whole")
    assert last == "2 patterns checked, 1 with something to look at"
    status, out, _ = typed("gallery", "show", "BAD-1")
    assert status == 0
    assert "DAMAGED: r0001: pattern.json" in out
    for typing in REFUSED:
        status, out, err = typed(*typing)
        assert (status, out, err.count("\n")) == (1, "", 1), typing
        assert err.startswith("mendfold: ")
        assert f"{NAME}" in err
        assert "pattern.json" in err
    assert not any(Path().glob("BAD-1*"))
    status, out, err = typed("gallery", "import", zipped(files), "--gallery", "there")
    assert (status, out, err.count("\n")) == (1, "", 1)
    assert "pattern.json" in err
    assert not Path("there").exists()


@pytest.mark.parametrize("odd", EXTREME)
def test_a_pattern_of_no_book_ends_no_command(typed: Typed, odd: str) -> None:
    """Well shaped, its figures and words are none of a book: each command answers or refuses it."""
    files = pattern(EXTREME[odd])
    lay(Path("gallery"), files)
    status, out, _ = typed("gallery", "page")
    assert status == 0
    assert Path("gallery-page/GOOD-1-hollow_tube.html").is_file()
    for words in (("verify", "BAD-1"), ("show", "BAD-1")):
        status, out, _ = typed("gallery", *words)
        assert NAME in out
    for typing in (*REFUSED, ("gallery", "import", zipped(files), "--gallery", "there")):
        status, _, err = typed(*typing)
        assert status == 0 or err.count("\n") == 1, typing


def test_taking_in_a_flood_of_small_values_needs_little_memory(typed: Typed) -> None:
    """Stored in the zip as they are, so that no ratio gives them away."""
    bad = zipped(pattern(FLOOD), zipfile.ZIP_STORED)
    tracemalloc.start()
    try:
        status, _, err = typed("gallery", "import", bad, "--gallery", "there")
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert (status, err.count("\n")) == (1, 1)
    assert most <= ROOM


TREATMENT = 'format = "mendfold-treatment/1"\n[treatment]\n'


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ("weight_before = " + "9" * 400, "treatment, weight_before: "),
        ("weight_before = 0x" + "f" * 5000, "treatment, weight_before: "),
        ('weight_before = "' + "9" * 400 + '"', "treatment, weight_before: "),
        ("weight_before = nan", "treatment, weight_before: "),
        ("opening_after = -inf", "treatment, opening_after: "),
        ("[[piece]]\ncut_mm = [" + "9" * 400 + ", 5]", "piece 1, cut_mm: "),
        ("[[piece]]\ncut_mm = [0x" + "f" * 5000 + ", 5]", "piece 1, cut_mm: "),
        ("weight_before = " + "9" * 5000, "digits"),
        ("by = " + "[" * 3000 + "]" * 3000, "nested too deep"),
        ("by = " + "{a = " * 3000 + "1" + "}" * 3000, "nested too deep"),
    ],
    ids=lambda one: one[:24],
)
def test_a_treatment_of_endless_figures_or_brackets_is_one_line(
    typed: Typed, lines: str, said: str
) -> None:
    """Whether it is reported or added; nothing is kept of it."""
    Path("treatment.toml").write_text(TREATMENT + lines)
    for words in (
        ("report", "GOOD-1", "--treatment", "treatment.toml"),
        ("gallery", "add", "GOOD-1", "treatment.toml"),
    ):
        status, out, err = typed(*words)
        assert (status, out, err.count("\n")) == (1, "", 1)
        assert said in err
        assert len(err) < 500
    assert not Path("gallery/GOOD-1-hollow_tube/r0002").exists()


def test_a_treatment_saved_with_a_byte_order_mark_is_read_everywhere(typed: Typed) -> None:
    """As Windows' editor saves it: added, reported, shown on the page and found by its words."""
    text = "\ufeff" + TREATMENT + 'undo = "sextant"\n'
    Path("treatment.toml").write_text(text, encoding="utf-8")
    assert typed("gallery", "add", "GOOD-1", "treatment.toml")[0] == 0
    assert typed("report", "GOOD-1")[0] == 0
    assert "sextant" in Path("GOOD-1-hollow_tube-report/report.html").read_text("utf-8")
    status, _, err = typed("gallery", "page")
    assert (status, err) == (0, "")
    assert Path("gallery-page/GOOD-1-hollow_tube/report/report.html").is_file()
    assert "GOOD-1" in typed("gallery", "find", "sextant")[1]


@pytest.mark.parametrize("words", [("find", "harbour"), ("similar", "new.toml")])
def test_a_limit_of_any_size_is_taken(typed: Typed, words: tuple[str, ...]) -> None:
    status, out, err = typed("gallery", *words, "--limit", str(10**30))
    assert (status, err) == (0, "")
    assert "GOOD-1" in out


def test_behind_the_last_number_nothing_is_kept(typed: Typed) -> None:
    """A tenth-million revision would be one that no command sees."""
    home = Path("gallery/GOOD-1-hollow_tube")
    (home / "r0001").rename(home / "r99999999")
    Path("note.txt").write_text("boards parted")
    status, out, err = typed("gallery", "add", "GOOD-1", "note.txt")
    assert (status, out, err.count("\n")) == (1, "", 1)
    assert "no number comes behind r99999999" in err
    assert [path.name for path in home.iterdir()] == ["r99999999"]
