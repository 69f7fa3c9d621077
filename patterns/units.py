"""Units: what a person writes beside a number, turned into the field's own unit, and back.

Lengths are millimetres inside, weights kilograms, tearing forces millinewtons, angles degrees.
The inch (25.4 mm) is known here and nowhere else.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from patterns.errors import MendfoldError, Problem

MM_PER_INCH: Final = 25.4
MM_PER_POINT: Final = MM_PER_INCH / 72
MM_PER_PX: Final = MM_PER_INCH / 96

_INCH = Fraction("25.4")
_POUND = Fraction("0.45359237")
_ONE = Fraction(1)
_KINDS: dict[str, dict[str, Fraction]] = {
    "mm": {
        **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), _ONE),
        **dict.fromkeys(
            ("cm", "centimetre", "centimetres", "centimeter", "centimeters"), 10 * _ONE
        ),
        **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), 1000 * _ONE),
        **dict.fromkeys(("in", "in.", "inch", "inches", '"', "″", "”"), _INCH),
        **dict.fromkeys(("ft", "ft.", "foot", "feet", "'", "′", "’"), 12 * _INCH),
    },
    "kg": {
        **dict.fromkeys(("kg", "kilogram", "kilograms"), _ONE),
        **dict.fromkeys(("g", "gram", "grams"), _ONE / 1000),
        **dict.fromkeys(("lb", "lb.", "lbs", "pound", "pounds"), _POUND),
        **dict.fromkeys(("oz", "oz.", "ounce", "ounces"), _POUND / 16),
    },
    "mN": {"mN": _ONE, "cN": 10 * _ONE, "N": 1000 * _ONE},
    "g/m²": dict.fromkeys(("g/m²", "g/m2", "gsm"), _ONE),
    "°": dict.fromkeys(("°", "deg", "degree", "degrees"), _ONE),
}
_WANTED = {
    "mm": "a length in mm, cm, m, in or ft",
    "kg": "a weight in kg, g, lb or oz",
    "mN": "a force in mN, cN or N",
    "g/m²": "a paper weight in g/m²",
    "°": "an angle in °",
}
_EXAMPLES = {
    "mm": "“24.5 cm” or “9 3/4 in”",
    "kg": "“1.25 kg” or “2 lb 3 oz”",
    "mN": "“350 mN”",
    "g/m²": "“80 g/m²”",
    "°": "“90°”",
}
_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3"} | {
    mark: f"{top}/8" for mark, top in zip("⅛⅜⅝⅞", (1, 3, 5, 7), strict=True)
}
_NUMBER = r"[0-9]+(?:[.,][0-9]+)?"
_PART = re.compile(
    rf"(?P<whole>[0-9]+)[ -]+(?P<top>[0-9]+)/(?P<bottom>[0-9]+)(?P<u1>[^0-9]*)"
    rf"|(?P<over>[0-9]+)/(?P<under>[0-9]+)(?P<u2>[^0-9]*)"
    rf"|(?P<plain>{_NUMBER})(?P<u3>[^0-9]*(?:(?<=/m)2)?)"
)
_LONGEST = 40
_PARTS, _FINE_INCH, _OUNCES = 32, Fraction(1, 4), 16


def quantity(text: str, unit: str, *, bare: bool = False) -> float:
    """Read a measurement such as `9 3/4 in`, `24,5 cm` or `2 lb 3 oz` into `unit`.

    `unit` is one of mm, kg, mN, g/m², °. With `bare` a decimal number without a unit is taken in
    `unit`; a mixed fraction never is. Raises MendfoldError of one problem without a field.

    >>> quantity("9 3/4 in", "mm"), quantity("1,25 kg", "kg")
    (247.65, 1.25)
    """
    shown = f"“{text[:_LONGEST]}”"
    if len(text) > _LONGEST:
        raise _unread(f"{shown} is too long to be a measurement", unit)
    tidy = text.replace("⁄", "/").replace("−", "-")
    for mark, words in _VULGAR.items():
        tidy = tidy.replace(mark, f" {words}")
    tidy = " ".join(tidy.split())
    sign = -1 if tidy.startswith("-") else 1
    tidy = tidy.removeprefix("-").strip()
    total, before, at = Fraction(0), None, 0
    while at < len(tidy):
        part = _PART.match(tidy, at)
        if part is None:
            raise _unread(f"{shown} is not {_WANTED[unit]}", unit)
        value, word = (
            _value(part, unit, shown),
            (part["u1"] or part["u2"] or part["u3"] or "").strip(),
        )
        if not word:
            if bare and part["plain"] and part.group() == tidy:
                return float(sign * value)
            raise _unread(f"{shown} has a number without a unit", unit)
        size = _size(word, unit, shown)
        if before is not None and (size >= before or value * size >= before):
            raise _unread(f"{shown} does not add up", unit)
        total, before, at = total + value * size, size, part.end()
    if before is None:
        raise _unread(f"{shown} holds no number", unit)
    return float(sign * total)


def bare_number(text: str) -> float:
    """Read a plain decimal number without a unit; a comma or an exponent is refused.

    Raises MendfoldError.

    >>> bare_number("2.5")
    2.5
    """
    if len(text) > _LONGEST or not re.fullmatch(r"[+-]?[0-9]+(?:\.[0-9]+)?", text):
        raise MendfoldError("write figures alone, with a point for decimals")
    return float(text)


def _unread(found: str, unit: str, remedy: str = "") -> MendfoldError:
    remedy = remedy or f"write {_EXAMPLES[unit]}"
    return MendfoldError.of(Problem("", found, _WANTED[unit], remedy, "text"))


def _value(part: re.Match[str], unit: str, shown: str) -> Fraction:
    if part["plain"]:
        digits = part["plain"]
        if re.search(r",[0-9]{3}$", digits):
            raise _unread(
                f"{shown} can be read two ways (thousands or decimals)",
                unit,
                f"write {digits.replace(',', '.')} or {digits.replace(',', '')}",
            )
        return Fraction(digits.replace(",", "."))
    whole, top = Fraction(part["whole"] or 0), int(part["top"] or part["over"])
    bottom = int(part["bottom"] or part["under"])
    if bottom == 0 or (part["whole"] and top >= bottom):
        raise _unread(f"{shown} holds an impossible fraction", unit, "write it again, as 9 3/4 in")
    return whole + Fraction(top, bottom)


def _size(word: str, unit: str, shown: str) -> Fraction:
    known = _KINDS[unit]
    size = known.get(word) or known.get(word.lower())
    if size is None:
        raise _unread(f"{shown} is not {_WANTED[unit]}", unit)
    return size


def mm(value: float, places: int = 2) -> str:
    """Write a number with a fixed count of decimals, never as −0; refuse NaN and infinity.

    >>> mm(51.1), mm(-0.001), mm(12.34, 1)
    ('51.10', '0.00', '12.3')
    """
    if not math.isfinite(value):
        raise MendfoldError(f"a computed figure came out as {value}: nothing was written")
    text = f"{value:.{places}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def tenth(value: float) -> str:
    """Write a number to one decimal, as sizes stand on the sheets.

    >>> tenth(153.94)
    '153.9'
    """
    return mm(value, 1)


def at_ends(pair: Sequence[float]) -> str:
    """Return what was measured at head and tail, in tenths of a mm: one figure where they are alike.

    >>> at_ends((22.5, 23.0)), at_ends((22.51, 22.49))
    ('22.5 (head) and 23.0 (tail)', '22.5')
    """
    head, tail = map(tenth, pair)
    return head if head == tail else f"{head} (head) and {tail} (tail)"


def inches(value_mm: float) -> str:
    """Write a length in inches for reading: to 1/32, below a quarter to a thousandth as calipers read.

    >>> inches(24.5), inches(247.65), inches(2.8), inches(-12.7), inches(0.0)
    ('31/32 in', '9 3/4 in', '0.110 in', '-1/2 in', '0 in')
    """
    length = Fraction(value_mm) / _INCH
    sign = "-" if length < 0 else ""
    if 0 < abs(length) < _FINE_INCH:
        return f"{sign}{float(abs(length)):.3f} in"
    whole, rest = divmod(round(abs(length) * _PARTS), _PARTS)
    words = [str(whole)] * bool(whole) + [str(Fraction(rest, _PARTS))] * bool(rest)
    return f"{sign}{' '.join(words) or '0'} in"


def pounds(value_kg: float) -> str:
    """Write a weight in pounds and ounces for reading; below a pound to a tenth of an ounce.

    >>> pounds(4.1), pounds(0.27), pounds(0.9071847)
    ('9 lb 1 oz', '9.5 oz', '2 lb')
    """
    ounces = Fraction(value_kg) / _POUND * _OUNCES
    if ounces < _OUNCES - _ONE / 20:
        return f"{trimmed(float(ounces), 1)} oz"
    whole, rest = divmod(round(ounces), _OUNCES)
    return f"{whole} lb" + (f" {rest} oz" if rest else "")


def told_apart(figure: float, limit: float, places: int = 1) -> tuple[str, str]:
    """Write a figure and the limit that it is held against with as many decimals as tell them apart.

    >>> told_apart(2.013, 2.0), told_apart(3.5, 2.0), told_apart(2.0, 2.0)
    (('2.01', '2.00'), ('3.5', '2.0'), ('2.0', '2.0'))
    """
    apart = (more for more in range(places, 5) if mm(figure, more) != mm(limit, more))
    shown = next(apart, places)
    return mm(figure, shown), mm(limit, shown)


def up_to(limit: float, places: int = 1) -> str:
    """Write the most that is allowed, rounded so that what is written is allowed.

    >>> up_to(110.58), up_to(110.6)
    ('110.5', '110.6')
    """
    step = 10**places
    return mm(math.floor(limit * step + 1e-6) / step, places)


def two_figures(value: float) -> str:
    """Write a force or a strength, which nobody knows better than to two figures.

    >>> two_figures(1.4609), two_figures(0.7825), two_figures(713.6), two_figures(11.2)
    ('1.5', '0.78', '710', '11')
    """
    if not value:
        return "0"
    places = 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    return f"{rounded:.{max(0, 1 - math.floor(math.log10(abs(rounded))))}f}"


def trimmed(value: float, places: int = 2) -> str:
    """Write a number with at most `places` decimals and no trailing zeros, never as −0.

    >>> trimmed(230.0), trimmed(0.35), trimmed(-0.001)
    ('230', '0.35', '0')
    """
    return bare(mm(value, places))


def bare(text: str) -> str:
    """Take the zeros off the end of written decimals.

    >>> bare("2.50"), bare("230.0"), bare("100")
    ('2.5', '230', '100')
    """
    return text.rstrip("0").rstrip(".") if "." in text else text
