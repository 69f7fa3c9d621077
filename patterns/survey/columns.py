"""The headings of a survey's table: which field of the record each stands for, and in which unit.

A heading is a field's name, with a unit where the figures are in another than the field's own:
`text_block.height`, `text_block.height [in]`. A block of a list is named by its number, a join also by its two
parts: `sewing.fold[1].gathering`, `union[text block + boards].state`. Beside the record's fields stand `value` and
`use`, the library's own judgement of the book from 1 to 4.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from patterns.errors import SettingError, nearest
from patterns.record.fields import BY_NAME, FIELDS, LIST_TABLES
from patterns.survey.own import own_table

OWN = ("value", "use")
"""TableColumns that are no part of a record: how much the book is worth and how much it is used, 1 to 4."""
SHORT = (
    "book.id",
    "book.title",
    "text_block.height",
    "text_block.width",
    "text_block.thickness",
    "spine.profile",
    "spine.round_depth",
    "cover.kind",
    "cover.joint",
    "cover.board_thickness",
    "cover.spine_width",
    "sewing.supports",
    "condition.leather",
    "condition.paper",
    "union[text block + boards].state",
    *OWN,
)
"""What one person can take at the shelf, a few minutes a book."""
_UNIT = re.compile(r"\s*[\[(]\s*([^\[\]()]+?)\s*[\])]\s*$")
_NAME = re.compile(r"([a-z_.]+?)(?:\[([^\]]+)\])?\.([a-z_]+)")
_UNITS = {
    "mm": ("mm", "cm", "m", "in", "inch", "inches", "ft"),
    "kg": ("kg", "g", "lb", "oz"),
    "mN": ("mN", "cN", "N"),
    "g/m²": ("g/m²", "g/m2", "gsm"),
    "°": ("°", "deg"),
}
_LIKELY = 0.8
"""How alike a heading must be to a field's name to be taken for a slip of the pen."""


@dataclass(frozen=True, slots=True)
class BookColumn:
    """One column that is read: its place in the row, its heading, and what it stands for."""

    place: int
    heading: str
    name: str
    """The field as `BY_NAME` knows it, or one of `OWN`."""
    unit: str = ""
    """Unit of its bare figures where it is not the field's own."""
    block: str = ""
    """Which block of a list it belongs to: its number, or the two parts of a join."""

    @property
    def shown(self) -> str:
        """The field's name with its block, as problems name it."""
        table, _, key = self.name.rpartition(".")
        return f"{table}[{self.block}].{key}" if self.block else self.name


@dataclass(frozen=True, slots=True)
class TableColumns:
    """The columns read, and the headings that are the library's own and are left alone."""

    read: tuple[BookColumn, ...]
    left: tuple[str, ...]


def columns(headings: Sequence[str], renamed: Mapping[str, str], source: str) -> TableColumns:
    """Return what the headings of a table stand for. Raises SettingError.

    `renamed` gives fields for headings of the library's own. A heading that is no field is left
    alone, unless it can only be a slip of the pen.
    """
    unknown = [one for one in renamed if one not in headings]
    if unknown:
        raise SettingError.kind(
            "option",
            f"columns: “{unknown[0]}” is no heading of {source}: "
            f"{_meant(unknown[0], headings)}copy it from the table's own row of headings",
        )
    found: dict[str, BookColumn] = {}
    left = []
    for place, heading in enumerate(headings):
        column = _column(place, heading, renamed.get(heading, heading), heading in renamed)
        if column is None:
            left += [heading] if heading else []
            continue
        if (other := found.get(column.shown)) is not None:
            raise SettingError(
                f"{source}: “{other.heading}” and “{heading}” both stand for {column.shown}: leave one of them out"
            )
        found[column.shown] = column
    return TableColumns(tuple(found.values()), tuple(left))


def _meant(name: str, known: Sequence[str]) -> str:
    close = nearest(name, [one for one in known if one], 1)
    return f"did you mean “{close[0]}”? Or " if close else ""


def _column(place: int, heading: str, meant: str, renamed: bool) -> BookColumn | None:
    text, unit = meant.strip(), ""
    if text in OWN or _UNIT.sub("", text) in OWN:
        return BookColumn(place, heading, _UNIT.sub("", text))
    found = _named(text)
    if found is None and (match := _UNIT.search(text)):
        unit = match[1]
        found = _named(text[: match.start()])
    if found is None:
        slip = _slip(_UNIT.sub("", text))
        if renamed or slip:
            hint = f": did you mean {slip}?" if slip else ""
            raise SettingError.kind(
                "unknown heading", f"heading “{heading}”: “{text}” is no field of a record{hint}"
            )
        return None
    name, block = found
    own = BY_NAME[name].unit
    if unit and unit not in _UNITS.get(own, ()):
        raise SettingError(
            f"heading “{heading}”: [{unit}] is no unit of {name}: write {_allowed(own)}"
        )
    return BookColumn(place, heading, name, "" if unit == own else unit, block)


def _allowed(unit: str) -> str:
    return f"one of {', '.join(_UNITS[unit])}" if unit in _UNITS else "no unit"


def _named(text: str) -> tuple[str, str] | None:
    """Return a field's name and the block it belongs to, where a heading names one."""
    match = _NAME.fullmatch(text)
    name = f"{match[1]}.{match[3]}" if match else ""
    if match is None or name not in BY_NAME:
        return None
    block = " ".join((match[2] or "").split())
    listed = match[1] in LIST_TABLES
    if listed != bool(block) or (block and not block.isdigit() and len(parts(block)) != 2):
        return None
    return name, block


def is_field(heading: str) -> bool:
    """Tell whether a heading as it stands names a field of the record, or one of `OWN`."""
    bare = _UNIT.sub("", heading.strip())
    return bare in OWN or _named(heading.strip()) is not None or _named(bare) is not None


def parts(block: str) -> tuple[str, ...]:
    """Return the two parts of a join named in a heading; empty for a block named by its number.

    >>> parts("text block + boards"), parts("2")
    (('text block', 'boards'), ())
    """
    return (
        () if block.isdigit() else tuple(part.strip() for part in block.split("+") if part.strip())
    )


def _slip(text: str) -> str:
    """Return the field that a heading was meant for, where it is nearly its name; else ""."""
    from difflib import SequenceMatcher

    if "." not in text and "_" not in text:
        return ""
    close = nearest(text, BY_NAME, 1)
    return close[0] if close and SequenceMatcher(None, text, close[0]).ratio() >= _LIKELY else ""


def renamed(path: Path | None) -> dict[str, str]:
    """Read a file that gives fields for a library's own headings: a table [columns] of names.

    Raises SettingError.
    """
    rows = own_table(path, "columns", "“heading” = “field”")
    for heading, name in rows.items():
        if not isinstance(name, str):
            raise SettingError.kind(
                "option", f"columns: “{heading}” needs the name of a field in quotes"
            )
    return rows


def blank(short: bool) -> str:
    """Return the headings of an empty table, each with its unit: one CSV row."""
    import csv
    import io

    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerow(map(_headed, SHORT if short else _every()))
    return text.getvalue()


def _every() -> Iterator[str]:
    for one in FIELDS:
        yield f"{one.table}[1].{one.key}" if one.table in LIST_TABLES else one.name
    yield from OWN


def _headed(name: str) -> str:
    unit = "1 to 4" if name in OWN else BY_NAME[re.sub(r"\[.*\]", "", name)].unit
    return f"{name} [{unit}]" if unit else name
