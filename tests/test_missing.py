"""A measurement that is missing is never taken for a number where it is used.

A missing figure is a default with its source (`answer.recorded`), a refusal (`answer.certain`) or left
out: `or 0.0` hides which. Two shapes are looked for: `x or 0.0`, and `x if x is not None else 0.0`,
where x is a field of the record; a zero is refused after anything at all.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import patterns
from patterns.record.fields import FIELDS

PACKAGE = Path(patterns.__file__).parent
MEASURED = {
    one.key for one in FIELDS if one.unit or one.kind == "count"
} | {"spine", "shape", "mass"}  # fmt: skip
NOT_MEASUREMENTS = {
    "units.py": "figures of a number written as text",
    "traced/outline_svg.py": "attributes of an SVG file",
    "formulas/slots.py": "no depth fits at all",
    "gallery/portrait.py": "a kept piece without an outline",
    "sewing/spread.py": "a distance in the search's own unit, none met so far",
}
"""Where a zero stands for something that is no measurement of a book."""


def stand_ins(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Yield line and text of every number that stands in for a value that may be missing."""
    for node in ast.walk(tree):
        if isinstance(node, ast.BoolOp) and isinstance(node.op, ast.Or):
            *given, last = node.values
        elif isinstance(node, ast.IfExp) and "None" in ast.unparse(node.test):
            given, last = [node.body], node.orelse
        else:
            continue
        if _number(last) is None:
            continue
        if _number(last) == 0 or any(map(_measured, given)):
            yield node.lineno, ast.unparse(node)


def _number(node: ast.AST) -> float | None:
    """Return the number that stands here, also as the items of a tuple."""
    if isinstance(node, ast.Tuple) and node.elts:
        return _number(node.elts[0])
    value = node.value if isinstance(node, ast.Constant) else None
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None


def _measured(node: ast.AST) -> bool:
    return any(isinstance(part, ast.Attribute) and part.attr in MEASURED for part in ast.walk(node))


def test_no_number_stands_in_for_a_missing_measurement() -> None:
    """Every missing figure of a book is a default with a source, a refusal, or left out."""
    found = [
        f"{path.relative_to(PACKAGE)}:{line}: {text}"
        for path in sorted(PACKAGE.rglob("*.py"))
        if str(path.relative_to(PACKAGE)) not in NOT_MEASUREMENTS
        for line, text in stand_ins(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    "text",
    [
        "gap = side.joint_gap or 0.0",
        "angle = record.spine.shoulder_angle or 90.0",
        "gap = side.joint_gap if side.joint_gap is not None else 0.0",
        "known = sewing.kettles or sewing.stations or (0.0,)",
        "mm = figure or 0",
        "each = total / (block.leaves or 1)",
    ],
)
def test_a_stand_in_is_seen(text: str) -> None:
    """The test above finds what it looks for."""
    assert list(stand_ins(ast.parse(text)))
