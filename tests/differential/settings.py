"""Settings drawn for structures, from what the program itself says that they take."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any

from tests.differential.rows import Row, Tables


@dataclass(frozen=True, slots=True)
class Structure:
    """A structure with its parameters and materials as `structures --json` tells them."""

    name: str
    parameters: Sequence[Mapping[str, Any]]
    materials: Sequence[Mapping[str, Any]]


def common(
    before: Sequence[Mapping[str, Any]], after: Sequence[Mapping[str, Any]]
) -> list[Structure]:
    """Return the structures and parameters that both versions know, as the earlier one has them."""
    later = {row["name"]: row for row in after}
    return [
        Structure(
            row["name"],
            _both(row["parameters"], later[row["name"]]["parameters"], "name"),
            _both(row["materials"], later[row["name"]]["materials"], "role"),
        )
        for row in sorted(before, key=lambda row: str(row["name"]))
        if row["name"] in later
    ]


def _both(
    before: Sequence[Mapping[str, Any]], after: Sequence[Mapping[str, Any]], key: str
) -> list[Mapping[str, Any]]:
    known = {row[key] for row in after}
    return [row for row in before if row[key] in known]


def drawn(
    chance: Random, structures: Sequence[Structure], tables: Tables
) -> tuple[tuple[str, str], ...]:
    """Return settings for a draft: one to three for half of them, now and then a bad one.

    What a structure cannot do without, an outline, is nearly always given.
    """
    pairs: dict[str, str] = {}
    for structure in structures:
        for row in structure.parameters:
            if row["kind"] == "outline" and chance.random() < 0.95:
                pairs[f"{structure.name}.{row['name']}"] = _outline(chance, tables)
    every = [(s.name, row) for s in structures for row in (*s.parameters, *s.materials)]
    if every and chance.random() < 0.5:
        for owner, row in chance.sample(every, min(len(every), chance.choice([1, 1, 2, 3]))):
            name, value = _setting(chance, row, structures)
            if value:
                pairs[f"{owner}.{name}" if chance.random() < 0.5 else name] = value
    if chance.random() < 0.025:
        name = chance.choice([*(str(row.get("name", "cloth")) for _owner, row in every), "widht"])
        pairs[name] = chance.choice(["0", "-3", "about 5", "1e6", "none", "?"])
    return tuple(pairs.items())


def _setting(
    chance: Random, row: Mapping[str, Any], structures: Sequence[Structure]
) -> tuple[str, str]:
    """Return name and value for one parameter or material; an empty value where none is known."""
    if "role" in row:
        if chance.random() < 0.5:
            return f"{row['role']}_thickness", f"{chance.uniform(0.05, 0.8):.2f}"
        return str(row["role"]), chance.choice(list(_kin(row, structures)))
    low, high = row.get("range") or (None, None)
    value = ""
    if row["kind"] == "choice":
        value = chance.choice(list(row["choices"]))
    elif row["kind"] == "flag":
        value = chance.choice(["yes", "no"])
    elif row["kind"] == "wholes":
        value = chance.choice(["1,3,5", "1-6", "2,4-8,11", "40-44"])
    elif low is not None and high is not None:
        value = _figure(chance, row, float(low), float(high))
    return str(row["name"]), value


def _kin(row: Mapping[str, Any], structures: Sequence[Structure]) -> Iterator[str]:
    """Yield the default materials of the same kind."""
    for structure in structures:
        for other in structure.materials:
            if other["kind"] == row["kind"]:
                yield str(other["default"])


def _figure(chance: Random, row: Mapping[str, Any], low: float, high: float) -> str:
    default = row.get("default")
    if isinstance(default, int | float) and not isinstance(default, bool) and chance.random() < 0.7:
        value = min(high, max(low, default * chance.uniform(0.6, 1.6)))
    else:
        value = chance.triangular(low, high, low + (high - low) * 0.2)
    if row["kind"] == "whole":
        return str(round(value))
    text = f"{value:.1f}" if high - low > 2 else f"{value:.2f}"
    return f"{text} mm" if row["kind"] == "length" and chance.random() < 0.15 else text


def _outline(chance: Random, tables: Tables) -> str:
    """Return losses at the edges of a leaf as points."""
    block = tables.get("text_block", {})
    row: Row = block if isinstance(block, dict) else {}
    width, height = (float(str(row.get(key, 200))) for key in ("width", "height"))
    return "; ".join(_loss(chance, width, height) for _ in range(chance.choice([1, 1, 2])))


def _loss(chance: Random, width: float, height: float) -> str:
    """Return one loss: a corner, a bite out of an edge, or a hole."""
    at_x = chance.choice([width, width * chance.uniform(0.3, 0.9), 0.0])
    at_y = chance.choice([height, height * chance.uniform(0.2, 0.8)])
    across, down = chance.uniform(0.06, 0.3) * width, chance.uniform(0.05, 0.25) * height
    left, right = max(0.0, at_x - across), min(width, at_x + across / 2)
    top, bottom = max(0.0, at_y - down), min(height, at_y + down / 2)
    uneven = [chance.uniform(-0.1, 0.1) for _ in range(4)]
    points = [
        (left, bottom), (left + across * (0.2 + uneven[0]), top + down * (0.3 + uneven[1])),
        (left + across * (0.6 + uneven[2]), top), (right, top + down * (0.2 + uneven[3])),
        (right, bottom),
    ]  # fmt: skip
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
