"""What today's version draws otherwise: a kept pattern drafted again and compared, figure by figure."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from patterns.drafting import again
from patterns.drafting.job import draft
from patterns.drafting.making import make, naming_owner
from patterns.errors import GalleryError
from patterns.gallery.equal import masked
from patterns.gallery.summary import kept_of, record_of
from patterns.model.drawing import Point
from patterns.model.kept import KeptPattern
from patterns.model.values import Value, plain_value

SAME_MM = 0.0006
"""Two figures written to 0.0001 that differ by no more than this are the same."""
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


def differences(files: Mapping[str, bytes], where: str) -> list[Difference]:
    """Draft a kept pattern again and return what today's version draws otherwise.

    What names the owner on its sheets, as earlier versions kept it, is compared with sheets that
    do. Raises MendfoldError when the pattern cannot be drafted any more.
    """
    kept, record = kept_of(files, where), record_of(files, where)
    order, gone = again.order_of(kept, record)
    if gone:
        raise GalleryError(f"{where}: {gone[0]}")
    drafted = draft(replace(order, formats=("svg",)))
    found = list(_compared(files, make(drafted).files, where))
    if found and (owner := record.book.owner):
        named = make(naming_owner(drafted, owner)).files
        found = min(found, list(_compared(files, named, where)), key=len)
    return found


def _compared(
    old: Mapping[str, bytes], new: Mapping[str, bytes], where: str
) -> Iterator[Difference]:
    yield from _patterns(kept_of(old, where), kept_of(new, where))
    for name in sorted(name for name in old if name.endswith(".svg")):
        if name not in new:
            yield Difference(name, "there", "not drawn any more")
        elif (one := masked(name, old[name])) != (other := masked(name, new[name])):
            yield from _drawings(name, one.decode(), other.decode())


def _patterns(old: KeptPattern, new: KeptPattern) -> Iterator[Difference]:
    """Compare everything in two documents but the version that wrote them."""
    before, after = (plain_value(replace(one, mendfold="")) for one in (old, new))
    yield from _walk(before, after, "")


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


def _walk(old: Value, new: Value, path: str) -> Iterator[Difference]:
    match old, new:
        case Mapping(), Mapping():
            for key in dict.fromkeys((*old, *new)):
                inner = f"{path}.{key}" if path else key
                yield from _walk(old.get(key), new.get(key), inner)
        case tuple(), tuple() if len(old) == len(new):
            for number, (one, other) in enumerate(zip(old, new, strict=True), 1):
                name = one.get("name") if isinstance(one, Mapping) else None
                yield from _walk(one, other, f"{path}[{name or number}]")
        case _ if old != new:
            by = _apart(old, new) if path.endswith("_mm") else None
            by = _between(old, new) if by is None else by
            if by is None:
                yield Difference(path, _short(old), _short(new))
            elif by > SAME_MM:
                yield Difference(path, _short(old), _short(new), round(by, 4))


def _apart(old: Value, new: Value) -> float | None:
    """Return how far apart two outlines in mm lie at most (Hausdorff), None for anything else."""
    from shapely import LinearRing

    rings = [_points(value) for value in (old, new)]
    if min(map(len, rings)) < 3:
        return None
    return float(LinearRing(rings[0]).hausdorff_distance(LinearRing(rings[1])))


def _points(value: Value) -> list[Point]:
    """Return a value as points; none where it is anything else."""
    points: list[Point] = []
    for one in value if isinstance(value, tuple) else ():
        match one:
            case (int() | float() as x, int() | float() as y):
                points.append((x, y))
            case _:
                return []
    return points


def _between(old: Value, new: Value) -> float | None:
    """Return by how much two numbers differ, None for anything else."""
    match old, new:
        case (bool(), _) | (_, bool()):
            return None
        case (int() | float(), int() | float()):
            return abs(old - new)
    return None


def _short(value: Value) -> str:
    match value:
        case None:
            return "nothing"
        case tuple() | Mapping():
            return f"{len(value)} entries"
        case float():
            return f"{value:g}"
    text = str(value)
    return text if len(text) <= 60 else f"{text[:57]}…"
