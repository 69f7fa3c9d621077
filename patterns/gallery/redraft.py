"""Drafting a kept pattern again: on its own record to check it, on a new book to use it.

What was set by hand is told from what was worked out by comparing a pattern's parameters with
the templates' defaults; what was worked out is worked out anew.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from patterns.drafting import job, output
from patterns.drafting.making import Made, naming_owner
from patterns.errors import GalleryError, MendfoldError
from patterns.gallery import summary
from patterns.gallery.equal import masked
from patterns.record.record import Record
from patterns.sheets import whole
from patterns.stock import materials
from patterns.stock import paper as papers
from patterns.stock.paper import Paper
from patterns.stock.printer import Correction
from patterns.structures import catalogue

SAME_MM = 0.0006
"""Two figures written to 0.0001 that differ by no more than this are the same."""
SET_HERE = "set for this draft"
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing today's version draws otherwise; `by` in the figure's own unit where it has one."""

    where: str
    before: str
    after: str
    by: float | None = None

    def __str__(self) -> str:
        size = f" (by {self.by:g})" if self.by is not None else ""
        return f"{self.where}: {self.before} → {self.after}{size}"


def settings_of(tree: Mapping[str, Any]) -> tuple[dict[str, str], list[str]]:
    """Return the settings a pattern was drafted with, and a line for each no longer known."""
    found: dict[str, str] = {}
    gone: list[str] = []
    for name, values in tree.get("parameters", {}).items():
        template = catalogue.find(name)
        for key, value in values.items():
            if key in template.parameters:
                default: object = template.parameters[key].default
            elif key in template.materials:
                default = template.materials[key].default
            else:
                gone.append(f"{name}.{key} is not known any more and was left out")
                continue
            if value is not None and _plain(value) != _plain(default):
                found[f"{name}.{key}"] = _text(value)
        found |= _figures_set(name, tree.get("materials", {}).get(name, {}))
    return found, gone


def _figures_set(name: str, roles: Mapping[str, Any]) -> dict[str, str]:
    return {
        f"{name}.{role}_{key}": _text(figure["value"])
        for role, held in roles.items()
        for key, figure in held.get("figures", {}).items()
        if figure.get("source") == SET_HERE
    }


def _plain(value: object) -> object:
    return list(value) if isinstance(value, tuple) else value


def _text(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return ",".join(map(_text, value))
    return str(value)


def paper_of(tree: Mapping[str, Any]) -> Paper:
    """Return the paper a pattern was set on; raises PaperError for one not known any more."""
    name = str(tree.get("paper", "A4"))
    if roll := re.fullmatch(r"roll ([\d.]+) mm", name):
        return papers.parse(f"roll:{roll[1]}")
    return papers.parse(name.removesuffix(" mm"))


def correction_of(tree: Mapping[str, Any]) -> Correction:
    """Return the printer's factors a pattern was set with."""
    factors = tree.get("correction") or {}
    return Correction(
        float(factors.get("across", 1.0)),
        float(factors.get("down", 1.0)),
        str(tree.get("printer") or "none"),
    )


def draw(
    record: Record,
    structures: Sequence[str],
    settings: Mapping[str, str],
    paper: Paper,
    correction: Correction,
    formats: Sequence[str] = ("svg", "pdf"),
    with_owner: bool = False,
) -> Made:
    """Draft with a paper and factors that are at hand; nothing is written. Raises MendfoldError.

    `with_owner` draws the owner's name on the sheets, as earlier versions did for what was kept.
    """
    order = job.Order(record, tuple(structures), settings)
    drafted = job.draft(order, materials.load())
    if with_owner and record.book.owner:
        pattern = naming_owner(drafted.pattern, record.book.owner)
        drafted = replace(drafted, pattern=pattern)
    sheets = whole.sheets(drafted.pattern, paper, correction)
    found, remarks = output.files(record, drafted, sheets, paper, correction, formats)
    return Made(
        f"{record.book.id}-{'+'.join(drafted.pattern.structures)}",
        found,
        drafted.pattern.warnings,
        remarks,
        len(sheets),
    )


def differences(files: Mapping[str, bytes], where: str) -> list[Difference]:
    """Draft a kept pattern again and return what today's version draws otherwise.

    Raises MendfoldError when it cannot be drafted any more.
    """
    tree, record = summary.parsed(files, where), summary.record_of(files, where)
    settings, gone = settings_of(tree)
    if gone:
        raise GalleryError(f"{where}: {gone[0]}")
    fewest: list[Difference] | None = None
    for with_owner in (False, True) if record.book.owner else (False,):
        made = draw(
            record, tree["structures"], settings, paper_of(tree), correction_of(tree), ("svg",),
            with_owner,
        )  # fmt: skip
        found = list(_compared(files, made.files, where))
        if fewest is None or len(found) < len(fewest):
            fewest = found
        if not found:
            break
    return fewest or []


def _compared(
    old: Mapping[str, bytes], new: Mapping[str, bytes], where: str
) -> Iterator[Difference]:
    before, after = summary.parsed(old, where), summary.parsed(new, where)
    for tree in (before, after):
        tree.pop("mendfold", None)
    yield from _walk(before, after, "")
    for name in sorted(name for name in old if name.endswith(".svg")):
        if name not in new:
            yield Difference(name, "there", "not drawn any more")
        elif (one := masked(name, old[name])) != (other := masked(name, new[name])):
            yield from _drawings(name, one.decode(), other.decode())


def _drawings(name: str, one: str, other: str) -> Iterator[Difference]:
    """Compare two drawings: the same lines elsewhere, or other lines and words."""
    if _NUMBER.sub("#", one) != _NUMBER.sub("#", other):
        lines, others = set(one.splitlines()), set(other.splitlines())
        yield Difference(
            name, f"{len(lines - others)} lines of its own", f"{len(others - lines)} others"
        )
        return
    pairs = zip(_NUMBER.findall(one), _NUMBER.findall(other), strict=True)
    by = max(abs(float(a) - float(b)) for a, b in pairs)
    if by > 2 * SAME_MM:
        yield Difference(name, "as kept", "the same lines elsewhere", round(by, 3))


def _walk(old: object, new: object, path: str) -> Iterator[Difference]:
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        for key in dict.fromkeys((*old, *new)):
            inner = f"{path}.{key}" if path else str(key)
            yield from _walk(old.get(key), new.get(key), inner)
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for number, (one, other) in enumerate(zip(old, new, strict=True), 1):
            name = one.get("name") if isinstance(one, Mapping) else None
            yield from _walk(one, other, f"{path}[{name or number}]")
    elif path.endswith("_mm") and (by := _apart(old, new)) is not None:
        if by > SAME_MM:
            yield Difference(path, _short(old), _short(new), round(by, 4))
    elif _number(old) and _number(new):
        by = abs(float(old) - float(new))  # type: ignore[arg-type]
        if by > SAME_MM:
            yield Difference(path, f"{old:g}", f"{new:g}", round(by, 4))
    elif old != new:
        yield Difference(path, _short(old), _short(new))


def _apart(old: object, new: object) -> float | None:
    """Return how far apart two outlines in mm lie at most (Hausdorff), None for anything else."""
    from shapely import LinearRing

    try:
        rings = [LinearRing([(float(x), float(y)) for x, y in ring]) for ring in (old, new)]  # type: ignore[attr-defined]
    except (TypeError, ValueError):
        return None
    return float(rings[0].hausdorff_distance(rings[1]))


def _number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _short(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, list | Mapping):
        return f"{len(value)} entries"
    text = str(value)
    return text if len(text) <= 60 else f"{text[:57]}…"


@dataclass(frozen=True, slots=True)
class Reused:
    """An old pattern's structures and settings on a new book."""

    made: Made
    settings: Mapping[str, str]
    left_out: tuple[str, ...]
    """Settings of the old pattern that this book, or this version, does not allow, and why."""


def reuse(
    files: Mapping[str, bytes],
    where: str,
    record: Record,
    own: Mapping[str, str],
    paper: Paper | None = None,
    correction: Correction | None = None,
    formats: Sequence[str] = ("svg", "pdf"),
) -> Reused:
    """Draft an old pattern's structures and settings on another record; `own` settings win.

    A setting the new book does not allow is left out and named. Raises MendfoldError when the
    structures cannot be drafted for this book at all.
    """
    tree = summary.parsed(files, where)
    settings, gone = settings_of(tree)
    bare = {key.rpartition(".")[2] for key in own if "." not in key}
    settings = {key: v for key, v in settings.items() if key.rpartition(".")[2] not in bare}
    settings |= own
    sheet, factors = paper or paper_of(tree), correction or correction_of(tree)
    structures = [str(name) for name in tree["structures"]]

    def attempt(chosen: Mapping[str, str]) -> Made:
        return draw(record, structures, chosen, sheet, factors, formats)

    try:
        return Reused(attempt(settings), settings, tuple(gone))
    except MendfoldError as error:
        refusal = error
    for key in sorted(settings.keys() - own.keys()):
        rest = {name: text for name, text in settings.items() if name != key}
        try:
            made = attempt(rest)
        except MendfoldError:
            continue
        line = f"{key} = {settings[key]} was left out: {refusal}"
        return Reused(made, rest, (*gone, line))
    raise refusal
