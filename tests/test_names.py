"""One meaning for each name: a class is found by its name alone."""

from __future__ import annotations

import ast
from collections import defaultdict

from tests.test_floors import modules

CONTRACT = {"Figures", "Params"}
"""Every structure declares its own under these names: drafting asks it for them."""


def test_no_two_modules_define_a_class_of_one_name() -> None:
    """Whoever reads a class's name knows which thing is meant, wherever it stands."""
    found: defaultdict[str, list[str]] = defaultdict(list)
    for module, path in modules():
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(module)
    twice = {name: where for name, where in found.items() if len(where) > 1}
    assert set(twice) >= CONTRACT
    wrong = [f"{name}: {', '.join(where)}" for name, where in twice.items() if name not in CONTRACT]
    assert not wrong, "\n".join(wrong)
