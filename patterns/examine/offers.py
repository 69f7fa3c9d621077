"""What the structures say to the needs that were found: each asked once, as it comes by default.

Which structures answer a need, and what each is offered with, stands in their templates; whether
and why, they say themselves. Nothing here knows one of them by name.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import NamedTuple

from patterns.book.book import Book
from patterns.book.suits import LAST_RESORT, Need, Reason
from patterns.examine import ways
from patterns.examine.offer import Offer
from patterns.structures.asking import Sewings
from patterns.structures.template import Template


class Offers(NamedTuple):
    """Every structure that answers one of the needs found, in working order."""

    every: tuple[Offer, ...] = ()

    def named(self, structure: str) -> Offer:
        """Return the offer of these names, joined by "+"."""
        return next(offer for offer in self.every if offer.structure == structure)

    def answers(self, need: Need) -> tuple[tuple[Offer, Reason], ...]:
        """Return what answers a need and can be drafted: what leads there first, the strongest on this book first."""
        found = [(offer, reason) for offer, reason in self._asked(need) if not offer.ruled_out]
        return tuple(sorted(found, key=lambda pair: _rank(need, *pair)))

    def ruled_out(self, need: Need) -> tuple[Offer, ...]:
        """Return what would answer a need but is ruled out, where nothing else answers it."""
        if self.answers(need):
            return ()
        return tuple(offer for offer, _ in self._asked(need) if _leads(offer, need))

    def _asked(self, need: Need) -> Iterator[tuple[Offer, Reason]]:
        for offer in self.every:
            reason = offer.answer(need)
            if reason is not None:
                yield offer, reason


def _leads(offer: Offer, need: Need) -> bool:
    return offer.lead.answer(need) is not None


def _rank(need: Need, offer: Offer, reason: Reason) -> tuple[bool, bool, bool, int]:
    leads = _leads(offer, need)
    place = reason.place if leads else offer.lead.reasons[0].place
    return not leads, place >= LAST_RESORT, offer.swells_much, place


def gather(book: Book, needs: Collection[Need], templates: Mapping[str, Template]) -> Offers:
    """Ask every structure among `templates` that answers one of the needs, each as a whole way."""
    asked = [one for one in templates.values() if not set(one.answers).isdisjoint(needs)]
    known: Sewings = {}
    offers = (ways.whole_way(one, book, templates, known) for one in asked)
    found: dict[str, Offer] = {}
    for offer in offers:
        if offer is not None and any(_leads(offer, need) for need in needs):
            found.setdefault(offer.structure, offer)
    return Offers(tuple(found.values()))
