"""One parameter of a structure: its declaration in a template, and how a setting is read."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from patterns import units
from patterns.errors import MendfoldError, Problem, SettingError, nearest
from patterns.stock.materials import Confidence
from patterns.structures.rows import one_of, only

UNITS = {"length": "mm", "angle": "°"}
"""Units of the kinds that have but one; the others name theirs, or have none."""
KINDS = ("length", "number", "whole", "angle", "choice", "flag", "wholes", "text", "outline")
_KEYS = {
    *("title", "kind", "unit", "default", "computed", "range", "choices", "source", "confidence"),
}

SettingValue = float | int | str | bool | tuple[int, ...] | None


class Parameter(NamedTuple):
    """One parameter of a structure; `default` None means worked out, as `computed` says."""

    name: str
    title: str
    kind: str
    unit: str
    default: SettingValue
    computed: str
    minimum: float | None
    maximum: float | None
    choices: tuple[str, ...]
    source: str
    confidence: str

    def read(self, text: str, key: str) -> SettingValue:
        """Read a setting's value; a SettingError names the setting, the range and the remedy.

        An outline may be a file's name; what it holds becomes the value.
        """
        if self.kind == "outline":
            from patterns.traced import outlines

            return outlines.setting(text, key)
        try:
            value = self._convert(text.strip())
        except (ValueError, MendfoldError) as error:
            wanted = self._wanted()
            problem = Problem(key, f"{text!r} is no {wanted}", wanted, f"{error}", "setting")
            raise SettingError(f"{key}: {problem.words}", [problem]) from None
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            self._check_range(value, key)
        return value

    def _convert(self, text: str) -> SettingValue:
        if self.kind == "length":
            return units.quantity(text, "mm", bare=True)
        if self.kind == "angle":
            return units.quantity(text, "°", bare=True)
        if self.kind == "number":
            return units.bare_number(text)
        if self.kind == "whole":
            return _whole(text)
        if self.kind == "flag":
            return _yes_or_no(text)
        if self.kind == "wholes":
            return whole_list(text)
        if self.kind == "choice" and text not in self.choices:
            close = nearest(text, self.choices)
            raise ValueError(
                f"did you mean {' or '.join(close)}?" if close else "choose one of them"
            )
        return text

    def _wanted(self) -> str:
        return {
            "length": f"length in mm{self._range_words()}",
            "number": f"number{self._range_words()}",
            "angle": f"angle in degrees{self._range_words()}",
            "whole": f"whole number{self._range_words()}",
            "flag": "yes or no",
            "wholes": "list such as 1,2,5-20",
            "choice": "choice of " + ", ".join(self.choices),
        }.get(self.kind, "text")

    def _range_words(self) -> str:
        if self.minimum is None or self.maximum is None:
            return ""
        return f" from {self.minimum:g} to {self.maximum:g}"

    def _check_range(self, value: float, key: str) -> None:
        low = -float("inf") if self.minimum is None else self.minimum
        high = float("inf") if self.maximum is None else self.maximum
        if not low <= value <= high:
            found, allowed = f"{value:g} {self.unit} is out of range", f"{low:g} to {high:g}"
            problem = Problem(key, found, allowed, "give one between them", "setting")
            raise SettingError(f"{key}: {found}; allowed is {allowed}", [problem])


def declared(name: str, row: Mapping[str, Any]) -> Parameter:
    """Return the parameter that a row of a template declares; a ValueError names what is wrong."""
    where = f"parameters.{name}"
    only(where, row, _KEYS)
    kind = one_of(row["kind"], KINDS, f"{where}.kind")
    confidence = one_of(row["confidence"], Confidence, f"{where}.confidence")
    default = row.get("default")
    if (default is None) == ("computed" not in row):
        raise ValueError(f"{where} needs either .default or .computed")
    low, high = row.get("range", (None, None))
    choices = tuple(row.get("choices", ()))
    if default is not None and (
        (choices and default not in choices) or (low is not None and not low <= default <= high)
    ):
        raise ValueError(f"{where}.default is not among what is allowed")
    return Parameter(
        name=name,
        title=row["title"],
        kind=kind,
        unit=row.get("unit", UNITS.get(kind, "")),
        default=tuple(default) if isinstance(default, list) else default,
        computed=row.get("computed", ""),
        minimum=low,
        maximum=high,
        choices=choices,
        source=row["source"],
        confidence=confidence,
    )


def _whole(text: str) -> int:
    if not re.fullmatch(r"[+-]?[0-9]{1,6}", text):
        raise ValueError("write figures alone")
    return int(text)


def _yes_or_no(text: str) -> bool:
    if text.lower() not in ("true", "yes", "false", "no"):
        raise ValueError("write yes or no")
    return text.lower() in ("true", "yes")


def whole_list(text: str) -> tuple[int, ...]:
    """Read `1,2,5-20` as whole numbers in order, without repeats.

    >>> whole_list("1,2,5-8")
    (1, 2, 5, 6, 7, 8)
    """
    found: set[int] = set()
    for part in text.replace(" ", ",").split(","):
        if not part:
            continue
        match = re.fullmatch(r"([0-9]{1,3})(?:-([0-9]{1,3}))?", part)
        if match is None:
            raise ValueError(f"{part!r} is neither a number up to 999 nor a range such as 5-20")
        first, last = int(match[1]), int(match[2] or match[1])
        if last < first:
            raise ValueError(f"the range {part} runs backwards")
        found.update(range(first, last + 1))
    if not found:
        raise ValueError("the list is empty")
    return tuple(sorted(found))
