"""Proportion: whether cover, spine, shoulders and fore edge fit the block they belong to."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book import boards
from patterns.book.answer import certain
from patterns.book.block import usual_swelling_mm
from patterns.errors import RecordError
from patterns.examine.facts import Facts
from patterns.examine.finding import NOTHING, Finding, Suit
from patterns.units import trimmed

NARROW_MM = 1.0
SHOULDER_MM = 1.0


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every part that is out of proportion with the block."""
    for check in (_narrow, _wide_fore_edge, _fallen_in, _shoulder):
        yield from check(facts)


def deficiencies_mm(facts: Facts) -> dict[str, float]:
    """Return by field how much the cover's spine is narrower than what it must go round, in mm.

    What it must go round is the covering's way over spine and both joints, as a draft reckons it; a
    figure that stands for head or tail is held against those as well. Nothing where one is unknown.
    """
    cover, spine, book = facts.record.cover, facts.spine, facts.book
    if spine is None:
        return {}
    try:
        needed = book.covering.needed_mm(spine.linings_mm, book.cover_thickness.value)
        flat = book.cover_spine
    except RecordError:
        return {}
    if flat is None:
        return {}
    head, tail = needed
    own, at_head, at_tail = cover.spine_width, cover.spine_width_head, cover.spine_width_tail
    found: dict[str, float] = {}
    if own is not None:
        ends = [mm for mm, given in ((head, at_head), (tail, at_tail)) if given is None]
        found["cover.spine_width"] = max((sum(needed) / 2, *ends)) - own
    if at_head is not None:
        alone = own is None and at_tail is None
        found["cover.spine_width_head"] = (max(needed) if alone else head) - at_head
    if at_tail is not None:
        alone = own is None and at_head is None
        found["cover.spine_width_tail"] = (max(needed) if alone else tail) - at_tail
    return found or {"cover.spine_strip": max(needed) - flat.head_mm}


def _narrow(facts: Facts) -> Iterator[Finding]:
    short = deficiencies_mm(facts)
    if not short or facts.spine is None or max(short.values()) <= NARROW_MM:
        return
    worst = max(short.values())
    thickness = facts.record.text_block.thickness or facts.spine.chord_mm
    yield Finding(
        key="spine_too_narrow",
        topic="proportion",
        call="mend",
        title="The cover's spine is too narrow for the block",
        words=f"It is {trimmed(worst, 1)} mm narrower than the way round the block and joints, which "
        f"leaves {100 * worst / thickness:.0f} % of the thickness uncovered: the joints are "
        "strained every time the book is shut.",
        fields=(*short, "spine.girth_head" if facts.spine.by_strip else "spine.round_depth"),
        figure=worst,
        unit="mm",
        limit=NARROW_MM,
        limit_source="common practice",
        status="practice",
        sureness=f"girth {facts.spine.shape_words}, ± {trimmed(facts.spine.error_mm, 1)} mm"
        + "".join(f"; {words}" for words in facts.book.covering.gaps_assumed),
        need="narrow cover",
    )


def _wide_fore_edge(facts: Facts) -> Iterator[Finding]:
    more = facts.book.swollen_mm
    if not more:
        return
    thickness = certain(facts.book.thickness_mm, "text_block.thickness")
    box = Suit(
        NOTHING,
        "a box holds it at the thickness it has; strips between the leaves would only add to it",
        "the boards go on gaping",
        boxes=True,
    )
    yield Finding(
        key="swollen_fore_edge",
        topic="proportion",
        call="mend",
        title="The fore edge is thicker than the spine",
        words=f"By {trimmed(more, 1)} mm: a wider cover will not close it; the spine must be filled, "
        "or what was put in taken out.",
        fields=("text_block.thickness_fore_edge", "text_block.thickness"),
        figure=more,
        unit="mm",
        limit=usual_swelling_mm(thickness),
        limit_source="common practice: 2 mm or 5 % of the thickness, whichever is less",
        status="practice",
        sureness="measured",
        need="thick fore edge",
        suits=(box,),
    )


def _fallen_in(facts: Facts) -> Iterator[Finding]:
    spine = facts.record.spine
    depth = spine.round_depth
    if not facts.book.fallen_in:
        return
    yield Finding(
        key="fallen_in",
        topic="proportion",
        call="mend",
        title="The spine has fallen in",
        words="The block hangs forward out of its round: support its weight first, line it only "
        "when it stands again in the round.",
        fields=("spine.round_depth",) if depth is not None else ("spine.profile",),
        figure=depth,
        unit="mm",
        limit=0.0,
        limit_source="common practice",
        status="practice",
        sureness="measured" if depth is not None else "as seen",
        need="fallen-in spine",
    )


def _shoulder(facts: Facts) -> Iterator[Finding]:
    from_sides = []
    for side in ("front", "back"):
        board = facts.record.cover.side(side)
        shoulder = boards.shoulder(facts.record, side)
        if board.board_thickness is None or shoulder.assumed or board.joint in ("flush", "french"):
            continue
        if not facts.limp and abs(board.board_thickness - shoulder.value) > SHOULDER_MM:
            from_sides.append((side, board.board_thickness - shoulder.value))
    if not from_sides:
        return
    worst = max((more for _, more in from_sides), key=abs)
    yield Finding(
        key="board_and_shoulder_differ",
        topic="proportion",
        call="note",
        title="Board and shoulder do not match",
        words=f"The {' and '.join(side for side, _ in from_sides)} board is {trimmed(abs(worst), 1)} mm "
        f"{'thicker than its shoulder' if worst > 0 else 'thinner than its shoulder'}: the joint "
        "binds or gapes. A new board of the right thickness, or a pad on the old one, would suit.",
        fields=("cover.board_thickness", "spine.shoulder"),
        figure=abs(worst),
        unit="mm",
        limit=SHOULDER_MM,
        limit_source="common practice: shoulder equals board thickness (Vaughn 1912); 1 mm is common "
        "practice",
        status="practice",
        sureness="measured",
    )
