"""What must be set so that structures are not refused: a setting that a ruling names, or another material."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from patterns.book.book import Book
from patterns.book.suits import Suits
from patterns.structures import asking
from patterns.structures.asking import AS_IT_COMES, Given
from patterns.structures.template import Template

if TYPE_CHECKING:
    from patterns.sewing.sewn import Sewn

ANY = "…"
"""Stands in a ruling for any material of that role which lifts it."""
MOST = 6
"""So many settings are tried, one after the other."""


class Lifted(NamedTuple):
    """What structures say once their rulings are lifted as far as a setting lifts them."""

    said: tuple[Suits, ...]
    settings: tuple[str, ...] = ()
    """Each as STRUCTURE.NAME=VALUE."""
    words: tuple[str, ...] = ()
    """What was said against them without."""
    given: Given = AS_IT_COMES


def lifted(chosen: Sequence[Template], book: Book, sewn: Sewn | None = None) -> Lifted:
    """Ask structures together as they come, then with what lifts the first ruling, and so on.

    `sewn` is their sewing, where it is worked out.
    """
    found = Lifted(asking.ask_as_it_comes(chosen, book, sewn=sewn))
    for _ in range(MOST):
        if any(suits.ruled_out for suits in found.said):
            return found
        step = next(_steps(chosen, book, found, sewn), None)
        if step is None:
            return found
        found = step
    return found


def _steps(
    chosen: Sequence[Template], book: Book, found: Lifted, sewn: Sewn | None
) -> Iterator[Lifted]:
    """Yield what is said with the first ruling lifted, for each setting that lifts it."""
    for one, suits in zip(chosen, found.said, strict=True):
        for ruling in suits.rulings:
            for shown, tried in _tried(one, ruling.lifted_by, book, found.given):
                said = asking.ask_as_it_comes(chosen, book, tried, sewn)
                left = said[list(chosen).index(one)].rulings
                if ruling.lifted_by not in [each.lifted_by for each in left]:
                    settings = (*found.settings, f"{one.name}.{shown}")
                    yield Lifted(said, settings, (*found.words, ruling.words), tried)
            return


def _tried(one: Template, lifted_by: str, book: Book, given: Given) -> Iterator[tuple[str, Given]]:
    name, _, value = lifted_by.partition("=")
    if value != ANY:
        read = one.parameters[name].read(value, name)
        settings = {**given.settings, (one.name, name): read}
        yield lifted_by, replace(given, settings=settings)
        return
    for material in book.stock.materials:
        if material.kind in one.materials[name].kinds:
            held = {**given.materials, (one.name, name): material}
            yield f"{name}={material.name}", replace(given, materials=held)
