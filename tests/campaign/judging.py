"""What is wrong with a draft that was accepted, each fault a sentence."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Iterator, Sequence

import pypdfium2
import shapely
from pypdf import PdfReader
from shapely import LineString, Point, Polygon

from patterns.drafting.order import Drafted
from patterns.model.drawing import Words
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.model.sheet import Sheet
from patterns.record.record import Record
from tests.clear import assert_clear

CLOSE_MM = 0.02
POINT_MM = 25.4 / 72


def draft_faults(drafted: Drafted) -> Iterator[str]:
    """Yield what no piece may be, and every stitch that lies within a clearance."""
    for part in drafted.pattern.parts:
        for piece in part.pieces:
            for fault in _piece_faults(piece):
                yield f"{part.structure}, {piece.name}: {fault}"
        for fault in _sewing_faults(part, drafted.order.record):
            yield f"{part.structure}: {fault}"


def _piece_faults(piece: Piece) -> Iterator[str]:
    shape = Polygon(piece.outline)
    if not shape.is_valid or shape.area <= 0 or not all(map(_finite, piece.outline)):
        yield f"its outline is not valid ({shapely.is_valid_reason(shape)}, {shape.area:g} mm²)"
        return
    inside = shape.buffer(CLOSE_MM)
    for ring in piece.openings:
        hole = Polygon(ring)
        if not hole.is_valid or not inside.covers(hole):
            yield "an opening is not valid, or not inside its outline"
            return
    solid = inside.difference(shapely.union_all([Polygon(one) for one in piece.openings]))
    for one in piece.holes:
        if not solid.buffer(CLOSE_MM).covers(Point(one.at)):
            yield f"a hole at {one.at} is not inside"
    lines = [*(fold.line for fold in piece.folds), *piece.slits]
    for line in lines:
        if not inside.covers(LineString(line)):
            yield f"a fold or slit {line} is not inside"
    for zone in piece.zones:
        area = Polygon(zone.outline)
        if not area.is_valid or not inside.covers(area):
            yield f"its zone {zone.kind} to {zone.to!r} is not valid, or not inside"
    if piece.rough and not Polygon(piece.rough).buffer(CLOSE_MM).covers(shape):
        yield "what is cut first does not hold what is cut last"


def _finite(point: tuple[float, float]) -> bool:
    return all(abs(value) < 1e5 for value in point)


def _sewing_faults(part: Part, record: Record) -> Iterator[str]:
    """Yield each hole nearer to a support, or to a kettle of every fold, than the part's own figure."""
    clear = part.quantities.get("clear_mm")
    if part.sewing is None or not isinstance(clear, float):
        return
    sewing, again = record.sewing, _used_again(part)
    half, down = (sewing.support_width or 0.0) / 2, _below_head(record)
    kettles = () if again or sewing.fold else [down + one for one in sewing.kettles or ()]
    supports = () if again else [down + one for one in sewing.supports_at or ()]
    for stitch in part.sewing.stitches:
        for at in (stitch.from_mm, stitch.to_mm):
            near = [one for one in kettles if abs(one - at) < clear - 1e-6]
            near += [one for one in supports if abs(one - at) < half + clear - 1e-6]
            if near:
                yield f"a stitch's hole at {at:g} mm lies within {clear:g} mm of {near[0]:g}"


def _below_head(record: Record) -> float:
    """Return how far the zero of all heights lies below the head: none, or as far as the last kettle above the tail."""
    sewing, height = record.sewing, record.text_block.height
    known = sewing.kettles or sewing.stations
    if sewing.stations_from != "kettle" or not known or height is None:
        return 0.0
    return (height - (max(known) - min(known))) / 2 - min(known)


def _used_again(part: Part) -> bool:
    eased = part.sewing.details.get("eased") if part.sewing else None
    return "old holes used again" in str(eased)


def sheet_faults(sheets: Sequence[Sheet], pdf: bytes) -> Iterator[str]:
    """Yield every label off its page or on another, and where two readers of the PDF miss something."""
    for number, sheet in enumerate(sheets, 1):
        try:
            assert_clear(sheet.drawing)
        except AssertionError as error:
            yield f"page {number}, {sheet.title}: {str(error)[:300] or 'a label off the page'}"
    yield from _unlike(sheets, pdf)


def _unlike(sheets: Sequence[Sheet], pdf: bytes) -> Iterator[str]:
    """Yield where pages, sizes or signs of the PDF are others than those of the sheets."""
    one = PdfReader(io.BytesIO(pdf), strict=True)
    with pypdfium2.PdfDocument(pdf) as other:
        if not len(one.pages) == len(other) == len(sheets):
            yield f"{len(sheets)} sheets; pypdf finds {len(one.pages)}, PDFium {len(other)}"
            return
        for number, sheet in enumerate(sheets):
            drawing = sheet.drawing
            box = one.pages[number].mediabox
            sizes = [(float(box.width), float(box.height)), other[number].get_size()]
            for reader, size in zip(("pypdf", "PDFium"), sizes, strict=True):
                if any(
                    abs(found * POINT_MM - side) > 0.05
                    for found, side in zip(size, (drawing.width_mm, drawing.height_mm), strict=True)
                ):
                    yield f"page {number + 1}: {reader} measures {size} points"
            drawn = _signs("".join(m.text for m in drawing.marks if isinstance(m, Words)))
            texts = (
                one.pages[number].extract_text(),
                other[number].get_textpage().get_text_range(),
            )
            for reader, text in zip(("pypdf", "PDFium"), texts, strict=True):
                if missing := drawn - _signs(text):
                    yield f"page {number + 1}: {reader} does not read {dict(missing)}"


def _signs(text: str) -> Counter[str]:
    """Return how often each letter and figure stands in a text."""
    return Counter(sign for sign in text if sign.isalnum())
