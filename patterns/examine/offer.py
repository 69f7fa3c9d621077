"""One way to go on: structures that are drafted together, what each said, and what they leave."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from patterns.book.suits import LAST_RESORT, Need, Opened, Reason, Suits
from patterns.structures import whole
from patterns.structures.asking import AS_IT_COMES, Given
from patterns.structures.template import Template
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
    settings: tuple[str, ...] = ()
    """What must be set for it to be drafted, each as STRUCTURE.NAME=VALUE."""
    lifted: tuple[str, ...] = ()
    """What would refuse it without those settings."""
    given: Given = AS_IT_COMES
    """The same settings as they are read."""
    scattered: Sewn | None = None
    """Their scattered sewing as a draft by default would sew it, where they have one."""
    supported: bool = False
    """A support was added because the stitches alone hold the block less safely than asked."""

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
        return any(one.rulings for one in self.said)

    @property
    def against(self) -> tuple[str, ...]:
        """What speaks against it whatever it is for, that of its companions first."""
        own = self.lead
        others = [one for one in self.said if one is not own]
        lines = [line for one in (*others, own) for line in one.against]
        return tuple(dict.fromkeys([*lines, *self.lifted, *self._sewing()]))

    def _sewing(self) -> Iterator[str]:
        """Yield what the sewing does to the spine, and what its stitches bear."""
        if self.scattered is None or not self.scattered.swell.gatherings:
            return
        swell, load = self.scattered.swell, self.scattered.load
        words = f"its thread adds {tenth(swell.least_mm)} to {tenth(swell.most_mm)} mm to the spine"
        if not swell.within:
            likely, allowed = told_apart(swell.likely_mm, swell.allowed_mm)
            words += f", likely {likely}, more than the {allowed} mm that are let pass"
        yield words
        lent = self.supported and load is not None and (load.safety or load.asked) < load.asked
        if load is not None and load.safety is not None and (lent or not load.holds):
            safety, _ = told_apart(load.safety, load.asked, 2)
            holds = f"the standing block with a safety of {safety} where {load.asked:g} is asked"
            if lent:
                yield f"without the support its stitches would hold {holds}: the support carries the block"
            else:
                yield f"its stitches hold {holds}"

    def answer(self, need: Need) -> Reason | None:
        """Return what it has to say to a need: the leading structure, or the first that answers it."""
        return next((one for said in (self.lead, *self.said) if (one := said.answer(need))), None)

    @property
    def left_open(self) -> tuple[Opened, ...]:
        """What its structures open and none of them closes."""
        return whole.left_open(self.chosen, self.said)

    @property
    def missing(self) -> tuple[str, ...]:
        """What is to be measured before any of them can be drafted."""
        return tuple(dict.fromkeys(field for one in self.said for field in one.missing))
