"""Small faults of the kind that people make, as edits of a module's text.

Every fault replaces one expression; the rest of the module stays as it is, character for
character. Annotations, the settings of data classes and figures below 0.0001 (tolerances of
rounding) are left alone, and so are faults that cannot be told from the text they replace.
"""

from __future__ import annotations

import ast
import copy
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

SHARE = 1.05
TOLERANCE = 1e-4
SMALL = 20

OPPOSITES = {"head": "tail", "front": "back", "across": "down", "left": "right"}
OPPOSITES |= {there: here for here, there in OPPOSITES.items()}
CALLS = {"min": "max", "any": "all", "floor": "ceil"}
CALLS |= {there: here for here, there in CALLS.items()}
TURNED: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.Gt,
    ast.LtE: ast.GtE,
    ast.Eq: ast.NotEq,
    ast.In: ast.NotIn,
    ast.Is: ast.IsNot,
}
TURNED |= {there: here for here, there in TURNED.items()}
SETTINGS = {"frozen", "slots", "kw_only", "eq", "order", "strict", "parents", "exist_ok"}
ATOMS = (ast.Constant, ast.Name, ast.Attribute, ast.Call, ast.JoinedStr, ast.Subscript)

Variants = Iterator[tuple[str, ast.expr]]


@dataclass(frozen=True)
class Fault:
    """One edit: in `file`, characters `start` to `end` read `now` instead of `was`."""

    file: str
    line: int
    last_line: int
    kind: str
    was: str
    now: str
    start: int
    end: int
    text: str
    """The line it begins on, as it stands."""

    def applied(self, source: str) -> str:
        """Return the module's text with the fault in it."""
        return source[: self.start] + self.now + source[self.end :]


@dataclass(frozen=True)
class Names:
    """Every name of the program, by which a swapped one is known to exist."""

    used: frozenset[str]
    spoken: frozenset[str]
    """Words that stand in the program as texts of their own."""

    @classmethod
    def of(cls, sources: Iterable[str]) -> Names:
        """Collect the names of modules given as text."""
        used, spoken = set(), set()
        for source in sources:
            for node in ast.walk(ast.parse(source)):
                match node:
                    case ast.Name(id=name) | ast.Attribute(attr=name) | ast.arg(arg=name):
                        used.add(name)
                    case ast.FunctionDef(name=name):
                        used.add(name)
                    case ast.Constant(value=str(word)):
                        spoken.add(word)
        return cls(frozenset(used), frozenset(spoken | used))


def swapped(name: str) -> str | None:
    """Return a name with its first direction word replaced by the opposite, if it has one.

    >>> swapped("head_square_mm"), swapped("left"), swapped("ahead"), swapped("headband")
    ('tail_square_mm', 'right', None, None)
    """
    parts = re.split(r"([_.\- ])", name)
    for at, part in enumerate(parts):
        if part in OPPOSITES:
            return "".join((*parts[:at], OPPOSITES[part], *parts[at + 1 :]))
    return None


def faults(file: str, source: str, names: Names) -> list[Fault]:
    """Return every fault that can be put into a module, in the order of its text."""
    tree = ast.parse(source)
    starts = _line_starts(source)
    found = []
    for site in _sites(tree, names):
        for kind, anchor, text in site:
            start, end = (
                starts[anchor.lineno - 1]
                + _column(source, starts, anchor.lineno, anchor.col_offset),
                starts[(anchor.end_lineno or 0) - 1]
                + _column(source, starts, anchor.end_lineno or 0, anchor.end_col_offset or 0),
            )
            line = source[starts[anchor.lineno - 1] :].split("\n", 1)[0].strip()
            one = Fault(
                file,
                anchor.lineno,
                anchor.end_lineno or anchor.lineno,
                kind,
                source[start:end],
                text,
                start,
                end,
                line,
            )
            if one.now != one.was:
                found.append(one)
    return list({(one.start, one.end, one.now): one for one in found}.values())


def _line_starts(source: str) -> list[int]:
    starts = [0]
    for line in source.split("\n"):
        starts.append(starts[-1] + len(line) + 1)
    return starts


def _column(source: str, starts: list[int], line: int, byte: int) -> int:
    """Turn a column counted in bytes into one counted in characters."""
    text = source[starts[line - 1] : starts[line] - 1]
    return len(text.encode()[:byte].decode())


def stands(source: str) -> bool:
    """Say whether a text can still be read as a module."""
    try:
        compile(source, "fault", "exec")
    except SyntaxError:
        return False
    return True


def _sites(tree: ast.Module, names: Names) -> Iterator[Iterator[tuple[str, ast.expr, str]]]:
    """Yield per expression its kinds of fault, what is replaced, and the new text."""
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    for node in _open(tree):
        if isinstance(node, ast.expr):
            yield _written(node, parents, names, tree)


def _written(
    node: ast.expr, parents: dict[ast.AST, ast.AST], names: Names, tree: ast.Module
) -> Iterator[tuple[str, ast.expr, str]]:
    """Yield a node's faults; within a formatted text the whole text is what is replaced."""
    trail = [node, *_above(node, parents)]
    texts = [one for one in trail if isinstance(one, ast.JoinedStr)]
    for kind, new in _variants(node, trail, names, tree):
        if not texts:
            text = ast.unparse(new)
            yield kind, node, text if isinstance(new, ATOMS) else f"({text})"
        elif (whole := _within(texts[-1], node, new)) is not None:
            yield kind, texts[-1], whole


def _above(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> Iterator[ast.AST]:
    while node in parents:
        node = parents[node]
        yield node


def _within(text: ast.JoinedStr, node: ast.expr, new: ast.expr) -> str | None:
    class Change(ast.NodeTransformer):
        def visit(self, one: ast.AST) -> ast.AST:
            return new if one is node else self.generic_visit(one)

    # The transformer changes its tree in place, so it is given a copy that still holds the node.
    held = copy.deepcopy(text, {id(node): node})
    try:
        return ast.unparse(Change().visit(held))
    except ValueError:
        return None


def _open(node: ast.AST) -> Iterator[ast.AST]:
    """Walk what may be changed, in the order of the text."""
    yield node
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "type_comment", "format_spec"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.AST) and not _closed(child):
                yield from _open(child)


def _closed(node: ast.AST) -> bool:
    match node:
        case ast.keyword(arg=str(name)) if name in SETTINGS:
            return True
        case ast.If(test=ast.Name(id="TYPE_CHECKING") | ast.Compare(left=ast.Name(id="__name__"))):
            return True
        case ast.Subscript(value=ast.Name(id="Literal")):
            return True
        case ast.Expr(value=ast.Constant()):
            return True
        case ast.Assign(targets=[ast.Name(id="__all__" | "__version__")]):
            return True
    return False


def _variants(node: ast.expr, trail: list[ast.AST], names: Names, tree: ast.Module) -> Variants:
    above = trail[1]
    match node:
        case ast.Constant():
            yield from _constants(node, above, names)
        case ast.Name(ctx=ast.Load()):
            yield from _names(node, trail, tree)
        case ast.Attribute(ctx=ast.Load()):
            other = swapped(node.attr)
            if other is not None and other in names.used:
                yield "name", _with(node, attr=other)
        case ast.BinOp():
            yield from _sums(node)
        case ast.BoolOp():
            yield from _terms(node)
        case ast.UnaryOp(op=ast.USub()):
            yield "sign", node.operand
        case ast.UnaryOp(op=ast.Not()):
            yield "negation", node.operand
        case ast.Compare():
            for at, op in enumerate(node.ops):
                turned = TURNED[type(op)]()
                yield "comparison", _with(node, ops=[*node.ops[:at], turned, *node.ops[at + 1 :]])
        case ast.Call():
            yield from _calls(node, names)
    if _asked(node, above) and not isinstance(node, ast.Compare | ast.UnaryOp | ast.Constant):
        yield "negation", ast.UnaryOp(ast.Not(), node)


def _with(node: ast.expr, **changed: object) -> ast.expr:
    new = copy.copy(node)
    for name, value in changed.items():
        setattr(new, name, value)
    return new


def _asked(node: ast.expr, above: ast.AST) -> bool:
    """Say whether a node decides which way the program goes."""
    match above:
        case ast.If() | ast.IfExp() | ast.While() | ast.Assert():
            return above.test is node
        case ast.comprehension():
            return node in above.ifs
        case ast.BoolOp():
            return True
    return False


def _constants(node: ast.Constant, above: ast.AST, names: Names) -> Variants:
    value = node.value
    if isinstance(value, bool):
        yield "negation", ast.Constant(not value)
    elif isinstance(value, int | float):
        if value == 0 or abs(value) >= TOLERANCE:
            yield "constant", ast.Constant(_by_a_share(value, above))
    elif isinstance(value, str) and re.fullmatch(r"[a-z]+([_.-][a-z]+)*", value):
        other = swapped(value)
        if other is not None and other in names.spoken:
            yield "name", ast.Constant(other)


def _by_a_share(value: float, above: ast.AST) -> float:
    """Return a figure 5 % larger; a count or place grows by one at least, nothing by a half."""
    factor = isinstance(above, ast.BinOp) and isinstance(above.op, ast.Mult | ast.Div | ast.Pow)
    if isinstance(value, float):
        return round(value * SHARE, 9) if value else 0.5
    if abs(value) < SMALL:
        return round(value * SHARE, 9) if factor and value else value + 1
    return round(value * SHARE)


def _names(node: ast.Name, trail: list[ast.AST], tree: ast.Module) -> Variants:
    """Yield a name's opposite, where one is bound: in the functions around it or in the module."""
    other = swapped(node.id)
    if other is None:
        return
    around = [one for one in trail if isinstance(one, ast.FunctionDef | ast.Lambda)]
    bound = {one.name for one in tree.body if isinstance(one, ast.FunctionDef | ast.ClassDef)}
    for place in (*around, *(one for one in tree.body if isinstance(one, ast.Assign))):
        for one in ast.walk(place):
            if isinstance(one, ast.arg):
                bound.add(one.arg)
            elif isinstance(one, ast.Name) and isinstance(one.ctx, ast.Store):
                bound.add(one.id)
    if other in bound:
        yield "name", _with(node, id=other)


def _textual(node: ast.expr) -> bool:
    """Say whether a sum is one of texts or lists, where no other sign makes sense."""
    match node:
        case ast.Constant(value=str() | bytes()) | ast.JoinedStr() | ast.List() | ast.Tuple():
            return True
        case ast.ListComp() | ast.Dict() | ast.Set():
            return True
        case ast.Call(func=ast.Attribute(attr="join" | "format" | "strip" | "upper" | "lower")):
            return True
        case ast.Call(func=ast.Name(id="str" | "tuple" | "list" | "sorted")):
            return True
        case ast.BinOp():
            return _textual(node.left) or _textual(node.right)
    return False


def _sums(node: ast.BinOp) -> Variants:
    if _textual(node):
        return
    match node.op:
        case ast.Add():
            yield "sign", _with(node, op=ast.Sub())
            yield "term", node.left
            yield "term", node.right
        case ast.Sub():
            yield "sign", _with(node, op=ast.Add())
            yield "term", node.left
            yield "term", ast.UnaryOp(ast.USub(), node.right)
        case ast.Mult():
            yield "factor", _with(node, op=ast.Div())
        case ast.Div():
            yield "factor", _with(node, op=ast.Mult())


def _terms(node: ast.BoolOp) -> Variants:
    other: Callable[[], ast.boolop] = ast.And if isinstance(node.op, ast.Or) else ast.Or
    yield "negation", _with(node, op=other())
    for at in range(len(node.values)):
        left = [*node.values[:at], *node.values[at + 1 :]]
        yield "term", left[0] if len(left) == 1 else _with(node, values=left)


def _calls(node: ast.Call, names: Names) -> Variants:
    match node.func:
        case ast.Name(id=name) if name in CALLS:
            yield "least and most", _with(node, func=_with(node.func, id=CALLS[name]))
        case ast.Attribute(value=ast.Name(id="math"), attr=name) if name in CALLS:
            yield "least and most", _with(node, func=_with(node.func, attr=CALLS[name]))
    given = {one.arg: one for one in node.keywords if one.arg}
    for name in given:
        other = swapped(name)
        if other is None or not (other in given or other in names.used):
            continue
        if other not in given or (name < other and _differ(given[name], given[other])):
            yield (
                "name",
                _with(node, keywords=[_renamed(one, name, other) for one in node.keywords]),
            )


def _differ(one: ast.keyword, other: ast.keyword) -> bool:
    return ast.dump(one.value) != ast.dump(other.value)


def _renamed(one: ast.keyword, name: str, other: str) -> ast.keyword:
    if one.arg in (name, other):
        return ast.keyword({name: other, other: name}[one.arg], one.value)
    return one
