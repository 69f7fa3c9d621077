"""Pictures: their size, their words, and what is said when their makers are missing."""

from __future__ import annotations

import hashlib
import io
import os
import subprocess
import sys
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from patterns.errors import MendfoldError
from patterns.model.drawing import Drawing, Words
from patterns.writers.pdf import PdfPage, pdf_bytes
from patterns.writers.png import png_bytes
from patterns.writers.svg import svg_text
from tests.drawings import sheet
from tests.readers import ink_box, raster

PICTURE = """
import hashlib
from patterns.writers.png import png_bytes
from patterns.writers.svg import svg_text
from tests.drawings import sheet
print(hashlib.sha256(png_bytes(svg_text(sheet(), "t"), 96)).hexdigest())
"""

INTERRUPTED = """
import signal
from patterns.writers.png import png_bytes
from patterns.writers.svg import svg_text
from tests.drawings import sheet

drawing = svg_text(sheet(), "t")
png_bytes(drawing, 96)
signal.signal(signal.SIGPROF, lambda *_: signal.raise_signal(signal.SIGINT))
stopped = 0
for ms in range(2, 52, 2):
    signal.setitimer(signal.ITIMER_PROF, ms / 1000)
    try:
        png_bytes(drawing, 96)
    except KeyboardInterrupt:
        stopped += 1
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
print(stopped)
"""


class NoCairo(MetaPathFinder):
    """What a machine without the library does: the import of cairosvg ends in OSError."""

    def find_spec(self, fullname: str, *_: Any) -> ModuleSpec | None:
        if fullname == "cairosvg":
            raise OSError('no library called "cairo-2" was found')
        return None


def test_a_missing_library_is_answered_for_each_system(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in [name for name in sys.modules if name.split(".")[0] == "cairosvg"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [NoCairo(), *sys.meta_path])
    with pytest.raises(MendfoldError) as refused:
        png_bytes(svg_text(sheet(), "t"), 96)
    for word in ("Debian", "libcairo2", "macOS", "brew install cairo", "Windows", "GTK"):
        assert word in str(refused.value)


def test_no_other_writer_reaches_for_cairo() -> None:
    code = (
        "import sys\nfrom tests.drawings import sheet\nimport patterns.writers.png\n"
        "from patterns.writers.svg import svg_text\nfrom patterns.writers.pdf import *\n"
        "from patterns.writers.dxf import dxf_text\nd = sheet()\nsvg_text(d, 't')\n"
        "pdf_bytes([PdfPage(d, '1', 'a')], 't')\ndxf_text(d)\n"
        "print([m for m in sys.modules if m.startswith('cairo')])"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


@pytest.mark.outside
@pytest.mark.parametrize("dpi", [45.0, 96.0, 150.0])
def test_the_picture_has_the_dots_asked_for(dpi: float) -> None:
    from PIL import Image

    picture = Image.open(io.BytesIO(png_bytes(svg_text(sheet(215.9, 279.4), "t"), dpi)))
    assert picture.size == pytest.approx((215.9 * dpi / 25.4, 279.4 * dpi / 25.4), abs=1)


@pytest.mark.outside
@pytest.mark.parametrize(
    "words",
    [
        Words((50, 100), "Almanac ½ “é” ĄЖΩ", 5.0),
        Words((150, 100), "HEAD & TAIL", 5.0, bold=True, anchor="end"),
        Words((100, 100), "grain", 5.0, anchor="middle", angle_deg=90),
    ],
)
def test_words_of_the_picture_lie_on_those_of_the_pdf(words: Words) -> None:
    """cairo's pixels of the outlines against PDFium's pixels of the embedded typeface."""
    from PIL import Image

    drawing = Drawing(200, 200, (words,))
    picture = Image.open(io.BytesIO(png_bytes(svg_text(drawing, "t"), 300))).convert("L")
    pdf = pdf_bytes([PdfPage(drawing, "1", "a")], "t")
    window = (0.0, 0.0, 199.0, 199.0)
    mine = ink_box(np.array(picture), window, 300)
    assert mine == pytest.approx(ink_box(raster(pdf, dpi=300), window, 300), abs=0.15)


@pytest.mark.outside
def test_the_picture_is_the_same_without_typefaces(tmp_path: Path) -> None:
    none = tmp_path / "fonts.conf"
    none.write_text("<fontconfig></fontconfig>")
    env = {**os.environ, "FONTCONFIG_FILE": str(none), "HOME": str(tmp_path)}
    run = [sys.executable, "-c", PICTURE]
    ran = subprocess.run(run, env=env, check=True, capture_output=True, text=True)
    here = hashlib.sha256(png_bytes(svg_text(sheet(), "t"), 96)).hexdigest()
    assert ran.stdout.strip() == here


@pytest.mark.outside
@pytest.mark.parametrize("dpi", [0.0, -96.0, 1e6, float("nan"), float("inf")])
def test_a_picture_of_no_or_countless_dots_is_refused(dpi: float) -> None:
    with pytest.raises(MendfoldError, match="dots"):
        png_bytes(svg_text(sheet(), "t"), dpi)


def test_ctrl_c_while_a_picture_is_made_is_ctrl_c_wherever_it_falls() -> None:
    """At moments all through its making: no other error, and no complaint of a library."""
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            INTERRUPTED,
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.stderr == ""
    assert int(done.stdout) > 5
