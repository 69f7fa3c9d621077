"""hollow_tube: a paper tube wound from one strip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist, hypot
from typing import Any, Literal

from shapely import MultiLineString, Polygon, box

from patterns.book.book import Book
from patterns.book.results import Handed, InlayResult, TubeResult
from patterns.errors import SettingError
from patterns.formulas import tubes
from patterns.model.drawing import Drawing, Point, Ring
from patterns.model.part import Check, Layer, Part
from patterns.model.piece import Dimension, Fold, Label, Piece, Zone
from patterns.structures.shared import pictures
from patterns.structures.shared.bars import EASED, over_bars
from patterns.structures.shared.opened import covered
from patterns.structures.suits import hollow_tube as suits
from patterns.structures.suits.hollow_tube import Params
from patterns.units import at_ends, tenth

NAME = "hollow_tube"
DRY_MM = 2.0
"""Kept free of paste at every fold (practice)."""
PASTE = "wheat starch paste"


@dataclass(frozen=True, slots=True)
class Panel:
    """One thickness of the tube, towards the spine or towards the cover, counted from the hollow."""

    towards: Literal["spine", "cover"]
    number: int

    @property
    def name(self) -> str:
        """What is written on it."""
        return f"{'on' if self.towards == 'spine' else 'off'} {self.number}"


@dataclass(frozen=True, slots=True)
class _Strip:
    """The flat strip: outline, crease lines, panels in winding order, each with its shape."""

    outline: Ring
    creases: tuple[tuple[Point, Point], ...]
    panels: tuple[Panel, ...]
    shapes: tuple[Any, ...]
    """Of the panels, and after them of the lap where there is one."""

    def last(self, towards: str) -> int:
        """Place of the outermost panel of one side."""
        return max(k for k, panel in enumerate(self.panels) if panel.towards == towards)


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    covered: bool
    slit_mm: float
    lined: bool
    lies_on_mm: float
    strip_words: str
    crease_words: str
    wound: bool
    winding_words: str
    panel_words: str
    girth_words: str
    last_on: str
    last_off: str
    cover_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out the tube: panel a(u, t) − ease, wound n times, creases growing with the paper.

    Raises SettingError for layers that cannot be wound from one strip.
    """
    panels = wound(*_layers(book, params))
    paper = book.material("paper")
    height, girths = suits.extent(book, params)[1], suits.girths_mm(book, params)
    ease = suits.ease_mm(book, params, girths)
    ends, meaned = suits.panels_mm(book, params)
    strip = _strip(ends, height, panels, paper.thickness_mm, params)
    slit = suits.slit_mm(book, params)
    if 2 * slit >= height:
        raise SettingError(
            f"hollow_tube.slit: {tenth(slit)} mm from both ends leaves no tube of "
            f"{tenth(height)} mm; allowed is less than {tenth(height / 2)}"
        )
    piece = _piece(book, params, strip, paper.thickness_mm, paper.name)
    part = _part(book, params, piece, strip, girths, ends, ease)
    return Handed(replace(part, warnings=_warnings(book, girths, meaned)), TubeResult())


def wound(on: int, off: int) -> tuple[Panel, ...]:
    """Return the panels in winding order; layers alternate sides, the greater number begins.

    >>> [panel.name for panel in wound(1, 2)]
    ['off 1', 'on 1', 'off 2']
    """
    spine_first: Sequence[Literal["spine", "cover"]] = ("spine", "cover")
    sides = spine_first if on >= off else spine_first[::-1]
    return tuple(Panel(sides[k % 2], k // 2 + 1) for k in range(on + off))


def _layers(book: Book, params: Params) -> tuple[int, int]:
    on, off = suits.layers(book, params)
    if abs(on - off) > 1:
        raise SettingError(
            f"hollow_tube: {on} on and {off} off cannot be wound from one strip, whose layers "
            "alternate sides; let them differ by 1 at most and add a separate lining of the same paper"
        )
    return on, off


def _strip(
    ends: list[float], height: float, panels: tuple[Panel, ...], thickness: float, params: Params
) -> _Strip:
    count = len(panels)
    lap = params.lap if count == 2 else 0.0
    fan = tubes.tube_fan(ends[0], ends[1], height, count, thickness, lap)
    outline = _ring(Polygon(fan.outline).simplify(1e-6))
    shapes = tuple(Polygon(corners) for corners in fan.panels)
    return _Strip(outline, fan.creases, panels, shapes)


def _zones(strip: _Strip) -> tuple[Zone, ...]:
    """Say for both faces of every panel what happens to it; 2 mm stay dry at the folds."""
    dry = MultiLineString(list(strip.creases)).buffer(DRY_MM, cap_style="square")
    names = [panel.name for panel in strip.panels]
    zones = []
    for k, shape in enumerate(strip.shapes):
        whole = _ring(shape)
        pasted = _ring(shape.difference(dry))
        if k < 2:
            words = "inside of the tube: no paste on this face"
            zones.append(Zone("free", "up", "inside of the tube", whole, words=words))
        else:
            partner = names[k - 2]
            zones.append(
                Zone(
                    "pasted",
                    "up",
                    f"the outer face of “{partner}”",
                    pasted,
                    PASTE,
                    f"pasted over {_quoted(partner)}",
                )
            )
        if k == len(names):
            zones.append(Zone("free", "under", "lies against spine or cover", whole))
        elif k == strip.last(to := strip.panels[k].towards):
            zones.append(Zone("pasted", "under", to, whole, PASTE, f"pasted to {to}", to))
        else:
            words = f"{_quoted(names[k + 2])} pasted over it"
            zones.append(Zone("pasted", "under", f"“{names[k + 2]}”", pasted, PASTE, words))
    return tuple(zones)


def _quoted(panel: str) -> str:
    """Return a panel's name in quotes, not to be parted at the end of a line."""
    return f"“{panel}”".replace(" ", "\u00a0")


def _ring(shape: Any) -> Ring:
    return tuple((x, y) for x, y in shape.exterior.coords[:-1])


def _piece(
    book: Book,
    params: Params,
    strip: _Strip,
    thickness: float,
    material: str,
) -> Piece:
    slit = suits.slit_mm(book, params)
    ys = [y for _, y in strip.outline]
    right, bottom = max(x for x, _ in strip.outline), max(ys)
    first, last = (strip.shapes[k].exterior.coords for k in (0, -1))
    heads = [first[0], *(line[0] for line in strip.creases), last[1]]
    tails = [first[3], *(line[1] for line in strip.creases), last[2]]
    panels = [Dimension(a, b, "head", 0) for a, b in pairwise(heads)]
    if len(strip.outline) > 4:
        panels += [Dimension(a, b, "tail", 0) for a, b in pairwise(tails)]
    return Piece(
        name="strip",
        title="tube strip",
        structure=NAME,
        material=material,
        thickness_mm=thickness,
        outline=strip.outline,
        grain="head-tail",
        folds=tuple(
            Fold("valley", line, f"{k} · fold over · {place} from the left edge")
            for k, (line, place) in enumerate(zip(strip.creases, _places(strip), strict=True), 1)
        ),
        slits=tuple(cut for line in strip.creases for cut in _slits(line, slit)),
        zones=_zones(strip),
        dimensions=(
            *panels,
            Dimension(
                (0.0, 0.0),
                (right, 0.0),
                "head",
                1,
                f"{tenth(right)} ± {tenth(len(strip.shapes) * book.spine.error_mm)}",
            ),
            Dimension((0.0, 0.0), (0.0, bottom), "left", 0, f"{tenth(bottom)} head to tail"),
        ),
        labels=_labels(book, strip),
        lies_on_mm=book.lies_on_mm,
        grain_reason="grain head to tail: the creases run with it and the paper grows along the spine least",
        tolerance_mm=len(strip.shapes) * book.spine.error_mm,
        notes=(
            f"girth {tenth(book.spine.girth_head_mm)} head, {tenth(book.spine.girth_tail_mm)} tail, "
            f"{book.spine.shape_words}",
            *over_bars(book, EASED),
            *(("slit each crease after the tube is on and dry",) if slit else ()),
        ),
        spine_joint_free=True,
    )


def _places(strip: _Strip) -> list[str]:
    """Say how far each crease lies from the strip's left edge, along its head and along its tail."""
    first = strip.shapes[0].exterior.coords
    corners = first[0], first[3]
    return [
        at_ends([dist(a, b) for a, b in zip(corners, line, strict=True)]) for line in strip.creases
    ]


def _slits(line: tuple[Point, Point], length: float) -> tuple[tuple[Point, Point], ...]:
    if not length:
        return ()
    (x1, y1), (x2, y2) = line
    share = length / hypot(x2 - x1, y2 - y1)
    dx, dy = (x2 - x1) * share, (y2 - y1) * share
    return ((x1, y1), (x1 + dx, y1 + dy)), ((x2 - dx, y2 - dy), (x2, y2))


def _labels(book: Book, strip: _Strip) -> tuple[Label, ...]:
    labels = []
    names = (*(panel.name for panel in strip.panels), "lap")
    for k, shape in enumerate(strip.shapes):
        x, y = shape.centroid.x, shape.centroid.y
        within = _ring(shape)
        labels.append(Label((x, y), names[k], "name", within=within))
        if k == strip.last("spine"):
            wide = shape.bounds[2] - shape.bounds[0]
            for sign, words in zip((-1, 1), book.edge_words, strict=True):
                place = (x + sign * (wide / 2 - 4), y + 20)
                half = _half(shape, sign)
                labels.append(Label(place, f"{words} of the spine", "small", 90.0, half))
    return tuple(labels)


def _half(shape: Polygon, sign: int) -> Ring:
    """Return the left half of a panel (-1) or its right one (1): what names an edge stays on its side."""
    left, top, right, bottom = shape.bounds
    middle = shape.centroid.x
    sides = (left, middle) if sign < 0 else (middle, right)
    return _ring(shape.intersection(box(sides[0], top, sides[1], bottom)))


def _part(
    book: Book,
    params: Params,
    piece: Piece,
    strip: _Strip,
    girths: list[float],
    ends: list[float],
    ease: float,
) -> Part:
    panels = strip.panels
    mean, count = sum(ends) / 2, len(panels)
    wide = piece.width_mm - (params.lap if count == 2 else 0.0)
    on = sum(panel.towards == "spine" for panel in panels)
    return Part(
        structure=NAME,
        title="Hollow tube",
        figures=Figures(
            covered=covered(book),
            slit_mm=suits.slit_mm(book, params),
            lined=book.lies_on_mm > 0,
            lies_on_mm=book.lies_on_mm,
            strip_words=f"{tenth(piece.width_mm)} × {tenth(piece.height_mm)} mm",
            crease_words=", ".join(_places(strip)),
            wound=count > 2,
            winding_words=_winding(panels),
            panel_words=_ends(ends),
            girth_words=_ends(girths if ends[0] != ends[1] else [sum(girths) / 2] * 2),
            last_on=_last(strip, "spine"),
            last_off=_last(strip, "cover"),
            cover_words="the inlay in the spine of the cover"
            if book.expects(InlayResult)
            else "the inside of the spine of the cover",
        ),
        others={
            "on": on,
            "off": count - on,
            "girth_head_mm": book.spine.girth_head_mm,
            "girth_tail_mm": book.spine.girth_tail_mm,
            "girth_mm": sum(girths) / 2,
            "ease_mm": ease,
            "panel_mm": mean,
            "panel_head_mm": ends[0],
            "panel_tail_mm": ends[1],
            "strip_mm": piece.width_mm,
            "height_mm": piece.height_mm,
        },
        pieces=(piece,),
        layers=_assembly(book, panels, mean, piece.thickness_mm),
        girth_mm=book.spine.girth_head_mm,
        checks=(
            Check(
                "strip over panel",
                wide / mean,
                "×",
                f"{count} × and slightly over: blank 3 × the rounded spine (Roberts & Etherington, "
                '"tube"), slightly over 4 × (P. Adam 1903, ch. VIII)',
            ),
        ),
    )


def _ends(pair: list[float]) -> str:
    head, tail = map(tenth, pair)
    return f"{head} mm" if head == tail else f"{head} mm (head) and {tail} mm (tail)"


def _winding(panels: Sequence[Panel]) -> str:
    return " ".join(
        f"Paste panel {k}, “{over.name}”, over the outer face of panel {k - 2}, “{under.name}”."
        for k, (under, over) in enumerate(zip(panels, panels[2:], strict=False), 3)
    )


def _last(strip: _Strip, towards: str) -> str:
    """Name the outermost panel of one side of the tube, as the steps do."""
    k = strip.last(towards)
    return f"panel {k + 1}, “{strip.panels[k].name}”,"


def _assembly(
    book: Book, panels: Sequence[Panel], width: float, thickness: float
) -> tuple[Layer, ...]:
    material = book.materials["paper"].name
    half = width / 2
    on = [panel.name for panel in panels if panel.towards == "spine"]
    off = [panel.name for panel in panels if panel.towards == "cover"]
    return (
        *(
            Layer(f"tube, {name}", material, thickness, -half, half, "pasted")
            for name in reversed(on)
        ),
        Layer("hollow", "", 0.0, -half, half, "free"),
        *(
            Layer(f"tube, {name}", material, thickness, -half, half, "free" if k == 0 else "pasted")
            for k, name in enumerate(off)
        ),
    )


def _warnings(book: Book, girths: list[float], meaned: str) -> tuple[str, ...]:
    lines = list(suits.in_a_case(book))
    apart = abs(girths[1] - girths[0])
    if meaned and apart >= 0.1:
        lines.append(
            f"head and tail differ by {tenth(apart)} mm; the strip is cut to the mean panel: {meaned}; try it at both"
        )
    return tuple(lines)


def _wound(_book: Book, _params: Params, part: Part) -> Drawing:
    """Show the strip wound, end on."""
    on, off = int(part.others["on"]), int(part.others["off"])
    panels = wound(on, off)
    names = [panel.name for panel in panels]
    first_on = panels[0].towards == "spine"
    return pictures.wound(names, first_on, float(part.others["panel_mm"]))


PICTURES = {"wound": _wound}
