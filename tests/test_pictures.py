"""Photographs are looked at before they are decoded."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from patterns.commands.gallery import gallery as command
from patterns.errors import GalleryError
from patterns.gallery.pictures import check_pixels, upright
from patterns.gallery.store import keep, newest
from tests.gallery_samples import pattern_files

NAME = "LOG-1-hollow_tube"


def png_head(width: int, height: int) -> bytes:
    """Return a PNG of nothing but its head and an empty picture (PNG specification, 5.2 and 11.2.2)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data))
            + kind
            + data
            + struct.pack(">I", zlib.crc32(kind + data))
        )  # fmt: skip

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


def saved(kind: str, width: int = 60, height: int = 40) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (width, height), (200, 190, 170)).save(out, kind)
    return out.getvalue()


@pytest.mark.parametrize(
    ("width", "height"), [(10_000, 5_001), (8_000, 12_500), (20_000, 20_000), (2**31 - 1, 1)]
)
def test_a_picture_of_too_many_pixels_is_refused_by_its_head(width: int, height: int) -> None:
    """A hundred bytes claim 50, 100, 400, 2,000 million pixels; none of them is asked for."""
    for look in (check_pixels, upright):
        with pytest.raises(GalleryError, match=r"before\.png: a picture of more than 50 million"):
            look("before.png", png_head(width, height))


def test_fifty_million_pixels_are_allowed() -> None:
    """10,000 × 5,000 passes by its head; only decoding finds that there is nothing in it."""
    check_pixels("before.png", png_head(10_000, 5_000))
    with pytest.raises(GalleryError, match="not a picture that can be placed"):
        upright("before.png", png_head(10_000, 5_000))


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "GIF", "WEBP", "MPO", "TIFF"])
def test_what_cameras_and_telephones_write_is_decoded(kind: str) -> None:
    """MPO, a JPEG with a second picture behind it, is what many telephones write."""
    picture = upright("before.jpg", saved(kind))
    assert (picture.size, picture.mode) == ((60, 40), "RGB")


@pytest.mark.parametrize("kind", ["EPS", "BMP", "PPM", "ICO"])
def test_other_kinds_are_not_decoded(kind: str) -> None:
    """EPS would start a program of its own; the others no camera writes."""
    with pytest.raises(GalleryError, match="give a JPEG, PNG, GIF or WebP"):
        upright("before.jpg", saved(kind))


def test_a_picture_of_too_many_pixels_is_not_added(tmp_path: Path) -> None:
    """Said when it is added, not when the report is wanted; what is no picture passes."""
    keep(tmp_path / "gallery", NAME, pattern_files())
    (tmp_path / "before.png").write_bytes(png_head(20_000, 20_000))
    (tmp_path / "note.txt").write_bytes(b"boards parted")
    where = ["--gallery", str(tmp_path / "gallery")]
    said = CliRunner().invoke(command, ["add", NAME, str(tmp_path / "before.png"), *where])
    assert isinstance(said.exception, GalleryError)
    assert "more than 50 million pixels" in str(said.exception)
    said = CliRunner().invoke(command, ["add", NAME, str(tmp_path / "note.txt"), *where])
    assert said.exit_code == 0
    assert newest(tmp_path / "gallery" / NAME).files()["note.txt"] == b"boards parted"
