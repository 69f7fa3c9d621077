"""Invented books for the examination: one sound octavo, and the ways to change it."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from patterns.examine.examination import examine
from patterns.examine.finding import Examination, Finding
from patterns.record import reading, record
from patterns.record.record import Record, UnionTable
from patterns.stock import materials
from patterns.structures.template import Template

LIBRARY = materials.built_in()
DEMO = Path(record.__file__).parent.parent / "demo"
BOOKS = [path for path in sorted(DEMO.glob("*.toml")) if "[book]" in path.read_text("utf-8")]
"""The records of the demonstration books."""

SOUND = reading.parse(
    """
[book]
id = "sound"
title = "A sound octavo"
format = "octavo"
weight = 0.70
[text_block]
height = 200
width = 130
thickness = 30
thickness_fore_edge = 30.5
leaves = 240
gatherings = 30
leaves_per_gathering = 8
leaf_thickness = 0.125
grammage = 92
grain = "head-tail"
[spine]
profile = "rounded"
round_depth = 6
over_shoulders = 35
shoulder = 2.5
girth_head = 37.6
girth_tail = 37.8
[cover]
kind = "in-boards"
board_height = 206
board_width = 132
board_thickness = 2.5
board_weight = 0.058
joint = "tight"
joint_gap = 1
square_head = 3
square_tail = 3
square_fore_edge = 3
thickness = 0.8
spine_width = 40.5
[sewing]
supports = "tapes"
kettles = [12, 188]
supports_at = [50, 100, 150]
support_width = 10
[[union]]
between = ["text block", "boards"]
moves = true
made = "sewn"
state = "sound"
""",
    "sound.toml",
)


def changed(base: Record, changes: Mapping[str, Any]) -> Record:
    """Return a record with dotted fields changed, unread: what a slip of the pen would leave."""
    for name, value in changes.items():
        table, _, key = name.rpartition(".")
        if not table:
            base = dataclasses.replace(base, **{key: value})
        elif "." in table:
            outer, _, inner = table.partition(".")
            part = dataclasses.replace(base.get(table), **{key: value})
            base = dataclasses.replace(
                base, **{outer: dataclasses.replace(base.get(outer), **{inner: part})}
            )
        else:
            base = dataclasses.replace(
                base, **{table: dataclasses.replace(base.get(table), **{key: value})}
            )
    return base


def joint(
    made: str, state: str, *between: str, moves: bool | None = True
) -> tuple[UnionTable, ...]:
    """Return one union as the only one of a book."""
    names = (between or ("text block", "boards"))[:2]
    return (UnionTable((names[0], names[1]), moves, made, state),)


def examined(
    changes: Mapping[str, Any], templates: Mapping[str, Template] | None = None
) -> Examination:
    """Examine the sound octavo with some fields changed."""
    return examine(changed(SOUND, changes), LIBRARY, templates, "book.toml")


def keys(examination: Examination) -> set[str]:
    """Return the keys of all findings."""
    return {finding.key for finding in examination.findings}


def the(examination: Examination, key: str) -> Finding:
    """Return the first finding of that key."""
    return next(finding for finding in examination.findings if finding.key == key)
