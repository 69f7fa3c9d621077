"""Figures as people type them into spreadsheets: thousands, decimal signs, “ca.”, and what stands for nothing.

A figure with one point or comma before three digits can be read two ways. So the decimal sign is settled once for the
whole table, by the figures that can be read one way only; nothing is guessed figure by figure.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from patterns.errors import MendfoldError, Problem

Decimal = Literal["point", "comma"]
MARKS: dict[Decimal, str] = {"point": ".", "comma": ","}
NOT_MEASURED = frozenset({"-", "–", "—", "−", "?"})
"""Cells that say that nothing was measured, which is told apart from an empty one."""
_GAPS = " \u00a0\u2009\u202f'’"
"""What may part thousands beside point and comma: spaces of every width, apostrophes."""
_FIGURE = re.compile(rf"\d{{1,3}}(?:[{_GAPS}]\d{{3}})+(?!\d)(?:[.,]\d+)?|\d+(?:[.,]\d+)*")
_GROUPED = re.compile(r"\d{1,3}(?:[.,]\d{3})+")
_ABOUT = re.compile(r"^\s*(?:ca\b\.?|circa\b|c\.|about\b|approx\b\.?|approximately\b|~|≈)\s*", re.I)


def about(text: str) -> tuple[str, bool]:
    """Return a cell without its “about”, and whether it had one.

    >>> about("ca. 30"), about("30")
    (('30', True), ('30', False))
    """
    bare = _ABOUT.sub("", text)
    return bare, bare != text


@dataclass(slots=True)
class Signs:
    """What the figures of a table tell about its decimal sign, each with the first place seen."""

    seen: dict[Decimal, str] = field(default_factory=dict)
    either: str = ""

    def look(self, text: str, where: str) -> None:
        """Take notice of every figure in a cell."""
        for figure in _figures(text):
            said = _said(figure)
            if said == "either":
                self.either = self.either or f"{where}: {figure}"
            elif said:
                self.seen.setdefault(said, f"{where}: {figure}")

    def settled(self, name: str) -> Decimal:
        """Return the one decimal sign of a table. Raises MendfoldError where it could be both."""
        if len(self.seen) == 1:
            return next(iter(self.seen))
        if self.seen or self.either:
            found = " and ".join(self.seen.values()) or f"{self.either} can be read two ways"
            raise MendfoldError.of(
                Problem(
                    "",
                    f"{name}: the decimal sign could be a point or a comma ({found})",
                    "one decimal sign for the whole table",
                    "say which",
                    "decimal sign",
                )
            )
        return "point"


def plain_figures(text: str, decimal: Decimal) -> str:
    """Return a cell with every figure written plainly: a point for decimals, nothing for thousands.

    Raises MendfoldError of one problem where a figure cannot be one with that decimal sign.

    >>> plain_figures("1.250,5 mm; 60,5", "comma")
    '1250.5 mm; 60.5'
    """
    return _FIGURE.sub(lambda match: _plain(match[0], decimal), text)


def _figures(text: str) -> Iterator[str]:
    yield from (match[0] for match in _FIGURE.finditer(text) if "." in match[0] or "," in match[0])


def _said(figure: str) -> Decimal | Literal["either", ""]:
    """Return the decimal sign a figure shows; "either" where it could be both, "" where neither."""
    grouped = any(gap in figure for gap in _GAPS)
    points, commas = figure.count("."), figure.count(",")
    if points and commas:
        last: Decimal = "point" if figure.rindex(".") > figure.rindex(",") else "comma"
        return last if min(points, commas) == 1 and figure.count(MARKS[last]) == 1 else ""
    mark: Decimal = "point" if points else "comma"
    if points + commas > 1:
        other: Decimal = "comma" if mark == "point" else "point"
        return other if _GROUPED.fullmatch(figure) else ""
    before, _, after = figure.partition(MARKS[mark])
    thousands = len(after) == 3 and len(before) <= 3 and not before.startswith("0")
    return "either" if thousands and not grouped else mark


def _plain(figure: str, decimal: Decimal) -> str:
    mark, other = MARKS[decimal], MARKS["comma" if decimal == "point" else "point"]
    bare = "".join(sign for sign in figure if sign not in _GAPS)
    if other in bare:
        whole = bare.partition(mark)[0]
        if bare.count(mark) > 1 or not re.fullmatch(
            rf"\d{{1,3}}(?:{re.escape(other)}\d{{3}})+", whole
        ):
            raise _refusal(figure, decimal)
        bare = bare.replace(other, "")
    if bare.count(mark) > 1:
        raise _refusal(figure, decimal)
    return bare.replace(mark, ".")


def _refusal(figure: str, decimal: Decimal) -> MendfoldError:
    remedy = "write it with that sign, and several figures with ; between them"
    found = f"holds “{figure}”, no figure where the decimal sign is a {decimal}"
    return MendfoldError.of(Problem("", found, f"decimals behind a {decimal}", remedy, "unread"))
