"""What a draft leaves on the disk: pattern.json, the sheets, and the record as it was."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import patterns
from patterns.drafting.job import Drafted
from patterns.model.drawing import Drawing, Ring
from patterns.model.part import Sewing
from patterns.model.pattern import Pattern
from patterns.model.piece import Hole, Piece, Zone
from patterns.record import writing
from patterns.record.record import Record
from patterns.sheets.sheet import Sheet
from patterns.stock.materials import Material
from patterns.stock.paper import Paper
from patterns.stock.printer import Correction

FORMAT = "mendfold-pattern/1"

PNG_DPI = 150.0


def pattern_dict(
    record: Record,
    drafted: Drafted,
    sheets: Sequence[Sheet],
    paper: Paper,
    correction: Correction,
) -> dict[str, Any]:
    """Return the document of pattern.json; outlines are nominal, in mm; no owner."""
    pattern = drafted.pattern
    sewing = next((part.sewing for part in pattern.parts if part.sewing), None)
    return {
        "format": FORMAT,
        "mendfold": patterns.__version__,
        "structures": list(pattern.structures),
        "record": _record(record),
        "parameters": {name: dict(values) for name, values in drafted.parameters.items()},
        "materials": {
            name: {role: _material(held) for role, held in roles.items()}
            for name, roles in drafted.materials.items()
        },
        "paper": paper.name,
        "printer": correction.name,
        "correction": {"across": correction.across, "down": correction.down},
        "quantities": _quantities(drafted),
        "pieces": [_piece(piece) for part in pattern.parts for piece in part.pieces],
        **_sewing(sewing),
        "sheets": [
            {
                "file": f"sheet-{number:02d}.svg",
                "pdf_page": number,
                "page_width_mm": sheet.drawing.width_mm,
                "page_height_mm": sheet.drawing.height_mm,
                "title": sheet.title,
                "group": sheet.group,
                "pieces": list(sheet.pieces),
            }
            for number, sheet in enumerate(sheets, 1)
        ],
        "warnings": list(told(pattern)),
        "boxes": [line for part in pattern.parts for line in part.boxes],
        "steps": [
            {
                "phase": step.phase,
                "structure": step.structure,
                "text": step.text,
                "cautions": list(step.cautions),
            }
            for step in pattern.steps
        ],
        "checks": [
            {
                "structure": part.structure,
                "name": check.name,
                "value": check.value,
                "unit": check.unit,
                "against": check.against,
            }
            for part in pattern.parts
            for check in part.checks
        ],
    }


def _record(record: Record) -> dict[str, Any]:
    """Return the record's tables with every length in mm; the owner stays in record.toml."""
    tables = tomllib.loads(writing.dump(writing.without_owner(record)))
    return {name: _plain(table) for name, table in tables.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {str(key): _plain(held) for key, held in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(held) for held in value]
    if isinstance(value, (str, int, float, bool)) or value is None:
        return value
    return str(value)


def _quantities(drafted: Drafted) -> dict[str, Any]:
    """Every figure under its own name; one that two structures give differently, under both."""
    merged: dict[str, Any] = {}
    parts = drafted.pattern.parts
    for part in parts:
        for name, value in part.quantities.items():
            held = merged.setdefault(name, value)
            if held != value:
                merged[f"{part.structure}.{name}"] = value
    return {**merged, **drafted.pattern.figures}


def _material(material: Material) -> dict[str, Any]:
    return {
        "name": material.name,
        "kind": material.kind,
        "figures": {
            key: {"value": one.value, "source": one.source, "confidence": one.confidence}
            for key, one in material.figures.items()
        },
    }


def _piece(piece: Piece) -> dict[str, Any]:
    return {
        "name": piece.name,
        "structures": [*piece.serves, piece.structure],
        "material": piece.material,
        "quantity": piece.quantity,
        "grain": piece.grain,
        "stock": piece.stock,
        "width_mm": piece.width_mm,
        "height_mm": piece.height_mm,
        "thickness_mm": piece.thickness_mm,
        "outline_mm": _ring(piece.outline),
        "cut_first_mm": _ring(piece.rough),
        "openings_mm": [_ring(ring) for ring in piece.openings],
        "holes_mm": [_hole(hole) for hole in piece.holes if not hole.old],
        "old_holes_mm": [_hole(hole) for hole in piece.holes if hole.old],
        "folds": [{"kind": fold.kind, "line_mm": _ring(fold.line)} for fold in piece.folds],
        "slits": [_ring(slit) for slit in piece.slits],
        "zones": [_zone(zone) for zone in piece.zones],
    }


def _hole(hole: Hole) -> list[float]:
    return [hole.at[0], hole.at[1]]


def _zone(zone: Zone) -> dict[str, Any]:
    return {
        "kind": zone.kind,
        "face": zone.face,
        "to": zone.to,
        "adhesive": zone.adhesive,
        "outline_mm": _ring(zone.outline),
    }


def _ring(points: Iterable[tuple[float, float]] | Ring) -> list[list[float]]:
    return [[x, y] for x, y in points]


def _sewing(sewing: Sewing | None) -> dict[str, Any]:
    if sewing is None:
        return {"stations_mm": [], "stitches": [], "path": [], "thread_mm": 0.0, "proof": None}
    return {
        "stations_mm": list(sewing.stations_mm),
        "stitches": [
            {
                "gathering": stitch.gathering,
                "from_mm": stitch.from_mm,
                "to_mm": stitch.to_mm,
                "force_n": stitch.force_n,
            }
            for stitch in sewing.stitches
        ],
        "path": [dict(one) for one in sewing.path],
        "thread_mm": sewing.thread_mm,
        "proof": dict(sewing.proof),
        "sewing": dict(sewing.details),
    }


def told(pattern: Pattern) -> tuple[str, ...]:
    """Return every warning of a pattern, the boxed ones first."""
    return (*(line for part in pattern.parts for line in part.boxes), *pattern.warnings)


def json_bytes(document: Mapping[str, Any]) -> bytes:
    """Write a document as JSON with numbers to 0.0001 and no −0, one line end at the end."""
    return (json.dumps(_rounded(document), ensure_ascii=False, indent=1) + "\n").encode()


def _rounded(value: Any, places: int = 4) -> Any:
    if isinstance(value, float):
        return round(value, places) + 0.0
    if isinstance(value, Mapping):
        finer = {"correction": 8}  # a factor's fifth place moves a line 0.01 mm on a large sheet
        return {key: _rounded(held, finer.get(key, places)) for key, held in value.items()}
    if isinstance(value, (list, tuple)):
        return [_rounded(held, places) for held in value]
    return value


def files(
    record: Record,
    drafted: Drafted,
    sheets: Sequence[Sheet],
    paper: Paper,
    correction: Correction,
    formats: Sequence[str],
) -> tuple[dict[str, bytes], list[str]]:
    """Return every file of a draft by name, and a line for each format that had to be left out.

    PNG without its library is such a format: the remedy is returned, nothing else is lost.
    """
    from patterns.errors import MendfoldError

    document = pattern_dict(record, drafted, sheets, paper, correction)
    found = {"record.toml": record.text.encode(), "pattern.json": json_bytes(document)}
    remarks: list[str] = []
    svgs = _svgs(sheets) if {"svg", "png"} & set(formats) else {}
    if "pdf" in formats:
        found["sheets.pdf"] = pdf(drafted.pattern, sheets)
    if "svg" in formats:
        found |= {name: text.encode() for name, text in svgs.items()}
    if "dxf" in formats:
        from patterns.writers.dxf import dxf_text

        found["pattern.dxf"] = dxf_text(laid_out(drafted)).encode()
    if "png" in formats:
        from patterns.writers.png import png_bytes

        try:
            found |= {
                name.replace(".svg", ".png"): png_bytes(text, PNG_DPI)
                for name, text in svgs.items()
            }
        except MendfoldError as error:
            remarks.append(f"PNG left out: {error}")
    return found, remarks


def _svgs(sheets: Sequence[Sheet]) -> dict[str, str]:
    from patterns.writers.svg import svg_text

    return {
        f"sheet-{number:02d}.svg": svg_text(sheet.drawing, sheet.title)
        for number, sheet in enumerate(sheets, 1)
    }


def pdf(pattern: Pattern, sheets: Sequence[Sheet]) -> bytes:
    """Return all sheets of a pattern as one PDF."""
    from patterns.writers.pdf import PdfPage, pdf_bytes

    title = f"{pattern.book_id}: {', '.join(part.title for part in pattern.parts)}"
    pages = [
        PdfPage(sheet.drawing, f"{number}", sheet.title) for number, sheet in enumerate(sheets, 1)
    ]
    return pdf_bytes(pages, title)


def laid_out(drafted: Drafted) -> Drawing:
    """Return all pieces side by side on one plain drawing without page furniture (DXF, goldens)."""
    from patterns.sheets.plain import side_by_side

    return side_by_side([piece for part in drafted.pattern.parts for piece in part.pieces])
