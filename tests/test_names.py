"""One meaning for each name, and nothing to type in the words of the core."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator

from click import Context

from patterns.cli import cli
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


TYPED = re.compile(rf"--[a-z]|mendfold ({'|'.join(cli.list_commands(Context(cli)))})|pip install")
"""An option, a command with its name, or what mends the installation."""
TOLD_ON_PAPER = {"examine.page", "report.treatment", "sheets.calibration", "sheets.overview"}
"""Pages and forms that tell whoever holds them what to type."""


def words_of(node: ast.AST) -> Iterator[str]:
    """Yield every text in a module but its docstrings."""
    for child in ast.iter_child_nodes(node):
        told = isinstance(child, ast.Expr) and isinstance(child.value, ast.Constant)
        if isinstance(child, ast.Constant) and isinstance(child.value, str):
            yield child.value
        elif not told:
            yield from words_of(child)


def test_what_to_type_is_said_by_the_commands_alone() -> None:
    """A page and a survey show a refusal as well, and there is no terminal beside them."""
    found = {
        module: [
            text for text in words_of(ast.parse(path.read_text("utf-8"))) if TYPED.search(text)
        ]
        for module, path in modules()
        if module.split(".")[0] not in ("commands", "cli")
    }
    told = {module: texts for module, texts in found.items() if texts}
    assert set(told) == TOLD_ON_PAPER, {m: t for m, t in told.items() if m not in TOLD_ON_PAPER}
