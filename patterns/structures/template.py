"""What a structure's TOML file declares, and how a `--set` value is read against it.

A template names its parameters with unit, range, default and source, its materials, the record
fields it cannot do without, its steps and what it cannot be combined with. The structure's module
repeats the parameter names and defaults as a typed dataclass; `compare` names any difference.
"""

from __future__ import annotations

import dataclasses
import re
import string
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from patterns import units
from patterns.errors import MendfoldError, SettingError, TemplateError, nearest
from patterns.stock.materials import Kind

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

KINDS = ("length", "number", "whole", "angle", "choice", "flag", "wholes", "text", "outline")
CONFIDENCES = ("seen", "second-hand", "derived", "practice", "memory", "own")

Value = float | int | str | bool | tuple[int, ...] | None


@dataclass(frozen=True, slots=True)
class Parameter:
    """One parameter of a structure; `default` None means worked out, as `computed` says."""

    name: str
    title: str
    kind: str
    unit: str
    default: Value
    computed: str
    minimum: float | None
    maximum: float | None
    choices: tuple[str, ...]
    source: str
    confidence: str

    def read(self, text: str, where: str) -> Value:
        """Read one `--set` value; a SettingError names the place, the range and the remedy.

        An outline may be a file's name; what it holds becomes the value.
        """
        if self.kind == "outline":
            from patterns.traced import outlines

            return outlines.setting(text, where)
        try:
            value = self._convert(text.strip())
        except (ValueError, MendfoldError) as error:
            raise SettingError(f"{where}: {text!r} is no {self._wanted()}: {error}") from None
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            self._check_range(value, where)
        return value

    def _convert(self, text: str) -> Value:
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

    def _check_range(self, value: float, where: str) -> None:
        low = -float("inf") if self.minimum is None else self.minimum
        high = float("inf") if self.maximum is None else self.maximum
        if not low <= value <= high:
            raise SettingError(
                f"{where}: {value:g} {self.unit} is out of range; allowed is {low:g} to {high:g}"
            )


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
    """A step with {figures} to fill in; `when` names a flag that must hold ("not slit")."""

    phase: str
    text: str
    cautions: tuple[str, ...]
    when: str


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


def load(path: Path) -> Template:
    """Read one template file; a TemplateError names the file and what is missing in it."""
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8"))
        return _template(path.stem, raw)
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise TemplateError(f"{path.name}: cannot be read ({error})") from None
    except (KeyError, TypeError, ValueError) as error:
        raise TemplateError(f"{path.name}: {error} is missing or not as it should be") from None


def _template(name: str, raw: Mapping[str, Any]) -> Template:
    return Template(
        name=name,
        title=raw["title"],
        purpose=raw["purpose"],
        example=raw["example"],
        order=raw["order"],
        needs=tuple(raw["needs"]),
        parameters={key: _parameter(key, row) for key, row in raw.get("parameters", {}).items()},
        materials={
            role: MaterialRole(
                role, row["kind"], row["default"], row["purpose"], tuple(row.get("governing", ()))
            )
            for role, row in raw.get("materials", {}).items()
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


def _parameter(name: str, row: Mapping[str, Any]) -> Parameter:
    kind, confidence = row["kind"], row["confidence"]
    if kind not in KINDS or confidence not in CONFIDENCES:
        raise ValueError(f"parameters.{name}.kind or .confidence")
    default = row.get("default")
    if default is None and "computed" not in row:
        raise ValueError(f"parameters.{name}.default")
    low, high = row.get("range", (None, None))
    return Parameter(
        name=name,
        title=row["title"],
        kind=kind,
        unit=row.get("unit", ""),
        default=tuple(default) if isinstance(default, list) else default,
        computed=row.get("computed", ""),
        minimum=low,
        maximum=high,
        choices=tuple(row.get("choices", ())),
        source=row["source"],
        confidence=confidence,
    )


def _step(row: Mapping[str, Any]) -> StepTemplate:
    if row["phase"] not in PHASES:
        raise ValueError(f"steps.phase {row['phase']!r}")
    return StepTemplate(
        row["phase"], row["text"], tuple(row.get("cautions", ())), row.get("when", "")
    )


def compare(template: Template, params: type) -> None:
    """Raise a TemplateError naming every parameter that TOML and module declare differently."""
    coded = {field.name: field.default for field in dataclasses.fields(params)}
    declared = template.parameters
    faults = [f"{name} only in the TOML" for name in declared if name not in coded]
    faults += [f"{name} only in the module" for name in coded if name not in declared]
    faults += [
        f"{name} is {declared[name].default!r} in the TOML and {coded[name]!r} in the module"
        for name in coded
        if name in declared and coded[name] != declared[name].default
    ]
    if faults:
        raise TemplateError(f"{template.name}: {'; '.join(faults)}")


def fill(text: str, figures: Mapping[str, object]) -> str:
    """Put this book's figures into a step; lengths to 0.1, degrees and whole numbers whole.

    >>> fill("cut {strip_mm} mm, {n} times", {"strip_mm": 153.94, "n": 2})
    'cut 153.9 mm, 2 times'
    """
    names = [name for _, name, _, _ in string.Formatter().parse(text) if name]
    missing = [name for name in names if name not in figures]
    if missing:
        raise TemplateError(f"step {text[:40]!r} asks for {', '.join(missing)}, which is not given")
    angles = set(re.findall(r"{(\w+)}°", text))
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
    if not step.when:
        return True
    if step.when.startswith("not "):
        return not figures.get(step.when[4:])
    return bool(figures.get(step.when))


def unknown_setting(key: str, known: Iterable[str]) -> SettingError:
    """Return the refusal for a `--set` name, alone or after `structure.`, that nothing declares."""
    close = nearest(key.rpartition(".")[2], known)
    hint = f"; nearest: {', '.join(close)}" if close else ""
    return SettingError(
        f"--set {key}: no drafted structure has this setting{hint}; "
        "`mendfold structures NAME` lists them"
    )
