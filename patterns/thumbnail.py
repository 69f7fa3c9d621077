"""A small picture of a pattern, for the gallery; it is made from the pattern's own first sheet."""

from __future__ import annotations

import re
from collections.abc import Mapping

from patterns.errors import GalleryError
from patterns.units import MM_PER_INCH

LONGER_SIDE_PX = 640


def thumbnail(files: Mapping[str, bytes]) -> bytes:
    """Return a PNG of the first sheet, its longer side 640 pixels.

    Raises GalleryError when there is no sheet, MendfoldError when PNG cannot be made here.
    """
    from patterns.render.png import png_bytes  # only when a picture is wanted

    svg = files.get("sheet-01.svg", b"").decode(errors="replace")
    size = re.search(r'<svg\b[^>]*?viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    if size is None:
        raise GalleryError("sheet-01.svg is missing or not a sheet; draft the record again")
    longer_mm = max(float(size[1]), float(size[2]))
    return png_bytes(svg, LONGER_SIDE_PX * MM_PER_INCH / longer_mm)
