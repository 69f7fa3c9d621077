"""Two plain documents compared: where they differ, and what stands there before and after."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

NEAR = 0.001
"""Figures no further apart than this are the same, in whatever unit they stand."""
FINE: Mapping[str, float] = {"correction": 1e-7, "factors": 1e-6}
"""Factors that stretch whole sheets: a thousandth of one is 0.3 mm on A4."""
NAMES = ("name", "key", "file", "structure")
"""By the first of these that it has, an entry of a list is known again."""
RINGS = ("outline_mm",)
"""Keys of closed lines: where one begins makes no difference, which way it goes does."""
ABSENT = "(absent)"


@dataclass(frozen=True, slots=True)
class Spot:
    """A place where two documents differ.

    `path` names the very place, as `pieces/STRIP/outline_mm/3/0`; `field` every place of its kind,
    as `pieces/*/outline_mm/*/*`.
    """

    path: str
    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class _Place:
    path: str = ""
    field: str = ""
    near: float = NEAR

    def key(self, name: str) -> _Place:
        step = name.replace("/", "|")
        near = FINE.get(name, self.near)
        return _Place(_joined(self.path, step), _joined(self.field, step), near)

    def entry(self, name: str) -> _Place:
        step = name.replace("/", "|")
        return _Place(_joined(self.path, step), _joined(self.field, "*"), self.near)

    def spot(self, before: str, after: str) -> Spot:
        return Spot(self.path, self.field, before, after)


def _joined(path: str, step: str) -> str:
    return f"{path}/{step}" if path else step


def spots(before: object, after: object, under: str = "") -> Iterator[Spot]:
    """Yield every place where two documents of JSON differ; figures count to 0.001.

    Entries of a list are known again by name or by what they hold, so that one more or less is
    told once.

    >>> [spot.path for spot in spots({"a": [1, 2.0]}, {"a": [1, 2.0004]})]
    []
    >>> list(spots({"a": [{"name": "X", "w": 1}]}, {"a": [{"name": "X", "w": 2}]}))
    [Spot(path='a/X/w', field='a/*/w', before='1', after='2')]
    """
    return _spots(before, after, _Place(under, under))


def _spots(before: object, after: object, at: _Place) -> Iterator[Spot]:
    if isinstance(before, str) and before == after:  # entries go one by one: 1 is not true
        return
    if isinstance(before, Mapping) and isinstance(after, Mapping):
        yield from _keys(before, after, at)
    elif isinstance(before, list) and isinstance(after, list):
        yield from _entries(before, after, at)
    elif not _same_figure(before, after, at.near):
        yield at.spot(shown(before), shown(after))


def _same_figure(before: object, after: object, near: float) -> bool:
    if before is None or isinstance(before, bool) or isinstance(after, bool):
        return before is after
    if not (isinstance(before, int | float) and isinstance(after, int | float)):
        return False
    return abs(before - after) <= near * 1.000001


def _keys(before: Mapping[str, object], after: Mapping[str, object], at: _Place) -> Iterator[Spot]:
    for key in (*before, *(key for key in after if key not in before)):
        here = at.key(key)
        if key not in after:
            yield here.spot(shown(before[key]), ABSENT)
        elif key not in before:
            yield here.spot(ABSENT, shown(after[key]))
        elif not (key in RINGS and _same_ring(before[key], after[key], here)):
            yield from _spots(before[key], after[key], here)


def _same_ring(before: object, after: object, at: _Place) -> bool:
    """Tell whether two closed lines pass the same corners in the same turn, wherever they begin."""
    if not (isinstance(before, list) and isinstance(after, list) and len(before) == len(after)):
        return False
    turned = (after[first:] + after[:first] for first in range(len(after)))
    return any(next(_spots(before, one, at), None) is None for one in turned)


def _entries(before: Sequence[object], after: Sequence[object], at: _Place) -> Iterator[Spot]:
    if _figures(before) or _figures(after):
        yield from _row(before, after, at)
        return
    old, new = list(map(_token, before)), list(map(_token, after))
    for what, a, b, c, d in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        both = min(b - a, d - c)
        for i in range(both):
            name = old[a + i] if what == "equal" and _named(before[a + i]) else str(a + i)
            yield from _spots(before[a + i], after[c + i], at.entry(name))
        for i in range(a + both, b):
            yield at.entry(str(i)).spot(shown(before[i]), ABSENT)
        for i in range(c + both, d):
            yield at.entry(str(i)).spot(ABSENT, shown(after[i]))


def _figures(entries: Sequence[object]) -> bool:
    """Tell whether a list holds figures, or points of figures, alone."""
    return bool(entries) and all(
        isinstance(one, int | float) or (isinstance(one, list) and _figures(one)) for one in entries
    )


def _row(before: Sequence[object], after: Sequence[object], at: _Place) -> Iterator[Spot]:
    if len(before) != len(after):
        yield at.spot(
            f"{len(before)} entries: {shown(before)}", f"{len(after)} entries: {shown(after)}"
        )
        return
    for i, (old, new) in enumerate(zip(before, after, strict=True)):
        yield from _spots(old, new, at.entry(str(i)))


def _named(entry: object) -> bool:
    return isinstance(entry, Mapping) and any(isinstance(entry.get(name), str) for name in NAMES)


def _token(entry: object) -> str:
    """Return what an entry is known by: its name, else all it holds, figures roughly."""
    if isinstance(entry, Mapping):
        for name in NAMES:
            if isinstance(entry.get(name), str):
                return str(entry[name])
    return json.dumps(_rough(entry), ensure_ascii=False, sort_keys=True)


def _rough(entry: object) -> object:
    if isinstance(entry, float):
        return round(entry, 2)
    if isinstance(entry, Mapping):
        return {key: _rough(held) for key, held in entry.items()}
    if isinstance(entry, list):
        return [_rough(held) for held in entry]
    return entry


def shown(value: object) -> str:
    """Return a value as it is told: words bare, everything else as JSON."""
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
