"""What a structure's TOML file declares.

A template names its parameters with unit, range, default and source, its materials, the record
fields it cannot do without, its steps and what it cannot be combined with. The structure's module
gives each parameter its type in a dataclass without defaults; `compare` names any difference.
"""

from __future__ import annotations

import dataclasses
import string
import tomllib
import typing
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from patterns import units
from patterns.errors import SettingError, TemplateError, nearest
from patterns.stock.materials import Kind
from patterns.structures.parameter import Parameter, declared

PHASES = (
    "record",
    "prepare",
    "boards",
    "lining",
    "sew",
    "join",
    "spine",
    "cover",
    "attach",
    "finish",
)
"""Working order on the bench; the steps of several structures are merged by it."""

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

SHARED = Path(__file__).parent / "shared" / "declared.toml"
"""Parameters and materials that several templates declare alike."""


@dataclass(frozen=True, slots=True)
class MaterialRole:
    """A material a structure uses under a role name such as `cloth`, `paper` or `thread`."""

    role: str
    kind: Kind
    default: str
    purpose: str
    governing: tuple[str, ...]
    """Figures of the material that decide a size or a load (memory figures among them warn)."""


@dataclass(frozen=True, slots=True)
class StepTemplate:
    """A step with {figures} to fill in; `when` names a flag that must hold, or not, if it is told."""

    phase: str
    text: str
    cautions: tuple[str, ...]
    when: str
    holds: bool


@dataclass(frozen=True, slots=True)
class Shared:
    """Settings that must agree with another structure's, since one thing on the book has them."""

    other: str
    what: str
    settings: tuple[str, ...]
    """Parameters or roles of materials."""


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
    steps: tuple[StepTemplate, ...]
    conflicts: Mapping[str, str]
    shared: tuple[Shared, ...]
    tools: tuple[str, ...]
    undo: tuple[str, ...]
    example_settings: Mapping[str, str]
    """What the example record is drafted with, where the structure cannot do without."""


def load(path: Path) -> Template:
    """Read one template file; a TemplateError names the file and what is missing in it."""
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
        return _template(path.stem, raw)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise TemplateError(f"{path.name}: cannot be read ({error})") from None
    except (KeyError, TypeError, ValueError) as error:
        raise TemplateError(f"{path.name}: {error} is missing or not as it should be") from None


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
                role, row["kind"], row["default"], row["purpose"], tuple(row.get("governing", ()))
            )
            for role, row in _rows(raw, "materials")
        },
        steps=tuple(_step(row) for row in raw["steps"]),
        conflicts={row["with"]: row["reason"] for row in raw.get("conflicts", ())},
        shared=tuple(
            Shared(row["with"], row["what"], tuple(row["settings"]))
            for row in raw.get("shared", ())
        ),
        tools=tuple(raw.get("tools", ())),
        undo=tuple(raw["undo"]),
        example_settings=dict(raw.get("example_settings", {})),
    )


def _step(row: Mapping[str, Any]) -> StepTemplate:
    if row["phase"] not in PHASES:
        raise ValueError(f"steps.phase {row['phase']!r}")
    *negated, when = row.get("when", "").split(" ")
    if negated not in ([], ["not"]):
        raise ValueError(f"steps.when {row['when']!r}")
    return StepTemplate(
        row["phase"], row["text"], tuple(row.get("cautions", ())), when, not negated
    )


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


def _type(one: Parameter) -> Any:
    """Return the type of a parameter's values; None is among them where it may be worked out."""
    plain = typing.Literal[one.choices] if one.kind == "choice" else TYPES[one.kind]
    return plain if one.default is not None else plain | None


def _words(kind: Any) -> str:
    return kind.__name__ if isinstance(kind, type) else str(kind).replace("typing.", "")


def fill(text: str, figures: Mapping[str, object], angles: Collection[str] = ()) -> str:
    """Put this book's figures into a step; lengths to 0.1, those among `angles` in whole degrees.

    >>> fill("cut {strip_mm} mm, {n} times", {"strip_mm": 153.94, "n": 2})
    'cut 153.9 mm, 2 times'
    """
    names = [name for _, name, _, _ in string.Formatter().parse(text) if name]
    missing = [name for name in names if name not in figures]
    if missing:
        raise TemplateError(f"step {text[:40]!r} asks for {', '.join(missing)}, which is not given")
    shown = {name: _shown(figures[name], 0 if name in angles else 1) for name in names}
    return text.format(**shown)


def _shown(value: object, places: int) -> str:
    if isinstance(value, float):
        return units.mm(value, places)
    if isinstance(value, tuple | list):
        return ", ".join(_shown(item, places) for item in value)
    return str(value)


def wanted(step: StepTemplate, figures: Mapping[str, object]) -> bool:
    """Tell whether a step's condition holds for these figures."""
    return not step.when or bool(figures.get(step.when)) == step.holds


def unknown_setting(key: str, known: Iterable[str]) -> SettingError:
    """Return the refusal for a `--set` name, alone or after `structure.`, that nothing declares."""
    close = nearest(key.rpartition(".")[2], known)
    hint = f"; nearest: {', '.join(close)}" if close else ""
    return SettingError(
        f"--set {key}: no drafted structure has this setting{hint}; "
        "`mendfold structures NAME` lists them"
    )
