"""An album's leaves as recorded, everything there that guards cannot do without."""

from __future__ import annotations

from typing import NamedTuple

from patterns.book.answer import certain
from patterns.record.record import Record


class AlbumLeaves(NamedTuple):
    """Leaves of an album with what is on them; lengths in mm."""

    folded_pairs: bool
    leaf_mm: float
    contents_mm: tuple[float, ...]
    """One figure a leaf."""
    width_mm: float
    height_mm: float
    inner_margin_mm: float
    old_stub_mm: float | None
    """None where there is none."""


def leaves(record: Record) -> AlbumLeaves:
    """Return the leaves of an album. Raises RecordError naming what is missing."""
    album = record.album
    count = certain(album.leaves, "album.leaves")
    held = album.contents_thickness
    contents = (
        held if isinstance(held, tuple) else (certain(held, "album.contents_thickness"),) * count
    )
    return AlbumLeaves(
        folded_pairs=certain(album.kind, "album.kind") == "folios",
        leaf_mm=certain(album.leaf_thickness, "album.leaf_thickness"),
        contents_mm=contents,
        width_mm=certain(album.leaf_width, "album.leaf_width"),
        height_mm=certain(album.leaf_height, "album.leaf_height"),
        inner_margin_mm=certain(album.inner_margin, "album.inner_margin"),
        old_stub_mm=album.old_stub or None,
    )
