"""Everything mendfold refuses, and the one way it says so.

A refusal is data first: a `Problem` holds the field, what was found there, what is allowed and
what to do next; what decides is its kind, never its words. A refusal's text is one plain line of
the first of them. The command line catches `MendfoldError` once, prints the line, adds what to
type next, and ends with status 1; whoever has more room shows every problem beside its field.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, Self

__all__ = [
    "FileError",
    "GalleryError",
    "MaterialError",
    "MendfoldError",
    "PaperError",
    "PlacementError",
    "PrinterError",
    "Problem",
    "ProblemKind",
    "Problems",
    "RecordError",
    "SettingError",
    "TemplateError",
    "Unsuitable",
    "Why",
    "WriteError",
    "nearest",
    "plain",
]


ProblemKind = Literal[
    "range",  # a value its field may never have
    "unread",  # words that are no measurement
    "content",  # words or lists that hold nothing, too much, or hidden marks
    "limit",  # beyond what other values leave for it
    "clash",  # in contradiction with another value, which `found` names
    "name",  # a table or key that is unknown, misplaced or misshapen
    "missing",  # a field without which nothing that was asked for can be worked out
    "needed",  # a field that another value makes needed
    "text",  # a text that cannot be read at all
    "empty",  # a text that holds nothing
    "absent",  # a file that is not there
    "setting",  # a setting's value that cannot be taken
    "unknown setting",
    "no outline",  # a traced loss that must be set
    "no thickness",  # a material's thickness that must be set
    "shared setting",  # one thing that two structures share, set in two ways
    "unknown structure",
    "no structure",
    "option",  # what was given for an option, which opens the line
    "other folder",  # another folder, file or page stands where one is to be written
    "other file",
    "other page",
    "no gallery",
    "no pattern",
    "no draft",  # a folder without a draft's own files
    "no treatment",
    "no photograph",
    "printer file",
    "no printer",
    "no typeface",
    "no dxf",  # its library is not installed
    "no xlsx",
    "no cluster",
    "open scheduler",
    "unknown heading",  # of a table of books
    "decimal sign",  # that a table of books does not settle
]
_WORDS: dict[ProblemKind, str] = {
    "range": "{found}; allowed: {allowed}: {remedy}",
    "unread": "{found}: {remedy}; allowed: {allowed}",
    "limit": "{found}; allowed {allowed}: {remedy}",
}
_OTHERWISE = "{found}: {remedy}"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that cannot stand; what is found, allowed and to be done is one printable line each.

    `field` is a dotted name, `sewing.fold[2].holes` in the second of several blocks; alternatives
    of which one would do are parted by bars; empty where it is no one field. `found` reads on from
    the field's name: “is 4000 mm”.
    """

    field: str
    found: str
    allowed: str
    remedy: str
    kind: ProblemKind = "range"

    def __post_init__(self) -> None:
        for name in ("found", "allowed", "remedy"):
            object.__setattr__(self, name, plain(getattr(self, name)))

    @property
    def words(self) -> str:
        """All but the field's name, as it reads on from it.

        >>> Problem("text_block.height", "is 9 mm", "20 to 2000 mm", "measure again").words
        'is 9 mm; allowed: 20 to 2000 mm: measure again'
        """
        parts = {"found": self.found, "allowed": self.allowed, "remedy": self.remedy}
        return _WORDS.get(self.kind, _OTHERWISE).format_map(parts)

    def at(self, field: str) -> Problem:
        """Return the problem with its field named."""
        return replace(self, field=field)

    @property
    def line(self) -> str:
        """The field's name and the words."""
        return f"{self.field} {self.words}" if self.field else self.words


Problems = Iterator[Problem]
"""What a check yields: every problem that it finds."""


class MendfoldError(Exception):
    """Root of every refusal; its text is one plain line, `problems` what it was made of."""

    def __init__(self, line: str, problems: Sequence[Problem] = ()) -> None:
        super().__init__(plain(line))
        self.problems = tuple(problems)

    def __reduce__(self) -> tuple[type[Self], tuple[str, tuple[Problem, ...]]]:
        return type(self), (str(self), self.problems)

    @classmethod
    def of(cls, problem: Problem) -> Self:
        """Refuse for one problem, in its own words."""
        return cls(problem.line, (problem,))

    @classmethod
    def kind(cls, kind: ProblemKind, line: str, field: str = "") -> Self:
        """Refuse in these words; by the kind it is known what to do next."""
        return cls(line, (Problem(field, line, "", "", kind),))


Why = Literal["missing", "folder", "special", "forbidden", "large", "text", "other"]
"""Why a file cannot be read: not there, a folder, a pipe or device, not allowed, too large, no text."""


class FileError(MendfoldError):
    """A file that somebody named cannot be read; `words` say `why` without the file's name."""

    why: Why = "other"
    words: str = ""

    @classmethod
    def about(cls, path: Path, why: Why, words: str) -> Self:
        """Refuse a file."""
        error = cls(f"{path} {words}")
        error.why, error.words = why, words
        return error


class RecordError(MendfoldError):
    """A record, or one field of it, cannot be used; it always says for which problems."""

    def __init__(self, line: str, problems: Sequence[Problem]) -> None:
        super().__init__(line, problems)


class SettingError(MendfoldError):
    """An option or a setting cannot be used."""


class MaterialError(MendfoldError):
    """A material is unknown, or its figures cannot be used."""


class TemplateError(MendfoldError):
    """A template and its module do not agree."""


class PlacementError(MendfoldError):
    """Stitches cannot be placed on the fold."""


class Unsuitable(MendfoldError):
    """This structure does not suit this book; the line says what would."""


class PaperError(MendfoldError):
    """A sheet size is unknown or too small."""


class PrinterError(MendfoldError):
    """A printer's readings or profile cannot be used."""


class GalleryError(MendfoldError):
    """A gallery, or one pattern in it, cannot be used."""


class WriteError(MendfoldError):
    """Something could not be written whole, so nothing was."""


LONGEST_WORD = 240


def plain(text: str) -> str:
    """Return `text` as one printable line: line breaks become spaces, control marks are dropped.

    A word longer than any that is read keeps its two ends.

    >>> plain("a\\nb\\x1b[31m")
    'a b[31m'
    """
    words = [
        word if len(word) <= LONGEST_WORD else f"{word[:60]}…{word[-60:]}" for word in text.split()
    ]
    return "".join(mark for mark in " ".join(words) if unicodedata.category(mark)[0] != "C")


def nearest(word: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Return the known names closest to `word`, nearest first; may be empty.

    >>> nearest("heigth", ["height", "width", "weight"])[0]
    'height'
    """
    from difflib import get_close_matches  # only refusals need it

    return get_close_matches(word, list(known), n=most, cutoff=0.5)
