"""What the README promises exists: structures, commands, options."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

import patterns
from patterns.cli import COMMANDS, cli
from patterns.structures import catalogue

README = Path(patterns.__file__).parent.parent / "README.md"
START, END = (
    "<!-- structures: written by the tests' --update-golden -->\n",
    "<!-- end of structures -->",
)


def table() -> str:
    """Return the README's list of structures as the templates have it."""
    rows = [f"| `{one.name}` | {one.purpose} |" for one in catalogue.templates().values()]
    return "\n".join(["| structure | what it is for |", "| --- | --- |", *rows]) + "\n"


@pytest.mark.golden
def test_the_list_of_structures_is_that_of_the_templates(request: pytest.FixtureRequest) -> None:
    """The README lists every template with its purpose; `--update-golden` writes it anew."""
    text = README.read_text(encoding="utf-8")
    before, _, rest = text.partition(START)
    held, _, after = rest.partition(END)
    if request.config.getoption("--update-golden"):
        README.write_text(before + START + table() + END + after, encoding="utf-8")
        return
    assert held == table()


def walk(
    group: click.Group, trail: tuple[str, ...] = ()
) -> list[tuple[tuple[str, ...], click.Command]]:
    """Return every command below a group with the words that call it."""
    context = click.Context(group)
    found: list[tuple[tuple[str, ...], click.Command]] = []
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None, name
        if isinstance(command, click.Group):
            found += walk(command, (*trail, name))
        else:
            found.append(((*trail, name), command))
    return found


def test_every_command_and_option_has_help() -> None:
    """Each command says what it does, and each of its options too."""
    for words, command in walk(cli):
        assert command.help, words
        for parameter in command.params:
            if isinstance(parameter, click.Option):
                assert parameter.help, (words, parameter.name)


def test_every_command_stands_in_the_readme() -> None:
    """No command is left out of the README, and the README names none that does not exist."""
    text = README.read_text(encoding="utf-8")
    named = set(re.findall(r"(?:\$ |bin/)mendfold ([a-z-]+)", text))
    assert named >= set(COMMANDS)
    assert named <= {*COMMANDS}


def test_the_short_help_of_a_command_does_not_lie() -> None:
    """The command line's own list names exactly the commands that can be loaded."""
    assert {words[0] for words, _ in walk(cli)} == set(COMMANDS)
