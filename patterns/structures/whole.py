"""Whole ways: what structures leave open on a book, and what closes it in the same pattern.

A template declares what its structure `opens`, a lining or a covering to be made, and what it `answers`;
the structure itself says whether it does so on this book. Nothing here knows one of them by name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from patterns.book.book import Book
from patterns.book.suits import LEFT_OPEN, Opened, Suits
from patterns.book.unions import moves, role
from patterns.record.record import Record
from patterns.structures import asking
from patterns.structures.template import Template, exclude


def left_open(chosen: Sequence[Template], said: Sequence[Suits]) -> tuple[Opened, ...]:
    """Return what structures open together and none of them closes, in the order of working."""
    opened = dict.fromkeys(need for one in chosen for need in one.opens)
    order = list(LEFT_OPEN)
    left = (need for need in opened if not any(suits.answer(need) for suits in said))
    return tuple(sorted(left, key=order.index))


def closing(
    need: Opened, chosen: Sequence[Template], book: Book, templates: Mapping[str, Template]
) -> Iterator[tuple[Template, Suits]]:
    """Yield what closes it beside the chosen ones, what suits best first, with what it says there."""
    found = []
    for one in _answering(need, chosen, templates):
        if any(exclude(one, other) for other in chosen):
            continue
        *_, suits = asking.ask_as_it_comes((*chosen, one), book)
        if (reason := suits.answer(need)) is not None:
            found.append((reason.place, one.order, one, suits))
    return ((one, suits) for *_, one, suits in sorted(found, key=lambda row: row[:2]))


def unfinished(
    chosen: Sequence[Template], book: Book, templates: Callable[[], Mapping[str, Template]]
) -> str:
    """Say in one line what a pattern of these structures leaves undone on a book; "" for nothing.

    All templates are asked for only where it leaves something.
    """
    said = asking.ask_as_it_comes(chosen, book)
    open_ = [
        f"{LEFT_OPEN[need]} ({_by_what(need, chosen, book, templates())})"
        for need in left_open(chosen, said)
    ]
    parted = list(_not_mended(chosen, book.record))
    left = f"This pattern leaves open {' and '.join(open_)}." if open_ else ""
    mended = f"It mends no union of {'; '.join(parted)}." if parted else ""
    return " ".join(words for words in (left, mended) if words)


def _by_what(
    need: Opened, chosen: Sequence[Template], book: Book, templates: Mapping[str, Template]
) -> str:
    """Say what would close it: another structure of the same pattern, or why none does."""
    found = list(closing(need, chosen, book, templates))
    names = [one.name for one, suits in found if not suits.ruled_out]
    if names:
        return f"{' or '.join(names)} would go with it"
    for one in _answering(need, chosen, templates):
        beside = next((other.name for other in chosen if exclude(one, other)), "")
        (suits,) = asking.ask_as_it_comes((one,), book)
        if beside and suits.answer(need) is not None:
            return f"{one.name}: not beside {beside}"
    for one, suits in found:
        return f"{one.name}: {suits.why_not[0]}"
    return "not covered here"


def _answering(
    need: Opened, chosen: Sequence[Template], templates: Mapping[str, Template]
) -> Iterator[Template]:
    names = {one.name for one in chosen}
    return (one for one in templates.values() if need in one.answers and one.name not in names)


def _not_mended(chosen: Sequence[Template], record: Record) -> Iterator[str]:
    """Yield each union that moves, has parted or is weak, and that no chosen structure answers."""
    limp = record.cover.kind in ("limp", "wrapper")
    answered = {need for one in chosen for need in one.answers}
    if any(kind.HANGS_BOARDS for kind in asking.gives(chosen)):
        answered.add("board joint")
    for union in record.unions:
        tired = union.state in ("failed", "weak") and moves(union, limp) is not False
        if tired and role(union.between, limp) not in answered:
            state = "parted" if union.state == "failed" else "weak"
            yield f"{' and '.join(union.between)} ({state})"
