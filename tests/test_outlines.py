"""Traced outlines read at 1:1: paths and transforms held against fontTools, units against CSS."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest
import shapely
from ezdxf import units as dxf_units
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.svgLib.path import parse_path
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from patterns.errors import SettingError
from patterns.traced import outline_dxf, outline_svg, outlines
from patterns.traced.svg_path import Matrix, PathPen, draw
from patterns.traced.tracing import Traced

SVG = 'xmlns="http://www.w3.org/2000/svg"'
MM = f'<svg {SVG} width="200mm" height="300mm" viewBox="0 0 200 300">'


def svg(inside: str, head: str = MM) -> Traced:
    """Read a drawing with these parts in it."""
    return outline_svg.read(f"{head}{inside}</svg>".encode(), "loss.svg")


def area(traced: Traced) -> float:
    """Area of all rings, the even-odd way."""
    whole: Any = shapely.Polygon()
    for loss in traced.losses:
        for ring in loss:
            whole = whole.symmetric_difference(shapely.Polygon(ring).buffer(0))
    return float(whole.area)


PATHS = [
    "M10,10h30v20h-30z",
    "m10 10 30 0 0 20-30 0z",
    "M10 10C20 0 40 0 50 10S60 40 50 50 Z",
    "M10 10c10-10 30-10 40 0s10 30 0 40 z",
    "M10 50Q30 0 50 50T90 50V90H10Z",
    "M10 50q20-50 40 0t40 0v40h-80z",
    "M80,50A30,20 0 1 1 20,50A30,20 0 0 1 80,50Z",
    "M80,50a30 20 35 1120-10L10,90z",
    "M80 50a30,20 35 10-40,12.5.5.5 0 01 3 4L10,90z",
    "M10,10L1.5e1,30 40.5.5Z",
    "M20 20A5 9 30 0 0 60 60L20 60Z",
]


@pytest.mark.parametrize("data", PATHS)
def test_paths_enclose_what_an_independent_reader_finds(data: str) -> None:
    """Area and bounds by fontTools' own parser, whose pens are exact for Béziers."""
    exact, box = AreaPen(None), BoundsPen(None)
    parse_path(data, exact)
    parse_path(data, box)
    pen = PathPen(Matrix())
    draw(data, pen)
    polygon = shapely.Polygon(pen.runs[0].points)
    ring = shapely.LinearRing(pen.runs[0].points)
    signed = polygon.area * (1 if ring.is_ccw else -1)
    if polygon.is_valid:
        assert signed == pytest.approx(exact.value, abs=0.01 * ring.length)
    assert polygon.bounds == pytest.approx(box.bounds, abs=0.02)


coordinates = st.integers(-500, 1500).map(lambda n: n / 10)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from("LlCcSsQqTtHhVvAa"), st.lists(coordinates, min_size=7, max_size=7)
        ),
        min_size=1,
        max_size=8,
    )
)
def test_drawn_paths_reach_as_far_as_an_independent_reader_finds(
    commands: list[tuple[str, list[float]]],
) -> None:
    """Bounds of drawn path data, all commands mixed, agree with fontTools."""
    takes = {"L": 2, "C": 6, "S": 4, "Q": 4, "T": 2, "H": 1, "V": 1}
    data = "M10,20"
    for letter, values in commands:
        if letter in "Aa":
            radii = f"{abs(values[0]) + 1},{abs(values[1]) + 1} {values[2]}"
            flags = f"{int(values[3] > 0)} {int(values[4] > 0)}"
            data += f"{letter}{radii} {flags} {values[5]},{values[6]}"
        else:
            data += letter + " ".join(map(str, values[: takes[letter.upper()]]))
    box = BoundsPen(None)
    parse_path(data, box)
    pen = PathPen(Matrix())
    draw(data, pen)
    assert box.bounds is not None
    wide = max(map(abs, box.bounds))
    close = 0.02 + 6e-4 * wide  # fontTools draws an arc by cubic curves, 3 in 10,000 off
    assert shapely.MultiPoint(pen.runs[0].points).bounds == pytest.approx(box.bounds, abs=close)


def test_curves_lie_within_a_hundredth() -> None:
    """Every point of a circle's outline is on it, and no chord is 0.01 mm off (sagitta)."""
    ring = svg('<circle cx="90" cy="80" r="40"/>').losses[0][0]
    assert all(math.dist(p, (90, 80)) == pytest.approx(40, abs=1e-9) for p in ring)
    middles = [
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        for a, b in zip(ring, [*ring[1:], ring[0]], strict=True)
    ]
    assert min(math.dist(p, (90, 80)) for p in middles) >= 40 - 0.01


@pytest.mark.parametrize(("rx", "ry"), [(0.9, 4.0), (4.0, 0.9), (0.9, 0.8)])
def test_a_hole_smaller_than_a_millimetre_across_is_a_hole(rx: float, ry: float) -> None:
    """π·rx·ry, as of any other ellipse."""
    found = svg(f'<ellipse cx="70" cy="80" rx="{rx}" ry="{ry}"/>')
    assert area(found) == pytest.approx(math.pi * rx * ry, rel=0.02)


SHAPES = [
    '<rect x="20" y="30" width="40" height="25"/>',
    '<ellipse cx="70" cy="80" rx="30" ry="12"/>',
    '<polygon points="10,10 60,15 40,70"/>',
    '<path d="M80 50a30,20 35 10-40,12L10,90z"/>',
    '<g transform="translate(30,5) rotate(30)"><path d="M0 0h40v20h-40z" transform="scale(1.5 .5)"/></g>',
    '<g transform="matrix(1 .2 -.3 1 40 10)"><circle cx="30" cy="40" r="20" transform="skewX(20)"/></g>',
    '<path d="M10 10C20 0 40 0 50 10L30 60z" transform="rotate(-40 30 30), skewY(10)"/>',
    '<path fill-rule="evenodd" d="M10 10h40v40h-40z M20 20h10v10h-10z"/>',
]


@pytest.mark.outside
@pytest.mark.parametrize("shape", SHAPES)
def test_shapes_cover_the_pixels_an_independent_renderer_blackens(shape: str) -> None:
    """cairosvg paints the same drawing at ten pixels a mm; its dark area and box are ours."""
    import cairosvg
    import numpy as np
    from PIL import Image

    painted = cairosvg.svg2png(f"{MM}{shape}</svg>".encode(), output_width=2000, output_height=3000)
    dark = np.asarray(Image.open(io.BytesIO(painted)))[:, :, 3] / 255
    found = svg(shape)
    assert area(found) == pytest.approx(dark.sum() / 100, rel=1e-3)
    rows, columns = np.nonzero(dark > 0.5)
    seen = (columns.min() / 10, rows.min() / 10, columns.max() / 10 + 0.1, rows.max() / 10 + 0.1)
    points = [p for loss in found.losses for ring in loss for p in ring]
    assert shapely.MultiPoint(points).bounds == pytest.approx(seen, abs=0.3)


@pytest.mark.parametrize(
    ("radii", "rx", "ry"),
    [('rx="6" ry="4"', 6, 4), ('rx="6"', 6, 6), ('ry="3"', 3, 3), ('rx="90" ry="90"', 20, 12.5)],
)
def test_rounded_corners_take_off_what_geometry_says(radii: str, rx: float, ry: float) -> None:
    """A box of 40 × 25 less (4 − π)·rx·ry; radii stop at half a side (SVG 1.1, 9.2)."""
    found = svg(f'<rect x="20" y="30" width="40" height="25" {radii}/>')
    assert area(found) == pytest.approx(1000 - (4 - math.pi) * rx * ry, abs=0.6)


@pytest.mark.parametrize(
    ("transform", "moved"),
    [
        ("translate(3 4)", lambda g: affinity.translate(g, 3, 4)),
        ("translate(3)", lambda g: affinity.translate(g, 3, 0)),
        ("scale(2 .5)", lambda g: affinity.scale(g, 2, 0.5, origin=(0, 0))),
        ("scale(-2)", lambda g: affinity.scale(g, -2, -2, origin=(0, 0))),
        ("rotate(25)", lambda g: affinity.rotate(g, 25, origin=(0, 0))),
        ("rotate(25 7 9)", lambda g: affinity.rotate(g, 25, origin=(7, 9))),
        ("skewX(20)", lambda g: affinity.skew(g, 20, 0, origin=(0, 0))),
        ("skewY(-15)", lambda g: affinity.skew(g, 0, -15, origin=(0, 0))),
        ("matrix(1 2 3 4 5 6)", lambda g: affinity.affine_transform(g, [1, 3, 2, 4, 5, 6])),
        (
            "translate(3,4) rotate(25)\n scale(2)",
            lambda g: affinity.translate(
                affinity.rotate(affinity.scale(g, 2, 2, origin=(0, 0)), 25, origin=(0, 0)), 3, 4
            ),
        ),
    ],
)
def test_transforms_are_those_of_an_independent_geometry(
    transform: str, moved: Callable[[Any], Any]
) -> None:
    """shapely.affinity moves the same triangle to the same place."""
    triangle = shapely.Polygon([(10, 10), (60, 15), (40, 70)])
    found = svg(f'<polygon points="10,10 60,15 40,70" transform="{transform}"/>').losses[0][0]
    for here, there in zip(found, moved(triangle).exterior.coords, strict=False):
        assert here == pytest.approx(there)


@pytest.mark.parametrize(
    ("head", "mm"),
    [
        (f'<svg {SVG} width="100mm" height="100mm" viewBox="0 0 100 100">', 10.0),
        (f'<svg {SVG} width="10cm" height="10cm" viewBox="0 0 1000 1000">', 1.0),
        (f'<svg {SVG} width="4in" height="4in" viewBox="0 0 40 40">', 25.4),
        (f'<svg {SVG} width="72pt" height="72pt" viewBox="0 0 72 72">', 10 * 25.4 / 72),
        (f'<svg {SVG} width="6pc" height="6pc" viewBox="0 0 72 72">', 10 * 25.4 / 72),
        (f'<svg {SVG} width="96" height="96" viewBox="0 0 96 96">', 10 * 25.4 / 96),
        (f'<svg {SVG} width="210mm" height="297mm">', 10 * 25.4 / 96),
        (f"<svg {SVG}>", 10 * 25.4 / 96),
    ],
)
def test_units_are_those_of_css(head: str, mm: float) -> None:
    """1 in = 25.4 mm = 96 px = 72 pt = 6 pc (CSS Values, 5.2); ten units of each page."""
    found = svg('<path d="M0 0h10v10h-10z"/>', head)
    assert shapely.Polygon(found.losses[0][0]).bounds == pytest.approx((0, 0, mm, mm))


def test_lengths_in_mm_inside_a_drawing_are_px_first() -> None:
    """SVG 1.1, 7.10: 1 mm is 96/25.4 user units, whatever the viewBox makes of them."""
    found = svg('<rect x="1mm" y="0" width="10mm" height="5mm"/>')
    wide = 10 * 96 / 25.4
    assert shapely.Polygon(found.losses[0][0]).bounds[2] == pytest.approx(wide + 96 / 25.4)


def test_compound_paths_keep_their_islands() -> None:
    """Two rings of one path are one loss with an island: 40 × 40 − 10 × 10."""
    found = svg('<path d="M10 10h40v40h-40z M20 20h10v10h-10z"/>')
    assert len(found.losses) == 1
    assert area(found) == pytest.approx(1500)


def test_drawing_on_after_a_close_begins_at_the_start() -> None:
    """SVG 1.1, 8.3.3: after Z the next subpath starts where the last one did."""
    pen = PathPen(Matrix())
    draw("M10 10h20v20zl-5 0v-5z", pen)
    assert pen.runs[1].points[0] == (10, 10)
    assert pen.runs[1].points[1] == (5, 10)


def test_scale_bar_and_leaf_are_known_by_name() -> None:
    """A line, a box and a group named scale; a leaf by its layer's label."""
    ink = 'xmlns:k="http://www.inkscape.org/namespaces/inkscape"'
    found = svg(
        f'<line id="scale-50" x1="10" y1="200" x2="60" y2="200"/><g {ink} k:label="Leaf">'
        '<rect x="5" y="5" width="150" height="200"/></g><path d="M10 10h9v9z"/>'
    )
    assert found.scale_mm == pytest.approx(50)
    assert found.leaf is not None
    assert shapely.Polygon(found.leaf).area == pytest.approx(30_000)
    assert len(found.losses) == 1
    boxed = svg('<rect id="scale" x="0" y="0" width="50" height="2"/><path d="M10 10h9v9z"/>')
    assert boxed.scale_mm == pytest.approx(50)
    ticks = '<g id="scale"><path d="M0 0v4"/><path d="M0 2h50"/></g><path d="M10 10h9v9z"/>'
    assert svg(ticks).scale_mm == pytest.approx(50)


def test_what_is_hidden_or_only_defined_is_not_read() -> None:
    """defs, clip paths, hidden layers, words and foreign elements are no losses."""
    found = svg(
        '<defs><path d="M0 0h9v9z"/></defs><clipPath id="c"><rect width="9" height="9"/></clipPath>'
        '<g style="display:none"><path d="M0 0h9v9z"/></g><path visibility="hidden" d="M0 0h9v9z"/>'
        '<text x="5" y="5">recto</text><x:view xmlns:x="urn:x"/><path d="M10 10h9v9z"/>'
    )
    assert len(found.losses) == 1


def test_a_line_whose_ends_nearly_meet_is_closed() -> None:
    """Ends 0.8 mm apart are joined; 1.2 mm apart are refused with the place."""
    assert len(svg('<path d="M10 10h20v20h-20v-19.2"/>').losses[0][0]) == 5
    with pytest.raises(SettingError, match=r"open by 1\.2 mm near 10\.0,11\.2"):
        svg('<path d="M10 10h20v20h-20v-18.8"/>')


BOMB = '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>'
HOSTILE = {
    "entities": BOMB + MM + "<text>&b;</text><path d='M0 0h9v9z'/></svg>",
    "external entity": '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>' + MM + "<text>&x;</text></svg>",
    "parameter entity": '<!DOCTYPE svg [<!ENTITY % p SYSTEM "http://example.org/x.dtd"> %p;]>' + MM + "</svg>",
    "script": MM + "<script>alert(1)</script><path d='M0 0h9v9z'/></svg>",
    "event": MM + "<path onclick='x()' d='M0 0h9v9z'/></svg>",
    "on load": f"<svg {SVG} onload='x()' width='9mm' height='9mm' viewBox='0 0 9 9'><path d='M0 0h9v9z'/></svg>",
    "foreign object": MM + "<foreignObject><p/></foreignObject><path d='M0 0h9v9z'/></svg>",
    "linked image": MM + "<image href='http://example.org/a.png'/><path d='M0 0h9v9z'/></svg>",
    "linked file": MM + "<image xmlns:q='http://www.w3.org/1999/xlink' q:href='file:///etc/passwd'/></svg>",
    "two links": MM + "<image xmlns:q='http://www.w3.org/1999/xlink' href='http://example.org/a' q:href='#a'/></svg>",
    "script link": MM + "<a href='javascript:x()'><path d='M0 0h9v9z'/></a></svg>",
    "clone": MM + "<use href='#a'/><path id='a' d='M0 0h9v9z'/></svg>",
    "moved by time": MM + "<path d='M0 0h9v9z'><animateTransform attributeName='transform'/></path></svg>",
    "style sheet": "<?xml-stylesheet href='http://example.org/a.css'?>" + MM + "<path d='M0 0h9v9z'/></svg>",
    "import": MM + "<style>@import 'http://example.org/a.css';</style><path d='M0 0h9v9z'/></svg>",
    "style link": MM + "<path style='fill:url(http://example.org/a#b)' d='M0 0h9v9z'/></svg>",
    "style moves": MM + "<style>path{transform:scale(2)}</style><path d='M0 0h9v9z'/></svg>",
    "own style moves": MM + "<path style='transform:scale(2)' d='M0 0h9v9z'/></svg>",
    "comment in a rule": MM + "<style>path{transform/**/:scale(2)}</style><path d='M0 0h9v9z'/></svg>",
    "comment in a style": MM + "<path style='transform/**/:scale(2)' d='M0 0h9v9z'/></svg>",
    "no end": MM + "<path d='M0 0h9v9z'/>",
    "no drawing": "<html><body/></html>",
    "empty": "",
    "no shapes": MM + "</svg>",
    "huge numbers": MM + "<path d='M0 0h1e300v9z'/></svg>",
    "far away": MM + "<path d='M1e6 0h9v9z'/></svg>",
    "huge transform": MM + "<g transform='scale(1e6)'><g transform='scale(1e6)'><circle r='9'/></g></g></svg>",
    "overflow": MM + "<g transform='scale(9e6)'>" * 50 + "<path d='M0 0C1 1 5 9 9 0z'/>" + "</g>" * 50 + "</svg>",
    "too deep": MM + "<g>" * 500 + "</g>" * 500 + "</svg>",
    "too many": MM + "<g/>" * 30_000 + "</svg>",
    "flat": MM + "<path transform='scale(0)' d='M0 0h9v9z'/></svg>",
    "no number": MM + "<path transform='scale(nan)' d='M0 0h9v9z'/></svg>",
    "breaks off": MM + "<path d='M0 0h9v9 z L'/></svg>",
    "no command": MM + "<path d='M0 0 X 9'/></svg>",
    "no move": MM + "<path d='L9 9 0 9z'/></svg>",
    "stretched": f"<svg {SVG} width='100mm' height='100mm' viewBox='0 0 100 50'><path d='M0 0h9v9z'/></svg>",
    "no size": f"<svg {SVG} viewBox='0 0 100 50'><path d='M0 0h9v9z'/></svg>",
    "unit": f"<svg {SVG} width='10em' height='10em' viewBox='0 0 9 9'><path d='M0 0h9v9z'/></svg>",
    "drawing within": MM + f"<svg {SVG} width='9' height='9'><path d='M0 0h9v9z'/></svg></svg>",
    "two leaves": MM + "<path id='leaf1' d='M0 0h9v9z'/><path id='leaf2' d='M0 0h9v9z'/></svg>",
    "curves without end": MM + "<path d='" + "M0 0C0 9e4 9e4 0 9e4 9e4z" * 9_000 + "'/></svg>",
    "spaces": MM + "<path transform='" + " " * 900_000 + "x' d='M0 0h9v9z'/></svg>",
    "spaces in a style": MM + "<path style='fill:url(" + " " * 900_000 + "x)' d='M0 0h9v9z'/></svg>",
    "a long rule": MM + "<style>" + "a" * 900_000 + "{display:none}</style><path d='M0 0h9v9z'/></svg>",
    "a long line": MM + "<path d='M0 0" + "h190v.01h-190v.01" * 500 + "z'/></svg>",
    "many rings": MM + "<path d='" + "M0 0h9v9z" * 500 + "'/></svg>",
    "one line": MM + "<path d='M0 0h9z'/></svg>",
}  # fmt: skip


@pytest.mark.parametrize("kind", HOSTILE)
def test_hostile_and_broken_drawings_are_refused_in_one_line(kind: str, tmp_path: Path) -> None:
    """Nothing is followed, nothing hangs, and the line names the file and what to do."""
    file = tmp_path / "loss.svg"
    file.write_text(HOSTILE[kind], encoding="utf-8")
    with pytest.raises(SettingError) as refusal:
        outlines.setting(str(file), "outline")
    line = str(refusal.value)
    assert "\n" not in line
    assert line.startswith("outline: ")
    assert len(line) < 260
    assert str(tmp_path) not in line


def test_a_plain_doctype_is_no_harm() -> None:
    """Drawing programs write a public DOCTYPE; it is never fetched."""
    public = '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">'
    assert outline_svg.read(f"{public}{MM}<path d='M0 0h9v9z'/></svg>".encode(), "a.svg").losses


def test_huge_files_and_paths_are_refused(tmp_path: Path) -> None:
    """A file over 5 MB is not even parsed; a path of 100,000 points is too many."""
    file = tmp_path / "big.svg"
    file.write_bytes(b" " * (outlines.MOST_BYTES + 1))
    with pytest.raises(SettingError, match="over 5 MB"):
        outlines.setting(str(file), "here")
    file.write_text(MM + "<path d='M0 0" + "l1 1 1 -1" * 50_000 + "z'/></svg>", encoding="utf-8")
    with pytest.raises(SettingError, match="more than 20000 points"):
        outlines.setting(str(file), "here")


@pytest.mark.parametrize(
    "text",
    ["", "loss.png", "12,30", "12,30 40,50", "1,2 3,4 5,x", "scale x; 0,0 9,0 9,9", "no/such.svg",
     "leaf 0,0 9,0; 1,1 2,2 3,1", "0,0 9e9,0 9,9", "0,0 999999,0 9,9", "scale 5"],
)  # fmt: skip
def test_bad_points_are_refused_in_one_line(text: str) -> None:
    """Anything that is neither points nor a file is refused with an example."""
    with pytest.raises(SettingError) as refusal:
        outlines.setting(text, "outline")
    assert "\n" not in str(refusal.value)
    assert len(str(refusal.value)) > 40


rings = st.lists(
    st.tuples(*[st.integers(-999_999, 999_999).map(lambda n: n / 1000)] * 2),
    min_size=3,
    max_size=9,
).map(tuple)


@given(
    st.lists(st.lists(rings, min_size=1, max_size=3).map(tuple), min_size=1, max_size=4).map(tuple),
    st.none() | st.integers(1, 300_000).map(lambda n: n / 1000),
    st.none() | rings,
    st.sampled_from(["", "loss.svg", "a loss, recto.dxf"]),
)
def test_the_text_of_an_outline_keeps_everything(
    losses: tuple[tuple[tuple[tuple[float, float], ...], ...], ...],
    scale: float | None,
    leaf: tuple[tuple[float, float], ...] | None,
    name: str,
) -> None:
    """Written and read again, a tracing is the same, so a pattern needs no file any more."""
    traced = Traced(losses, scale, leaf, name)
    assert outlines.read(outlines.written(traced)) == traced


def dxf(unit: int, draw_on: str = "LOSS", bar: bool = True) -> bytes:
    """A DXF with a half-round loss of bulge 1, a circle and a bar of 50 units."""
    document = ezdxf.new("R2010", units=unit)
    space = document.modelspace()
    space.add_lwpolyline(
        [(10, 10, 0), (50, 10, 1), (50, 30, 0), (10, 30, 0)],
        format="xyb", close=True, dxfattribs={"layer": draw_on},
    )  # fmt: skip
    space.add_circle((100, 100), 10)
    if bar:
        space.add_line((0, 0), (50, 0), dxfattribs={"layer": "SCALE"})
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


def test_dxf_polylines_with_arcs() -> None:
    """40 × 20 and a half circle of radius 10, and a circle; y is turned over."""
    found = outline_dxf.read(dxf(dxf_units.MM), "loss.dxf")
    assert area(found) == pytest.approx(800 + 50 * math.pi + 100 * math.pi, abs=1.0)
    assert found.scale_mm == pytest.approx(50)
    assert shapely.Polygon(found.losses[0][0]).bounds == pytest.approx((10, -30, 60, -10), abs=0.01)


@pytest.mark.parametrize(("unit", "mm"), [(1, 25.4), (4, 1), (5, 10), (6, 1000)])
def test_dxf_units(unit: int, mm: float) -> None:
    """$INSUNITS 1 inches, 4 mm, 5 cm, 6 m (DXF reference)."""
    found = outline_dxf.read(dxf(unit), "loss.dxf")
    assert found.scale_mm == pytest.approx(50 * mm)


def test_dxf_without_a_unit_needs_its_bar() -> None:
    """A file that says no unit is taken in mm only when a bar can show it."""
    assert outline_dxf.read(dxf(0), "loss.dxf").scale_mm == pytest.approx(50)
    with pytest.raises(SettingError, match="true size is unknown"):
        outline_dxf.read(dxf(0, bar=False), "loss.dxf")
    with pytest.raises(SettingError, match="unit that is not read"):
        outline_dxf.read(dxf(2), "loss.dxf")


@pytest.mark.parametrize("data", [b"", b"nonsense", b"0\nSECTION\n", b"\x00\xff" * 50])
def test_broken_dxf_is_refused(data: bytes) -> None:
    """One line, with what to do."""
    with pytest.raises(SettingError, match=r"loss\.dxf"):
        outlines._checked(outline_dxf.read(data, "loss.dxf"))
