"""From a record and structure names to one pattern: settings, stacking order, steps, files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import patterns
from patterns import units
from patterns.book.book import Book
from patterns.book.spine import Spine
from patterns.drafting import closing, combining, hazards
from patterns.drafting.closing import Closing
from patterns.errors import MendfoldError, Problem, SettingError
from patterns.model.part import Part, Step
from patterns.model.pattern import Pattern
from patterns.record.needs import require
from patterns.record.record import Record
from patterns.stock import cautions, materials
from patterns.stock.materials import Figure, Library, Material
from patterns.structures import catalogue, template
from patterns.structures.steps import PHASES, fill, wanted
from patterns.structures.template import Template
from patterns.units import tenth

SHAPE_KEYS = ("spine.girth_head", "spine.girth_tail", "spine.round_depth")

COMMON_STEPS = (
    Step("record", "Photograph the book as it is, inside and out, and complete the record."),
    Step(
        "record",
        "Spot-test every liquid on every ink, dye, leather and gilding it may reach.",
        ("solvents_on_object",),
    ),
    Step("record", "Measure twice; the sheets repeat what was measured."),
    Step(
        "prepare",
        "Print at 100 % and check both 100 mm bars on every cutting page (99.7 to 100.3).",
    ),
    Step(
        "prepare",
        "Cut nothing before its own step. Lay the paper piece on the book before cutting; "
        "cut one, dry-fit it, then cut the rest.",
        ("knife",),
    ),
    Step(
        "finish",
        "Keep every removed part in a labelled envelope with the book; note the as-cut sizes.",
    ),
)


@dataclass(frozen=True, slots=True)
class Order:
    """What is asked for: a record, structures, settings as `{"name" or "structure.name": text}`."""

    record: Record
    structures: tuple[str, ...]
    settings: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Drafted:
    """A pattern with the parameters and materials each structure was drafted with."""

    pattern: Pattern
    parameters: Mapping[str, Mapping[str, object]]
    materials: Mapping[str, Mapping[str, Material]]


def draft(order: Order, library: Library) -> Drafted:
    """Work out every structure of an order in working order; nothing is written.

    Raises RecordError for missing measurements, SettingError for settings, Unsuitable when a
    structure does not suit the book or two do not go together.
    """
    chosen = _in_order(order.structures)
    combining.refuse_conflicts(chosen)
    require(order.record, _needs(chosen, order.record))
    values = _settings(chosen, order.settings, library)
    combining.refuse_disagreement(
        chosen, {name: {**one.parameters, **one.materials} for name, one in values.items()}
    )
    names = tuple(one.name for one in chosen)
    book = replace(Book.of(order.record, library), companions=names)
    shape = book.spine
    parts: dict[str, Part] = {}
    for one in chosen:
        book = replace(
            book,
            lies_on_mm=book.spine.linings_mm + sum(map(closing.added_mm, parts.values())),
            materials=values[one.name].materials,
            parts=dict(parts),
        )
        built = catalogue.structure(one.name)
        params = built.params(**values[one.name].parameters)
        part = combining.after_sewing(built.draft(book, params), tuple(parts.values()))
        steps = part.steps or _steps(one, part, values[one.name], names)
        parts[one.name] = replace(part, steps=steps)
        book = combining.block_after(book, part)
    hazards.refuse(book.condition, tuple(parts.values()))
    fits = closing.closing(book, parts)
    pattern = _pattern(order, chosen, shape, tuple(parts.values()), values, fits)
    return Drafted(
        pattern,
        {name: value.shown for name, value in values.items()},
        {name: value.materials for name, value in values.items()},
    )


def _in_order(names: Sequence[str]) -> tuple[Template, ...]:
    if not names:
        problem = Problem(
            "structure", "no structure named", "one or more", "name one", "no structure"
        )
        raise SettingError(problem.found, [problem])
    wanted = {name: catalogue.find(name) for name in names}
    return tuple(sorted(wanted.values(), key=lambda one: (one.order, one.name)))


def _needs(chosen: Sequence[Template], record: Record) -> list[str]:
    flat = record.spine.profile == "flat"
    needs = [need for one in chosen for need in one.needs]
    shape = "|".join(SHAPE_KEYS)
    return list(dict.fromkeys(need for need in needs if not (flat and need == shape)))


@dataclass(slots=True)
class _Values:
    parameters: dict[str, Any]
    materials: dict[str, Material]
    overrides: dict[str, float] = field(default_factory=dict)

    @property
    def shown(self) -> dict[str, object]:
        return {
            **self.parameters,
            **{role: material.name for role, material in self.materials.items()},
        }


def _settings(
    chosen: Sequence[Template], settings: Mapping[str, str], library: Library
) -> dict[str, _Values]:
    values = {
        one.name: _Values(
            {key: row.default for key, row in one.parameters.items()},
            {role: library.find(row.default, row.kind) for role, row in one.materials.items()},
        )
        for one in chosen
    }
    # materials before their overriding figures, bare names before a structure's own
    for key in sorted(settings, key=lambda key: ("_thickness" in key, "." in key)):
        _apply(key, settings[key], chosen, values, library)
    return values


def _apply(
    key: str,
    text: str,
    chosen: Sequence[Template],
    values: dict[str, _Values],
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
            values[one.name].materials[name] = library.find(text.strip(), one.materials[name].kind)
        elif role in one.materials and (
            figure_key := _figure_key(figure, one.materials[role].kind)
        ):
            held = values[one.name].materials[role]
            values[one.name].materials[role] = _with_figure(held, figure_key, text, key)
        else:
            continue
        taken = True
    if not taken:
        raise template.unknown_setting(key, _setting_names(chosen, owner))


def _figure_key(figure: str, kind: str) -> str | None:
    known = [key for key in (figure, f"{figure}_mm") if materials.belongs(key, kind)]
    return known[0] if known else None


def _with_figure(held: Material, figure: str, text: str, key: str) -> Material:
    length = figure.endswith("_mm")
    try:
        value = units.quantity(text, "mm", bare=True) if length else units.bare_number(text)
    except MendfoldError as error:
        found, wanted = f"{text!r} cannot be read", "a length in mm" if length else "a number"
        problem = Problem(key, found, wanted, f"{error}", "setting")
        raise SettingError(f"{key}: {error}", [problem]) from None
    if outside := materials.out_of_range(figure, value):
        problem = replace(outside, field=key, kind="setting")
        raise SettingError(f"{key} {outside.found}; allowed: {outside.allowed}", [problem])
    return held.with_figure(figure, Figure(value, "set for this draft", "own"))


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


def _steps(one: Template, part: Part, values: _Values, names: Sequence[str]) -> tuple[Step, ...]:
    """Fill in a structure's steps; `with_NAME` holds where that structure is drafted as well."""
    figures: dict[str, object] = {**values.parameters, **part.quantities}
    figures |= {f"with_{name}": True for name in names if name != one.name}
    figures |= {role: material.name for role, material in values.materials.items()}
    angles = [name for name, row in one.parameters.items() if row.kind == "angle"]
    return tuple(
        Step(step.phase, fill(step.text, figures, angles), step.cautions, one.name, step.traits)
        for step in one.steps
        if wanted(step, figures)
    )


def merge_steps(parts: Sequence[Part]) -> tuple[Step, ...]:
    """Return the steps of all parts in working order, each caution in full words beside its step."""
    first, last = (
        [step for step in COMMON_STEPS if (step.phase == "finish") == late]
        for late in (False, True)
    )
    every = [*first, *(step for part in parts for step in part.steps), *last]
    ordered = sorted(every, key=lambda step: PHASES.index(step.phase))
    return tuple(
        replace(step, cautions=tuple(cautions.text(key) for key in step.cautions))
        for step in ordered
    )


def _pattern(
    order: Order,
    chosen: Sequence[Template],
    shape: Spine,
    parts: tuple[Part, ...],
    values: Mapping[str, _Values],
    fits: Closing | None,
) -> Pattern:
    record = order.record
    warnings = [*shape.warnings, *(_named(part, text) for part in parts for text in part.warnings)]
    if fits and not fits.closes:
        warnings.append(fits.sentence())
    warnings += _memory_warnings(chosen, values)
    steps = merge_steps(parts)
    return Pattern(
        book_id=record.book.id or "book",
        book_title=record.book.title or "",
        structures=tuple(one.name for one in chosen),
        record_date=str(record.measuring.on or ""),
        version=patterns.__version__,
        parts=parts,
        steps=steps,
        stops=tuple(hazards.boxes(record.condition, steps)),
        warnings=tuple(dict.fromkeys(warnings)),
        measurements=_measurements(record, shape),
        materials=combining.material_list(
            parts, {name: one.materials for name, one in values.items()}
        ),
        tools=tuple(dict.fromkeys(tool for one in chosen for tool in one.tools)),
        undo=tuple(f"{one.title}: {line}" for one in chosen for line in one.undo),
        front_on_right=record.book.reading != "right-to-left",
        closing=fits.sentence() if fits else "",
        figures=fits.figures() if fits else {},
    )


def _named(part: Part, text: str) -> str:
    """Return a warning that opens with its structure's title, as the sheets name it."""
    start = f"{part.structure}: "
    return f"{part.title}: {text.removeprefix(start)}" if text.startswith(start) else text


def _memory_warnings(chosen: Sequence[Template], values: Mapping[str, _Values]) -> list[str]:
    lines: list[str] = []
    for one in chosen:
        for role, row in one.materials.items():
            lines.extend(values[one.name].materials[role].doubts(*row.governing))
    return lines


def _measurements(record: Record, shape: Spine) -> tuple[tuple[str, str], ...]:
    rows = [
        ("text block height", f"{tenth(shape.height_mm)} mm"),
        ("chord of the spine", f"{tenth(shape.chord_mm)} mm"),
        ("girth at head", f"{tenth(shape.girth_head_mm)} mm {shape.shape_words}"),
        ("girth at tail", f"{tenth(shape.girth_tail_mm)} mm"),
    ]
    if shape.linings_mm:
        rows.append(("linings left in place", f"{tenth(shape.linings_mm)} mm"))
    if record.book.weight is not None:
        rows.append(("weight of the book", f"{record.book.weight:g} kg"))
    return tuple(rows)
