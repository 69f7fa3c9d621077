"""What a structure's TOML file declares.

A template names its parameters with unit, range, default and source, its materials, the record
fields it cannot do without, its steps and what it cannot be combined with. The structure's module
gives each parameter its type in a dataclass without defaults, and the figures of its steps in
another; `compare` and `compare_words` name any difference.
"""

from __future__ import annotations

import dataclasses
import tomllib
import typing
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, reduce
from pathlib import Path
from typing import Any, Literal

from patterns.book.suits import Need, Opened
from patterns.errors import Problem, SettingError, TemplateError, nearest
from patterns.model.part import Traits
from patterns.stock import cautions
from patterns.stock.materials import Library, Material, MaterialKind
from patterns.structures import steps
from patterns.structures.parameter import Parameter, declared

TYPES = {
    "length": float,
    "number": float,
    "angle": float,
    "whole": int,
    "flag": bool,
    "wholes": tuple[int, ...],
    "text": str,
    "outline": str,
}
"""What a module types a parameter of each kind; a choice is the Literal of its choices."""

SewnFolds = Literal["", "old folds", "new folds"]
When = Literal["always", "ruled out alone"]

UNCOVERED = "uncovered"
"""Flag of a step: another structure of the pattern lifts the covering, or the case, before all else."""
SHARED = Path(__file__).parent / "shared" / "declared.toml"
"""Parameters and materials that several templates declare alike."""


@dataclass(frozen=True, slots=True)
class MaterialRole:
    """A material a structure uses under a role name such as `cloth`, `paper` or `thread`."""

    role: str
    kind: MaterialKind
    default: str
    purpose: str
    governing: tuple[str, ...]
    """Figures of the material that decide a size or a load (memory figures among them warn)."""
    also: tuple[MaterialKind, ...] = ()
    """Other kinds that serve as well."""
    fits: str = ""
    """Field of the record, a thickness that the material should come near and not exceed."""
    unfit: tuple[str, ...] = ()
    """Never chosen by its thickness alone: stock that is made for something else."""

    @property
    def kinds(self) -> tuple[MaterialKind, ...]:
        """Every kind that serves."""
        return (self.kind, *self.also)

    def usual(self, stock: Library, thickness_mm: float | None) -> Material:
        """Return what is used unless another is named.

        Where it must fit a thickness that was read, that is the stock nearest below it, the
        thinnest there is where all are thicker; else the default.
        """
        held = [
            (one.thickness_mm, -place, one)
            for place, one in enumerate(stock.materials)
            if one.kind in self.kinds
            and one.name not in self.unfit
            and one.thickness_mm is not None
        ]
        if not self.fits or thickness_mm is None or not held:
            return stock.find(self.default, *self.kinds)
        below = [row for row in held if row[0] <= thickness_mm + 1e-9]
        *_, found = (
            max(below, key=lambda row: row[:2]) if below else min(held, key=lambda row: row[:2])
        )
        return found


@dataclass(frozen=True, slots=True)
class Shared:
    """Settings that must agree with another structure's, since one thing on the book has them."""

    other: str
    what: str
    settings: tuple[str, ...]
    """Parameters or roles of materials."""


@dataclass(frozen=True, slots=True)
class Together:
    """A structure that this one is offered with: always, or where it is ruled out alone."""

    other: str
    when: When


@dataclass(frozen=True, slots=True)
class Template:
    """Everything `templates/NAME.toml` declares."""

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
    uncovers: bool
    """It lifts the covering from spine and joints, or takes the block out of its case, before all else."""
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


@cache
def _shared() -> Mapping[str, Any]:
    return tomllib.loads(SHARED.read_text(encoding="utf-8"))


def _rows(raw: Mapping[str, Any], section: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Yield a template's parameters or materials, those it shares with others in their place.

    `use = ["edge", "every"]` stands for these shared rows as they are, whatever its own name;
    `like = "edge"` begins a row from a shared one, of which it changes what it gives itself.
    """
    for name, row in raw.get(section, {}).items():
        if "use" in row:
            yield from ((one, _shared()[section][one]) for one in row["use"])
        elif "like" in row:
            own = {key: value for key, value in row.items() if key != "like"}
            yield name, {**_shared()[section][row["like"]], **own}
        else:
            yield name, row


def _template(name: str, raw: Mapping[str, Any]) -> Template:
    declared_steps = tuple(steps.declared(row) for row in raw["steps"])
    return Template(
        name=name,
        title=raw["title"],
        purpose=raw["purpose"],
        example=raw["example"],
        order=raw["order"],
        needs=tuple(raw["needs"]),
        parameters={key: declared(key, row) for key, row in _rows(raw, "parameters")},
        materials={
            role: MaterialRole(
                role,
                row["kind"],
                row["default"],
                row["purpose"],
                tuple(row.get("governing", ())),
                tuple(row.get("also", ())),
                row.get("fits", ""),
                tuple(row.get("unfit", ())),
            )
            for role, row in _rows(raw, "materials")
        },
        steps=declared_steps,
        conflicts={row["with"]: row["reason"] for row in raw.get("conflicts", ())},
        shared=tuple(
            Shared(row["with"], row["what"], tuple(row["settings"]))
            for row in raw.get("shared", ())
        ),
        tools=tuple(raw.get("tools", ())),
        undo=tuple(raw["undo"]),
        example_settings=dict(raw.get("example_settings", {})),
        answers=tuple(_one_of(need, Need, "answers") for need in raw.get("answers", ())),
        opens=tuple(_one_of(each, Opened, "opens") for each in raw.get("opens", ())),
        together=tuple(_together(row) for row in raw.get("together", ())),
        sewn=_one_of(raw.get("sewn", ""), SewnFolds, "sewn"),
        uncovers=raw.get("uncovers", False),
        encloses=raw.get("encloses", False),
        swells=raw.get("swells", False),
        traits=reduce(Traits.__or__, (s.traits for s in declared_steps if not s.seldom), Traits()),
    )


def _one_of(text: str, known: Any, where: str) -> Any:
    """Return a word that a Literal knows; a ValueError names the place and what is allowed."""
    allowed = typing.get_args(known)
    if text not in allowed:
        words = ", ".join(repr(one) for one in allowed if one)
        raise ValueError(f"{where} {text!r} is none of {words}")
    return text


def _together(row: Mapping[str, str]) -> Together:
    return Together(row["with"], _one_of(row["when"], When, "together.when"))


def exclude(one: Template, other: Template) -> str:
    """Return why two structures do not go together, as either declares; "" where they do."""
    return one.conflicts.get(other.name, "") or other.conflicts.get(one.name, "")


def compare(template: Template, params: type) -> None:
    """Raise a TemplateError naming every parameter that TOML and module declare differently.

    The module types each parameter and gives no default; the TOML gives the rest.
    """
    typed = typing.get_type_hints(params)
    told = template.parameters
    faults = [f"{name} only in the TOML" for name in told if name not in typed]
    faults += [f"{name} only in the module" for name in typed if name not in told]
    faults += [
        f"{name} has a default in the module, which the TOML alone gives"
        for name, field in ((one.name, one) for one in dataclasses.fields(params))
        if field.default is not dataclasses.MISSING
    ]
    faults += [
        f"{name} is typed {_words(typed[name])} in the module and is {_words(asked)} in the TOML"
        for name, asked in ((one.name, _type(one)) for one in told.values())
        if name in typed and typed[name] != asked
    ]
    if faults:
        raise TemplateError(f"{template.name}: {'; '.join(faults)}")


def compare_words(template: Template, figures: type[Any] | None, structures: Iterable[str]) -> None:
    """Raise a TemplateError naming whatever the template's words ask for and nobody gives.

    A step is filled in with the structure's own figures, its parameters and its materials; `when`
    may also be `with_NAME`, another structure, or `uncovered`. Ways to undo are printed as they are.
    """
    own = set(steps.figures_of(figures))
    given = own | {*template.parameters, *template.materials, steps.BOND}
    others = {UNCOVERED, *(f"with_{name}" for name in structures if name != template.name)}
    told = [one for step in template.steps for one in step.tellings]
    texts = {name for one in told for name in steps.named(one.text)}
    flags = {flag for step in template.steps for flag, _ in step.when}
    filled = "which is no figure, parameter or material"
    faults = [f"a step names {{{name}}}, {filled}" for name in sorted(texts - given)]
    faults += [f"a step is told when {name}, {filled}" for name in sorted(flags - given - others)]
    faults += [f"no step names {name} of the module" for name in sorted(own - texts - flags)]
    faults += [
        f"{{{name}}} stands in a way to undo, where nothing is filled in"
        for line in template.undo
        for name in steps.named(line)
    ]
    if faults:
        raise TemplateError(f"{template.name}: {'; '.join(faults)}")
    for one in told:
        for key in one.cautions:
            cautions.text(key)


def _type(one: Parameter) -> Any:
    """Return the type of a parameter's values; None is among them where it may be worked out."""
    plain = typing.Literal[one.choices] if one.kind == "choice" else TYPES[one.kind]
    return plain if one.default is not None else plain | None


def _words(kind: Any) -> str:
    return kind.__name__ if isinstance(kind, type) else str(kind).replace("typing.", "")


def unknown_setting(key: str, known: Iterable[str]) -> SettingError:
    """Return the refusal for a setting, alone or after `structure.`, that nothing declares."""
    names = tuple(known)
    close = nearest(key.rpartition(".")[2], names)
    found, hint = "no drafted structure has this setting", f"nearest: {', '.join(close)}"
    remedy = hint if close else "give one that is allowed"
    problem = Problem(key, found, ", ".join(names), remedy, "unknown setting")
    return SettingError(f"{key}: {found}{f'; {hint}' if close else ''}", [problem])
