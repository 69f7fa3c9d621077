"""The interview: one question a measurement, in handling order, each with its unit and its reason.

Every answer is kept the moment it is given. A typed mistake is told and asked again. The words
typed are what the record keeps: "9 3/4 in" stays "9 3/4 in".
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Collection
from dataclasses import dataclass, field
from typing import Any

from patterns import units
from patterns.errors import MendfoldError, Problem, RecordError
from patterns.record import reading
from patterns.record.field import USED, Field, Repeated
from patterns.record.fields import FIELDS, LIST_TABLES, TABLES
from patterns.record.needs import needed
from patterns.record.values import value
from patterns.record.writing import toml, written

REQUIRED = ("book.id", "text_block.height", "text_block.thickness")
WELCOME = (
    "Enter leaves a question out. “<” goes back, “-” takes an answer away, “.” passes over the "
    "rest of a section. A number alone is in the unit shown; or write 9 3/4 in, 24.5 cm, 2 lb 3 oz."
)
_GATES = {
    "cover.front": "Does the front board differ from what you gave?",
    "cover.back": "Does the back board differ from what you gave?",
    "album": "Is it an album, its leaves on stubs or guards?",
}
_REPEATED: dict[Repeated, str] = {
    "least": "3.2 3.1 3.2",
    "mean": "61.2 60.8 61.1",
    "spread": "one length read several times, 228.2 228.8 228.4",
}
_FIRST = {table: next(f for f in FIELDS if f.table == table) for table in TABLES}
_STEPS: tuple[Field, ...] = tuple(
    f
    for f in FIELDS
    if "first" in f.visits and (f.table not in LIST_TABLES or f is _FIRST[f.table])
)
"""What is asked in turn at the first visit; the first field of a list table stands for all its blocks."""
_STOP, _BACK, _DROP = ".", "<", "-"


def steps_for(needs: Collection[str]) -> tuple[Field, ...]:
    """Return the questions that some structures need; a need may hold alternatives, "a|b"."""
    wanted = {name for need in needs for name in need.split("|")} | set(REQUIRED)
    return tuple(step for step in _STEPS if step.name in wanted)


class _Back(Exception):
    pass


class _Stop(Exception):
    pass


@dataclass(slots=True)
class Interview:
    """A conversation: `ask` puts a prompt and returns what was typed, `say` prints a line.

    `save` is given the record so far as TOML after every answer.
    """

    ask: Callable[[str], str]
    say: Callable[[str], None]
    save: Callable[[str], None]
    suggested_id: str = ""
    steps: tuple[Field, ...] = _STEPS
    answers: dict[str, Any] = field(default_factory=dict)

    def resume(self, text: str, name: str) -> None:
        """Take up the answers saved earlier. Raises RecordError when they cannot be read."""
        self.answers = reading.as_typed(text, name)

    def run(self) -> str:
        """Ask everything not yet answered and return the whole record as TOML."""
        self.say(WELCOME)
        position = self._begin()
        visited = list(range(position))
        while position < len(self.steps):
            try:
                following = self._step(position)
            except _Back:
                position = visited.pop() if visited else position
                continue
            visited.append(position)
            position = following
        return self.text()

    def text(self) -> str:
        """Return the answers so far as TOML."""
        return written(self.answers)

    def _begin(self) -> int:
        """Return the first step after the last one answered; a list's last block is taken up."""
        last = -1
        for place, step in enumerate(self.steps):
            rows = self.answers.get(step.table)
            if rows and (step.table in LIST_TABLES or step.key in rows):
                last = place if step.table not in LIST_TABLES else place - 1
        return last + 1

    def _step(self, position: int) -> int:
        one = self.steps[position]
        if not position or self.steps[position - 1].table != one.table:
            self.say(f"\n{one.table.replace('_', ' ').replace('.', ', ').upper()}")
            if one.table in _GATES and not self.answers.get(one.table) and not self._gate(one):
                return self._after(one.table)
        try:
            if one.table in LIST_TABLES:
                self._blocks(one.table)
            else:
                self._question(one, self.answers.setdefault(one.table, {}))
        except _Stop:
            return self._after(one.table)
        return position + 1

    def _after(self, table: str) -> int:
        return max(place for place, step in enumerate(self.steps) if step.table == table) + 1

    def _gate(self, one: Field) -> bool:
        typed = self.ask(f"{_GATES[one.table]} (y, or Enter for no)").strip().lower()
        if typed == _BACK:
            raise _Back
        return typed.startswith("y")

    def _blocks(self, table: str) -> None:
        """Ask the blocks of a list table until the first question of one is left empty."""
        keys = [f for f in FIELDS if f.table == table]
        rows = self.answers.setdefault(table, [])
        row = rows[-1] if rows else {}
        while True:
            begun = max((keys.index(f) for f in keys if f.key in row), default=-1)
            for one in keys[begun + 1 :]:
                self._question(one, row, rows)
                if not row:
                    return
            row = {}

    def _question(self, one: Field, row: dict[str, Any], rows: list[Any] | None = None) -> None:
        """Ask one question until the answer can stand, and keep it."""
        self.say(f"  {one.reason}{_hint(one)}")
        default = self.suggested_id if one.name == "book.id" else ""
        kept = toml(row[one.key]) if one.key in row else default
        while True:
            typed = self.ask(_prompt(one, kept)).strip()
            if typed == _BACK:
                raise _Back
            needed = one.name in REQUIRED and one.key not in row
            if typed == _STOP and not needed:
                raise _Stop
            if typed == _DROP and one.name not in REQUIRED:
                row.pop(one.key, None)
                self.save(self.text())
                return
            typed = typed or (default if needed else "")
            if not typed and not needed:
                return
            try:
                self._keep(one, typed, row, rows)
            except MendfoldError as why:
                self.say(f"  {one.key} {why}. Please answer again.")
                continue
            return

    def _keep(self, one: Field, typed: str, row: dict[str, Any], rows: list[Any] | None) -> None:
        """Check an answer by itself and against the others, then save it."""
        if not typed:
            raise RecordError(f"is needed: {one.reason}", [needed(one.name)])
        raw = understood(one, typed)
        value(one, raw)
        before = dict(row)
        row[one.key] = raw
        new = rows is not None and not any(row is item for item in rows)
        if rows is not None and new:
            rows.append(row)
        try:
            reading.checked(self.text(), "so far")
        except RecordError as why:
            row.clear()
            row.update(before)
            if rows is not None and new:
                rows.pop()
            words = f"does not go with the other answers: {reading.told(why.problems)}"
            raise RecordError(words, why.problems) from None
        self.save(self.text())


def _hint(one: Field) -> str:
    """Return how to answer, where a number with its unit is not wanted."""
    if one.unit:
        several = {
            "lengths": "with spaces between: 12 60.5 110",
            "three lengths": "with spaces between: 312 218 42",
        }
        if one.repeated:
            return f" (several readings with spaces between: {_REPEATED[one.repeated]}; {USED[one.repeated]} counts)"
        return f" ({several[one.kind]})" if one.kind in several else ""
    hints = {"text": "", "choice": f" ({' / '.join(one.words)})", "yes or no": " (yes or no)"}
    hints["choices"] = f" ({', '.join(one.words)}; all or none)"
    other = {
        "date": " (2026-11-25, or today)",
        "two names": " (text block / boards)",
        "fields": " (cover.back.board_thickness text_block.leaves)",
    }
    return (hints | other).get(one.kind, f" ({one.allowed})")


def _prompt(one: Field, kept: str) -> str:
    unit = f" ({one.unit})" if one.unit else ""
    now = f" [{kept}]" if kept else ""
    return f"{one.key.replace('_', ' ')}{unit}{now}"


def understood(one: Field, typed: str) -> Any:
    """Turn typed words into the value that stands in the record. Raises MendfoldError.

    >>> from patterns.record.fields import BY_NAME
    >>> understood(BY_NAME["text_block.height"], "24,5")
    24.5
    >>> understood(BY_NAME["sewing.kettles"], "12 228")
    [12.0, 228.0]
    """
    if one.kind in ("lengths", "three lengths") or (
        (one.kind == "length or lengths" or one.repeated) and _several(typed)
    ):
        return [_measured(one, part) for part in parts(typed)]
    if one.unit:
        return _measured(one, typed)
    if one.kind == "count":
        if not typed.isascii() or not typed.isdigit() or len(typed) > 9:
            raise _not_so(typed, one.allowed)
        return int(typed)
    if one.kind == "yes or no":
        return _yes_or_no(typed)
    if one.kind == "choice":
        begun = [word for word in one.words if word.startswith(typed.lower())]
        return typed if typed in one.words else begun[0] if len(begun) == 1 else typed
    if one.kind == "choices":
        return _choices(one, typed)
    if one.kind == "date":
        return _date(typed)
    if one.kind == "fields":
        return typed.replace(",", " ").split()
    if one.kind == "two names":
        return [part.strip() for part in typed.replace(" and ", "/").split("/")]
    return typed


def _choices(one: Field, typed: str) -> list[str]:
    """Return the words typed, each by its beginning; all or yes for every one, none or no for none."""
    said = typed.lower().replace(",", " ").replace(" and ", " ").split()
    if said in (["no"], ["none"], ["n"]):
        return []
    if said in (["yes"], ["all"], ["both"], ["y"]):
        return list(one.words)
    found = [[word for word in one.words if word.startswith(begun)] for begun in said]
    if not all(len(matching) == 1 for matching in found):
        raise _not_so(typed, f"{', '.join(one.words)}, all or none")
    return [matching[0] for matching in found]


def _measured(one: Field, typed: str) -> float | str:
    """Return a bare number as a float, a measurement with its unit as the words typed."""
    number = units.quantity(typed, one.unit, bare=True)
    try:
        units.quantity(typed, one.unit)
    except MendfoldError:
        return number
    return typed


def _several(typed: str) -> bool:
    return ";" in typed or (len(typed.split()) > 1 and len(parts(typed)) > 1)


def parts(typed: str) -> list[str]:
    """Split figures at semicolons, else at spaces, a comma after each allowed. Raises RecordError."""
    if ";" in typed:
        return [part.strip() for part in typed.split(";") if part.strip()]
    if any(mark.isalpha() or mark in "\"'/" for mark in typed):
        return [typed]
    found_parts = [part.removesuffix(",") for part in typed.split()]
    if any("," in part for part in found_parts):
        found, remedy = f"is “{typed[:40]}”", "put spaces between, and a point for decimals"
        raise RecordError.of(Problem("", found, "distances, as 12 60.5 110", remedy, "content"))
    return found_parts


def _yes_or_no(typed: str) -> bool:
    word = typed.lower()
    if word in ("y", "yes", "true"):
        return True
    if word in ("n", "no", "false"):
        return False
    raise _not_so(typed, "yes or no")


def _date(typed: str) -> datetime.date:
    if typed.lower() == "today":
        return datetime.date.today()
    try:
        return datetime.date.fromisoformat(typed)
    except ValueError:
        raise _not_so(typed, "a date as 2026-11-25, or today") from None


def _not_so(typed: str, allowed: str) -> RecordError:
    problem = Problem("", f"is “{typed[:40]}”", allowed, "answer again")
    return RecordError(f"{problem.found}; allowed: {allowed}", [problem])
