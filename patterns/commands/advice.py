"""What to type next: the command line alone adds it to a refusal, by the kind of its first problem."""

from __future__ import annotations

from patterns.errors import Kind, MendfoldError

_NEXT: dict[Kind, str] = {
    "missing": ": measure and add each below its [table], "
    "or run “mendfold measure” for the reason of each",
    "empty": " from “mendfold measure --blank”",
    "absent": ", or start one with “mendfold measure --blank”",
}


def told(error: MendfoldError) -> str:
    """Return a refusal's line with what to type next."""
    return f"{error}{_NEXT.get(error.problems[0].kind, '') if error.problems else ''}"
