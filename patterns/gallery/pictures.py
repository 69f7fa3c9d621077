"""Photographs, taken only as what their name says and what can be decoded.

They are looked at before they are decoded: a few bytes may claim a picture of gigabytes.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Mapping
from pathlib import PurePath
from typing import TYPE_CHECKING

from patterns.errors import GalleryError

if TYPE_CHECKING:
    from PIL import Image

MOST_PIXELS = 50_000_000
"""Half as much again as most cameras take; a report prints far fewer."""
_TOO_MANY = f"a picture of more than {MOST_PIXELS // 10**6} million pixels; save it smaller"
FORMATS = ("JPEG", "PNG", "GIF", "WEBP", "TIFF")
"""What is ever decoded; others (EPS) may start a program of their own. No browser shows a TIFF."""

KINDS = {
    ".gif": ("GIF",),
    ".jpeg": ("JPEG", "MPO"),
    ".jpg": ("JPEG", "MPO"),
    ".png": ("PNG",),
    ".tif": ("TIFF",),
    ".tiff": ("TIFF",),
    ".webp": ("WEBP",),
}
"""Suffixes of photographs, and what each may be by its content; MPO is a camera's JPEG with a
second picture behind the first."""
SHOWN = frozenset(KINDS) - {".tif", ".tiff"}
"""Those that browsers show."""


def is_photograph(name: str) -> bool:
    """Return whether a file is a photograph by its name."""
    return _suffix(name) in KINDS


def is_shown(name: str) -> bool:
    """Return whether a file is, by its name, a photograph that browsers show."""
    return _suffix(name) in SHOWN


def _suffix(name: str) -> str:
    return PurePath(name).suffix.lower()


def check(files: Mapping[str, bytes]) -> None:
    """Raise GalleryError, naming the file, for a photograph by its name that cannot be used."""
    for name, data in files.items():
        if is_photograph(name) and (reason := why_no_photograph(name, data)):
            raise GalleryError(f"{name}: {reason}")


def why_no_photograph(name: str, data: bytes) -> str:
    """Say why a file cannot be used as a photograph; empty when it can."""
    if not is_photograph(name):
        return f"no photograph by its name; it would end in {', '.join(KINDS)}"
    if _pixels(data) > MOST_PIXELS:
        return _TOO_MANY
    try:
        with _opened(data) as picture:
            found = str(picture.format)
            if found not in KINDS[_suffix(name)]:
                return f"a {found} file by its content; give it the suffix of what it is"
            picture.draft("RGB", (64, 64))  # a JPEG is read to its end all the same, only quicker
            picture.load()
    except Exception:  # Pillow keeps no closed list of what a broken file makes it raise
        return "cannot be decoded; give a whole JPEG, PNG, GIF, TIFF or WebP file"
    return ""


def suffix_of(data: bytes) -> str:
    """Return the suffix that a photograph has by its content, ".jpg"; "" for what is none."""
    try:
        with _opened(data) as picture:
            found = str(picture.format)
    except Exception:  # Pillow keeps no closed list of what a broken file makes it raise
        return ""
    return {"JPEG": ".jpg", "MPO": ".jpg"}.get(found, f".{found.lower()}")


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
    if _pixels(data) > MOST_PIXELS:
        raise GalleryError(f"{name}: {_TOO_MANY}")


def _pixels(data: bytes) -> int:
    """Return how many pixels the head of a picture claims; none where it is no picture."""
    from PIL import Image

    try:
        with _opened(data) as picture:
            return picture.width * picture.height
    except Image.DecompressionBombError:
        return MOST_PIXELS + 1
    except Exception:  # no picture, or a broken one: said where it is wanted
        return 0


def _opened(data: bytes) -> Image.Image:
    """Read the head of a picture; nothing is decoded yet."""
    from PIL import Image

    with warnings.catch_warnings():  # the limit here is lower than the one that Pillow warns of
        warnings.simplefilter("ignore", Image.DecompressionBombWarning)
        return Image.open(io.BytesIO(data), formats=FORMATS)
