"""A failing ask made small: words of its commands, then lines and bytes of its odd file, left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import chain

from tests.campaign.asking import Ask, Command
from tests.campaign.trying import Tried

MOST_TRIES = 150
MOST_CPU_S = 15.0


def smallest(
    found: Tried,
    ask_again: Callable[[Ask], Tried],
    most: int = MOST_TRIES,
    most_cpu_s: float = MOST_CPU_S,
) -> Tried:
    """Return a smaller ask that fails in the same way; `found` itself where there is none."""
    best, left = found, most
    again = True
    while again and left > 0:
        again = False
        for smaller in _smaller(best.ask):
            if left <= 0 or most_cpu_s <= 0:
                break
            answer = ask_again(smaller)
            left, most_cpu_s = left - 1, most_cpu_s - answer.cpu_s
            if answer.fault == found.fault:
                best, again = answer, True
                break
    return best


def _smaller(ask: Ask) -> Iterator[Ask]:
    """Yield asks with something left out, the largest part first."""
    if len(ask.commands) > 1:
        yield from (ask.with_commands((one,)) for one in ask.commands)
        yield from (ask.with_commands(rest) for rest in _without_one(ask.commands))
    for at, command in enumerate(ask.commands):
        for fewer in _fewer_words(command):
            yield ask.with_commands((*ask.commands[:at], fewer, *ask.commands[at + 1 :]))
    if ask.odd:
        data = ask.files[ask.odd]
        lines = data.splitlines(keepends=True)
        if len(lines) > 1:
            yield from (ask.with_file(b"".join(rest)) for rest in _without_runs(lines, 1))
        least = max(1, len(data) // 32) if len(data) > 200 else 1
        yield from (ask.with_file(b"".join(rest)) for rest in _without_runs(_bytes(data), least))


def _fewer_words(command: Command) -> Iterator[Command]:
    """Yield a command without one of its options or structures; its first two words stay."""
    at = 2
    while at < len(command):
        pair = 2 if command[at].startswith("--") and at + 1 < len(command) else 1
        yield (*command[:at], *command[at + pair :])
        at += pair


def _without_one(held: Sequence[Command]) -> Iterator[tuple[Command, ...]]:
    yield from ((*held[:at], *held[at + 1 :]) for at in range(len(held)))


def _bytes(data: bytes) -> list[bytes]:
    return [data[at : at + 1] for at in range(len(data))]


def _without_runs(parts: Sequence[bytes], least: int) -> Iterator[list[bytes]]:
    """Yield the parts without a half, without a quarter … down to `least` of them (delta debugging)."""
    length = len(parts) // 2
    while length >= least:
        for start in range(0, len(parts), length):
            yield list(chain(parts[:start], parts[start + length :]))
        length //= 2
