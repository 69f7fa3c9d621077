"""Which tests run a line: from their coverage, and for what runs on import from who uses the name.

What a test has worked out in another process is not seen; a line that no test is seen to run
counts as untouched.
"""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from coverage import CoverageData

from tests.mutation.operators import Fault

Span = tuple[str, int, int]
"""Lines of a file, first and last."""


@dataclass(frozen=True)
class Ran:
    """What the tests ran when nothing was wrong."""

    seconds: Mapping[str, float]
    """Tests by name, with the processor's time of each."""
    uses: Mapping[str, Iterable[str]]
    """Contexts by context: what a test rests on that was worked out once for several."""
    data: CoverageData
    _lines: dict[str, dict[int, list[str]]] = field(default_factory=dict)

    @cached_property
    def _behind(self) -> dict[str, set[str]]:
        """Every context with the tests that rest on it."""
        found: dict[str, set[str]] = {}
        for test in self.seconds:
            todo, known = [test], {test}
            while todo:
                for other in self.uses.get(todo.pop(), ()):
                    if other not in known:
                        known.add(other)
                        todo.append(other)
            for one in known:
                found.setdefault(one, set()).add(test)
        return found

    def tests(self, span: Span) -> set[str]:
        """Return the tests that run any line of a span."""
        file, first, last = span
        if file not in self._lines:
            self._lines[file] = self.data.contexts_by_lineno(file)
        contexts = {c for n in range(first, last + 1) for c in self._lines[file].get(n, ())}
        return {test for context in contexts for test in self._behind.get(context, ())}


@dataclass
class Program:
    """The program's modules as trees, by file."""

    trees: dict[str, ast.Module]
    _known: dict[tuple[str, str], tuple[Span, ...]] = field(default_factory=dict)

    def touching(self, fault: Fault, ran: Ran) -> set[str]:
        """Return the tests that could notice a fault; none when no test comes near it."""
        tree = self.trees[fault.file]
        around = list(_around(tree, fault.line, fault.last_line))
        functions = [one for one in around if _in_body(one, fault.line)]
        if not functions:
            return self._users(fault.file, _bound(around), ran)
        header = _header(around[-1])
        for first, last in ((fault.line, fault.last_line), header):
            if found := ran.tests((fault.file, first, last)):
                return found
        return set()

    def _users(self, file: str, names: Iterable[str], ran: Ran) -> set[str]:
        """Return the tests of all functions that use what a module sets up on import."""
        spans = [span for name in names for span in self._uses(file, name)]
        found = {test for span in spans for test in ran.tests(span)}
        if found:
            return found
        return {
            test for span in _bodies(file, self.trees[file].body) for test in ran.tests(span[1])
        }

    def _uses(self, file: str, name: str) -> tuple[Span, ...]:
        """Return the functions that mention a module's name, here or where the module is imported."""
        if (file, name) not in self._known:
            self._known[file, name] = ()
            found: list[Span] = []
            for other in (file, *(f for f, tree in self.trees.items() if _imports(tree, file))):
                body = self.trees[other].body
                bodies = list(_bodies(other, body))
                found += [span for node, span in bodies if _mentions(node, name)]
                for one in body:
                    if _mentions(one, name) and not isinstance(one, ast.FunctionDef):
                        for bound in set(_bound([one])) - {name}:
                            found += self._uses(other, bound)
            self._known[file, name] = tuple(dict.fromkeys(found))
        return self._known[file, name]


def _around(node: ast.AST, first: int, last: int) -> Iterator[ast.stmt]:
    """Yield the statements around some lines, the outermost first."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.expr):
            continue
        if isinstance(child, ast.stmt):
            start = min([child.lineno, *(d.lineno for d in getattr(child, "decorator_list", ()))])
            if not start <= first <= last <= (child.end_lineno or child.lineno):
                continue
            yield child
        yield from _around(child, first, last)


def _in_body(one: ast.stmt, line: int) -> bool:
    return isinstance(one, ast.FunctionDef) and line >= one.body[0].lineno


def _header(one: ast.stmt) -> tuple[int, int]:
    """Return a statement's lines without those of the statements in it."""
    inner = [child.lineno for child in ast.walk(one) if isinstance(child, ast.stmt)][1:]
    return one.lineno, max(one.lineno, min(inner) - 1) if inner else one.end_lineno or one.lineno


def _bound(statements: Iterable[ast.stmt]) -> list[str]:
    """Return the names that statements of a module or class give: constants, classes, functions."""
    found: list[str] = []
    for one in statements:
        if isinstance(one, ast.FunctionDef | ast.ClassDef):
            found.append(one.name)
        elif isinstance(one, ast.Assign | ast.AnnAssign | ast.AugAssign):
            targets = one.targets if isinstance(one, ast.Assign) else [one.target]
            found += [n.id for t in targets for n in ast.walk(t) if isinstance(n, ast.Name)]
    return found


def _bodies(file: str, body: Iterable[ast.stmt]) -> Iterator[tuple[ast.stmt, Span]]:
    """Yield every function and method with the lines of its body."""
    for one in body:
        if isinstance(one, ast.FunctionDef):
            yield one, (file, one.body[0].lineno, one.end_lineno or one.lineno)
        elif isinstance(one, ast.ClassDef):
            yield from _bodies(file, one.body)


def _mentions(node: ast.AST, name: str) -> bool:
    return any(
        (isinstance(one, ast.Name) and one.id == name)
        or (isinstance(one, ast.Attribute) and one.attr == name)
        for one in ast.walk(node)
    )


def _imports(tree: ast.Module, file: str) -> bool:
    module = file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            if node.module == module:
                return True
            if any(f"{node.module}.{alias.name}" == module for alias in node.names):
                return True
        elif isinstance(node, ast.Import) and any(alias.name == module for alias in node.names):
            return True
    return False
