"""Whole ways: a structure with all that it needs beside it, until the book would be finished.

From the structure that answers what was found, others are added in one order: what lifts its
rulings, then what closes what has been opened, the lining before the covering, each time the
structure that suits this book best and excludes none of the others. Every way that closes more is
preferred to one that closes less.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from patterns.book.book import Book
from patterns.book.results import SupportResult
from patterns.book.suits import Opened, Ruling
from patterns.errors import MendfoldError
from patterns.examine.offer import Offer
from patterns.structures import asking, catalogue, lifting, whole
from patterns.structures.asking import Sewings
from patterns.structures.template import Template, When, exclude

if TYPE_CHECKING:
    from patterns.sewing.sewn import Sewn

Chosen = tuple[Template, ...]


def whole_way(
    leading: Template, book: Book, templates: Mapping[str, Template], known: Sewings
) -> Offer | None:
    """Return the way that a structure leads; ruled out as it is alone where nothing helps it.

    None where what it is always drafted with may not be offered. `known` holds the sewings of this book
    that were worked out already.
    """
    companions = _companions(leading, "always", templates)
    if companions is None:
        return None
    start: Chosen = (leading, *companions)
    search = _Search(leading, book, templates, known)
    best = search.best(start)
    if best.ruled_out:
        return best
    sewn = search.sewn(best)
    if sewn.scattered is not None and not sewn.ruled_out:
        # its bars are gone round as well: what suits beneath a cover is asked again
        search = replace(search, bars=sewn.scattered)
        sewn = replace(search.best(start), scattered=sewn.scattered)
    return _supported(sewn, search)


@dataclass(frozen=True, slots=True)
class _Search:
    leading: Template
    book: Book
    templates: Mapping[str, Template]
    known: Sewings
    bars: Sewn | None = None
    """The sewing whose bars lie beneath what comes after it, once it is worked out."""

    def best(self, start: Chosen) -> Offer:
        """Return the way that leaves least open; the beginning, ruled out, where there is none."""
        first = self.asked(start)
        return min(self.ways(first), key=lambda one: len(one.left_open), default=first)

    def sewn(self, offer: Offer) -> Offer:
        """Work out the sewing and every single hole; ruled out where they find no room."""
        given = offer.given
        try:
            asking.place_as_it_comes(offer.chosen, self.book, given)
            found = asking.sewn_as_it_comes(offer.chosen, self.book, given, self.known)
        except MendfoldError as error:
            lead = replace(offer.lead, rulings=(*offer.lead.rulings, Ruling(str(error))))
            said = (lead if one is offer.lead else one for one in offer.said)
            return replace(offer, said=tuple(said))
        return replace(offer, scattered=found)

    def asked(self, chosen: Chosen) -> Offer:
        """Ask structures together, in working order, with the settings that lift their rulings."""
        ordered = tuple(sorted(chosen, key=lambda one: (one.order, one.name)))
        found = lifting.lifted(ordered, self.book, self.bars)
        return Offer(self.leading, ordered, found.said, found.settings, found.words, found.given)

    def ways(self, offer: Offer, given_up: tuple[Opened, ...] = ()) -> Iterator[Offer]:
        """Yield what an offer may grow into, the best suited first, up to one that leaves nothing open."""
        if offer.ruled_out:
            yield from self._helped(offer, given_up)
            return
        left = [need for need in offer.left_open if need not in given_up]
        if not left:
            yield offer
            return
        found = False
        for one, _ in whole.closing(left[0], offer.chosen, self.book, self.templates):
            for way in self.ways(self.asked((*offer.chosen, one)), given_up):
                found = True
                yield way
                if not way.left_open:
                    return
        if not found:
            yield from self.ways(offer, (*given_up, left[0]))

    def _helped(self, offer: Offer, given_up: tuple[Opened, ...]) -> Iterator[Offer]:
        """Yield what becomes of a refused offer with the first of its helpers that help it."""
        for helping in self._helping(offer):
            helped = self.asked((*offer.chosen, *helping))
            way = None if helped.ruled_out else next(self.ways(helped, given_up), None)
            if way is not None:
                yield way
                return

    def _helping(self, offer: Offer) -> Iterator[Sequence[Template]]:
        """Yield what may help structures that are ruled out: each by itself first, then several."""
        pairs = zip(offer.chosen, offer.said, strict=True)
        names = dict.fromkeys(
            one.other
            for refused in (one for one, said in pairs if said.rulings)
            for one in refused.together
            if one.when == "ruled out alone"
        )
        known = [self.templates[name] for name in names if name in self.templates]
        offered = [
            one
            for one in known
            if one not in offer.chosen and not any(exclude(one, held) for held in offer.chosen)
        ]
        for count in range(1, len(offered) + 1):
            yield from combinations(offered, count)


def _supported(offer: Offer, search: _Search) -> Offer:
    """Add a support under the block where the stitches alone would hold it less safely than asked."""
    if not offer.weak:
        return offer
    for name, template in search.templates.items():
        if any(exclude(template, held) for held in offer.chosen):
            continue
        gives = catalogue.asked(name).gives
        if gives is None or not issubclass(gives, SupportResult):
            continue
        supported = search.asked((*offer.chosen, template))
        if not supported.ruled_out:
            return replace(search.sewn(supported), supported=True)
    return offer


def _companions(leading: Template, when: When, templates: Mapping[str, Template]) -> Chosen | None:
    """Return what a structure is offered with then; None where one of them may not be offered."""
    names = [one.other for one in leading.together if one.when == when]
    if not set(names) <= set(templates):
        return None
    return tuple(templates[name] for name in names)
