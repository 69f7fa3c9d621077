"""The settings of a draft: each structure's defaults, and over them what was given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from patterns import units
from patterns.errors import MendfoldError, Problem, SettingError
from patterns.record.record import Record
from patterns.stock import materials
from patterns.stock.materials import Figure, Library, Material
from patterns.structures import template
from patterns.structures.shared import conditions
from patterns.structures.template import Template

SET_HERE = "set for this draft"
"""The source of a material's figure that a setting gave."""


@dataclass(slots=True)
class Values:
    """What one structure is drafted with."""

    parameters: dict[str, Any]
    materials: dict[str, Material]
    by_hand: set[str] = field(default_factory=set)
    """Roles whose material, or a figure of it, was given."""
    chosen: set[str] = field(default_factory=set)
    """Roles whose material the structure has chosen for this book."""

    @property
    def shown(self) -> dict[str, object]:
        """Every parameter, and each material's name by its role; None for what was worked out."""
        named = {
            role: None if role in self.chosen else material.name
            for role, material in self.materials.items()
        }
        return {**self.parameters, **named}

    def choose(self, role: str, material: Material) -> None:
        """Take the material that a structure has chosen for a role."""
        if self.materials.get(role, material) != material:
            self.materials[role] = material
            self.chosen.add(role)


def settle(
    chosen: Sequence[Template], settings: Mapping[str, str], library: Library, record: Record
) -> dict[str, Values]:
    """Return the values of each chosen structure by its name; some stock is chosen by the record.

    A bare name sets every structure that has it, a structure's own name wins over it. Raises
    SettingError or MaterialError.
    """
    values = {
        one.name: Values(
            {key: row.default for key, row in one.parameters.items()},
            {role: row.usual(library, None) for role, row in one.materials.items()},
        )
        for one in chosen
    }
    bears_heat = conditions.bears_heat(record.condition)
    for one in chosen:
        for role, row in one.materials.items():
            thickness = record.get(row.fits) if row.fits else None
            values[one.name].choose(role, row.usual(library, thickness, bears_heat=bears_heat))
    declared = {name for one in chosen for name in (*one.parameters, *one.materials)}
    # materials before figures that override theirs, bare names before a structure's own
    for key in sorted(settings, key=lambda key: (_bare(key) not in declared, "." in key)):
        _apply(key, settings[key], chosen, values, library)
    return values


def _bare(key: str) -> str:
    """Return a setting's name without its structure."""
    return key.rpartition(".")[2]


def _apply(
    key: str,
    text: str,
    chosen: Sequence[Template],
    values: dict[str, Values],
    library: Library,
) -> None:
    owner, dot, name = key.rpartition(".")
    if dot and owner not in values:
        found, drafted = f"{owner} is not among the drafted structures", ", ".join(values)
        problem = Problem(key, found, drafted, "set it of one of them, or draft it too", "setting")
        raise SettingError(f"{key}: {found}", [problem])
    taken = False
    for one in chosen:
        if owner and one.name != owner:
            continue
        role, _, figure = name.partition("_")
        if name in one.parameters:
            values[one.name].parameters[name] = one.parameters[name].read(text, key)
        elif name in one.materials:
            values[one.name].materials[name] = library.find(
                text.strip(), *one.materials[name].kinds
            )
            values[one.name].by_hand.add(name)
            values[one.name].chosen.discard(name)
        elif role in one.materials and (
            figure_key := _figure_key(figure, one.materials[role].kind)
        ):
            held = values[one.name].materials[role]
            values[one.name].materials[role] = _with_figure(held, figure_key, text, key)
            values[one.name].by_hand.add(role)
        else:
            continue
        taken = True
    if not taken:
        raise template.unknown_setting(key, _setting_names(chosen, owner))


def _figure_key(figure: str, kind: str) -> str | None:
    known = [key for key in (figure, f"{figure}_mm") if materials.belongs(key, kind)]
    return known[0] if known else None


def _with_figure(held: Material, figure: str, text: str, key: str) -> Material:
    length = materials.FIGURES[figure].unit == "mm"
    try:
        value = units.quantity(text, "mm", bare=True) if length else units.bare_number(text)
    except MendfoldError as error:
        found, wanted = f"{text!r} cannot be read", "a length in mm" if length else "a number"
        problem = Problem(key, found, wanted, f"{error}", "setting")
        raise SettingError(f"{key}: {error}", [problem]) from None
    if outside := materials.out_of_range(figure, value):
        problem = replace(outside, field=key, kind="setting")
        raise SettingError(f"{key} {outside.found}; allowed: {outside.allowed}", [problem])
    return held.with_figure(figure, Figure(value, SET_HERE, "own"))


def _setting_names(chosen: Sequence[Template], owner: str) -> list[str]:
    return [
        name
        for one in chosen
        if not owner or one.name == owner
        for name in (
            *one.parameters,
            *one.materials,
            *(f"{role}_thickness" for role in one.materials),
        )
    ]
