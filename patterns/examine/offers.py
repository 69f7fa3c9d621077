"""What the structures say to the needs that were found: each asked once, as it comes by default.

Which structures answer a need, and what each is offered with, stands in their templates; whether
and why, they say themselves. Nothing here knows one of them by name.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import TYPE_CHECKING

from patterns.book.book import Book
from patterns.book.results import SupportResult
from patterns.book.suits import LAST_RESORT, Need, Reason, Suits
from patterns.structures import asking, catalogue
from patterns.structures.asking import Worked
from patterns.structures.template import Template, When
from patterns.units import tenth, told_apart

if TYPE_CHECKING:
    from patterns.sewing.sewn import Sewn


@dataclass(frozen=True, slots=True)
class Offer:
    """A structure, with those it is offered with, and what each said."""

    leading: Template
    chosen: tuple[Template, ...]
    """All of them in working order."""
    said: tuple[Suits, ...]
    """By each of the chosen."""
    scattered: Sewn | None = None
    """Their scattered sewing as a draft by default would sew it, where they have one."""
    alone: Sewn | None = None
    """The same without the support that was added because the stitches alone hold too little."""

    @property
    def structure(self) -> str:
        """Their names, joined by "+" as they are drafted."""
        return "+".join(one.name for one in self.chosen)

    @property
    def sewn(self) -> bool:
        """True when one of them is sewn through the book's own folds."""
        return any(one.sewn == "old folds" for one in self.chosen)

    @property
    def swells_much(self) -> bool:
        """True where its thread is likely to swell the spine by more than is let pass."""
        return self.scattered is not None and not self.scattered.swell.within

    @property
    def last_resort(self) -> bool:
        """True where it comes after everything else that answers."""
        return all(reason.place >= LAST_RESORT for reason in self.lead.reasons)

    @property
    def weak(self) -> bool:
        """True where its stitches hold the standing block less safely than is asked by default."""
        load = self.scattered.load if self.scattered else None
        return load is not None and not load.holds

    @property
    def lead(self) -> Suits:
        """What the leading structure said."""
        return self.said[self.chosen.index(self.leading)]

    @property
    def ruled_out(self) -> bool:
        """True when one of them cannot be drafted."""
        return any(one.ruled_out for one in self.said)

    @property
    def against(self) -> tuple[str, ...]:
        """What speaks against it whatever it is for, that of its companions first."""
        own = self.lead
        others = [one for one in self.said if one is not own]
        lines = [line for one in (*others, own) for line in one.against]
        lifted = [ruling.words for one in self.said for ruling in one.rulings]
        return tuple(dict.fromkeys([*lines, *lifted, *self._sewing()]))

    def _sewing(self) -> Iterator[str]:
        """Yield what the sewing does to the spine, and what its stitches bear."""
        if self.scattered is None or not self.scattered.swell.gatherings:
            return
        swell, load = self.scattered.swell, (self.alone or self.scattered).load
        words = f"its thread adds {tenth(swell.least_mm)} to {tenth(swell.most_mm)} mm to the spine"
        if not swell.within:
            likely, allowed = told_apart(swell.likely_mm, swell.allowed_mm)
            words += f", likely {likely}, more than the {allowed} mm that are let pass"
        yield words
        if load is not None and load.safety is not None and not load.holds:
            safety, _ = told_apart(load.safety, load.asked, 2)
            holds = f"the standing block with a safety of {safety} where {load.asked:g} is asked"
            if self.alone:
                yield f"without the support its stitches would hold {holds}: the support carries the block"
            else:
                yield f"its stitches hold {holds}"

    @property
    def missing(self) -> tuple[str, ...]:
        """What is to be measured before any of them can be drafted."""
        return tuple(dict.fromkeys(field for one in self.said for field in one.missing))


@dataclass(frozen=True, slots=True)
class Offers:
    """Every structure that answers one of the needs found, in working order."""

    every: tuple[Offer, ...] = ()

    def named(self, structure: str) -> Offer:
        """Return the offer of these names, joined by "+"."""
        return next(offer for offer in self.every if offer.structure == structure)

    def answers(self, need: Need) -> tuple[tuple[Offer, Reason], ...]:
        """Return what answers a need and can be drafted, the strongest on this book first."""
        found = [(offer, reason) for offer, reason in self._asked(need) if not offer.ruled_out]
        return tuple(
            sorted(
                found,
                key=lambda pair: (
                    pair[1].place >= LAST_RESORT,
                    pair[0].swells_much,
                    pair[1].place,
                ),
            )
        )

    def ruled_out(self, need: Need) -> tuple[Offer, ...]:
        """Return what would answer a need but is ruled out, where nothing else answers it."""
        if self.answers(need):
            return ()
        return tuple(offer for offer, _ in self._asked(need))

    def _asked(self, need: Need) -> Iterator[tuple[Offer, Reason]]:
        for offer in self.every:
            reason = offer.lead.answer(need)
            if reason is not None:
                yield offer, reason


@dataclass(frozen=True, slots=True)
class _Asking:
    """What every structure is asked about, and among which."""

    book: Book
    templates: Mapping[str, Template]
    worked: Worked = field(default_factory=dict)
    """Sewings of this book so far: each is worked out once."""


def gather(book: Book, needs: Collection[Need], templates: Mapping[str, Template]) -> Offers:
    """Ask every structure among `templates` that answers one of the needs."""
    asked = [one for one in templates.values() if not set(one.answers).isdisjoint(needs)]
    asking_all = _Asking(book, templates)
    offers = (_offer(one, asking_all) for one in asked)
    return Offers(tuple(offer for offer in offers if offer is not None))


def _offer(leading: Template, asked: _Asking) -> Offer | None:
    """Ask a structure with what it is always offered with; ruled out, with what would help it."""
    always = _companions(leading, "always", asked.templates)
    if always is None:
        return None
    alone = _with(leading, asked, always)
    return _supported(_helped(alone, always, asked) if alone.ruled_out else alone, asked)


def _helped(alone: Offer, always: Sequence[Template], asked: _Asking) -> Offer:
    """Return a structure that is ruled out alone with the first of its helpers that help it; else as it is."""
    for helping in _helping(alone.leading, asked.templates):
        helped = _with(alone.leading, asked, (*always, *helping))
        if not helped.ruled_out:
            return helped
    return alone


def _supported(offer: Offer, asked: _Asking) -> Offer:
    """Add a support under the block where the stitches alone would hold it less safely than asked."""
    if not offer.weak:
        return offer
    for name, template in asked.templates.items():
        gives = catalogue.asked(name).gives
        if gives is not None and issubclass(gives, SupportResult):
            companions = [one for one in offer.chosen if one is not offer.leading]
            supported = _with(offer.leading, asked, (*companions, template))
            if not any(said.rulings for said in supported.said):
                return replace(supported, alone=offer.scattered)
    return offer


def _helping(leading: Template, templates: Mapping[str, Template]) -> Iterator[Sequence[Template]]:
    """Yield what may help a structure that is ruled out alone: each by itself first, then several."""
    known = [one.other for one in leading.together if one.when == "ruled out alone"]
    offered = [templates[name] for name in known if name in templates]
    for count in range(1, len(offered) + 1):
        yield from combinations(offered, count)


def _companions(
    leading: Template, when: When, templates: Mapping[str, Template]
) -> tuple[Template, ...] | None:
    """Return what a structure is offered with then; None where one of them may not be offered."""
    names = [one.other for one in leading.together if one.when == when]
    if not set(names) <= set(templates):
        return None
    return tuple(templates[name] for name in names)


def _with(leading: Template, asked: _Asking, companions: Sequence[Template]) -> Offer:
    chosen = tuple(sorted((leading, *companions), key=lambda one: (one.order, one.name)))
    offer = Offer(leading, chosen, asking.ask_as_it_comes(chosen, asked.book))
    if offer.ruled_out:
        return offer
    return replace(offer, scattered=asking.sewn_as_it_comes(chosen, asked.book, asked.worked))
