"""What a pattern says beforehand of its treatment: steps, materials, tests to make, evidence met."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from patterns.gallery.summary import kept_of, record_of
from patterns.model.kept import KeptPattern
from patterns.report.opening import words
from patterns.report.treatment import Proposed
from patterns.report.unions import joins

_OF_THE_BOOK = re.compile(
    r"\b(spine|cover|boards?|text block|folds?|leaf|leaves|sides?|paste-down|shoulders?|joints?)\b"
)
"""Words by which a pasted zone names a part of the book itself: what lies there is covered."""


def proposed(files: Mapping[str, bytes], where: str) -> Proposed:
    """Return what a pattern's files say beforehand; raises GalleryError or RecordError."""
    kept, record = kept_of(files, where), record_of(files, where)
    zones = [zone for piece in kept.pieces for zone in piece.zones]
    own = {words(piece.name) for piece in kept.pieces}
    covered = (
        one
        for one in joins(kept)
        if one.made == "pasted" and one.to not in own and _OF_THE_BOOK.search(one.to)
    )
    return Proposed(
        book=f"{record.book.id}, {record.book.title or 'no title'}",
        steps=tuple(step.text for step in kept.steps),
        materials=tuple(_materials(kept)),
        adhesives=tuple(dict.fromkeys(zone.adhesive for zone in zones if zone.kind == "pasted")),
        pieces=tuple(
            (piece.name, piece.width_mm, piece.height_mm) for piece in kept.pieces if piece.stock
        ),
        evidence=tuple(f"{one.to}, under the {one.part.split(',')[0]}" for one in covered),
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
