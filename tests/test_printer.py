"""A printer is measured, stored and answered; a misread rule is refused."""

from __future__ import annotations

import io
import math
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from patterns.commands import advice
from patterns.commands.printer import printer as command
from patterns.errors import MendfoldError, PrinterError, WriteError
from patterns.model.drawing import Line, LineKind, Words
from patterns.sheets.calibration import bars_mm, calibration_page
from patterns.sketch.marks import Box, box_of
from patterns.stock import printer as printers
from patterns.stock.paper import parse

PAPERS = ("A4", "A3", "A5", "letter", "legal", "A0", "roll:610", "148x210")


def run(folder: Path, *words: str) -> tuple[str, str]:
    result = CliRunner(env={"MENDFOLD_CONFIG": str(folder)}).invoke(
        command, words, catch_exceptions=False
    )
    assert result.exit_code == 0
    return result.stdout, result.stderr


def test_factors_are_those_of_the_worked_check_value() -> None:
    """200 read as 199.0 and 200.6 (worked by hand: 200/199 = 1.00502513, 200/200.6 = 0.99700897)."""
    made = printers.profile("desk", "199.0/200", "200.6/200")
    assert made.correction.across == pytest.approx(1.0050251, abs=5e-8)
    assert made.correction.down == pytest.approx(0.9970090, abs=5e-8)


@given(st.floats(95.4, 104.8), st.integers(5, 150).map(lambda tens: tens * 10))
def test_a_corrected_bar_prints_true(percent: float, nominal: int) -> None:
    """A printer that shrinks a bar to the reading prints the corrected bar at its own length."""
    shown = round(percent * nominal / 100, 2)
    one = printers.read_bar(f"{shown}/{nominal}", "bar across")
    stretch = shown / nominal
    # eight places of a factor are 0.00001 mm on the longest bar
    assert nominal * one.factor * stretch == pytest.approx(nominal, abs=1e-5)


@pytest.mark.parametrize(
    ("text", "say"),
    [
        ("180/200", "misread"),
        ("212/200", "misread"),
        ("0/200", "misread"),
        ("250/249.3", "what the rule shows first"),
        ("199/30", "whole tens from 50"),
        ("199.0", "as in 199.0/200"),
        ("199.0/200/3", "as in 199.0/200"),
        ("nan/200", "as in 199.0/200"),
        ("-199/200", "as in 199.0/200"),
        ("1e2/100", "as in 199.0/200"),
        ("", "as in 199.0/200"),
        ("1,990/200", "as in 199.0/200"),
        ("199/0", "whole tens"),
    ],
)
def test_a_bad_reading_is_refused_with_what_to_do(text: str, say: str) -> None:
    with pytest.raises(PrinterError, match=say):
        printers.profile("desk", text, "250/250")


def test_a_decimal_comma_is_read() -> None:
    assert printers.read_bar("199,5 / 200", "bar").measured_mm == 199.5


@pytest.mark.parametrize("name", ["", "none", "a b", "../x", "x" * 65, "-x", "é"])
def test_a_bad_name_is_refused(name: str) -> None:
    with pytest.raises(PrinterError, match="letters"):
        printers.profile(name, "199/200", "250/250")


@given(
    st.floats(175, 185), st.floats(245, 255), st.floats(-0.01, 0.01).filter(lambda t: abs(t) > 1e-6)
)
def test_skew_is_the_lean_of_the_parallelogram(a: float, b: float, lean: float) -> None:
    """Corners set out by hand; their distances are the diagonals, and the lean comes back."""
    shift = (b * math.sin(lean), b * math.cos(lean))
    first = math.hypot(a + shift[0], shift[1])
    second = math.hypot(shift[0] - a, shift[1])
    made = printers.Profile(
        "desk", printers.Reading(a, 180), printers.Reading(b, 250), (first, second)
    )
    assert made.skew_mm == pytest.approx(shift[0], rel=1e-6)


def test_skew_warns_and_is_not_corrected() -> None:
    straight = printers.profile("desk", "180/180", "250/250", (308.0, 308.1))
    askew = printers.profile("desk", "180/180", "250/250", (308.7, 307.4))
    assert not straight.warnings
    assert "askew" in askew.warnings[0]
    assert askew.correction == printers.profile("desk", "180/180", "250/250").correction


@pytest.mark.parametrize(
    "pair", [(308, 320), (200, 200), (0, 0), (-308, 308), (math.nan, 308), (math.inf, 308)]
)
def test_diagonals_that_do_not_belong_to_the_bars_are_refused(pair: tuple[float, float]) -> None:
    """A parallelogram's diagonals satisfy p² + q² = 2a² + 2b² (Euclid's parallelogram law)."""
    with pytest.raises(PrinterError, match="measure both"):
        printers.profile("desk", "180/180", "250/250", pair)


def test_profiles_are_kept_beside_each_other_and_replaced_by_name(tmp_path: Path) -> None:
    first = printers.profile("desk", "199/200", "250.6/250")
    second = printers.profile("hall", "180.4/180", "249/250", (307.6, 307.8))
    for made in (first, second, printers.profile("desk", "200/200", "250/250")):
        printers.store(tmp_path / "new", made)
    kept = printers.profiles(tmp_path / "new")
    assert list(kept) == ["desk", "hall"]
    assert kept["hall"] == second
    assert kept["desk"].correction.across == 1.0


def test_an_unknown_printer_is_refused_with_the_nearest(tmp_path: Path) -> None:
    assert printers.correction(tmp_path, "none") == printers.UNCORRECTED
    with pytest.raises(PrinterError, match="none is"):
        printers.correction(tmp_path, "desk")
    printers.store(tmp_path, printers.profile("desk", "199/200", "250/250"))
    with pytest.raises(PrinterError, match="known are desk"):
        printers.correction(tmp_path, "dsk")


@pytest.mark.parametrize(
    "text",
    [
        "[desk",
        "desk = 3",
        "[desk]\nacross = 1.005\ndown = 1.0",
        '[desk]\nacross = "199/200"',
        '[desk]\nacross = "199/200"\ndown = "250/250"\nfactor = 2',
        '[desk]\nacross = "19/200"\ndown = "250/250"',
        '[desk]\nacross = "199/200"\ndown = "250/250"\ndiagonals = [1]',
        '["a b"]\nacross = "199/200"\ndown = "250/250"',
    ],
)
def test_a_spoilt_file_is_refused_by_its_name(tmp_path: Path, text: str) -> None:
    (tmp_path / "printers.toml").write_text(text)
    with pytest.raises(PrinterError, match=r"printers\.toml"):
        printers.profiles(tmp_path)
    (tmp_path / "printers.toml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(PrinterError, match=r"printers\.toml"):
        printers.profiles(tmp_path)


def test_commands_set_list_and_warn(tmp_path: Path) -> None:
    assert "No printer is stored" in run(tmp_path, "list")[0]
    out, err = run(
        tmp_path,
        *("set", "desk", "--across", "179.1/180", "--down", "250.6/250"),
        *("--diagonals", "309.2", "307.4"),
    )
    assert "across × 1.0050, down × 0.9976" in out
    assert "askew" in err
    assert "read 179.1/180 across, 250.6/250 down" in run(tmp_path, "list")[0]


def test_a_refused_reading_stores_nothing(tmp_path: Path) -> None:
    with pytest.raises(MendfoldError):
        CliRunner(env={"MENDFOLD_CONFIG": str(tmp_path)}).invoke(
            command,
            ["set", "desk", "--across", "100/200", "--down", "250/250"],
            catch_exceptions=False,
        )
    assert not list(tmp_path.iterdir())


def test_a4_has_bars_of_180_and_250() -> None:
    assert bars_mm(parse("A4")) == (180.0, 250.0)


@pytest.mark.parametrize("name", PAPERS)
def test_bars_and_diagonals_end_at_the_crosses(name: str) -> None:
    """The marks themselves have the lengths that the page says."""
    drawing = calibration_page(parse(name))
    across, down = [mark for mark in drawing.marks if getattr(mark, "kind", 0) is LineKind.BAR]
    assert isinstance(across, Line)
    assert isinstance(down, Line)
    assert (math.dist(*across.points), math.dist(*down.points)) == bars_mm(parse(name))
    said = [mark.text for mark in drawing.marks if isinstance(mark, Words)]
    assert f"across: {math.dist(*across.points):g} mm" in said


@pytest.mark.parametrize("name", PAPERS)
def test_calibration_words_neither_meet_nor_leave_the_page(name: str) -> None:
    drawing = calibration_page(parse(name))
    page = Box(4.0, 4.0, drawing.width_mm - 4.0, drawing.height_mm - 4.0)
    boxes = [box_of(mark) for mark in drawing.marks if isinstance(mark, Words)]
    assert all(page.holds(box_of(mark)) for mark in drawing.marks)
    assert not any(a.meets(b) for i, a in enumerate(boxes) for b in boxes[:i])


def test_the_written_page_has_the_size_of_its_paper(tmp_path: Path) -> None:
    """Read back by pypdf; A4 is 595.275591 × 841.889764 pt (ISO 216 over 72 pt an inch)."""
    out = tmp_path / "page.pdf"
    run(tmp_path, "test", "--out", str(out))
    (page,) = pypdf.PdfReader(io.BytesIO(out.read_bytes())).pages
    assert float(page.mediabox.width) == pytest.approx(595.275591, abs=1e-3)
    assert float(page.mediabox.height) == pytest.approx(841.889764, abs=1e-3)


def test_another_file_is_not_written_over_unasked(tmp_path: Path) -> None:
    out = tmp_path / "page.pdf"
    run(tmp_path, "test", "--out", str(out))
    run(tmp_path, "test", "--out", str(out))
    with pytest.raises(WriteError, match="already there and different") as refusal:
        run(tmp_path, "test", "--out", str(out), "--paper", "A3")
    assert "--force" in advice.told(refusal.value)
    run(tmp_path, "test", "--out", str(out), "--paper", "A3", "--force")
