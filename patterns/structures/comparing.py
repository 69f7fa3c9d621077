"""A template held against its module and its neighbours: every difference is named, none is passed over.

The module gives each parameter its type in a dataclass without defaults, and the figures of its
steps in another; the template gives the rest.
"""

from __future__ import annotations

import dataclasses
import typing
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING, Any

from patterns.errors import TemplateError, nearest
from patterns.stock import cautions
from patterns.structures import steps
from patterns.structures.parameter import Parameter
from patterns.structures.steps import StepTemplate
from patterns.structures.template import Template

if TYPE_CHECKING:
    from patterns.model.part import Part

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


def names(template: Template, typed_by: type) -> None:
    """Raise a TemplateError naming every parameter that the TOML or the module alone has.

    Cheap enough for whoever only asks: `params` compares the types as well.
    """
    if faults := _alone(template, typed_by):
        raise TemplateError(f"{template.name}: {'; '.join(faults)}")


def params(template: Template, typed_by: type) -> None:
    """Raise a TemplateError naming every parameter that TOML and module declare differently.

    The module types each parameter and gives no default; the TOML gives the rest.
    """
    typed = typing.get_type_hints(typed_by)
    told = template.parameters
    faults = _alone(template, typed_by)
    faults += [
        f"{name} has a default in the module, which the TOML alone gives"
        for name, field in ((one.name, one) for one in dataclasses.fields(typed_by))
        if field.default is not dataclasses.MISSING
    ]
    faults += [
        f"{name} is typed {_named(typed[name])} in the module and is {_named(asked)} in the TOML"
        for name, asked in ((one.name, _type(one)) for one in told.values())
        if name in typed and typed[name] != asked
    ]
    if faults:
        raise TemplateError(f"{template.name}: {'; '.join(faults)}")


def words(template: Template, figures: type[Any] | None, structures: Iterable[str]) -> None:
    """Raise a TemplateError naming whatever the template's words ask for and nobody gives.

    A step is filled in with the structure's own figures, its parameters and its materials; `when`
    may also be `with_NAME`, another structure. A way to undo may name `off_PLACE`, how what is set
    on a part of the book comes off, and `unheated`.
    """
    own = set(steps.figures_of(figures))
    given = own | {*template.parameters, *template.materials, steps.BOND}
    beside = {f"with_{name}" for name in structures if name != template.name}
    told = [one for step in template.steps for one in step.tellings]
    texts = {name for one in told for name in steps.named(one.text)}
    flags = {flag for step in template.steps for flag, _ in step.when}
    filled = "which is no figure, parameter or material"
    faults = [f"a step names {{{name}}}, {filled}" for name in sorted(texts - given)]
    faults += [f"a step is told when {name}, {filled}" for name in sorted(flags - given - beside)]
    faults += [f"no step names {name} of the module" for name in sorted(own - texts - flags)]
    faults += [
        f"a way to undo names {{{name}}}, where only {steps.OFF} and a part of the book, or {steps.UNHEATED}, is filled in"
        for line in template.undo
        for name in steps.named(line)
        if name not in {steps.UNHEATED, *(f"{steps.OFF}{place}" for place in steps.PLACES)}
    ]
    if faults:
        raise TemplateError(f"{template.name}: {'; '.join(faults)}")
    for one in told:
        for key in one.cautions:
            try:
                cautions.text(key)
            except TemplateError as error:
                raise TemplateError(f"{template.name}: {error}") from None


def others(template: Template, structures: Collection[str]) -> None:
    """Raise a TemplateError for another structure that it names and that there is not."""
    known = set(structures) - {template.name}
    told = [
        *(("conflicts", name) for name in template.conflicts),
        *(("shared", row.other) for row in template.shared),
        *(("together", row.other) for row in template.together),
    ]
    for where, name in told:
        if name not in known:
            close = ", ".join(nearest(name, known)) or ", ".join(sorted(known))
            raise TemplateError(
                f"{template.name}: {where} with {name!r}, which is no other structure; nearest: {close}"
            )


def pictures(template: Template, drawn: Iterable[str]) -> None:
    """Raise a TemplateError naming every picture that steps name and the module does not draw, or reversed."""
    wanted, given = {step.picture for step in template.steps if step.picture}, set(drawn)
    faults = [
        f"a step shows {name}, which PICTURES does not draw" for name in sorted(wanted - given)
    ]
    faults += [f"no step shows {name} of PICTURES" for name in sorted(given - wanted)]
    if faults:
        raise TemplateError(f"{template.name}: {'; '.join(faults)}")


def seen(part: Part, step: StepTemplate) -> tuple[str, ...]:
    """Return the names of the pieces and drawings that a step is done by; it names how they begin.

    Alternatives are joined by "|", each enough by itself. TemplateError where the structure has none of that name.
    """
    names = part.drawn
    found = [
        [name for name in names if any(_begins(name, one) for one in sought.split("|"))]
        for sought in step.sees
    ]
    for sought, those in zip(step.sees, found, strict=True):
        if not those:
            raise TemplateError(
                f"{part.structure}: a step sees {sought!r}, which is no piece and no drawing; "
                f"there are: {', '.join(names)}"
            )
    return tuple(name for those in found for name in those)


def _begins(name: str, sought: str) -> bool:
    """Tell whether a name is the one sought, or that with a number, a letter or a side behind it.

    >>> _begins("strip, front", "strip"), _begins("stripes", "strip")
    (True, False)
    """
    return name == sought or name.startswith((f"{sought}, ", f"{sought} "))


def _alone(template: Template, typed_by: type) -> list[str]:
    told, typed = template.parameters, [one.name for one in dataclasses.fields(typed_by)]
    faults = [f"{name} only in the TOML" for name in told if name not in typed]
    return faults + [f"{name} only in the module" for name in typed if name not in told]


def _type(one: Parameter) -> Any:
    """Return the type of a parameter's values; None is among them where it may be worked out."""
    plain = typing.Literal[one.choices] if one.kind == "choice" else TYPES[one.kind]
    return plain if one.default is not None else plain | None


def _named(kind: Any) -> str:
    return kind.__name__ if isinstance(kind, type) else str(kind).replace("typing.", "")
