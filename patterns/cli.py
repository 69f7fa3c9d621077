"""The command line: a group that loads each command's module only when it is called."""

from __future__ import annotations

import atexit
import contextlib
import gc
import importlib
import io
import os
import signal
import sys
from collections.abc import Sequence
from types import FrameType

import click

from patterns import __version__
from patterns.commands import advice
from patterns.errors import MendfoldError, plain

COMMANDS = {
    "demo": "the whole way on invented books, into ./mendfold-demo",
    "bench": "the page in the browser, for whoever does not use a terminal",
    "measure": "ask for the measurements, or write an empty record",
    "examine": "say what fails, why, and what would hold",
    "structures": "list the repair structures and their settings",
    "draft": "work out structures for a record and write the sheets",
    "printer": "measure a printer and keep its factors",
    "gallery": "keep patterns, find them again, pass them on",
    "survey": "a whole collection: every book examined and counted",
    "cutting-plan": "lay the pieces of patterns on what the studio has",
    "report": "write the treatment report of a kept pattern",
}
"""Every command with its short help; the help page needs no command's module."""
RARELY = 200_000
"""New objects before rubbish is looked for: a command is short and leaves little."""
atexit.register(gc.freeze)  # nor is it looked for at the end, a tenth of the time of a draft


class LazyGroup(click.Group):
    """A group whose commands live in patterns.commands, one module each."""

    def list_commands(self, _ctx: click.Context) -> list[str]:
        """Return the commands in the order of the work."""
        return list(COMMANDS)

    def get_command(self, _ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load one command."""
        if cmd_name not in COMMANDS:
            return None
        name = cmd_name.replace("-", "_")
        module = importlib.import_module(f"patterns.commands.{name}")
        command: click.Command = getattr(module, name)
        return command

    def format_commands(self, _ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the command list without loading any command."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="mendfold")
def cli() -> None:
    """From a book's measurements to the full-size sheets a conservator cuts and sews by."""


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a command; a refusal is one plain line on stderr and exit status 1."""
    gc.set_threshold(RARELY)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a sign the terminal lacks becomes a “?”
            stream.reconfigure(errors="replace")
    with contextlib.suppress(ValueError):  # only the main thread may listen for Ctrl-C
        signal.signal(signal.SIGINT, _stop)
    try:
        status = cli.main(
            args=list(arguments) if arguments is not None else None,
            prog_name="mendfold",
            standalone_mode=False,
        )
        if sys.stdout is not None:  # None: started with no output at all
            sys.stdout.flush()
    except click.exceptions.Abort:
        _leave("stopped", 1)
    except click.exceptions.Exit as leave:
        raise SystemExit(leave.exit_code) from None
    except click.ClickException as error:
        error.show()
        raise SystemExit(error.exit_code) from None
    except MendfoldError as error:
        _leave(advice.told(error), 1)
    except KeyboardInterrupt:
        _leave("stopped", 1)
    except BrokenPipeError:
        _drop_output()
        raise SystemExit(1) from None
    except UnicodeEncodeError:
        _leave("a name holds bytes that are no text: rename it with letters, digits and -", 1)
    except OSError as error:
        _drop_output()
        where = f"{error.filename}: " if error.filename else ""
        reason = str(error.strerror or error)  # a library may put what it likes there
        _leave(f"{where}{reason.lower()}: check the name, rights and disk", 1)
    raise SystemExit(status if isinstance(status, int) else 0)


def _stop(_signal: int, frame: FrameType | None) -> None:
    """Answer Ctrl-C: at once while a library loads, which would turn it into its own complaint.

    Nothing is being written then; everything else is left to tidy up after itself.
    """
    while frame is not None:
        if frame.f_code.co_filename.startswith("<frozen importlib"):
            click.echo("mendfold: stopped", err=True)
            os._exit(1)
        frame = frame.f_back
    raise KeyboardInterrupt


def _drop_output() -> None:
    """Let what nobody can read any more go nowhere, so that leaving does not fail on it."""
    with contextlib.suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _leave(line: str, status: int) -> None:
    with contextlib.suppress(OSError):
        click.echo(plain(f"mendfold: {line}"), err=True)
    raise SystemExit(status)
