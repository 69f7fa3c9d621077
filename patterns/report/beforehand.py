"""What a pattern says beforehand of its treatment: steps, materials, tests to make, evidence met."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from patterns.gallery.summary import kept_of, record_of
from patterns.model.kept import KeptPattern
from patterns.report.treatment import Proposed
from patterns.report.unions import joins, words


def proposed(files: Mapping[str, bytes], where: str) -> Proposed:
    """Return what a pattern's files say beforehand; raises GalleryError or RecordError."""
    kept, record = kept_of(files, where), record_of(files, where)
    zones = [zone for piece in kept.pieces for zone in piece.zones]
    return Proposed(
        book=f"{record.book.id}, {record.book.title or 'no title'}",
        steps=tuple(step.text for step in kept.steps),
        materials=tuple(_materials(kept)),
        adhesives=tuple(dict.fromkeys(zone.adhesive for zone in zones if zone.kind == "pasted")),
        pieces=tuple(
            (piece.name, piece.width_mm, piece.height_mm) for piece in kept.pieces if piece.stock
        ),
        evidence=tuple(f"{one.to}, under the {one.piece}" for one in joins(kept) if one.covers),
    )


def _materials(kept: KeptPattern) -> Iterator[tuple[str, str]]:
    """Yield every material that is cut, and every thread, with what it is for."""
    used: dict[str, dict[str, None]] = {}
    for piece in kept.pieces:
        if piece.stock:
            for name in piece.structures:
                used.setdefault(piece.material, {})[words(name)] = None
    for name, roles in kept.materials.items():
        for role in roles.values():
            if role.kind == "thread":
                used.setdefault(role.name, {})[f"sewing, {words(name)}"] = None
    for material, names in used.items():
        yield material, ", ".join(names)
