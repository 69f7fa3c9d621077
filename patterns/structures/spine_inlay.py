"""spine_inlay: a stiffener for the spine of a cover."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patterns.book.boards import SIDES
from patterns.book.book import Book
from patterns.book.results import Handed, InlayResult, TubeResult, WideningResult
from patterns.formulas import geometry
from patterns.model.part import Check, Layer, Part
from patterns.model.piece import Dimension, Label, Piece, Zone
from patterns.structures.shared.bars import EASED, over_bars
from patterns.structures.suits import spine_inlay as suits
from patterns.structures.suits.spine_inlay import Params
from patterns.units import tenth

NAME = "spine_inlay"


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    width_words: str
    height_mm: float
    beside_words: str
    turned_in: bool


def draft(book: Book, params: Params) -> Handed:
    """Work out the inlay: min(layer, room) − 2 × clearance, the height of the boards.

    The room is the cover's spine less both ways over a joint, of which a limp cover has none.
    """
    card = book.material("inlay")
    thickness = card.thickness_mm
    height, layers = book.cover_height.value, suits.layers(book)
    spans, widths = suits.cover_spine(book), suits.widths(book, params)
    spine = layers[0] if spans is None else spans[0]
    piece = _piece(book, card.name, thickness, widths, height)
    ends = sum(widths) / 4
    widened, tubed = (book.result(kind) is not None for kind in (WideningResult, TubeResult))
    part = Part(
        structure=NAME,
        title="Spine inlay",
        figures=Figures(
            width_words=_width_words(widths),
            height_mm=height,
            beside_words=_beside(layers, widths),
            turned_in=book.turn_in.value > 0 and not widened,
        ),
        others={
            "layer_head_mm": layers[0],
            "layer_tail_mm": layers[1],
            **_cover_figures(book, spans),
            "width_head_mm": widths[0],
            "width_tail_mm": widths[1],
            "thickness_mm": thickness,
            "lies_on_mm": suits.lies_on_mm(book),
        },
        pieces=(piece,),
        layers=(
            *(() if tubed else (Layer("air", "", 0.0, -ends, ends, "free", on_spine=False),)),
            Layer("inlay", card.name, thickness, -ends, ends, "pasted" if tubed else "free"),
            *_widening(book),
            Layer(
                "original spine" if widened else "spine of the cover",
                "",
                book.cover_thickness.value,
                -spine / 2,
                spine / 2,
                "pasted",
                existing=True,
            ),
        ),
        warnings=(*_bands(book), *(() if widened else _warnings(book, layers, spans))),
        checks=_checks(book, widths),
    )
    return Handed(part, InlayResult())


def _cover_figures(book: Book, spans: list[float] | None) -> dict[str, float]:
    """Return what is known of the cover's spine, and of the ways over its joints, at both ends."""
    if spans is None:
        return {}
    found = {"cover_spine_head_mm": spans[0], "cover_spine_tail_mm": spans[1]}
    return found | {f"joint_over_{side}_mm": book.covering.over_joint(side).value for side in SIDES}


def _checks(book: Book, widths: list[float]) -> tuple[Check, ...]:
    held = suits.room(book)
    if held is None:
        return ()
    return (
        Check(
            "inlay against the room between the joints",
            held[0] - widths[0],
            "mm",
            "twice the clearance or more: it never lies in a joint",
        ),
    )


def _beside(layers: list[float], widths: list[float]) -> str:
    """Say how far the inlay stops short of each joint on the block, at its head and tail."""
    head, tail = ((layer - width) / 2 for layer, width in zip(layers, widths, strict=True))
    if tenth(head) == tenth(tail):
        return f"{tenth(head)} mm"
    return f"{tenth(head)} mm at the head and {tenth(tail)} mm at the tail"


def _widening(book: Book) -> tuple[Layer, ...]:
    """Return the piece that widens the cover, counted already: the inlay lies within it."""
    new = book.result(WideningResult)
    return () if new is None else (replace(new.piece, on_spine=False),)


def _piece(
    book: Book, material: str, thickness: float, widths: list[float], height: float
) -> Piece:
    half = max(widths) / 2
    outline = tuple(
        (x + half, y) for x, y in geometry.tapered_outline(widths[0], widths[1], height)
    )
    left, right = book.edge_words
    bottom = max(y for _, y in outline)
    dimensions = [
        Dimension((half - widths[0] / 2, 0.0), (half + widths[0] / 2, 0.0), "head"),
        Dimension((0.0, 0.0), (0.0, height), "left", text=f"{tenth(height)} head to tail"),
    ]
    if abs(widths[0] - widths[1]) >= 0.05:
        dimensions.append(
            Dimension((half - widths[1] / 2, bottom), (half + widths[1] / 2, bottom), "tail")
        )
    return Piece(
        name="inlay",
        title="spine inlay",
        titled_by_structure=True,
        structure=NAME,
        material=material,
        thickness_mm=thickness,
        outline=outline,
        grain="head-tail",
        zones=(
            Zone(
                "pasted",
                "up",
                "inside of the cover's spine",
                outline,
                "wheat starch paste",
                on="cover",
            ),
            Zone(
                "free",
                "under",
                "only the last “off” panel of the tube goes on it"
                if book.result(TubeResult) is not None
                else "it faces the text block",
                outline,
            ),
        ),
        dimensions=tuple(dimensions),
        labels=(Label((half, height / 2), "to the cover only", "note"),),
        references=(((half, 0.0), (half, height)),),
        left=left,
        right=right,
        lies_on_mm=suits.lies_on_mm(book),
        grain_reason="grain head to tail: it bends to the round and stays stiff along the spine",
        tolerance_mm=book.spine.error_mm,
        notes=(
            f"girth {tenth(book.spine.girth_head_mm)} head, {tenth(book.spine.girth_tail_mm)} tail, {book.spine.shape_words}",
            *over_bars(replace(book, lies_on_mm=suits.lies_on_mm(book)), EASED),
            "thin line: middle of the spine",
        ),
        spine_joint_free=True,
    )


def _width_words(widths: list[float]) -> str:
    if abs(widths[0] - widths[1]) < 0.05:
        return f"{tenth(widths[0])} mm wide"
    return f"{tenth(widths[0])} mm wide at the head and {tenth(widths[1])} mm at the tail"


def _bands(book: Book) -> tuple[str, ...]:
    """Say that a card in one piece bridges raised supports; nothing where there are none."""
    if book.supports != "raised":
        return ()
    return (
        "raised supports stand in the covering's spine and a card in one piece would bridge them: cut it "
        "into panels between them, or leave it out and line the folds (spine_lining)",
    )


def _warnings(book: Book, layers: list[float], spans: list[float] | None) -> tuple[str, ...]:
    if spans is None:
        return (
            "the cover's spine is not measured (it is still on the book): the inlay goes by the block "
            "alone; lay the paper piece into the spine of the cover, and trim it where it would reach into a joint",
        )
    if not book.limp:
        return tuple(book.covering.gaps_assumed)
    short = max(layer - span for layer, span in zip(layers, spans, strict=True))
    if short <= 1:
        return ()
    return (
        f"the cover's spine is {tenth(short)} mm narrower than the spine of the book; the inlay "
        "keeps to the cover. Widen the cover first (cover_widening), or tie or box the book and do nothing",
    )
