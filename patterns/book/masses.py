"""What book, block and boards weigh, and from which weights on they ask for stronger work."""

from __future__ import annotations

from patterns.book import boards
from patterns.book.answer import Answer, recorded
from patterns.formulas import mechanics
from patterns.record.record import Record

LINING_HEAVY_KG = 2.5
"""From this weight of the whole book on linings reach further and tubes are doubled (practice)."""
ATTACHMENT_HEAVY_KG = 1.5
"""From this weight on a block drags on what holds it to its boards (practice)."""
UNWEIGHED = "boards not weighed: the block alone is counted"


def block_mass(record: Record) -> Answer | None:
    """Return the mass of the text block in kg: weighed, by difference, or estimated; None if unknown.

    Where nothing tells the block from its boards the whole book's weight stands for it.
    """
    own, whole = _without_boards(record), record.book.weight
    if own is None and whole is not None:
        held = "cover" if boards.limp(record) else "boards"
        return Answer(whole, "estimated", f"whole book, {held} not taken off")
    return own


def book_mass(record: Record) -> Answer | None:
    """Return the mass of the whole book in kg: weighed, else its block's with the boards that were."""
    if record.book.weight is not None:
        return Answer(record.book.weight, "measured", "weighed")
    block = block_mass(record)
    if block is None:
        return None
    both = sum(kg for kg in _board_weights(record) if kg is not None)
    return Answer(block.value + both, "estimated", "block and boards")


def _without_boards(record: Record) -> Answer | None:
    block, whole = record.text_block, record.book.weight
    if block.weight is not None:
        return Answer(block.weight, "measured", "weighed")
    front, back = _board_weights(record)
    if whole is not None and front is not None and back is not None:
        return Answer(whole - front - back, "estimated", "book less its boards")
    if block.leaves and block.width and block.grammage and block.height:
        kg = mechanics.leaves_mass_kg(block.leaves, block.grammage, block.width, block.height)
        return Answer(kg, "estimated", "estimated from leaves and grammage")
    return None


def _board_weights(record: Record) -> tuple[float | None, float | None]:
    cover = record.cover
    return cover.side("front").board_weight, cover.side("back").board_weight


def boards_kg(record: Record) -> float | None:
    """Return the mass of both boards together, as weighed; None unless both are."""
    front, back = _board_weights(record)
    return None if front is None or back is None else front + back


def board_mass(record: Record) -> Answer:
    """Return the mass of the heavier board in kg, to be added to the block's.

    Not weighed, it is part of a block's mass that is the whole book's; else the block alone counts.
    """
    heaviest = max((kg for kg in _board_weights(record) if kg is not None), default=None)
    if heaviest is None and _without_boards(record) is None:
        return Answer(0.0, "estimated", "in the weight of the whole book")
    return recorded(heaviest, 0.0, UNWEIGHED)


def heavy_for_lining(record: Record) -> bool:
    """True from 2.5 kg of book on (practice); the block's mass stands in for a book not weighed."""
    weight = record.book.weight
    if weight is None:
        mass = block_mass(record)
        weight = mass.value if mass else None
    return weight is not None and weight >= LINING_HEAVY_KG


def heavy_for_attachment(record: Record) -> bool:
    """True when the block is known to weigh 1.5 kg or more (practice)."""
    mass = block_mass(record)
    return mass is not None and mass.value >= ATTACHMENT_HEAVY_KG
