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


def named(tree: ast.Module) -> Iterator[str]:
    """Yield the public classes and type aliases that a module defines: names such as `Word`."""
    for node in tree.body:
        if isinstance(node, ast.ClassDef):
            names = [node.name]
        elif isinstance(node, ast.Assign):
            names = [one.id for one in node.targets if isinstance(one, ast.Name)]
        else:
            continue
        yield from (name for name in names if re.fullmatch(r"[A-Z]\w*[a-z]\w*", name))


def from_outside(tree: ast.Module) -> Iterator[str]:
    """Yield the names that a module takes from other packages, as it calls them."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] != "patterns":
            yield from (one.asname or one.name for one in node.names)


def test_no_two_modules_give_a_name_two_meanings() -> None:
    """Whoever reads the name of a class or a type knows which thing is meant, wherever it stands."""
    found: defaultdict[str, list[str]] = defaultdict(list)
    foreign: defaultdict[str, set[str]] = defaultdict(set)
    for module, path in modules():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for name in named(tree):
            found[name].append(module)
        for name in from_outside(tree):
            foreign[name].add(module)
    twice = {name: where for name, where in found.items() if len(where) > 1}
    assert set(twice) >= CONTRACT
    wrong = [f"{name}: {', '.join(where)}" for name, where in twice.items() if name not in CONTRACT]
    assert not wrong, "\n".join(wrong)
    borrowed = [
        f"{name} is {found[name][0]}'s and something else in {', '.join(sorted(foreign[name]))}"
        for name in found.keys() & foreign.keys()
    ]
    assert not borrowed, "\n".join(borrowed)


TYPED = re.compile(rf"--[a-z]|mendfold ({'|'.join(cli.list_commands(Context(cli)))})|pip install")
"""An option, a command with its name, or what mends the installation."""
TOLD_ON_PAPER = {
    "examine.choosing",
    "examine.page",
    "report.treatment",
    "sheets.calibration",
    "sheets.overview",
}
"""Pages and forms that tell whoever holds them what to type; a way to go on bears its own command."""


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
