"""Tracings that nobody drew by hand: refused in one line, at once, whatever stands in them."""

from __future__ import annotations

import io
import math
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest

from patterns.errors import SettingError
from patterns.traced import outline_dxf, outline_svg, outlines

ODD = 12.625
"""A figure that stands in each drawing once, and is then exchanged for another."""


def with_odd_knot(space: Any) -> None:
    """Draw a spline with one knot out of its row."""
    spline = space.add_open_spline([(0, 0), (10, 0), (5, 10), (0, 10), (0, 0)])
    spline.knots = [ODD if at == 5 else knot for at, knot in enumerate(spline.knots)]


DRAWN: dict[str, Callable[[Any], object]] = {
    "circle, radius": lambda space: space.add_circle((0, 0), ODD),
    "circle, centre": lambda space: space.add_circle((ODD, 0), 5),
    "circle, turned": lambda space: space.add_circle(
        (0, 0), 5, dxfattribs={"extrusion": (ODD, 0, 1)}
    ),
    "line": lambda space: space.add_line((0, 0), (ODD, 0)),
    "arc, radius": lambda space: space.add_arc((0, 0), ODD, 0, 90),
    "arc, angle": lambda space: space.add_arc((0, 0), 5, 0, ODD),
    "polyline": lambda space: space.add_lwpolyline([(0, 0), (ODD, 0), (3, 3)], close=True),
    "polyline, bulge": lambda space: space.add_lwpolyline(
        [(0, 0, ODD), (10, 0, 0), (3, 3, 0)], format="xyb", close=True
    ),
    "old polyline": lambda space: space.add_polyline2d([(0, 0), (ODD, 0), (3, 3)], close=True),
    "ellipse, axis": lambda space: space.add_ellipse((0, 0), (ODD, 0), 0.5),
    "ellipse, end": lambda space: space.add_ellipse((0, 0), (10, 0), 0.5, 0, ODD),
    "spline, control": lambda space: space.add_open_spline(
        [(0, 0), (10, 0), (ODD, 10), (0, 10), (0, 0)]
    ),
    "spline, fit": lambda space: space.add_spline([(0, 0), (10, 0), (ODD, 10), (0, 10), (0, 0)]),
    "spline, weight": lambda space: space.add_rational_spline(
        [(0, 0), (10, 0), (5, 10), (0, 10), (0, 0)], [1, 1, ODD, 1, 1]
    ),
    "spline, knot": with_odd_knot,
}
EXCHANGED = ("nan", "inf", "-inf", "1e6", "-1e6", "1e30", "1e308")
READ_ALL = """
import sys
from pathlib import Path
from patterns.errors import SettingError
from patterns.traced import outlines
for path in sorted(Path(sys.argv[1]).iterdir()):
    try:
        outlines.read(str(path))
        print("read", path.name, flush=True)
    except SettingError as error:
        print(error, flush=True)
"""


def drawn(draw: Callable[[Any], object], unit: int = 4) -> bytes:
    """Return a DXF file with a bar of 50 and what is drawn."""
    document = ezdxf.new("R2010", units=unit)
    space = document.modelspace()
    space.add_line((0, 0), (50, 0), dxfattribs={"layer": "SCALE"})
    draw(space)
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


def exchanged(data: bytes, figure: str) -> bytes:
    """Return the file with the odd figure exchanged, wherever it stands."""
    assert str(ODD).encode() in data
    return data.replace(str(ODD).encode(), figure.encode())


def test_figures_of_no_leaf_are_refused_at_once_in_a_dxf_file(tmp_path: Path) -> None:
    """nan, infinities and more than 100 m, in every kind of curve: named before it is followed.

    They are read by a process of their own: a reader that follows such a curve hears no Ctrl-C.
    """
    names = []
    for kind, draw in DRAWN.items():
        for figure in EXCHANGED:
            names.append(f"{kind}, {figure}.dxf")
            (tmp_path / names[-1]).write_bytes(exchanged(drawn(draw), figure))
    said = subprocess.run(
        [sys.executable, "-c", READ_ALL, tmp_path],
        capture_output=True, text=True, timeout=120, check=True,
    ).stdout.splitlines()  # fmt: skip
    assert len(said) == len(names)
    for name, line in zip(sorted(names), said, strict=True):
        assert line.startswith(f"{name}: "), line
        assert "100 m" in line


@pytest.mark.parametrize(("unit", "mm"), [(1, 25.4), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_a_hundred_metres_are_counted_in_the_drawing_s_own_unit(
    unit: int, mm: float, tmp_path: Path
) -> None:
    """A circle that ends just within 100 m is read, one that ends just outside is not."""
    for reach, ok in ((99_990.0, True), (100_004.0, False), (100_010.0, False)):
        data = drawn(
            lambda space, x=(reach - 5) / mm: space.add_circle((x, 0), 5 / mm),  # type: ignore[misc]
            unit,
        )
        (tmp_path / "loss.dxf").write_bytes(data)
        if ok:
            (ring,) = outlines.read(str(tmp_path / "loss.dxf")).losses[0]
            assert max(x for x, _ in ring) == pytest.approx(reach)
        else:
            with pytest.raises(SettingError, match="100 m"):
                outlines.read(str(tmp_path / "loss.dxf"))


def test_angles_are_no_lengths() -> None:
    """Half a circle of 180° and its chord in a drawing in metres, where 100 m are 100 units."""
    data = drawn(
        lambda space: space.add_lwpolyline(
            [(0.01, 0, 1), (0.03, 0, 0)], format="xyb", close=True
        ),
        unit=6,
    )  # fmt: skip
    (ring,) = outline_dxf.read(data, "loss.dxf").losses[0]
    assert max(math.dist(p, (20, 0)) for p in ring) == pytest.approx(10, abs=0.01)
    arc = drawn(lambda space: space.add_arc((0, 0), 0.01, 0, 359.99), unit=6)
    assert outline_dxf.read(arc, "loss.dxf").losses


def test_a_spline_of_too_many_points_is_refused_before_it_is_worked_out() -> None:
    """Fit points ask for a system of equations; 19,000 of them took half a minute."""
    ring = [(20 * math.cos(i / 3000), 20 * math.sin(i / 3000)) for i in range(19_000)]
    data = drawn(lambda space: space.add_spline(ring))
    with pytest.raises(SettingError, match="more than 20000 points"):
        outline_dxf.read(data, "loss.dxf")


def test_knots_that_divide_by_nothing_are_one_line() -> None:
    """Knots that run backwards: a ZeroDivisionError of the library."""
    with pytest.raises(SettingError, match=r"loss\.dxf is no whole DXF file"):
        outline_dxf.read(exchanged(drawn(with_odd_knot), "1e-300"), "loss.dxf")


def test_what_the_library_mends_is_not_printed_beside_the_refusal(tmp_path: Path) -> None:
    """A tag whose figure is cut short: ezdxf logs it, which Python prints where nobody listens."""
    data = drawn(lambda space: space.add_circle((0, 0), 5))
    broken = re.sub(rb"( 40\r?\n)5\.0\r?\n", rb"\g<1>5.0x\n", data)
    assert broken != data
    (tmp_path / "loss.dxf").write_bytes(broken)
    command = [sys.executable, "-c", READ_ALL, str(tmp_path)]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
    assert not ran.stderr
    assert len(ran.stdout.splitlines()) == 1


PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="300mm" viewBox="0 0 200 300">'
TRIANGLE = '<path d="M0 0h9v9z"/>'
GROWN = "scale(9e6) " * 24


@pytest.mark.parametrize(
    "inside",
    [
        '<path d="M0 0A1e-300 1e-300 0 0 1 50 50z"/>',
        f'<g transform="{GROWN}"><path d="M0 0A1 1 0 0 1 50 50z"/></g>',
        f'<g transform="{GROWN}{GROWN}{GROWN}"><path d="M0 0L1 1 1 0z"/></g>',
        f'<path id="leaf" d="M0 0h1e7v1e7z"/>{TRIANGLE}',
        f'<path id="scale" transform="{GROWN}{GROWN}{GROWN}" d="M0 0h1"/>{TRIANGLE}',
        f'<path id="scale" d="M0 0h1e6"/>{TRIANGLE}',
        '<path transform="skewX(90)" d="M0 0L1 1 1 0z"/>',
    ],
)
def test_figures_of_no_leaf_are_refused_in_an_svg_file(inside: str, tmp_path: Path) -> None:
    """Radii of nothing, scales of scales, leaf and bar far outside: one line."""
    (tmp_path / "loss.svg").write_text(f"{PAGE}{inside}</svg>")
    with pytest.raises(SettingError, match=r"leaf|100 m|no length"):
        outlines.read(str(tmp_path / "loss.svg"))


@pytest.mark.parametrize("encoding", ["none-such", "shift_jis", "utf-7", "hex", "idna"])
def test_an_odd_encoding_is_one_line(encoding: str) -> None:
    """Encodings that are unknown, or not read: Python raises five kinds of error for them."""
    data = f'<?xml version="1.0" encoding="{encoding}"?>{PAGE}{TRIANGLE}</svg>'.encode()
    with pytest.raises(SettingError, match=r"loss\.svg is no whole SVG file"):
        outline_svg.read(data, "loss.svg")


@pytest.mark.parametrize(
    "text",
    [
        "scale nan; 0,0 9,0 9,9",
        "scale inf; 0,0 9,0 9,9",
        "scale -5; 0,0 9,0 9,9",
        f"scale {'9' * 400}; 0,0 9,0 9,9",
        f"leaf 0,0 {'9' * 40},0 9,9; 0,0 9,0 9,9",
        f"0,0 {'9' * 40},0 9,9",
    ],
)
def test_figures_of_no_leaf_are_refused_in_points(text: str) -> None:
    """A bar that is no length, a leaf or a loss beyond 100 m."""
    with pytest.raises(SettingError, match=r"no length|100 m"):
        outlines.read(text)


@pytest.mark.parametrize(
    "figure", ["5,25", "5.25x", "5.2.5", "5.25 7", "0x5", "5_2", "٥", "5.25e", "--5", ""]
)
@pytest.mark.parametrize("sound", ["5.25", "7.125", "4"])
def test_a_dxf_figure_that_would_be_guessed_is_refused(
    figure: str, sound: str, tmp_path: Path
) -> None:
    """A corner, a radius, the drawing's unit: “5,25” was read as 5."""
    document = ezdxf.new("R2010", units=4)
    space = document.modelspace()
    space.add_lwpolyline([(5.25, 5), (60, 5), (60, 40)], close=True)
    space.add_circle((100, 100), 7.125)
    space.add_line((0, 0), (50, 0), dxfattribs={"layer": "SCALE"})
    written = io.StringIO()
    document.write(written)
    text = written.getvalue()
    file = tmp_path / "loss.dxf"
    file.write_text(text, encoding="utf-8")
    assert len(outlines.read(str(file)).losses) == 2
    start = text.index("$INSUNITS") if sound == "4" else text.index("\nENTITIES\n")
    place = text.index(f"{sound}\n", start)
    file.write_text(text[:place] + figure + text[place + len(sound) :], encoding="utf-8")
    with pytest.raises(SettingError) as refused:
        outlines.read(str(file))
    line = text[:place].count("\n") + 1
    assert f"loss.dxf, line {line}: “{figure}” is no figure; save the traced lines again" in str(
        refused.value
    )
