"""Photographs, looked at before they are decoded: a few bytes may claim a picture of gigabytes."""

from __future__ import annotations

import io
import warnings
from typing import TYPE_CHECKING

from patterns.errors import GalleryError

if TYPE_CHECKING:
    from PIL import Image

MOST_PIXELS = 50_000_000
"""Half as much again as most cameras take; a report prints far fewer."""
FORMATS = ("JPEG", "PNG", "GIF", "WEBP", "TIFF")
"""What is ever decoded; others (EPS) may start a program of their own. No browser shows a TIFF."""


def upright(name: str, data: bytes) -> Image.Image:
    """Return a photograph decoded, turned upright, in red, green and blue.

    Raises GalleryError, naming the file, for what is no picture and for one of too many pixels.
    """
    from PIL import ImageOps

    check_pixels(name, data)
    try:
        with _opened(data) as picture:
            return ImageOps.exif_transpose(picture).convert("RGB")
    except Exception as error:  # Pillow keeps no closed list of what a broken file makes it raise
        raise GalleryError(
            f"{name}: not a picture that can be placed; give a JPEG, PNG, GIF or WebP file"
        ) from error


def check_pixels(name: str, data: bytes) -> None:
    """Raise GalleryError for a picture of too many pixels; what is no picture passes."""
    from PIL import Image

    try:
        with _opened(data) as picture:
            pixels = picture.width * picture.height
    except Image.DecompressionBombError:
        pixels = MOST_PIXELS + 1
    except Exception:  # no picture, or a broken one: said where it is wanted
        return
    if pixels > MOST_PIXELS:
        raise GalleryError(
            f"{name}: a picture of more than {MOST_PIXELS // 10**6} million pixels; save it smaller"
        )


def _opened(data: bytes) -> Image.Image:
    """Read the head of a picture; nothing is decoded yet."""
    from PIL import Image

    with warnings.catch_warnings():  # the limit here is lower than the one that Pillow warns of
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        return Image.open(io.BytesIO(data), formats=FORMATS)
