"""Condition: what stops the work, and what must be handled with care, before anything is offered."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.examine.facts import Facts
from patterns.examine.finding import NOTHING, Call, Finding, Status, Suit

TEAR_MN = 150.0
"""Below this one leaf does not hold a stitch in its fold (mendfold's own threshold)."""

_BOX = Suit(NOTHING, "a box or wrapper protects it as it is", "it cannot be used meanwhile")

# value of the condition, call, title, what it means, source, status, cautions
_ROWS: dict[str, tuple[object, Call, str, str, str, Status, tuple[str, ...]]] = {
    "mould": (
        True, "stop", "Mould", "Active or not, it is isolated and judged before any other work.",
        "The National Archives (UK); Northeast Document Conservation Center", "published",
        ("mould",),
    ),
    "active_pests": (
        True, "stop", "Active pests", "The book is bagged and treated before any other work.",
        "common practice", "practice", ("pests",),
    ),
    "parchment": (
        True, "stop", "Parchment",
        "It moves with the air and shrinks when wetted or heated: nothing is pasted or pierced "
        "until a conservator has judged it.",
        "common practice", "practice", ("parchment", "no_moisture"),
    ),
    "paper": (
        "brittle", "stop", "Brittle paper at the folds",
        "It breaks along every row of holes and every stiff edge: no sewing without guards, and a "
        "conservator's judgement first.",
        "common practice", "practice", ("brittle",),
    ),
    "leather": (
        "red-rot", "note", "Red-rotted leather",
        "Water blackens it for good: no paste straight onto it.",
        "conservation lists", "published", ("red_rot", "no_moisture"),
    ),
    "iron_gall": (
        True, "note", "Iron-gall ink", "No moisture may reach it without a conservator's judgement.",
        "common practice", "practice", ("no_moisture", "solvents_on_object"),
    ),
    "soluble_media": (
        True, "note", "Inks, dyes or stamps that run",
        "Every liquid is tested on everything it may reach; sewing, dry-set or solvent-set joins "
        "come before paste.",
        "common practice", "practice", ("solvents_on_object",),
    ),
    "green_cloth": (
        True, "note", "Green 19th-century cloth or paper",
        "It may hold arsenic: gloves, no sanding or paring, and the book wrapped by itself.",
        "Winterthur Museum and University of Delaware", "published", ("green_cloth",),
    ),
}  # fmt: skip


def find(facts: Facts) -> Iterator[Finding]:
    """Yield what the condition of the book asks for, stops first."""
    condition = facts.record.condition
    for key, (value, call, title, words, source, status, cautions) in _ROWS.items():
        if getattr(condition, key) == value:
            yield Finding(
                key=key if key != "paper" else "brittle_paper",
                topic="condition",
                call=call,
                title=title,
                words=words,
                fields=(f"condition.{key}",),
                limit_source=source,
                status=status,
                sureness="as seen",
                suits=(_BOX,) if call == "stop" else (),
                cautions=cautions,
            )
    yield from _tear(facts)


def _tear(facts: Facts) -> Iterator[Finding]:
    tear = facts.record.text_block.tear_strength
    if tear is not None and tear < TEAR_MN:
        yield Finding(
            key="weak_folds",
            topic="condition",
            call="mend",
            title="Paper too weak at the folds to sew through",
            words=f"One leaf tears at {tear:g} mN; below {TEAR_MN:g} mN the folds are guarded before "
            "anything is sewn through them.",
            fields=("text_block.tear_strength",),
            figure=tear,
            unit="mN",
            limit=TEAR_MN,
            limit_source="mendfold's own threshold; new permanent paper has 350 mN (ISO 9706)",
            status="own",
            sureness="measured",
            suits=(_BOX,),
            cautions=("brittle",),
        )
