"""The picture of a pattern: every piece, to one scale, inside its frame."""

from __future__ import annotations

import builtins
import io
from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from patterns.gallery.portrait import HIGH_MM, WIDE_MM, portrait
from patterns.gallery.summary import kept_of
from patterns.gallery.thumbnail import thumbnail, with_thumbnail
from patterns.model.drawing import Drawing, Line, LineKind, Ring
from patterns.model.kept import KeptPiece
from patterns.structures import catalogue
from tests.books import made as drafted
from tests.gallery_samples import pattern_files


def boxes(drawing: Drawing) -> list[tuple[float, float, float, float]]:
    cut = [m for m in drawing.marks if isinstance(m, Line) and m.kind is LineKind.CUT]
    return [
        (min(x for x, _ in m.points), min(y for _, y in m.points),
         max(x for x, _ in m.points), max(y for _, y in m.points))
        for m in cut
    ]  # fmt: skip


def check(pieces: Sequence[KeptPiece]) -> None:
    """Every piece once, side by side without touching, all to one scale, inside the frame."""
    found = boxes(portrait(pieces))
    assert len(found) == len(pieces)
    scales = []
    for (left, top, right, bottom), piece in zip(found, pieces, strict=True):
        assert -1e-6 <= left < right <= WIDE_MM + 1e-6
        assert -1e-6 <= top < bottom <= HIGH_MM + 1e-6
        scales += [(right - left) / piece.width_mm, (bottom - top) / piece.height_mm]
    assert max(scales) == pytest.approx(min(scales))
    for number, one in enumerate(found):
        for other in found[:number]:
            apart = (
                one[0] >= other[2] or other[0] >= one[2] or one[1] >= other[3] or other[1] >= one[3]
            )
            assert apart


@pytest.mark.parametrize("name", sorted(catalogue.templates()))
def test_every_structure_has_its_picture(name: str) -> None:
    one = catalogue.find(name)
    files = drafted(one.example, name, settings=one.example_settings, formats=("svg",)).files
    check(kept_of(files, name).pieces)


@given(st.lists(st.tuples(st.floats(1, 2000), st.floats(1, 2000)), min_size=1, max_size=24))
def test_any_pieces_are_laid_out_side_by_side(sizes: list[tuple[float, float]]) -> None:
    check(
        [
            KeptPiece("piece", width_mm=w, height_mm=h, outline_mm=((0, 0), (w, 0), (w, h), (0, h)))
            for w, h in sizes
        ]
    )


@pytest.mark.parametrize(
    "outline", [(), ((0, 0), (1, 1)), ((0, 0), (0, 0), (0, 0)), ((0, 0), (1, 0), (2, 0))]
)
def test_what_cannot_be_drawn_is_an_empty_picture(outline: Ring) -> None:
    assert portrait([KeptPiece("piece", outline_mm=outline)]).marks == ()


@pytest.mark.outside
def test_the_thumbnail_is_a_png_of_640_pixels() -> None:
    with Image.open(io.BytesIO(thumbnail(pattern_files()))) as picture:
        assert picture.format == "PNG"
        assert max(picture.size) in (640, 641)
        dark = picture.convert("L").histogram()[:80]
        assert sum(dark) > 100


def test_without_the_png_packages_everything_else_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def missing(name: str, *rest: Any, **more: Any) -> Any:
        if name == "cairosvg":
            raise OSError("no library called cairo was found")
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", missing)
    files, remark = with_thumbnail(pattern_files())
    assert files == pattern_files()
    assert remark.startswith("kept without a small picture: ")
    assert "libcairo" in remark
