"""`mendfold structures`: the family, or one structure with all its settings."""

from __future__ import annotations

import json
from typing import Any

import click

from patterns.structures import catalogue
from patterns.structures.parameter import Parameter
from patterns.structures.template import MaterialRole, Template


@click.command()
@click.argument("name", required=False)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON document.")
def structures(name: str | None, as_json: bool) -> None:
    """List the repair structures, or one with its settings, units, ranges and sources."""
    chosen = [catalogue.find(name)] if name else list(catalogue.templates().values())
    if as_json:
        click.echo(json.dumps([_plain(one) for one in chosen], ensure_ascii=False, indent=1))
    elif name:
        _show(chosen[0])
    else:
        wide = max(len(one.name) for one in chosen)
        for one in chosen:
            click.echo(f"{one.name:{wide}}  {one.purpose}")


def _show(one: Template) -> None:
    click.echo(f"{one.title}\n{one.purpose}\n\nneeds: {', '.join(one.needs)}\n")
    for row in one.parameters.values():
        click.echo(f"  {row.name}  {row.title}\n      {_default(row)}; {_range(row)}")
        click.echo(f"      {row.source} ({row.confidence})")
    for role, material in one.materials.items():
        click.echo(
            f"  {role}  {material.purpose}\n      default: {_stock(material)} ({' or '.join(material.kinds)})"
        )


def _stock(role: MaterialRole) -> str:
    if not role.fits:
        return role.default
    return f"the stock nearest below {role.fits}; without it {role.default}"


def _default(row: Parameter) -> str:
    unit = f" {row.unit}" if row.unit else ""
    return (
        f"default: {row.computed}"
        if row.default is None
        else f"default: {_word(row.default)}{unit}"
    )


def _word(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value) or "none"


def _range(row: Parameter) -> str:
    if row.choices:
        return "one of " + ", ".join(row.choices)
    if row.minimum is None or row.maximum is None:
        return {"flag": "yes or no", "wholes": "a list such as 1,2,5-20"}.get(row.kind, row.kind)
    return f"{row.minimum:g} to {row.maximum:g} {row.unit}".rstrip()


def _plain(one: Template) -> dict[str, Any]:
    return {
        "name": one.name,
        "title": one.title,
        "purpose": one.purpose,
        "order": one.order,
        "needs": list(one.needs),
        "parameters": [
            {
                "name": row.name,
                "title": row.title,
                "kind": row.kind,
                "unit": row.unit,
                "default": row.default,
                "computed": row.computed,
                "range": [row.minimum, row.maximum],
                "choices": list(row.choices),
                "source": row.source,
                "confidence": row.confidence,
            }
            for row in one.parameters.values()
        ],
        "materials": [
            {"role": r.role, "kind": r.kind, "default": r.default, "purpose": r.purpose}
            for r in one.materials.values()
        ],
        "not_with": dict(one.conflicts),
    }
