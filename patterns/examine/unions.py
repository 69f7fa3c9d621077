"""Unions: what is pasted where it moves, sewn where it rests, weak or parted, and what would hold."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.unions import MOVING, Role, role
from patterns.examine.facts import SLOT_BOARD_MM, Facts
from patterns.examine.finding import NOTHING, Finding, Suit
from patterns.record.record import Union
from patterns.units import trimmed

_PRINCIPLE = "a union that must move lasts longer sewn, a static one is stronger pasted"


def find(facts: Facts) -> Iterator[Finding]:
    """Yield what is wrong with each union, parted ones first."""
    numbered = list(enumerate(facts.record.unions, 1))
    for state in ("failed", "weak"):
        for number, union in numbered:
            if union.state == state:
                yield _tired(facts, number, union)
    for number, union in numbered:
        moves = _moves(facts, union)
        if moves and union.made == "pasted":
            yield _wrong(facts, number, union, moving=True)
        elif moves is False and union.made == "sewn":
            yield _wrong(facts, number, union, moving=False)


def suits(facts: Facts, part: Role) -> tuple[Suit, ...]:
    """Return what would hold a moving union of this role, what is strongest for this book first."""
    if part == "leaves":
        return (
            Suit(
                "album_guards",
                "each leaf turns on a folded guard sewn through its fold, and strips fill the spine",
                "the book is taken down, and its spine is rebuilt",
            ),
        )
    if part == "cover joint":
        if not facts.takes_hinge:
            return ()
        return (
            Suit(
                "tissue_hinge",
                "sewn thin cloth and tissue carry the sides; no adhesive touches folds or spine",
                "holds light blocks only; the tissue shows on the sides' inner faces",
            ),
        )
    if part == "spine":
        return (_tube(facts) if _takes_tube(facts) else _lining(facts),)
    if part == "gatherings":
        return (_sewing(),)
    return _board_joint(facts)


def _board_joint(facts: Facts) -> tuple[Suit, ...]:
    board, shoulder = facts.board_mm, facts.shoulder_mm
    cloth = Suit(
        "sewn_cloth_joint",
        f"boards of {trimmed(board)} mm are too thin for a slot: the cloth lies on them instead"
        if board is not None and board < SLOT_BOARD_MM
        else "a cloth strip sewn through the first fold moves with the board and needs no slot",
        "the paste-down is lifted, and only the first and last gatherings carry the board",
    )
    tacket = Suit(
        "joint_tacket",
        "a few loops of thread, quickly made and undone",
        "loads a few holes: not for a heavy block" if facts.heavy else "loads a few holes only",
    )
    if board is not None and facts.takes_slot:
        slot = Suit(
            "board_slot+secondary_sewing",
            f"a lining sewn through many gatherings takes the weight where the joint moves; the boards "
            f"({trimmed(board)} mm) can take its flange in a slot, and the shoulder "
            f"({trimmed(shoulder)} mm) lets them turn on it",
            "a slot is cut into the original boards and cannot be undone",
        )
        return (slot, cloth) if facts.heavy else (slot, tacket, cloth)
    return (cloth, tacket) if shoulder > 0 and not facts.heavy else (cloth,)


def _sewing() -> Suit:
    return Suit(
        "secondary_sewing",
        "scattered stitches share the load among many folds without touching the old sewing",
        "adds thread to the folds: the spine swells a little",
    )


def _takes_tube(facts: Facts) -> bool:
    return facts.record.sewing.supports != "raised" and facts.record.cover.kind != "case"


def _tube(facts: Facts) -> Suit:
    heavy = " (two on, two off for this weight)" if facts.book.heavy_for_lining else ""
    return Suit(
        "hollow_tube",
        f"the covering leaves the spine free to open{heavy}",
        "the spine must be lifted whole from the text block",
    )


def _lining(facts: Facts) -> Suit:
    reason = (
        "panels between the raised supports hold the back without hiding them"
        if facts.record.sewing.supports == "raised"
        else "the case has a natural hollow already: a lining holds the back"
    )
    return Suit("spine_lining", reason, "a lining stiffens the opening a little")


def _moves(facts: Facts, union: Union) -> bool | None:
    """Whether it moves: as recorded; a joint or a leaf moves by its nature when nothing is said."""
    if union.moves is None and role(union.between, facts.limp) in MOVING:
        return True
    return union.moves


def _tired(facts: Facts, number: int, union: Union) -> Finding:
    first, second = union.between
    failed = union.state == "failed"
    moving = _moves(facts, union) is not False
    made = f"{union.made} " if union.made else ""
    offered = suits(facts, role(union.between, facts.limp)) if moving else ()
    tie = Suit(NOTHING, "tied or boxed it loses nothing more", "it cannot be used without harm")
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
        suits=(*offered, tie),
        cautions=("lift",) if role(union.between, facts.limp) == "board joint" else (),
    )


def _wrong(facts: Facts, number: int, union: Union, moving: bool) -> Finding:
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
        suits=suits(facts, role(union.between, facts.limp)) if moving else (),
    )
