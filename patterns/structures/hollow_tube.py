"""hollow_tube: a paper tube wound from one strip."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import dist, hypot
from typing import Any

from shapely import MultiLineString, Polygon

from patterns.book.book import Book
from patterns.book.results import Handed, InlayResult, TubeResult
from patterns.errors import SettingError
from patterns.formulas import tubes
from patterns.model.drawing import Point, Ring
from patterns.model.part import Check, Layer, Part
from patterns.model.piece import Dimension, Fold, Label, Piece, Where, Zone
from patterns.structures.shared.bars import EASED, over_bars
from patterns.structures.shared.opened import covered
from patterns.structures.suits import hollow_tube as suits
from patterns.structures.suits.hollow_tube import Params
from patterns.units import tenth

NAME = "hollow_tube"
DRY_MM = 2.0
"""Kept free of paste at every fold (practice)."""
PASTE = "wheat starch paste"


@dataclass(frozen=True, slots=True)
class _Strip:
    """The flat strip: outline, crease lines, panels in winding order with their names."""

    outline: Ring
    creases: tuple[tuple[Point, Point], ...]
    panels: tuple[Any, ...]
    names: tuple[str, ...]


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
    names = panel_names(*_layers(book, params))
    paper = book.material("paper")
    height, girths = suits.extent(book, params)[1], suits.girths_mm(book, params)
    ease = suits.ease_mm(book, params, girths)
    ends, meaned = suits.panels_mm(book, params)
    strip = _strip(ends, height, names, paper.thickness_mm, params)
    slit = suits.slit_mm(book, params)
    if 2 * slit >= height:
        raise SettingError(
            f"hollow_tube.slit: {tenth(slit)} mm from both ends leaves no tube of "
            f"{tenth(height)} mm; allowed is less than {tenth(height / 2)}"
        )
    piece = _piece(book, params, strip, paper.thickness_mm, paper.name)
    part = _part(book, params, piece, strip, names, girths, ends, ease)
    return Handed(replace(part, warnings=_warnings(book, girths, meaned)), TubeResult())


def panel_names(on: int, off: int) -> tuple[str, ...]:
    """Name the panels in winding order; layers alternate sides, the greater number begins.

    >>> panel_names(1, 2)
    ('off 1', 'on 1', 'off 2')
    """
    sides = ("on", "off") if on >= off else ("off", "on")
    return tuple(f"{sides[k % 2]} {k // 2 + 1}" for k in range(on + off))


def _layers(book: Book, params: Params) -> tuple[int, int]:
    on, off = suits.layers(book, params)
    if abs(on - off) > 1:
        raise SettingError(
            f"hollow_tube: {on} on and {off} off cannot be wound from one strip, whose layers "
            "alternate sides; let them differ by 1 at most and add a separate lining of the same paper"
        )
    return on, off


def _strip(
    ends: list[float], height: float, names: tuple[str, ...], thickness: float, params: Params
) -> _Strip:
    count = len(names)
    lap = params.lap if count == 2 else 0.0
    fan = tubes.tube_fan(ends[0], ends[1], height, count, thickness, lap)
    outline = _ring(Polygon(fan.outline).simplify(1e-6))
    panels = tuple(Polygon(corners) for corners in fan.panels)
    return _Strip(outline, fan.creases, panels, (*names, "lap") if lap else names)


def _zones(strip: _Strip) -> tuple[Zone, ...]:
    """Say for both faces of every panel what happens to it; 2 mm stay dry at the folds."""
    dry = MultiLineString(list(strip.creases)).buffer(DRY_MM, cap_style="square")
    last = {name.split()[0]: k for k, name in enumerate(strip.names) if name != "lap"}
    zones = []
    for k, (name, panel) in enumerate(zip(strip.names, strip.panels, strict=True)):
        whole = _ring(panel)
        pasted = _ring(panel.difference(dry))
        if k < 2:
            words = "inside of the tube: no paste on this face"
            zones.append(Zone("free", "up", "inside of the tube", whole, words=words))
        else:
            partner = strip.names[k - 2]
            zones.append(
                Zone(
                    "pasted",
                    "up",
                    f"the outer face of “{partner}”",
                    pasted,
                    PASTE,
                    f"pasted over “{partner}”",
                )
            )
        if name == "lap":
            zones.append(Zone("free", "under", "lies against spine or cover", whole))
        elif k == last[name.split()[0]]:
            on: Where = "spine" if name.startswith("on") else "cover"
            zones.append(Zone("pasted", "under", on, whole, PASTE, f"pasted to {on}", on))
        else:
            over = strip.names[k + 2]
            words = f"“{over}” pasted over it"
            zones.append(Zone("pasted", "under", f"“{over}”", pasted, PASTE, words))
    return tuple(zones)


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
    first, last = (strip.panels[k].exterior.coords for k in (0, -1))
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
                f"{tenth(right)} ± {tenth(len(strip.names) * book.spine.error_mm)}",
            ),
            Dimension((0.0, 0.0), (0.0, bottom), "left", 0, f"{tenth(bottom)} head to tail"),
        ),
        labels=_labels(book, strip),
        lies_on_mm=book.lies_on_mm,
        grain_reason="grain head to tail: the creases run with it and the paper grows along the spine least",
        tolerance_mm=len(strip.names) * book.spine.error_mm,
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
    first = strip.panels[0].exterior.coords
    corners = first[0], first[3]
    places = []
    for line in strip.creases:
        head, tail = (tenth(dist(a, b)) for a, b in zip(corners, line, strict=True))
        places.append(head if head == tail else f"{head} (head) and {tail} (tail)")
    return places


def _slits(line: tuple[Point, Point], length: float) -> tuple[tuple[Point, Point], ...]:
    if not length:
        return ()
    (x1, y1), (x2, y2) = line
    share = length / hypot(x2 - x1, y2 - y1)
    dx, dy = (x2 - x1) * share, (y2 - y1) * share
    return ((x1, y1), (x1 + dx, y1 + dy)), ((x2 - dx, y2 - dy), (x2, y2))


def _labels(book: Book, strip: _Strip) -> tuple[Label, ...]:
    labels = []
    last_on = max(k for k, name in enumerate(strip.names) if name.startswith("on"))
    for k, (name, panel) in enumerate(zip(strip.names, strip.panels, strict=True)):
        x, y = panel.centroid.x, panel.centroid.y
        within = _ring(panel)
        labels.append(Label((x, y), name, "name", within=within))
        if k == last_on:
            wide = panel.bounds[2] - panel.bounds[0]
            for sign, words in zip((-1, 1), book.edge_words, strict=True):
                place = (x + sign * (wide / 2 - 4), y + 20)
                labels.append(Label(place, f"{words} of the spine", "small", 90.0, within))
    return tuple(labels)


def _part(
    book: Book,
    params: Params,
    piece: Piece,
    laid: _Strip,
    names: tuple[str, ...],
    girths: list[float],
    ends: list[float],
    ease: float,
) -> Part:
    mean, count = sum(ends) / 2, len(names)
    strip = piece.width_mm - (params.lap if count == 2 else 0.0)
    on = sum(name.startswith("on") for name in names)
    return Part(
        structure=NAME,
        title="Hollow tube",
        figures=Figures(
            covered=covered(book),
            slit_mm=suits.slit_mm(book, params),
            lined=book.lies_on_mm > 0,
            lies_on_mm=book.lies_on_mm,
            strip_words=f"{tenth(piece.width_mm)} × {tenth(piece.height_mm)} mm",
            crease_words=", ".join(_places(laid)),
            wound=count > 2,
            winding_words=_winding(names),
            panel_words=_ends(ends),
            girth_words=_ends(girths if ends[0] != ends[1] else [sum(girths) / 2] * 2),
            last_on=_last(names, "on"),
            last_off=_last(names, "off"),
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
        layers=_assembly(book, names, mean, piece.thickness_mm),
        girth_mm=book.spine.girth_head_mm,
        checks=(
            Check(
                "strip over panel",
                strip / mean,
                "×",
                f"{count} × and slightly over: blank 3 × the rounded spine (Roberts & Etherington, "
                '"tube"), slightly over 4 × (P. Adam 1903, ch. VIII)',
            ),
        ),
    )


def _ends(pair: list[float]) -> str:
    head, tail = map(tenth, pair)
    return f"{head} mm" if head == tail else f"{head} mm (head) and {tail} mm (tail)"


def _winding(names: tuple[str, ...]) -> str:
    return " ".join(
        f"Paste panel {k}, “{name}”, over the outer face of panel {k - 2}, “{names[k - 3]}”."
        for k, name in enumerate(names, 1)
        if k > 2
    )


def _last(names: tuple[str, ...], side: str) -> str:
    """Name the outermost panel of one side of the tube, as the steps do."""
    return [f"panel {k}, “{name}”," for k, name in enumerate(names, 1) if name.split()[0] == side][
        -1
    ]


def _assembly(
    book: Book, names: tuple[str, ...], panel: float, thickness: float
) -> tuple[Layer, ...]:
    material = book.materials["paper"].name
    half = panel / 2
    on = [name for name in names if name.startswith("on")]
    off = [name for name in names if name.startswith("off")]
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
    lines = [f"hollow_tube: {words}" for words in suits.in_a_case(book)]
    apart = abs(girths[1] - girths[0])
    if meaned and apart >= 0.1:
        lines.append(
            f"hollow_tube: head and tail differ by {tenth(apart)} mm; the strip is cut to the mean panel: {meaned}"
        )
    return tuple(lines)
