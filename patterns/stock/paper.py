"""Papers by name or size: ISO A and B, the three American sizes, a free size, and a roll."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from patterns.errors import PaperError
from patterns.units import MM_PER_INCH

LEAST_MM = (148.0, 210.0)
MOST_MM = 5000.0
ISO_LARGEST_MM = {"A": (841, 1189), "B": (1000, 1414)}
AMERICAN_IN = {"letter": (8.5, 11.0), "legal": (8.5, 14.0), "tabloid": (11.0, 17.0)}
LARGER = {"A5": "A4", "A4": "A3", "B5": "B4", "Letter": "Tabloid", "Legal": "Tabloid"}
KNOWN = "A0–A10, B0–B10, letter, legal, tabloid, 297x420 or roll:610"
NUMBER = r"[0-9]+(?:\.[0-9]+)?"


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper's name and its size in mm, upright; a roll's height is the longest page of it."""

    name: str
    width_mm: float
    height_mm: float
    roll: bool = False

    @property
    def pages(self) -> tuple[tuple[float, float], ...]:
        """Page sizes to choose from: upright and lying; a roll lies one way only."""
        upright = (self.width_mm, self.height_mm)
        return (upright,) if self.roll or len(set(upright)) == 1 else (upright, upright[::-1])

    @property
    def larger(self) -> Paper | None:
        """The next larger paper that office printers take; None for the largest, a free size, a roll."""
        name = LARGER.get(self.name)
        return parse(name) if name else None


def iso_mm(series: str, number: int) -> tuple[float, float]:
    """Return width and height of an ISO 216 size: halve the longer side, drop the fraction.

    >>> iso_mm("A", 4), iso_mm("B", 5)
    ((210.0, 297.0), (176.0, 250.0))
    """
    width, height = ISO_LARGEST_MM[series]
    for _ in range(number):
        width, height = height // 2, width
    return float(width), float(height)


def parse(text: str) -> Paper:
    """Return the paper named by `text`; PaperError says what is allowed.

    >>> parse("A4")
    Paper(name='A4', width_mm=210.0, height_mm=297.0, roll=False)
    >>> parse("roll:610").width_mm
    610.0
    """
    wanted = " ".join(text.split())
    if iso := re.fullmatch(r"([AB])([0-9]|10)", wanted, re.I):
        name = wanted.upper()
        size = iso_mm(iso[1].upper(), int(iso[2]))
    elif wanted.lower() in AMERICAN_IN:
        name = wanted.capitalize()
        size = _inches(*AMERICAN_IN[wanted.lower()])
    elif roll := re.fullmatch(rf"roll ?: ?({NUMBER})", wanted, re.I):
        return _roll(float(roll[1]))
    elif free := re.fullmatch(rf"({NUMBER}) ?[x×] ?({NUMBER})", wanted, re.I):
        size = (float(free[1]), float(free[2]))
        name = f"{size[0]:g} × {size[1]:g} mm"
    else:
        raise PaperError(f"{wanted!r} is no paper known here; give {KNOWN}.")
    return _sheet(name, *sorted(size))


def named(name: str) -> Paper:
    """Return the paper that bears this name; PaperError for one not known any more.

    >>> named(parse("roll:610").name) == parse("roll:610"), named("210 × 300 mm").height_mm
    (True, 300.0)
    """
    if roll := re.fullmatch(rf"roll ({NUMBER}) mm", name):
        return _roll(float(roll[1]))
    return parse(name.removesuffix(" mm"))


def _inches(width: float, height: float) -> tuple[float, float]:
    return width * MM_PER_INCH, height * MM_PER_INCH


def _sheet(name: str, width: float, height: float) -> Paper:
    if width < LEAST_MM[0] or height < LEAST_MM[1]:
        raise PaperError(
            f"{name} is {width:g} × {height:g} mm, too small for both 100 mm bars and the "
            f"title block; the smallest is 148 × 210 mm (A5). Give a larger paper."
        )
    if height > MOST_MM:
        raise PaperError(f"{name} is longer than {MOST_MM:g} mm; give a shorter one.")
    return Paper(name, width, height)


def _roll(width: float) -> Paper:
    if not LEAST_MM[1] <= width <= MOST_MM or not math.isfinite(width):
        raise PaperError(
            f"a roll {width:g} mm wide cannot be used; "
            f"give a width from {LEAST_MM[1]:g} to {MOST_MM:g} mm, such as roll:610."
        )
    return Paper(f"roll {width:g} mm", width, MOST_MM, roll=True)


A4 = parse("A4")
