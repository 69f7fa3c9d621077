"""DXF read back: by ezdxf's reader and auditor, and its header by the bare group codes."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections import defaultdict
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from hypothesis import given, settings

from patterns.commands import advice
from patterns.errors import MendfoldError
from patterns.model.drawing import PENS, Area, Circle, Drawing, Line, Words
from patterns.writers.dxf import dxf_text
from tests.drawings import K, drawings, sheet

ROOT = Path(__file__).parents[1]


def read(drawing: Drawing) -> Any:
    document = ezdxf.read(io.StringIO(dxf_text(drawing)))
    auditor = document.audit()
    assert not auditor.errors
    assert not auditor.fixes
    return document


@given(drawings)
@settings(max_examples=25, deadline=None)
def test_every_mark_comes_back_where_it_was_put(drawing: Drawing) -> None:
    entities = list(read(drawing).modelspace())
    up = drawing.height_mm
    for mark in drawing.marks:
        if isinstance(mark, Area) and mark.grey == 1:
            continue
        entity = entities.pop(0)
        assert entity.dxf.layer == ("words" if isinstance(mark, Words) else mark.kind.value)
        match mark:
            case Line():
                assert entity.dxftype() == "LWPOLYLINE"
                assert entity.closed == mark.closed
                for (x, y), (u, v) in zip(mark.points, entity.get_points("xy"), strict=True):
                    assert (u, v) == pytest.approx((x, up - y), abs=1e-9)
            case Circle():
                assert entity.dxftype() == "CIRCLE"
                x, y = mark.centre
                assert tuple(entity.dxf.center)[:2] == pytest.approx((x, up - y), abs=1e-9)
                assert entity.dxf.radius == pytest.approx(mark.radius, abs=1e-9)
            case Area():
                assert entity.dxftype() == "HATCH"
                (path,) = entity.paths
                assert len(path.vertices) == len(mark.outline)
                for (x, y), vertex in zip(mark.outline, path.vertices, strict=True):
                    assert vertex[:2] == pytest.approx((x, up - y), abs=1e-9)
            case Words():
                assert entity.dxftype() == "TEXT"
                assert entity.dxf.height == pytest.approx(mark.cap_mm)
                assert entity.dxf.rotation == pytest.approx(mark.angle_deg)
                if mark.anchor == "start":
                    x, y = mark.at
                    assert tuple(entity.dxf.insert)[:2] == pytest.approx((x, up - y), abs=1e-9)
    assert not entities


@pytest.mark.parametrize("text", ["50 %", "100%%d", "a^b ^c", "%%%", "“é” ½ ĄЖΩ", "x\\P{y}"])
def test_words_are_not_taken_for_codes(text: str) -> None:
    (entity,) = read(Drawing(100, 100, (Words((1, 1), text, 2.5),))).modelspace()
    assert entity.plain_text() == text


def tags(text: str) -> list[tuple[int, str]]:
    lines = text.splitlines()
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def test_the_header_says_millimetres() -> None:
    """DXF reference, HEADER: $INSUNITS 4 = millimetres, $MEASUREMENT 1 = metric, AC1024 = R2010."""
    header: dict[str, list[str]] = defaultdict(list)
    name = ""
    for code, value in tags(dxf_text(sheet())):
        if code == 9:
            name = value
        elif name:
            header[name].append(value.strip())
        if value == "ENDSEC":
            break
    assert header["$INSUNITS"][0] == "4"
    assert header["$MEASUREMENT"][0] == "1"
    assert header["$ACADVER"][0] == "AC1024"
    assert [float(side) for side in header["$EXTMAX"][:2]] == [210.0, 297.0]


def test_one_layer_for_each_line_kind_present_with_its_dashes() -> None:
    drawing = sheet()
    document = read(drawing)
    present = {K.TEXT if isinstance(mark, Words) else mark.kind for mark in drawing.marks}
    layers = {layer.dxf.name for layer in document.layers} - {"0", "Defpoints"}
    assert layers == {kind.value for kind in present}
    for kind in present:
        linetype = document.layers.get(kind.value).dxf.linetype
        assert (linetype == kind.value) == bool(PENS[kind].dashes)
    pattern = document.linetypes.get("mountain-fold").pattern_tags.tags
    assert [tag.value for tag in pattern if tag.code == 49] == [6.0, -1.5, 0.5, -1.5]


def test_the_same_drawing_gives_the_same_text() -> None:
    assert dxf_text(sheet()) == dxf_text(sheet())
    assert not ezdxf.options.write_fixed_meta_data_for_testing


def test_another_process_gives_the_same_text() -> None:
    """Nothing goes by the order of a set, which each run of Python takes anew."""
    code = "from tests.test_render_dxf import *; print(dxf_text(sheet()))"
    texts = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "4", "7")
    }
    assert len(texts) == 1


def test_a_missing_package_is_answered_with_the_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    with pytest.raises(MendfoldError, match="needs one library more, ezdxf") as refusal:
        dxf_text(sheet())
    assert advice.told(refusal.value).endswith(": run  pip install 'mendfold[dxf]'")
