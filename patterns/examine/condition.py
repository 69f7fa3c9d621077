"""Condition: what stops the work, and what must be handled with care, before anything is offered."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.condition import Hazard, met
from patterns.book.folds import LEAST_MN
from patterns.examine.facts import Facts
from patterns.examine.finding import BOXED, NOTHING, Finding, Suit

_BOX = Suit(NOTHING, BOXED, "it cannot be used meanwhile", boxes=True)
_APART = Suit(NOTHING, "it is isolated, unwrapped by anything new", "it cannot be used meanwhile")


def find(facts: Facts) -> Iterator[Finding]:
    """Yield what the condition of the book asks for, stops first."""
    for one in met(facts.record.condition):
        yield Finding(
            key=one.key if one.key != "paper" else "brittle_paper",
            topic="condition",
            call="stop" if one.stops else "note",
            title=one.title,
            words=one.words,
            fields=(f"condition.{one.key}",),
            limit_source=one.source,
            status=one.status,
            sureness="as seen",
            suits=_meanwhile(one),
            cautions=one.cautions,
            isolates=one.isolates,
        )
    yield from _tear(facts)


def _meanwhile(hazard: Hazard) -> tuple[Suit, ...]:
    """Return what becomes of a book whose work is stopped: boxed, or kept apart without a wrapper."""
    if not hazard.stops:
        return ()
    return (_APART if hazard.isolates else _BOX,)


def _tear(facts: Facts) -> Iterator[Finding]:
    tear = facts.record.text_block.tear_strength
    if tear is not None and tear < LEAST_MN:
        yield Finding(
            key="weak_folds",
            topic="condition",
            call="mend",
            title="Paper too weak at the folds to sew through",
            words=f"One leaf tears at {tear:g} mN; below {LEAST_MN:g} mN the folds are guarded before "
            "anything is sewn through them.",
            fields=("text_block.tear_strength",),
            figure=tear,
            unit="mN",
            limit=LEAST_MN,
            limit_source="mendfold's own threshold; new permanent paper has 350 mN (ISO 9706)",
            status="own",
            sureness="measured",
            suits=(_BOX,),
            cautions=("brittle",),
        )
