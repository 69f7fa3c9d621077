"""The small picture of a pattern that is kept with it."""

from __future__ import annotations

from collections.abc import Mapping

from patterns.errors import MendfoldError
from patterns.gallery.portrait import HIGH_MM, WIDE_MM, portrait
from patterns.gallery.summary import kept_of
from patterns.units import MM_PER_INCH

LONGER_SIDE_PX = 640


def thumbnail(files: Mapping[str, bytes]) -> bytes:
    """Return a PNG of all pieces of a pattern, its longer side 640 pixels.

    Raises GalleryError for files that are no pattern, MendfoldError when PNG cannot be made here.
    """
    from patterns.writers.png import png_bytes
    from patterns.writers.svg import svg_text

    drawing = portrait(kept_of(files, "pattern").pieces)
    return png_bytes(
        svg_text(drawing, "pieces"), LONGER_SIDE_PX * MM_PER_INCH / max(WIDE_MM, HIGH_MM)
    )


def with_thumbnail(files: Mapping[str, bytes]) -> tuple[dict[str, bytes], str]:
    """Return a pattern's files with `thumbnail.png`, and why it is missing when it is."""
    try:
        return {**files, "thumbnail.png": thumbnail(files)}, ""
    except MendfoldError as error:
        return dict(files), f"kept without a small picture: {error}"
