"""What a name under `measuring.checked` stands for: readings that were taken again and found right.

A name stands for the reading that the record gives under it. Where it gives none, a name that two or more
readings share stands for all of them: of a board for both boards (`cover.board_thickness` where front and back
have their own), of a pair for head and tail, or front and back (`spine.shoulder`, `spine.girth`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields

from patterns.errors import Problem, Problems
from patterns.record.fields import BY_NAME
from patterns.record.legible import Legible
from patterns.record.record import SideTable

_SIDED = frozenset(item.name for item in fields(SideTable))
_ENDS = ("head", "tail", "front", "back", "spine", "fore_edge")
_OWN = frozenset({"text_block.thickness"})
"""One reading by itself: what is named like it was read elsewhere."""


def shared(name: str) -> tuple[str, ...]:
    """Return the fields that have a name in common, one of a pair or of a board each; none for most.

    >>> shared("spine.girth"), shared("cover.front.square_tail")[-1]
    (('spine.girth_head', 'spine.girth_tail'), 'cover.front.square_tail_fore_edge')
    """
    return tuple(one for one in dict.fromkeys(_below(name)) if one in BY_NAME)


def _below(name: str) -> Iterator[str]:
    table, _, key = name.rpartition(".")
    if name not in _OWN:
        yield from (f"{name}_{end}" for end in _ENDS)
    if table == "cover" and (key in _SIDED or f"{key}_head" in _SIDED):
        for side in ("front", "back"):
            yield f"cover.{side}.{key}"
            yield from (f"cover.{side}.{key}_{end}" for end in _ENDS)


def meant(name: str, given: Callable[[str], bool]) -> tuple[str, ...]:
    """Return the readings a name stands for in a record that gives some: none where it gives none of them."""
    if name in BY_NAME and given(name):
        return (name,)
    return tuple(one for one in shared(name) if given(one))


def idle(read: Legible) -> Problems:
    """Yield every name under `measuring.checked` that no reading stands under."""

    def given(name: str) -> bool:
        return read.get(name) is not None

    for name in read.get("measuring.checked", ()):
        if not meant(name, given):
            near = _near(name, given)
            yield Problem(
                "measuring.checked",
                f"names {name}, where no reading is recorded: nothing is checked by it",
                "names of readings that the record gives",
                f"write {' and '.join(near)}" if near else "leave it out, or record the reading",
            )


def _near(name: str, given: Callable[[str], bool]) -> list[str]:
    """Return the readings that may be meant: the same of the other side, of both, or of a pair."""
    root, *_, key = name.split(".")
    same = [one for one in BY_NAME if one.startswith(f"{root}.") and one.endswith(f".{key}")]
    alike = [one for one in same if given(one)]
    pairs = [one for one in BY_NAME if name in shared(one) and given(one)]
    mates = [mate for one in _stems(name) for mate in shared(one) if mate != name and given(mate)]
    return list(dict.fromkeys(alike or pairs or mates))


def _stems(name: str) -> Iterator[str]:
    """Yield what a name has in common with the other readings of its pair.

    >>> list(_stems("spine.girth_head"))
    ['spine.girth']
    """
    yield from (name.removesuffix(f"_{end}") for end in _ENDS if name.endswith(f"_{end}"))
