"""One book in hand: its record as saved, what was typed since, what is to be drafted, and how back.

Nothing here touches a disk. Every change is noted with what stood there before, so that each can be
taken back, also after the bench was closed.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any, Literal

from patterns.errors import RecordError, SettingError
from patterns.record import reading, typed
from patterns.record.editing import edited
from patterns.record.record import Record
from patterns.record.typed import Typed
from patterns.structures import catalogue

FORMAT = "mendfold-bench/1"
MOST_CHANGES = 500
"""So many can be taken back."""
ChangeKind = Literal["field", "setting", "structures", "paper"]


@dataclass(frozen=True, slots=True)
class DeskChange:
    """One thing that was changed; what was typed in one visit to a field is one change."""

    kind: ChangeKind
    name: str
    before: str | None
    visit: str = ""


@dataclass(slots=True)
class OpenBook:
    """A book on the desk."""

    file: str
    base: str = ""
    """The record's text as it was saved last."""
    typed: dict[str, str] = field(default_factory=dict)
    """Words by field, where they differ from the text."""
    structures: tuple[str, ...] = ()
    settings: dict[str, str] = field(default_factory=dict)
    paper: str = "A4"
    changes: list[DeskChange] = field(default_factory=list)
    moved_on: bool = False
    """The record was changed by another program while something was typed here."""
    _read: tuple[str, dict[str, str], Typed] | None = None
    """What the words came to when they were looked at last."""
    _based: tuple[str, dict[str, Any], dict[str, str]] | None = None

    @property
    def words(self) -> dict[str, str]:
        """Every field's words as they stand."""
        held = {**self._read_base()[2], **self.typed}
        return {name: words for name, words in held.items() if words}

    @property
    def unsaved(self) -> bool:
        """True where words differ from what was saved."""
        return bool(self.typed)

    def found(self) -> Typed:
        """Return what the words come to, with every problem."""
        if self._read is None or self._read[:2] != (self.base, self.typed):
            self._read = (self.base, dict(self.typed), typed.typed(self._tables(), self.typed))
        return self._read[2]

    def text(self) -> str:
        """Return the record's text with what was typed, comments and units as they were written."""
        return edited(self.base, self.found().tables)

    def savable(self) -> str:
        """Return the text; RecordError where something in it cannot stand."""
        self._refuse()
        return self.text()

    def record(self) -> Record:
        """Return the record. Raises RecordError."""
        return reading.parse(self.savable(), self.file)

    def values(self) -> Record:
        """Return the record without its text, which takes longer to write than to understand. Raises RecordError."""
        self._refuse()
        return reading.build(self.found().values, name=self.file)

    def _refuse(self) -> None:
        problems = self.found().problems
        if problems:
            raise RecordError(f"not saved: {reading.told(problems)}", problems)

    def write(self, name: str, words: str, visit: str = "") -> None:
        """Take the words of a field; SettingError for what is no field or too long."""
        try:
            typed.field_of(name)
        except KeyError:
            raise SettingError(f"{name[:80]} is no field of a record") from None
        if len(words) > typed.LONGEST or "\n" in words:
            raise SettingError(f"{name} holds more than fits one line of {typed.LONGEST} letters")
        saved = self._read_base()[2].get(name, "")
        before = self.typed.get(name, saved)
        if words == before:
            return
        self._note(DeskChange("field", name, before, visit))
        self._put_words(name, words)

    def choose(self, names: tuple[str, ...]) -> None:
        """Take the structures that are to be drafted. Raises SettingError for an unknown one."""
        chosen = tuple(dict.fromkeys(catalogue.find(name).name for name in names))
        if chosen != self.structures:
            self._note(DeskChange("structures", "", "+".join(self.structures)))
            self.structures = chosen

    def set(self, name: str, words: str, visit: str = "") -> None:
        """Take a setting as `structure.name`; empty words give the default back. Raises SettingError.

        What a setting names is never a file: a traced outline comes by `trace`.
        """
        row = self.kind_of(name)
        if row == "outline" and words:
            raise SettingError(f"{name} is put in as a file, not typed")
        self._settle(name, words, visit)

    def trace(self, name: str, outline: str) -> None:
        """Take the text of a traced outline that was put in as a file. Raises SettingError."""
        if self.kind_of(name) != "outline":
            raise SettingError(f"{name} is no traced outline")
        self._settle(name, outline)

    def _settle(self, name: str, words: str, visit: str = "") -> None:
        if len(words) > typed.LONGEST * 50:
            raise SettingError(f"{name} holds more than any setting")
        before = self.settings.get(name, "")
        if words != before:
            self._note(DeskChange("setting", name, before, visit))
            self._put_setting(name, words)

    def kind_of(self, name: str) -> str:
        """Return the kind of a setting of a known structure. Raises SettingError."""
        structure, _, key = name.partition(".")
        template = catalogue.find(structure)
        if key in template.parameters:
            return template.parameters[key].kind
        role, _, figure = key.partition("_")
        if key in template.materials or (role in template.materials and figure):
            return "material"
        raise SettingError(f"{name[:80]} is no setting of {template.title}")

    def use_paper(self, name: str) -> None:
        """Take the paper that the sheets are drawn on, as it was understood."""
        if name != self.paper:
            self._note(DeskChange("paper", "", self.paper))
            self.paper = name

    def undo(self) -> str:
        """Take the last change back; return what it was, "" where there is none."""
        if not self.changes:
            return ""
        last = self.changes.pop()
        before = last.before or ""
        match last.kind:
            case "field":
                self._put_words(last.name, before)
            case "setting":
                self._put_setting(last.name, before)
            case "structures":
                self.structures = tuple(filter(None, before.split("+")))
            case "paper":
                self.paper = before
        return last.name or last.kind

    def saved(self, text: str) -> None:
        """Take `text` as what is on the disk now; what was changed can still be taken back."""
        self.base, self.typed, self.moved_on = text, {}, False

    def given(self) -> dict[str, str]:
        """Return the settings of the chosen structures alone."""
        return {
            name: words
            for name, words in self.settings.items()
            if name.partition(".")[0] in self.structures
        }

    def to_json(self) -> str:
        """Write what the shelf keeps of it."""
        held: Mapping[str, Any] = {
            "format": FORMAT,
            "base": self.base,
            "typed": self.typed,
            "structures": self.structures,
            "settings": self.settings,
            "paper": self.paper,
            "changes": [asdict(one) for one in self.changes],
        }
        return json.dumps(held, ensure_ascii=False)

    def _note(self, change: DeskChange) -> None:
        """Note a change, unless it goes on in the same visit to the same place."""
        last = self.changes[-1] if self.changes else None
        same = (change.kind, change.name, change.visit)
        if change.visit and last and (last.kind, last.name, last.visit) == same:
            return
        self.changes.append(change)
        del self.changes[:-MOST_CHANGES]

    def _put_words(self, name: str, words: str) -> None:
        if words == self._read_base()[2].get(name, ""):
            self.typed.pop(name, None)
        else:
            self.typed[name] = words

    def _put_setting(self, name: str, words: str) -> None:
        if words:
            self.settings[name] = words
        else:
            self.settings.pop(name, None)

    def _tables(self) -> dict[str, Any]:
        return self._read_base()[1]

    def _read_base(self) -> tuple[str, dict[str, Any], dict[str, str]]:
        """Return what was saved last: its text, its tables, and each field's words."""
        if self._based is None or self._based[0] != self.base:
            tables = reading.unchecked(self.base, self.file)
            self._based = (self.base, tables, typed.all_words(tables))
        return self._based


def reopened(draft: bytes, text: str, file: str) -> OpenBook:
    """Return a desk from what the shelf kept of it, and from the record's text as it is now.

    Raises RecordError for a draft that cannot be read; the record itself is untouched then.
    """
    try:
        held = json.loads(draft)
        if held["format"] != FORMAT:
            raise ValueError(held["format"])
        desk = OpenBook(
            file,
            text,
            {str(name): str(words) for name, words in held["typed"].items()},
            tuple(map(str, held["structures"])),
            {str(name): str(words) for name, words in held["settings"].items()},
            str(held["paper"]),
            [DeskChange(**one) for one in held["changes"]],
            moved_on=held["base"] != text,
        )
        for name in desk.typed:
            typed.field_of(name)
    except (ValueError, KeyError, TypeError, AttributeError):
        raise RecordError(
            f"{file}: its draft in .bench cannot be read; take {file}.draft.json out of there", []
        ) from None
    desk.structures = tuple(name for name in desk.structures if name in catalogue.names())
    return desk
