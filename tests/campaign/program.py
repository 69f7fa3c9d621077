"""The program as the campaign runs it: its command line, with what it drafted and laid out to look at."""

from __future__ import annotations

import contextlib
import importlib
import io
import pkgutil
import traceback
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import patterns
from patterns import cli
from patterns.drafting import job, making
from patterns.drafting.making import Made
from patterns.drafting.order import Drafted
from patterns.errors import plain
from patterns.model.sheet import Sheet
from patterns.sheets import whole
from patterns.structures import catalogue

LONGEST_LINE = 3000
LEAST_LINE = 20


class TooSlowError(BaseException):
    """The processor time is used up; no command catches it."""


def warm() -> None:
    """Load what every child would load again: all modules, and every structure."""
    for one in pkgutil.walk_packages(patterns.__path__, "patterns."):
        if not one.name.endswith("__main__"):
            importlib.import_module(one.name)
    for name in catalogue.names():
        catalogue.structure(name)
    for name in ("ezdxf.recover", "ezdxf.path", "reportlab.pdfgen.canvas", "shapely.validation"):
        importlib.import_module(name)


@dataclass(slots=True)
class Watch:
    """What commands drafted and laid out; without `laying_out` no sheet is drawn."""

    laying_out: bool = False
    drafted: list[Drafted] = field(default_factory=list)
    sheets: list[tuple[Sheet, ...]] = field(default_factory=list)
    made: list[Made] = field(default_factory=list)
    judged: int = 0
    """Sheets looked at."""

    def begin(self, laying_out: bool) -> None:
        """Forget what was seen."""
        for held in (self.drafted, self.sheets, self.made):
            held.clear()
        self.laying_out, self.judged = laying_out, 0

    def put_in(self) -> None:
        """Stand between the commands and drafting; for a process that ends soon."""
        draft, make, sheets = job.draft, making.make, whole.sheets

        def drafting(order: Any) -> Drafted:
            self.drafted.append(draft(order))
            return self.drafted[-1]

        def laying(layout: Any) -> tuple[Sheet, ...]:
            self.sheets.append(tuple(sheets(layout)) if self.laying_out else ())
            return self.sheets[-1]

        def finishing(drafted: Drafted) -> Made:
            self.made.append(make(drafted))
            return self.made[-1]

        job.draft, whole.sheets, making.make = drafting, laying, finishing


@dataclass(frozen=True, slots=True)
class Ran:
    """How a command ended: taken, refused, ill told, traceback, too slow or too large; and where."""

    ended: str
    told: str = ""
    sheets: int = 0


def run(arguments: Sequence[str]) -> Ran:
    """Run one command of the program in this process, its output kept."""
    out, err = io.StringIO(), io.StringIO()
    status: object = 0
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            cli.main(arguments)
        except SystemExit as leave:
            status = leave.code or 0
        except TooSlowError as error:
            return Ran("too slow", where(error))
        except MemoryError as error:
            return Ran("too large", where(error))
        except Exception as error:  # whatever it is, it is what is looked for
            return Ran("traceback", f"{type(error).__name__} {where(error)}: {plain(str(error))}")
    if status == 0:
        return Ran("taken")
    if fault := _ill_told(status, err.getvalue(), out.getvalue()):
        return Ran("ill told", fault)
    return Ran("refused", err.getvalue().strip())


def _ill_told(status: object, err: str, out: str) -> str:
    """Return what is wrong with how a refusal is told; "" for nothing."""
    lines = err.splitlines()
    if status == 2 and "Error: " in err:  # click's own words for an option
        return ""
    if status != 1:
        return f"exit status {status}"
    if not lines:  # what was looked through is told as an answer
        return "" if out.strip() else "nothing is told"
    own = [line for line in lines if not line.startswith("warning: ")]
    if len(own) != 1 or not own[0].startswith("mendfold: "):
        return f"{len(own)} lines: {plain(err)[:200]}"
    if own[0] != plain(own[0]) or not LEAST_LINE <= len(own[0]) <= LONGEST_LINE:
        return f"a line of {len(own[0])} signs: {own[0][:200]}"
    return ""


def where(error: BaseException) -> str:
    """Return the program's own function that was last on the way to an error."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if "patterns" in Path(frame.filename).parts]
    last = (own or frames)[-1]
    return f"in {Path(last.filename).name}, {last.name}"
