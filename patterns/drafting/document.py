"""A draft as the document that is kept of it: nominal sizes to 0.0001 mm, and no owner."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence

import patterns
from patterns.drafting.order import Drafted
from patterns.model.kept import (
    FORMAT,
    Factors,
    KeptCheck,
    KeptFigure,
    KeptFold,
    KeptMaterial,
    KeptPattern,
    KeptPiece,
    KeptSheet,
    KeptStep,
    KeptZone,
)
from patterns.model.part import Part
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.model.sheet import Sheet
from patterns.model.values import Scalar, Value, plain_table, rounded
from patterns.record import writing
from patterns.record.record import Record
from patterns.stock import cautions
from patterns.stock.materials import Material
from patterns.writers import table


def document(drafted: Drafted, sheets: Sequence[Sheet]) -> KeptPattern:
    """Return the document of a draft and its sheets; every figure in it is rounded here, once."""
    order, pattern = drafted.order, drafted.pattern
    parts = pattern.parts
    sewing = next((part.sewing for part in parts if part.sewing), None)
    made = KeptPattern(
        format=FORMAT,
        mendfold=patterns.__version__,
        structures=pattern.structures,
        record=_record(order.record),
        parameters={name: plain_table(values) for name, values in drafted.parameters.items()},
        materials={
            name: {role: _material(held) for role, held in roles.items()}
            for name, roles in drafted.materials.items()
        },
        paper=order.paper.name,
        printer=order.correction.name,
        correction=Factors(order.correction.across, order.correction.down),
        full_size=order.full_size,
        shown=order.shown,
        quantities=_quantities(pattern),
        pieces=pieces(pattern),
        stations_mm=sewing.stations_mm if sewing else (),
        stitches=sewing.stitches if sewing else (),
        path=sewing.path if sewing else (),
        thread_mm=sewing.thread_mm if sewing else 0.0,
        proof=sewing.proof if sewing else None,
        sewing=plain_table(sewing.details) if sewing else None,
        sheets=tuple(_sheet(number, sheet) for number, sheet in enumerate(sheets, 1)),
        warnings=drafted.warnings,
        boxes=pattern.boxes,
        unfinished=pattern.unfinished,
        steps=tuple(
            KeptStep(one.phase, one.structure, one.text, tuple(map(cautions.text, one.cautions)))
            for one in pattern.steps
        ),
        checks=tuple(one for part in parts for one in _checks(part)),
        undo=pattern.undo,
    )
    return rounded(made)


def pieces(pattern: Pattern) -> tuple[KeptPiece, ...]:
    """Return the pieces alone, as the document has them before its figures are rounded."""
    return tuple(_piece(piece) for part in pattern.parts for piece in part.pieces)


def _record(record: Record) -> Mapping[str, Value]:
    """Return the record's tables with every length in mm; the owner stays in record.toml."""
    return plain_table(tomllib.loads(writing.dump(writing.without_owner(record))))


def _quantities(pattern: Pattern) -> dict[str, Scalar]:
    """Return every figure by its name; one that two structures give differently, under both."""
    merged: dict[str, Scalar] = {}
    for part in pattern.parts:
        for name, value in part.quantities.items():
            held = merged.setdefault(name, value)
            if held != value:
                merged[f"{part.structure}.{name}"] = value
    return {**merged, **pattern.figures}


def _material(material: Material) -> KeptMaterial:
    figures = {
        key: KeptFigure(one.value, one.source, one.confidence)
        for key, one in material.figures.items()
    }
    return KeptMaterial(material.name, material.kind, figures)


def _piece(piece: Piece) -> KeptPiece:
    return KeptPiece(
        name=piece.name,
        structures=(*piece.serves, piece.structure),
        material=piece.material,
        quantity=piece.quantity,
        grain=piece.grain,
        stock=piece.stock,
        width_mm=piece.width_mm,
        height_mm=piece.height_mm,
        thickness_mm=piece.thickness_mm,
        outline_mm=piece.outline,
        cut_first_mm=piece.rough,
        openings_mm=piece.openings,
        holes_mm=tuple(hole.at for hole in piece.holes if not hole.old),
        old_holes_mm=tuple(hole.at for hole in piece.holes if hole.old),
        folds=tuple(KeptFold(fold.kind, fold.line) for fold in piece.folds),
        slits=piece.slits,
        zones=tuple(
            KeptZone(zone.kind, zone.face, zone.to, zone.adhesive, zone.outline, zone.covers)
            for zone in piece.zones
        ),
    )


def _sheet(number: int, sheet: Sheet) -> KeptSheet:
    return KeptSheet(
        file=table.FORMATS["svg"].file.format(number),
        pdf_page=number,
        page_width_mm=sheet.drawing.width_mm,
        page_height_mm=sheet.drawing.height_mm,
        title=sheet.title,
        group=sheet.group,
        pieces=sheet.pieces,
    )


def _checks(part: Part) -> Iterator[KeptCheck]:
    for one in part.checks:
        yield KeptCheck(part.structure, one.name, one.value, one.unit, one.against)
