"""Units: measurements as people write them, against the legal definitions of the units.

Sources: inch 25.4 mm, foot 304.8 mm, pound 0.45359237 kg, ounce 28.349523125 g exactly (NIST
Special Publication 811, appendix B, after the 1959 agreement); point 1/72 in (ISO 32000);
CSS pixel 1/96 in (W3C, CSS Values and Units).
"""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns import units
from patterns.errors import MendfoldError

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("24.5 cm", "mm", 245.0),
        ("24,5 cm", "mm", 245.0),
        ("24.5cm", "mm", 245.0),
        ("0.245 m", "mm", 245.0),
        ("240 mm", "mm", 240.0),
        ("9 3/4 in", "mm", 247.65),
        ("9-3/4 in", "mm", 247.65),
        ("9¾ in", "mm", 247.65),
        ("9 3⁄4 in", "mm", 247.65),  # fraction slash
        ("9 3/4″", "mm", 247.65),
        ('9 3/4"', "mm", 247.65),
        ("3/4 in", "mm", 19.05),
        ("½ in", "mm", 12.7),
        ("⅞ in", "mm", 22.225),
        ("⅛ in", "mm", 3.175),
        ("5/64 in", "mm", 1.984375),
        ("1 in", "mm", 25.4),
        ("1 ft", "mm", 304.8),
        ("1 ft 2 in", "mm", 355.6),
        ("1 ft 2 1/2 in", "mm", 368.3),
        ("24 cm 5 mm", "mm", 245.0),
        ("−3 mm", "mm", -3.0),
        ("-3 mm", "mm", -3.0),
        ("\u00a09\u00a03/4 in", "mm", 247.65),  # no-break spaces
        ("2 lb 3 oz", "kg", 0.992233309375),  # 35 × 28.349523125 g
        ("9 lb", "kg", 4.08233133),
        ("1,25 kg", "kg", 1.25),
        ("1250 g", "kg", 1.25),
        ("0.35 N", "mN", 350.0),
        ("35 cN", "mN", 350.0),
        ("80 gsm", "g/m²", 80.0),
        ("80 g/m2", "g/m²", 80.0),
        ("80 g/m²", "g/m²", 80.0),
        ("87.5 deg", "°", 87.5),
        ("90°", "°", 90.0),
    ],
)
def test_a_measurement_is_read_as_its_unit_is_defined(
    text: str, unit: str, expected: float
) -> None:
    """Written in any usual way, a measurement becomes the field's own unit, exactly."""
    assert units.quantity(text, unit) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("1,250 kg", "kg", "two ways"),
        ("1,250", "kg", "two ways"),
        ("1,250.5 mm", "mm", "two ways"),
        ("12", "mm", "without a unit"),
        ("9 3/4", "mm", "without a unit"),
        ("3/4", "mm", "without a unit"),
        ("2 lb 3", "kg", "without a unit"),
        ("", "mm", "no number"),
        ("-", "mm", "no number"),
        ("in", "mm", "is not a length"),
        ("nan mm", "mm", "is not a length"),
        ("inf mm", "mm", "is not a length"),
        ("1e3 mm", "mm", "is not a length"),
        ("4 kg", "mm", "is not a length"),
        ("4 mm", "kg", "is not a weight"),
        ("4 furlong", "mm", "is not a length"),
        ("9 4/3 in", "mm", "impossible fraction"),
        ("9 3/0 in", "mm", "impossible fraction"),
        ("3/0 in", "mm", "impossible fraction"),
        ("2 lb 16 oz", "kg", "does not add up"),
        ("3 oz 2 lb", "kg", "does not add up"),
        ("3 in 3 in", "mm", "does not add up"),
        ("٣ mm", "mm", "is not a length"),  # a digit, but none that is read here
        ("9" * 50 + " mm", "mm", "too long"),
        ("1 2 3 mm", "mm", "without a unit"),
        ("2-3 in", "mm", "is not a length"),
        ("1.5 1/2 in", "mm", "without a unit"),
    ],
)
def test_what_can_be_misread_is_refused(text: str, unit: str, words: str) -> None:
    """A doubtful writing is refused with what is wrong and an example of what to write."""
    with pytest.raises(MendfoldError, match=re.escape(words)) as refusal:
        units.quantity(text, unit)
    assert "write " in str(refusal.value)


def test_a_bare_number_is_taken_only_where_the_unit_stands_beside_it() -> None:
    """At a prompt "24,5" is in the unit shown; a mixed fraction is refused even there."""
    assert units.quantity("24,5", "mm", bare=True) == 24.5
    for text in ("9 3/4", "3/4", "1 ft 2", "1,250"):
        with pytest.raises(MendfoldError):
            units.quantity(text, "mm", bare=True)


@given(st.decimals(0, 4000, places=2))
def test_decimal_centimetres_agree_with_decimal_arithmetic(number: Decimal) -> None:
    """With a point or with a comma, n cm is 10 n mm (the decimal module is the reference)."""
    expected = pytest.approx(float(number * 10), rel=1e-15, abs=1e-12)
    assert units.quantity(f"{number} cm", "mm") == expected
    assert units.quantity(f"{number} cm".replace(".", ","), "mm") == expected


@given(st.text(max_size=60), st.sampled_from(["mm", "kg", "mN", "g/m²", "°"]))
def test_any_text_is_read_or_refused_in_one_line(text: str, unit: str) -> None:
    """No text whatever brings a traceback or an infinite number."""
    try:
        outcome: float | str = units.quantity(text, unit)
    except MendfoldError as refusal:
        outcome = str(refusal)
    assert "\n" not in outcome if isinstance(outcome, str) else abs(outcome) < 1e45


def test_the_page_and_the_screen_share_one_inch() -> None:
    """72 points and 96 pixels are one inch (ISO 32000; CSS)."""
    assert pytest.approx(25.4) == units.MM_PER_POINT * 72 == units.MM_PER_PX * 96


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (51.1, 2, "51.10"),
        (51.149, 1, "51.1"),
        (-0.001, 2, "0.00"),
        (-0.04, 1, "0.0"),
        (-0.0, 2, "0.00"),
        (-3.0, 1, "-3.0"),
        (1234567.0, 2, "1234567.00"),
    ],
)
def test_numbers_are_written_to_a_fixed_place_and_never_as_minus_nought(
    value: float, places: int, text: str
) -> None:
    """0.01 or 0.1 mm, no exponent, no separator."""
    assert units.mm(value, places) == text


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf")])
def test_what_is_no_number_is_never_written(value: float) -> None:
    """A figure gone wrong stops the sheet instead of reaching the knife."""
    with pytest.raises(MendfoldError, match="nothing was written"):
        units.mm(value)
    with pytest.raises(MendfoldError, match="nothing was written"):
        units.trimmed(value)


@given(st.floats(-1e6, 1e6))
def test_a_trimmed_number_loses_nothing_but_noughts(value: float) -> None:
    """Trimmed and fixed writing stand for the same number."""
    assert float(units.trimmed(value)) == float(units.mm(value))
    assert not re.search(r"\.\d*0$", units.trimmed(value))


def test_the_inch_stands_in_one_file() -> None:
    """The figure 25.4 is found in units.py alone of all the package."""
    holders = [
        path.name for path in (ROOT / "patterns").rglob("*.py") if "25.4" in path.read_text("utf-8")
    ]
    assert holders == ["units.py"]
