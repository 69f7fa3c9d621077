"""What to type, and next: the command line alone adds it to a refusal, by its first problem's kind."""

from __future__ import annotations

from patterns.errors import MendfoldError, ProblemKind

_BEFORE: dict[ProblemKind, str] = {"setting": "--set ", "unknown setting": "--set "}
_NEXT: dict[ProblemKind, str] = {
    "missing": ": measure and add each below its [table], "
    "or run “mendfold measure” for the reason of each",
    "empty": " from “mendfold measure --blank”",
    "absent": ", or start one with “mendfold measure --blank”",
    "unknown setting": "; `mendfold structures NAME` lists them",
    "no outline": ": --set outline=FILE.svg, a DXF file, or points in mm "
    "such as --set outline='12,30 31,28 40,52 18,60'",
    "no thickness": " and give --set {field}=…",
    "shared setting": "; set both with --set {field}=…",
    "unknown structure": " `mendfold structures` lists them",
    "no structure": "; `mendfold structures` lists them",
}


def told(error: MendfoldError) -> str:
    """Return a refusal's line with what to type."""
    if not error.problems:
        return str(error)
    first = error.problems[0]
    following = _NEXT.get(first.kind, "").format(field=first.field)
    return f"{_BEFORE.get(first.kind, '')}{error}{following}"
