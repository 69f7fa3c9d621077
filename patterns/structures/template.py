"""What a structure's TOML file declares.

A template names its parameters with unit, range, default and source, its materials, the record
fields it cannot do without, its steps and what it cannot be combined with. Every key and every word
from a list is checked here; `comparing` holds the whole against the structure's module.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from functools import reduce
from pathlib import Path
from typing import Any, Literal, NamedTuple

from patterns.book.suits import Need, Opened
from patterns.errors import Problem, SettingError, TemplateError, nearest
from patterns.model.traits import Traits
from patterns.record.fields import BY_NAME
from patterns.stock.materials import FIGURES, Library, Material, MaterialKind
from patterns.structures import rows, steps
from patterns.structures.parameter import Parameter, declared
from patterns.structures.rows import one_of, only

_MATERIAL = {
    "kind",
    "default",
    "purpose",
    "governing",
    "wetted",
    "also",
    "fits",
    "unfit",
    "unheated",
}

SewnFolds = Literal["", "old folds", "new folds"]
When = Literal["always", "ruled out alone"]


class MaterialRole(NamedTuple):
    """A material a structure uses under a role name such as `cloth`, `paper` or `thread`."""

    role: str
    kind: MaterialKind
    default: str
    purpose: str
    governing: tuple[str, ...]
    """Figures of the material that decide a size or a load (memory figures among them warn)."""
    wetted: tuple[str, ...] = ()
    """The same, but only where the structure's adhesive sets with water: what the material grows."""
    also: tuple[MaterialKind, ...] = ()
    """Other kinds that serve as well."""
    fits: str = ""
    """Field of the record, a thickness that the material should come near and not exceed."""
    unfit: tuple[str, ...] = ()
    """Never chosen by its thickness alone: stock that is made for something else."""
    unheated: str = ""
    """Taken instead of the default where the condition of the book forbids heat."""

    @property
    def kinds(self) -> tuple[MaterialKind, ...]:
        """Every kind that serves."""
        return (self.kind, *self.also)

    def usual(
        self, stock: Library, thickness_mm: float | None, *, bears_heat: bool = True
    ) -> Material:
        """Return what is used unless another is named.

        Where it must fit a thickness that was read, that is the stock nearest below it, the
        thinnest there is where all are thicker; else the default.
        """
        unheated = "" if bears_heat else self.unheated
        held = self._held(stock) if self.fits and thickness_mm is not None else ()
        if thickness_mm is None or not held:
            return stock.find(unheated or self.default, *self.kinds)
        below = [row for row in held if row[0] <= thickness_mm + 1e-9]
        *_, found = (
            max(below, key=lambda row: row[:2]) if below else min(held, key=lambda row: row[:2])
        )
        return found

    def _held(self, stock: Library) -> Sequence[tuple[float, int, Material]]:
        """Return what may be chosen by its thickness, the first of two equals before the other."""
        return [
            (one.thickness_mm, -place, one)
            for place, one in enumerate(stock.materials)
            if one.kind in self.kinds
            and one.name not in self.unfit
            and one.thickness_mm is not None
        ]


class Shared(NamedTuple):
    """Settings that must agree with another structure's, since one thing on the book has them."""

    other: str
    what: str
    settings: tuple[str, ...]
    """Parameters or roles of materials."""


class Together(NamedTuple):
    """A structure that this one is offered with: always, or where it is ruled out alone."""

    other: str
    when: When


@dataclass(frozen=True, slots=True, eq=False)
class Template:
    """Everything `templates/NAME.toml` declares; each is itself alone, as its file is."""

    name: str
    title: str
    purpose: str
    example: str
    """Name of a demo record that the structure suits, for tests and first tries."""
    order: int
    needs: tuple[str, ...]
    parameters: Mapping[str, Parameter]
    materials: Mapping[str, MaterialRole]
    steps: tuple[steps.StepTemplate, ...]
    conflicts: Mapping[str, str]
    shared: tuple[Shared, ...]
    tools: tuple[str, ...]
    undo: tuple[str, ...]
    example_settings: Mapping[str, str]
    """What the example record is drafted with, where the structure cannot do without."""
    answers: tuple[Need, ...]
    """What a book may ask for that the structure can answer."""
    opens: tuple[Opened, ...]
    """What it leaves open on the book, so that another structure must close it: in that order."""
    together: tuple[Together, ...]
    sewn: SewnFolds
    """Through the book's own folds, through new ones, or not at all."""
    encloses: bool
    """It is put round the whole book, which must then have nothing alive in it."""
    swells: bool
    """Its thread makes the spine thicker."""
    traits: Traits
    """What its steps do to the book, all but those that few settings or materials bring."""


def load(path: Path) -> Template:
    """Read one template file; a TemplateError names the file and what is missing in it."""
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
        return _template(path.stem, raw)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise TemplateError(f"{path.name}: cannot be read ({error})") from None
    except KeyError as error:
        raise TemplateError(f"{path.name}: {error} is missing") from None
    except (TypeError, ValueError) as error:
        raise TemplateError(f"{path.name}: {error}") from None


def _template(name: str, raw: Mapping[str, Any]) -> Template:
    only("", raw, {one.name for one in fields(Template)} - {"name", "traits"})
    declared_steps = tuple(steps.declared(row) for row in raw["steps"])
    return Template(
        name=name,
        title=raw["title"],
        purpose=raw["purpose"],
        example=raw["example"],
        order=raw["order"],
        needs=tuple(_need(need) for need in raw["needs"]),
        parameters={key: declared(key, row) for key, row in rows.held(raw, "parameters")},
        materials={role: _material(role, row) for role, row in rows.held(raw, "materials")},
        steps=declared_steps,
        conflicts=dict(_conflict(row) for row in raw.get("conflicts", ())),
        shared=tuple(_shared(row) for row in raw.get("shared", ())),
        tools=tuple(raw.get("tools", ())),
        undo=tuple(raw["undo"]),
        example_settings=dict(raw.get("example_settings", {})),
        answers=tuple(one_of(need, Need, "answers") for need in raw.get("answers", ())),
        opens=tuple(one_of(each, Opened, "opens") for each in raw.get("opens", ())),
        together=tuple(_together(row) for row in raw.get("together", ())),
        sewn=one_of(raw.get("sewn", ""), SewnFolds, "sewn"),
        encloses=raw.get("encloses", False),
        swells=raw.get("swells", False),
        traits=reduce(Traits.__or__, (s.traits for s in declared_steps if not s.seldom), Traits()),
    )


def _need(need: str) -> str:
    """Return a need as written; a ValueError names a field that no record has."""
    for name in need.split("|"):
        _field(name, "needs")
    return need


def _field(name: str, where: str) -> str:
    """Return a field of the record; a ValueError offers those nearest to one that it has not."""
    if name not in BY_NAME:
        close = ", ".join(nearest(name, BY_NAME)) or "see patterns/record/record.py"
        raise ValueError(f"{where} {name!r} is no field of the record; nearest: {close}")
    return name


def _material(role: str, row: Mapping[str, Any]) -> MaterialRole:
    where = f"materials.{role}"
    only(where, row, _MATERIAL)
    fits = row.get("fits", "")
    return MaterialRole(
        role,
        one_of(row["kind"], MaterialKind, f"{where}.kind"),
        row["default"],
        row["purpose"],
        tuple(one_of(key, FIGURES, f"{where}.governing") for key in row.get("governing", ())),
        tuple(one_of(key, FIGURES, f"{where}.wetted") for key in row.get("wetted", ())),
        tuple(one_of(kind, MaterialKind, f"{where}.also") for kind in row.get("also", ())),
        _field(fits, f"{where}.fits") if fits else "",
        tuple(row.get("unfit", ())),
        row.get("unheated", ""),
    )


def _conflict(row: Mapping[str, str]) -> tuple[str, str]:
    only("conflicts", row, {"with", "reason"})
    return row["with"], row["reason"]


def _shared(row: Mapping[str, Any]) -> Shared:
    only("shared", row, {"with", "what", "settings"})
    return Shared(row["with"], row["what"], tuple(row["settings"]))


def _together(row: Mapping[str, str]) -> Together:
    only("together", row, {"with", "when"})
    return Together(row["with"], one_of(row["when"], When, "together.when"))


def exclude(one: Template, other: Template) -> str:
    """Return why two structures do not go together, as either declares; "" where they do."""
    return one.conflicts.get(other.name, "") or other.conflicts.get(one.name, "")


def unknown_setting(key: str, known: Iterable[str]) -> SettingError:
    """Return the refusal for a setting, alone or after `structure.`, that nothing declares."""
    names = tuple(known)
    close = nearest(key.rpartition(".")[2], names)
    found, hint = "no drafted structure has this setting", f"nearest: {', '.join(close)}"
    remedy = hint if close else "give one that is allowed"
    problem = Problem(key, found, ", ".join(names), remedy, "unknown setting")
    return SettingError(f"{key}: {found}{f'; {hint}' if close else ''}", [problem])
