"""Widths against the font's own tables as fontTools reads them; line breaking by brute force."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from unicodedata import normalize

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from patterns.commands import advice
from patterns.errors import MendfoldError
from patterns.model import lettering
from patterns.model.drawing import CAP_HEIGHT_EM
from tests.drawings import LETTERS

TEXTS = st.text(LETTERS, max_size=40)
PROSE = st.lists(st.text(LETTERS.replace(" ", ""), min_size=1, max_size=9), max_size=12).map(
    " ".join
)


@cache
def tables(bold: bool) -> TTFont:
    with TTFont(lettering.font_path(bold), lazy=False) as font:
        font.ensureDecompiled()
        return font


def outside_width_mm(text: str, cap_mm: float, bold: bool) -> float:
    """Return the width by fontTools: summed `hmtx` advances over `unitsPerEm` (OpenType 1.9)."""
    font = tables(bold)
    names, advances = font.getBestCmap(), font["hmtx"]
    units = sum(advances[names[ord(mark)]][0] for mark in normalize("NFC", text))
    size = cap_mm / CAP_HEIGHT_EM
    return float(units / font["head"].unitsPerEm * size)


@pytest.mark.parametrize("bold", [False, True])
def test_a_capital_is_at_least_as_tall_as_asked_for(bold: bool) -> None:
    """The outline of H, read by fontTools, is no lower than CAP_HEIGHT_EM and within 1 % of it."""
    font = tables(bold)
    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()["H"].draw(pen)
    tall = pen.bounds[3] / font["head"].unitsPerEm
    assert CAP_HEIGHT_EM <= tall <= CAP_HEIGHT_EM * 1.01


@given(TEXTS, st.floats(0.5, 20), st.booleans())
def test_width_is_the_sum_of_the_advances(text: str, cap_mm: float, bold: bool) -> None:
    assert lettering.width_mm(text, cap_mm, bold) == pytest.approx(
        outside_width_mm(text, cap_mm, bold), abs=1e-9
    )


def test_letter_and_accent_are_one_character() -> None:
    assert lettering.width_mm("e\u0301", 3) == lettering.width_mm("é", 3)


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("bore ⌀ 3", ["⌀ (U+2300 diameter sign)"]),
        ("海 and 本", ["海 (U+6D77", "本 (U+672C"]),
        ("tab\there", ["(U+0009"]),
        ("soft\u00adhyphen", ["(U+00AD soft hyphen)"]),
        ("lone \ud800", ["(U+D800"]),
        ("📕", ["📕 (U+1F4D5 closed book)"]),
    ],
)
def test_missing_characters_are_named(text: str, named: list[str]) -> None:
    for refuse in (lettering.check_glyphs, lambda words: lettering.width_mm(words, 2.5)):
        with pytest.raises(MendfoldError) as refused:
            refuse(text)
        assert all(name in str(refused.value) for name in named)
        assert "\n" not in str(refused.value)


def test_what_the_trade_writes_is_all_there() -> None:
    lettering.check_glyphs("Ø 12½ × 3¼ ± 0.5 °C µm – — “é” ’ ☐ ✓ → ≤ ≥ · … ĄŁŻ ßÆØ ЖЩ ΔΩπ £ € §")


@given(PROSE, st.floats(10, 80), st.booleans())
def test_wrapped_lines_fit_and_are_as_full_as_can_be(prose: str, limit: float, bold: bool) -> None:
    lines = lettering.wrap(prose, 2.5, limit, bold)
    widths = [outside_width_mm(line, 2.5, bold) for line in lines]
    assert max(widths, default=0) <= limit + 1e-9
    assert "".join(lines).replace(" ", "") == normalize("NFC", prose).replace(" ", "")
    for line, after in pairwise(lines):
        first = after.split(" ")[0]
        assert outside_width_mm(f"{line} {first}", 2.5, bold) > limit - 1e-9


def test_wrap_keeps_line_breaks_and_no_break_spaces_and_cuts_what_is_too_long() -> None:
    assert lettering.wrap("one\ntwo  three", 2.5, 60) == ("one", "two three")
    assert lettering.wrap("", 2.5, 60) == ()
    narrow = outside_width_mm("12.7\u00a0mm", 2.5, False)
    assert lettering.wrap("set 12.7\u00a0mm in", 2.5, narrow + 0.01) == (
        "set",
        "12.7\u00a0mm",
        "in",
    )
    inside = outside_width_mm("turned-b", 2.5, False) + 0.01
    assert lettering.wrap("turned-back face", 2.5, inside) == ("turned-", "back", "face")
    assert len(lettering.wrap("m" * 30, 2.5, outside_width_mm("m" * 10, 2.5, False) + 0.01)) == 3


def test_a_figure_keeps_its_unit_and_a_size_both_its_sides_while_a_line_holds_them() -> None:
    """Each line broken one letter before what is bound would end."""
    for prose, bound in (
        ("lying 3 mm, in", "3 mm,"),
        ("a force 0.25 N in", "0.25 N"),
        ("so 139.0 × 228.0 mm; then", "139.0 × 228.0 mm;"),
    ):
        start = prose.index(bound)
        short = outside_width_mm(prose[: start + len(bound) - 1], 2.5, False)
        assert any(bound in line for line in lettering.wrap(prose, 2.5, short)), bound
    narrow = outside_width_mm("139.0 ×", 2.5, False) + 0.01
    assert lettering.wrap("139.0 × 228.0 mm", 2.5, narrow) == ("139.0 ×", "228.0", "mm")
    assert (
        lettering.wrap("at 3 mills", 2.5, outside_width_mm("at 3", 2.5, False) + 0.01)[0] == "at 3"
    )


@pytest.fixture
def _no_typeface(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Take the typeface's package away."""
    lettering.font_path.cache_clear()
    monkeypatch.setitem(sys.modules, "font_source_sans_pro", None)
    yield
    lettering.font_path.cache_clear()


@pytest.mark.usefixtures("_no_typeface")
def test_a_missing_typeface_is_answered_with_the_remedy() -> None:
    with pytest.raises(MendfoldError, match="is not installed") as refusal:
        lettering.font_path(False)
    assert "pip install --force-reinstall font-source" in advice.told(refusal.value)
