"""Several structures on one book: which go together, what they share, what one leaves to the next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil

from patterns.errors import Problem, SettingError, Unsuitable
from patterns.model.part import Part
from patterns.stock.materials import Material
from patterns.structures.template import Shared, Template
from patterns.units import tenth


def refuse_conflicts(chosen: Sequence[Template]) -> None:
    """Raise Unsuitable for two structures of which either says that they do not go together."""
    names = [one.name for one in chosen]
    for one in chosen:
        for other, reason in one.conflicts.items():
            if other in names:
                raise Unsuitable(f"{one.name} with {other}: {reason}")


def refuse_disagreement(
    chosen: Sequence[Template], values: Mapping[str, Mapping[str, object]]
) -> None:
    """Raise SettingError where two structures share one thing and are set differently for it.

    `values` holds every parameter and material by structure and name.
    """
    for one in chosen:
        for shared in one.shared:
            if shared.other in values:
                _agree(one.name, shared, values)


def _agree(name: str, shared: Shared, values: Mapping[str, Mapping[str, object]]) -> None:
    mine, theirs = values[name], values[shared.other]
    for setting in shared.settings:
        if mine[setting] != theirs[setting]:
            one, other = _shown(mine[setting]), _shown(theirs[setting])
            found = f"{shared.other} has {other} and {name} {one} for one {shared.what}"
            alike = f"{shared.other} and {name} alike"
            problem = Problem(setting, found, alike, "set both", "shared setting")
            raise SettingError(f"{setting}: {found}", [problem])


def _shown(value: object) -> str:
    if isinstance(value, Material):
        thickness = "" if value.thickness_mm is None else f" of {value.thickness_mm:g} mm"
        return f"{value.name}{thickness}"
    if value is None:
        return "none given"
    return f"{value:g}" if isinstance(value, float) else str(value)


def material_list(
    parts: Sequence[Part], materials: Mapping[str, Mapping[str, Material]]
) -> tuple[tuple[str, str], ...]:
    """Return each material as named on the sheets with what is needed of it, thread by its length."""
    needed: dict[str, list[str]] = {}
    for part in parts:
        for piece in part.pieces:
            if piece.stock:
                size = " × ".join(map(tenth, piece.first_cut_mm))
                count = f"{piece.quantity} of " if piece.quantity > 1 else ""
                needed.setdefault(piece.material, []).append(
                    f"{piece.title or piece.name}: {count}{size}"
                )
        thread = materials[part.structure].get("thread")
        length = part.sewing.thread_mm if part.sewing else part.thread_mm
        if thread and length:
            metres = ceil(length / 100) / 10
            needed.setdefault(thread.name, []).append(f"{part.title.lower()}: {tenth(metres)} m")
    return tuple((material, "; ".join(rows)) for material, rows in needed.items())


def told_once(parts: Sequence[Part]) -> list[str]:
    """Return the warnings of all parts, each once, with the titles of those that give it.

    >>> gap = "the joint gap is not measured"
    >>> titles = ("Board slot", "Board papers")
    >>> told_once([Part("", title, None, (), warnings=(gap,)) for title in titles])
    ['Board slot, board papers: the joint gap is not measured']
    """
    titles: dict[str, list[str]] = {}
    for part in parts:
        for text in part.warnings:
            titles.setdefault(text, []).append(part.title)
    return [f"{_listed(given)}: {text}" for text, given in titles.items()]


def _listed(titles: Sequence[str]) -> str:
    first, *others = dict.fromkeys(titles)
    return ", ".join((first, *(title[0].lower() + title[1:] for title in others)))


def memory_warnings(
    chosen: Sequence[Template], materials: Mapping[str, Mapping[str, Material]]
) -> list[str]:
    """Return a line for each figure that is missing, and one for all that are from memory."""
    lines: list[str] = []
    remembered: dict[str, dict[str, None]] = {}
    for one in chosen:
        own = materials[one.name]
        for role, row in one.materials.items():
            governing = (*row.governing, *(row.wetted if _wet(own) else ()))
            lines.extend(own[role].doubts(*governing))
            for words, whose in own[role].remembered(*governing):
                remembered.setdefault(words, {})[whose] = None
    if remembered:
        listed = "; ".join(f"{words}: {', '.join(whose)}" for words, whose in remembered.items())
        lines.append(f"From memory: measure your own and put it in materials.toml; {listed}.")
    return lines


def _wet(materials: Mapping[str, Material]) -> bool:
    """Tell whether a structure pastes: its own adhesive sets with water, or it is set with paste."""
    adhesive = materials.get("adhesive")
    return adhesive is None or adhesive.sets == "water"
