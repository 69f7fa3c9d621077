"""What the book says and what would hold, and the settings of what was chosen: values for templates."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from patterns.bench import form
from patterns.bench.desk import OpenBook
from patterns.bench.figures import Figures
from patterns.bench.wish import NotDrawn
from patterns.examine.finding import NOTHING, Choice, Examination, Finding
from patterns.record.fields import BY_NAME
from patterns.stock import cautions, materials
from patterns.stock.materials import Library
from patterns.structures import catalogue
from patterns.structures.parameter import Parameter
from patterns.structures.template import MaterialRole, Template

CALLS = {"stop": "stop", "measure": "measure again", "mend": "mend", "note": "bear in mind"}


def findings(said: Examination, desk: OpenBook, figures: Figures) -> form.FormValues:
    """Return what an examination says; what is chosen already is marked."""
    chosen = {frozenset(one.structure.split("+")) for one in said.choices}
    return {
        "stops": said.stops,
        "findings": [_finding(one, figures) for one in said.findings],
        "cautions": [cautions.text(key) for key in said.cautions],
        "choices": [_choice(one, said.findings, desk) for one in said.choices],
        "others": [
            {
                "name": one.name,
                "title": one.title,
                "purpose": one.purpose,
                "chosen": one.name in desk.structures,
            }
            for one in catalogue.templates().values()
        ],
        "from_elsewhere": bool(desk.structures) and frozenset(desk.structures) not in chosen,
    }


def _finding(one: Finding, figures: Figures) -> form.FormValues:
    figure, limit = (
        "" if part is None else f"{part:.3g} {one.unit}".rstrip() + figures.beside(part, one.unit)
        for part in (one.figure, one.limit)
    )
    return {
        "title": one.title,
        "call": CALLS[one.call],
        "stop": one.call == "stop",
        "words": one.words,
        "figure": f"{figure}, limit {limit}" if figure and limit else figure,
        "source": one.limit_source,
        "sureness": one.sureness,
        "doubted": " ".join(one.fields) if one.call == "measure" else "",
        "fields": list(_links(one.fields)),
    }


def _links(names: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Yield fields that can be gone to, each with its words."""
    for name in names:
        if name in BY_NAME:
            field = BY_NAME[name]
            yield name, f"{form.title(field.table)}: {form.label(field)}"


def _choice(one: Choice, found: Sequence[Finding], desk: OpenBook) -> form.FormValues:
    titles = {finding.key: finding.title for finding in found}
    names = one.structure.split("+")
    return {
        "structure": "" if one.structure == NOTHING else one.structure,
        "title": one.title,
        "because": [titles[key] for key in one.because if key in titles],
        "pros": one.pros,
        "cons": one.cons,
        "leaves": one.leaves,
        "settings": "\n".join(one.settings),
        "set": [said.partition("=") for said in one.settings],
        "missing": [list(_links(need.split(" or "))) or [("", need)] for need in one.missing],
        "chosen": set(names) == set(desk.structures),
    }


def waiting(problems: Mapping[str, object]) -> list[tuple[str, str]]:
    """Return the fields that cannot stand as they are, each with what it is called."""
    return [(name, _called(name)) for name in problems if name]


def not_drawn(answer: NotDrawn, file: str) -> form.FormValues:
    """Return why nothing can be drawn: what is still to be measured, and whatever else stands against it."""
    missing = [one for one in answer.problems if one.kind == "missing"]
    others = [f"{_called(one.field)} {one.words}" for one in answer.problems if one not in missing]
    return {
        "missing": [[(name, _called(name)) for name in one.field.split("|")] for one in missing],
        "others": others if answer.problems else [answer.words.removeprefix(f"{file}: ")],
    }


def _called(name: str) -> str:
    """Return what a field or setting is called.

    >>> _called("spine.girth_head")
    'spine: girth head'
    """
    table, _, key = name.rpartition(".")
    return f"{form.title(table)}: {key.replace('_', ' ')}" if table else name


def came(settings: Mapping[str, str], figures: Figures) -> dict[str, str]:
    """Return what every setting came to, lengths as they are read."""
    return {name: f"{said}{_beside(name, said, figures)}" for name, said in settings.items()}


def _beside(name: str, said: str, figures: Figures) -> str:
    structure, _, key = name.partition(".")
    row = catalogue.find(structure).parameters.get(key)
    try:
        return figures.beside(float(said), row.unit if row else "")
    except ValueError:
        return ""


def settings(desk: OpenBook, figures: Figures) -> list[form.FormValues]:
    """Return every setting and material of what was chosen."""
    stock = materials.load()
    chosen = [one for name, one in catalogue.templates().items() if name in desk.structures]
    return [_of(one, desk, stock, figures) for one in chosen]


def _of(one: Template, desk: OpenBook, stock: Library, figures: Figures) -> form.FormValues:
    rows = [
        *(_parameter(one.name, row, desk, figures) for row in one.parameters.values()),
        *(_material(one.name, row, desk, stock) for row in one.materials.values()),
    ]
    return {"name": one.name, "title": one.title, "purpose": one.purpose, "rows": rows}


def _parameter(structure: str, row: Parameter, desk: OpenBook, figures: Figures) -> form.FormValues:
    name = f"{structure}.{row.name}"
    limits = (
        figures.span(row.minimum, row.maximum, row.unit)
        if row.minimum is not None and row.maximum is not None
        else ""
    )
    default = f"worked out: {row.computed}" if row.default is None else _said(row.default)
    options = ("yes", "no") if row.kind == "flag" else row.choices
    return _row(
        name,
        row.title,
        row.unit,
        limits,
        default,
        f"{row.source} ({row.confidence})",
        options,
        desk,
    ) | {"outline": row.kind == "outline"}


def _material(structure: str, row: MaterialRole, desk: OpenBook, stock: Library) -> form.FormValues:
    options = [one.name for one in stock.materials if one.kind in row.kinds]
    default = f"nearest to {row.fits} that does not exceed it" if row.fits else row.default
    name = f"{structure}.{row.role}"
    return _row(name, row.role, "", "", default, row.purpose, options, desk) | {"outline": False}


def _row(
    name: str,
    title: str,
    unit: str,
    limits: str,
    default: str,
    source: str,
    options: Sequence[str],
    desk: OpenBook,
) -> form.FormValues:
    return {
        "name": name,
        "id": f"set-{name.replace('.', '-')}",
        "title": title,
        "unit": unit,
        "range": limits,
        "default": default,
        "source": source,
        "options": list(options),
        "words": desk.settings.get(name, ""),
    }


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ", ".join(map(str, value)) or "none"
    return f"{value:g}" if isinstance(value, float) else str(value)[:120] or "none"
