"""A doubt about a measurement: two figures of the record that say the same and do not agree."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from patterns.examine.facts import Facts
from patterns.examine.finding import Finding
from patterns.record.record import SideTable

SHARE = 0.10
"""Measured against computed (mendfold's own threshold)."""
SIDES: tuple[Literal["front", "back"], ...] = ("front", "back")


def doubt(
    key: str,
    title: str,
    words: str,
    fields: tuple[str, ...],
    figure: float,
    limit: float,
    unit: str = "mm",
    source: str = "mendfold's own threshold: measured against computed",
) -> Finding:
    """Return a finding that asks for the fields to be measured again."""
    return Finding(
        key=key,
        topic="measurements",
        call="measure",
        title=title,
        words=f"{words} Measure again: one of them may be misread or its digits exchanged; what proves right "
        "is named in the record, under measuring.checked.",
        fields=fields,
        figure=figure,
        unit=unit,
        limit=limit,
        limit_source=source,
        status="own",
        sureness="worked out from the record",
    )


def sides(facts: Facts) -> Iterator[tuple[Literal["front", "back"], SideTable]]:
    """Yield both sides, or one when nothing tells them apart."""
    cover = facts.record.cover
    for side in SIDES if cover.front != cover.back else SIDES[:1]:
        yield side, cover.side(side)


def named(facts: Facts, side: Literal["front", "back"], *keys: str) -> tuple[str, ...]:
    """Name each field where the record gives it: for this side alone, or for both."""
    own = facts.record.cover.front if side == "front" else facts.record.cover.back
    return tuple(
        f"cover.{key}" if getattr(own, key) is None else f"cover.{side}.{key}" for key in keys
    )
