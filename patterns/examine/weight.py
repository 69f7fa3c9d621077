"""Weight: whether what carries and guards the block is up to what it weighs."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.masses import ATTACHMENT_HEAVY_KG as HEAVY_KG
from patterns.errors import PlacementError
from patterns.examine.facts import Facts
from patterns.examine.finding import NOTHING, Finding, Suit
from patterns.formulas import mechanics
from patterns.units import trimmed, two_figures

BOARD_SHARE = 0.5
UPRIGHT_HEIGHT_MM = 400.0
UPRIGHT_THICKNESS_MM = 80.0
SQUARE_MM = {"duodecimo": 2.5, "octavo": 3.0, "quarto": 5.0, "folio": 8.0, "large folio": 12.0}
"""Most of the working squares usual for each format (memory)."""


def find(facts: Facts) -> Iterator[Finding]:
    """Yield what is too weak, too heavy or too deep for the block's weight and size."""
    for check in (_square, _attachments, _boards, _upright):
        yield from check(facts)


def _attachments(facts: Facts) -> Iterator[Finding]:
    """Hold the block's weight, standing, against supports that are weak or only sawn in."""
    sewing, block, mass = facts.record.sewing, facts.record.text_block, facts.mass
    tired = any(
        union.state in ("weak", "failed") and union.moves is not False
        for union in facts.record.unions
    )
    if (
        mass is None
        or mass.value < HEAVY_KG
        or not (tired or sewing.supports in ("recessed", "none"))
    ):
        return
    pull = _pull_words(facts)
    how = (
        "unions that are weak or parted"
        if tired
        else "recessed supports, whose slips are thin"
        if sewing.supports == "recessed"
        else "a sewing without supports"
    )
    yield Finding(
        key="heavy_on_attachments",
        topic="proportion",
        call="mend",
        title="A heavy block on weak attachments",
        words=f"{trimmed(mass.value)} kg hang on {how}{pull} when the book stands closed. Lifted by one "
        "board, the same weight comes on the first folds alone.",
        fields=("text_block.weight" if block.weight is not None else "book.weight",)
        + (("sewing.supports",) if not tired else ()),
        figure=mass.value,
        unit="kg",
        limit=HEAVY_KG,
        limit_source="common practice",
        status="practice",
        sureness=mass.source,
        need="heavy block",
        cautions=("lift", "support_block"),
    )


def _pull_words(facts: Facts) -> str:
    """Say the greatest pull on one support of the closed, standing book, where it can be known."""
    supports, width = facts.record.sewing.supports_at, facts.record.text_block.width
    if not supports or width is None or facts.mass is None:
        return ""
    try:
        pull = max(mechanics.stitch_loads_n(facts.mass.value, width, supports))
    except PlacementError:
        return ""
    return f", up to {two_figures(pull)} N on one of its {len(supports)} supports"


def _boards(facts: Facts) -> Iterator[Finding]:
    if facts.boards_kg is None or facts.mass is None or facts.mass.value <= 0:
        return
    share = facts.boards_kg / facts.mass.value
    if share <= BOARD_SHARE:
        return
    yield Finding(
        key="boards_too_heavy",
        topic="proportion",
        call="note",
        title="The boards are heavy for the block",
        words=f"Both boards weigh {trimmed(facts.boards_kg, 3)} kg, {100 * share:.0f} % of the block: "
        "they tear at its first and last folds. If boards are ever renewed, make them thinner.",
        fields=("cover.board_weight", "book.weight"),
        figure=share,
        unit="of the block",
        limit=BOARD_SHARE,
        limit_source="common practice",
        status="practice",
        sureness=f"boards weighed, block {facts.mass.source}",
        suits=(Suit(NOTHING, "a box keeps the boards from working", "they stay as heavy", True),),
    )


def _square(facts: Facts) -> Iterator[Finding]:
    cover, block, mass = facts.record.cover, facts.record.text_block, facts.mass
    squares = facts.book.tail_squares_mm
    usual = SQUARE_MM.get(facts.record.book.format or "", SQUARE_MM["folio"])
    if not squares or mass is None or mass.value < HEAVY_KG or max(squares) <= usual:
        return
    sag = max(squares)
    named = [
        f"cover.{key}"
        for key in ("square_tail", "square_tail_spine", "square_tail_fore_edge")
        if any(getattr(cover.side(side), key) is not None for side in ("front", "back"))
    ]
    opens = ""
    if block.height and block.width:
        opens = (
            f" A block free to turn about the tail of its spine would come "
            f"{trimmed(sag * block.height / block.width, 1)} mm off the joint at the head; sound joints "
            "hold it, and are strained."
        )
    yield Finding(
        key="deep_tail_square",
        topic="proportion",
        call="mend",
        title="The tail square lets a heavy block hang",
        words=f"Standing, {trimmed(mass.value)} kg can sink {trimmed(sag, 1)} mm between the boards."
        + opens,
        fields=(*named, "book.weight"),
        figure=sag,
        unit="mm",
        limit=usual,
        limit_source=f"working squares usual for a {facts.record.book.format or 'folio'}; "
        "large squares trade protection for strength (Vaughn 1912)",
        status="memory",
        sureness=f"square measured, block {mass.source}",
        need="deep squares",
        suits=(
            Suit(NOTHING, "stored flat it does not hang at all", "it takes more room on the shelf"),
        ),
    )


def _upright(facts: Facts) -> Iterator[Finding]:
    height, thickness = facts.record.text_block.height, facts.record.text_block.thickness
    for field, value, limit in (
        ("height", height, UPRIGHT_HEIGHT_MM),
        ("thickness", thickness, UPRIGHT_THICKNESS_MM),
    ):
        if value is not None and value > limit:
            yield Finding(
                key="store_flat",
                topic="proportion",
                call="note",
                title="Store it flat",
                words=f"Its {field} of {trimmed(value, 1)} mm is more than a book should stand with.",
                fields=(f"text_block.{field}",),
                figure=value,
                unit="mm",
                limit=limit,
                limit_source="Univ. at Albany Libraries guideline: flat over 400 mm high or over "
                "80 mm thick",
                status="published",
                sureness="measured",
                suits=(Suit(NOTHING, "lying flat it does not hang", "it takes more room"),),
            )
