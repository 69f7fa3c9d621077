"""Unions: what is pasted where it moves, sewn where it rests, weak or parted, and what would hold."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.unions import moves, role
from patterns.examine.facts import Facts
from patterns.examine.finding import NOTHING, Finding, Suit
from patterns.record.record import UnionTable

_PRINCIPLE = "a union that must move lasts longer sewn, a static one is stronger pasted"


def find(facts: Facts) -> Iterator[Finding]:
    """Yield what is wrong with each union, parted ones first."""
    numbered = list(enumerate(facts.record.unions, 1))
    for state in ("failed", "weak"):
        for number, union in numbered:
            if union.state == state:
                yield _tired(facts, number, union)
    for number, union in numbered:
        moving = moves(union, facts.limp)
        if moving and union.made == "pasted":
            yield _wrong(facts, number, union, moving=True)
        elif moving is False and union.made == "sewn":
            yield _wrong(facts, number, union, moving=False)


def _tired(facts: Facts, number: int, union: UnionTable) -> Finding:
    first, second = union.between
    failed = union.state == "failed"
    moving = moves(union, facts.limp) is not False
    made = f"{union.made} " if union.made else ""
    tie = Suit(
        NOTHING, "tied or boxed it loses nothing more", "it cannot be used without harm", True
    )
    return Finding(
        key="union_failed" if failed else "union_weak",
        topic="unions",
        call="mend",
        title=f"{first.capitalize()} and {second}: {'parted' if failed else 'weak'}",
        words=f"The {made}union of {first} and {second} {'has failed' if failed else 'is weak'}. "
        + (
            "It moves whenever the book is used: what replaces it is sewn."
            if moving
            else "It does not move: it is pasted down again, and needs no new structure."
        ),
        fields=(f"union[{number}].state",),
        limit_source="common practice: " + _PRINCIPLE,
        status="practice",
        sureness="as seen",
        need=role(union.between, facts.limp) if moving else None,
        suits=(tie,),
        cautions=("lift",) if role(union.between, facts.limp) == "board joint" else (),
    )


def _wrong(facts: Facts, number: int, union: UnionTable, moving: bool) -> Finding:
    first, second = union.between
    return Finding(
        key="moving_union_pasted" if moving else "static_union_sewn",
        topic="unions",
        call="mend" if moving else "note",
        title=f"{first.capitalize()} and {second}: "
        + ("pasted, though it moves" if moving else "sewn, though it does not move"),
        words="Paste hardens and breaks where it is bent: change it into a sewn union."
        if moving
        else "Thread has nothing to do here and its holes weaken both parts: paste would be stronger. "
        "Change it only when it fails.",
        fields=(f"union[{number}].moves", f"union[{number}].made"),
        limit_source="common practice: " + _PRINCIPLE,
        status="practice",
        sureness="as seen",
        need=role(union.between, facts.limp) if moving else None,
    )
