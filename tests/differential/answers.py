"""What a worker's answer says, as one plain document for comparing."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tests.differential.comparing import ABSENT, Spot, spots
from tests.differential.drawings import masked, sheet
from tests.differential.printed import dxf, pdf

READERS: Mapping[str, Callable[[str], object]] = {".svg": sheet, ".pdf": pdf, ".dxf": dxf}
LEFT_OUT = ("mendfold",)
"""Keys of pattern.json that name the version."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one command ended: done, refused with a message, or crashed; and what it said."""

    kind: str
    words: str
    told: list[str]
    said: str

    @property
    def line(self) -> str:
        """The outcome in a line."""
        return f"{self.kind}: {self.words}" if self.words else self.kind


def outcome(run: Mapping[str, Any]) -> Outcome:
    """Return how a command ended."""
    if run["crash"]:
        return Outcome("crashed", run["crash"], [], "")
    told = masked(run["err"]).splitlines()
    if run["status"]:
        return Outcome("refused", "\n".join(told), [], "")
    return Outcome("done", "", told, run["out"])


def differing(before: Mapping[str, Any], after: Mapping[str, Any], sheets: bool) -> Iterator[Spot]:
    """Yield every place where two answers to one wish differ; `draft/…` or `examine/…`.

    Without `sheets` none were asked for: a version that laid them out all the same is no other.
    """
    left_out = LEFT_OUT if sheets else (*LEFT_OUT, "sheets")
    for name, old, new in zip(
        ("examine", "draft"), *(_last_two(one) for one in (before, after)), strict=True
    ):
        was, now = outcome(old), outcome(new)
        if was.kind != now.kind:
            yield Spot(f"{name}/outcome", f"{name}/outcome", was.line, now.line)
            continue
        yield from spots(was.words, now.words, f"{name}/{was.kind}")
        yield from spots(was.told, now.told, f"{name}/told")
        if was.said != now.said:
            yield from spots(
                _document(was.said, left_out), _document(now.said, left_out), f"{name}/answer"
            )
    if outcome(_last_two(before)[1]).kind == outcome(_last_two(after)[1]).kind:
        yield from _files(before["files"], after["files"])


def _last_two(answer: Mapping[str, Any]) -> tuple[Mapping[str, Any], Mapping[str, Any]]:
    """Return the runs of examine and draft; what was run before them only made ready."""
    draft, examine = answer["runs"][-2:]
    return examine, draft


def _document(text: str, left_out: Sequence[str]) -> object:
    try:
        found = json.loads(text)
    except ValueError:
        return text
    if isinstance(found, dict):
        return {key: value for key, value in found.items() if key not in left_out}
    return found


def _files(before: Mapping[str, str], after: Mapping[str, str]) -> Iterator[Spot]:
    """Compare the drawings by name; the folder they lie in is named by book and structures."""
    old, new = (
        {path.rpartition("/")[2]: text for path, text in one.items()} for one in (before, after)
    )
    for name in sorted({*old, *new}):
        place, kind = f"draft/sheets/{name}", name[name.rindex(".") :]
        field = f"draft/sheets/*{kind}"
        if name not in old:
            yield Spot(place, field, ABSENT, "(drawn)")
        elif name not in new:
            yield Spot(place, field, "(drawn)", ABSENT)
        elif old[name] != new[name]:
            read = READERS[kind]
            for spot in spots(read(old[name]), read(new[name])):
                path, under = f"{place}/{spot.path}", f"{field}/{spot.field}"
                yield Spot(path, under, spot.before, spot.after)
