"""What the studio has to cut from: sheets, offcuts, rolls and skins, as stock.toml tells them."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Literal, cast

from patterns import reading
from patterns.cutting.shapes import UNIT
from patterns.errors import FileError, MaterialError, MendfoldError, nearest
from patterns.units import quantity, trimmed

Form = Literal["sheet", "roll", "skin"]
GrainAlong = Literal["length", "width"]
LEAST_MM, MOST_MM = 20.0, 100_000.0
MOST_COUNT = 1_000
MOST_ROWS = 500
ROLL_MM = 20_000.0
"""Length of a roll that gives none: more than is ever cut at once."""
_KEYS: Mapping[Form, tuple[str, ...]] = {
    "sheet": ("material", "width", "length", "grain", "count", "price", "from"),
    "roll": ("material", "width", "length", "price"),
    "skin": ("material", "width", "length", "count", "price"),
}


@dataclass(frozen=True, slots=True)
class Stock:
    """One kind of stock that is there, `count` of them; sizes in mm.

    `grain` says along which side it runs; of a roll the warp, of a skin the backbone run along the
    length. `source` names the job and day that an offcut is from.
    """

    form: Form
    material: str
    width_mm: float
    length_mm: float
    grain: GrainAlong = "length"
    count: int = 1
    price: float | None = None
    source: str = ""
    endless: bool = False
    """A roll whose length nobody gave: `length_mm` is then only what is reckoned with."""

    @property
    def across_mm(self) -> float:
        """Size across the grain."""
        return self.width_mm if self.grain == "length" else self.length_mm

    @property
    def along_mm(self) -> float:
        """Size along the grain."""
        return self.length_mm if self.grain == "length" else self.width_mm

    @property
    def words(self) -> str:
        """What a person calls it.

        >>> Stock("sheet", "kraft", 700, 1000).words
        'sheet of 700 × 1000 mm'
        """
        name = "offcut" if self.source else self.form
        size = f"{trimmed(self.width_mm, 1)} × {trimmed(self.length_mm, 1)} mm"
        if self.form == "roll":
            size = f"{trimmed(self.width_mm, 1)} mm wide"
        return f"{name} of {size}" if self.form != "roll" else f"roll {size}"


BLANK = """# What the studio has to cut from. Sizes in mm, or with their unit in quotes, as "27 1/2 in".
# Take out what you do not have, and set your own beside it. A name is that of the material on the sheets.

# A sheet: its grain runs along its "length" or along its "width".
[[sheet]]
material = "kraft lining paper"
width = 700
length = 1000
grain = "length"
count = 10
# price = 1.20        # of one, in your own coin; left out, none is reckoned

# An offcut is a sheet that says what it is from; it is used first.
[[sheet]]
material = "kraft lining paper"
width = 210
length = 480
grain = "length"
from = "an earlier job, 2026-03-02"

# A roll: the warp runs along it. Without a length it is taken as long enough.
[[roll]]
material = "fine cotton cloth"
width = 1400
length = 5000

# A skin: the largest rectangle of sound leather, its length along the backbone, head to tail.
[[skin]]
material = "vegetable-tanned calf"
width = 300
length = 500
"""


def load(path: Path) -> tuple[Stock, ...]:
    """Read a stock file; raises MaterialError, naming the file and the row."""
    try:
        text = reading.read_text(path)
    except FileError as error:
        raise MaterialError(
            f"{path} {error.words}; name the studio's stock file, or begin with a blank one"
        ) from None
    return parse(text, str(path))


def parse(text: str, where: str) -> tuple[Stock, ...]:
    """Read the text of a stock file; raises MaterialError."""
    try:
        tables = reading.tables(text)
    except ValueError as problem:
        raise MaterialError(f"{where}: not valid TOML ({problem}); mend that line") from None
    if stray := sorted(set(tables) - set(_KEYS)):
        raise MaterialError(
            f"{where}: “{stray[0]}” is not known; stock stands in [[sheet]], [[roll]] and [[skin]]"
        )
    found = [one for form in _KEYS for one in _rows(tables.get(form, []), form, where)]
    if not found:
        raise MaterialError(
            f"{where}: no stock stands there; give a [[sheet]], a [[roll]] or a [[skin]]"
        )
    if len(found) > MOST_ROWS:
        raise MaterialError(
            f"{where}: {len(found)} rows; allowed: at most {MOST_ROWS}: leave some out"
        )
    return tuple(found)


def _rows(rows: object, form: Form, where: str) -> Iterator[Stock]:
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise MaterialError(
            f"{where}: “{form}” is not a list of tables; begin each with [[{form}]]"
        )
    for number, row in enumerate(rows, 1):
        yield _stock(row, form, f"{where}, {form} {number}")


def _stock(row: Mapping[str, Any], form: Form, place: str) -> Stock:
    keys = _KEYS[form]
    for key in row:
        if key not in keys:
            near = nearest(key, keys) or keys
            raise MaterialError(f"{place}: “{key}” is not known; nearest: {', '.join(near)}")
    material = _text(row, "material", place)
    place = f"{place} ({material})"
    grain = row.get("grain", None if form == "sheet" else "length")
    if grain not in ("length", "width"):
        shown = "is missing" if grain is None else f"is {_shown(grain)}"
        raise MaterialError(
            f"{place}: grain {shown}; allowed: “length” or “width”, the side it runs along"
        )
    length = ROLL_MM if form == "roll" and "length" not in row else _size(row, "length", place)
    return Stock(
        form,
        material,
        _size(row, "width", place),
        length,
        cast(GrainAlong, grain),
        _count(row.get("count", 1), place),
        None if "price" not in row else _number(row["price"], "price", 0.0, 1e6, place),
        _text(row, "from", place) if "from" in row else "",
        endless=form == "roll" and "length" not in row,
    )


def _text(row: Mapping[str, Any], key: str, place: str) -> str:
    value = row.get(key)
    if (
        not isinstance(value, str)
        or not value.strip()
        or not value.isprintable()
        or len(value) > 80
    ):
        shown = "is missing" if value is None else f"is {_shown(value)}"
        raise MaterialError(f"{place}: {key} {shown}; allowed: one line of up to 80 characters")
    return value.strip()


def _size(row: Mapping[str, Any], key: str, place: str) -> float:
    """Return a size in mm, rounded down to a tenth."""
    if key not in row:
        raise MaterialError(f"{place}: {key} is missing; measure it, in mm")
    value = row[key]
    if isinstance(value, str):
        try:
            value = quantity(value, "mm")
        except MendfoldError as error:
            raise MaterialError(f"{place}: {key}: {error}") from None
    return math.floor(round(_number(value, key, LEAST_MM, MOST_MM, place) * UNIT, 4)) / UNIT


def _number(value: object, key: str, least: float, most: float, place: str) -> float:
    known = isinstance(value, int | float) and not isinstance(value, bool)
    if not known or not least <= cast(float, value) <= most:
        raise MaterialError(f"{place}: {key} is {_shown(value)}; allowed: {least:g} to {most:g}")
    return float(cast(float, value))


def _count(value: object, place: str) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= MOST_COUNT:
        raise MaterialError(
            f"{place}: count is {_shown(value)}; allowed: a whole number, 1 to {MOST_COUNT}"
        )
    return value


def _shown(value: object) -> str:
    text = f"{value!r}"
    return text if len(text) <= 40 else f"{text[:39]}…"


def left_over(
    stock: Sequence[Stock],
    used_mm: Mapping[Stock, Sequence[float]],
    offcuts: Sequence[Stock],
) -> str:
    """Return the text of stock.toml after a plan was cut: what was used is gone, offcuts are in.

    `used_mm` holds the lengths that were cut off or into, of each kind of stock in turn; rows that
    are alike give them one after another. A roll without a length stays without one.
    """
    rows: list[Stock] = []
    waiting = {one: list(lengths) for one, lengths in used_mm.items()}
    for one in stock:
        own = waiting.get(one, [])
        taken, own[:] = own[: one.count], own[one.count :]
        if one.form != "roll":
            if len(taken) < one.count:
                rows.append(replace(one, count=one.count - len(taken)))
        elif one.endless or one.length_mm - sum(taken) >= LEAST_MM:
            rows.append(replace(one, length_mm=one.length_mm - sum(taken)))
    alike = [replace(one, count=count) for one, count in Counter(offcuts).items()]
    return "\n".join(_written(one) for one in (*rows, *alike))


def _written(one: Stock) -> str:
    lines = [
        f"[[{one.form}]]",
        f"material = {_quoted(one.material)}",
        f"width = {trimmed(one.width_mm)}",
        *([] if one.endless else [f"length = {trimmed(one.length_mm)}"]),
    ]
    if one.form == "sheet":
        lines.append(f'grain = "{one.grain}"')
    if one.count > 1:
        lines.append(f"count = {one.count}")
    if one.price is not None:
        lines.append(f"price = {one.price:g}")
    if one.source:
        lines.append(f"from = {_quoted(one.source)}")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
