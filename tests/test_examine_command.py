"""`mendfold examine` as a command: words, JSON, the sheet, status, and what it does not load."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from patterns.commands.examine import examine
from patterns.errors import RecordError
from patterns.record import record

LOGBOOK = Path(record.__file__).parent.parent / "demo" / "logbook.toml"


def test_the_answer_ends_with_the_ways_to_go_on_and_status_0() -> None:
    result = CliRunner().invoke(examine, [str(LOGBOOK)])
    assert result.exit_code == 0
    _, _, ways = result.stdout.partition("WAYS TO GO ON")
    assert f"mendfold draft {LOGBOOK} board_slot secondary_sewing" in ways
    assert "Do nothing, tie or box" in ways
    assert "Text block and boards: parted" in result.stdout


def test_json_is_one_document_and_nothing_else() -> None:
    result = CliRunner().invoke(examine, [str(LOGBOOK), "--json"])
    data = json.loads(result.stdout)
    assert result.exit_code == 0
    assert data["book_id"] == "logbook"
    heavy = next(f for f in data["findings"] if f["key"] == "heavy_on_attachments")
    # 4.1 kg less two boards of 0.27
    assert heavy["figure"] == pytest.approx(3.56)
    assert (heavy["unit"], heavy["limit"], heavy["status"]) == ("kg", 1.5, "practice")
    assert "owner" not in result.stdout


def test_the_sheet_is_written_beside_the_answer(tmp_path: Path) -> None:
    target = tmp_path / "sheet.pdf"
    result = CliRunner().invoke(
        examine, [str(LOGBOOK), "--json", "--pdf", str(target), "--paper", "A3"]
    )
    assert result.exit_code == 0
    assert json.loads(result.stdout)["book_id"] == "logbook"
    assert "sheet.pdf" in result.stderr
    reader = PdfReader(target)
    assert len(reader.pages) == 1
    assert "Harbour master" in reader.pages[0].extract_text()


def test_a_book_that_stops_the_work_still_ends_with_status_0(tmp_path: Path) -> None:
    mouldy = tmp_path / "book.toml"
    mouldy.write_text(LOGBOOK.read_text("utf-8").replace("mould = false", "mould = true"), "utf-8")
    result = CliRunner().invoke(examine, [str(mouldy)])
    assert result.exit_code == 0
    assert "STOP\n" in result.stdout
    assert "mendfold draft" not in result.stdout
    assert "FFP2 or FFP3" in " ".join(result.stdout.split())


def test_a_record_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    result = CliRunner().invoke(examine, [str(tmp_path / "none.toml")])
    assert isinstance(result.exception, RecordError)


def test_nothing_is_loaded_that_draws() -> None:
    code = (
        "import sys\n"
        "from patterns.commands.examine import examine\n"
        f"examine([{str(LOGBOOK)!r}], standalone_mode=False)\n"
        "print(sorted({'shapely', 'numpy', 'reportlab', 'svgwrite', 'ezdxf', 'cairosvg'} "
        "& set(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, encoding="utf-8"
    )
    assert done.stderr.strip() == "[]"
