"""What is known of one book before it is judged: its spine, its weights, what kind of cover it has."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.book import spine as spines
from patterns.book.book import Mass, block_mass
from patterns.book.spine import Spine
from patterns.errors import MendfoldError
from patterns.record.record import Record
from patterns.stock.materials import Library

SLOT_BOARD_MM = 2.0
"""A board thinner than this leaves too little wall beside a slot (practice)."""
HINGE_SPINE_MM = 5.0
"""A spine narrower than this leaves nothing of a tissue hinge's stubs to bond (practice)."""
HEAVY_KG = 1.5
"""From this weight on a block drags on its attachments (practice)."""
READING_MM = 0.5
"""± of one reading where the record gives none."""


@dataclass(frozen=True, slots=True)
class Facts:
    """One record with what follows from it; what cannot be worked out is None."""

    record: Record
    stock: Library
    spine: Spine | None
    mass: Mass | None
    """The text block's mass."""
    boards_kg: float | None
    """Both boards together, as weighed."""

    @property
    def limp(self) -> bool:
        """True for a limp cover or a wrapper: sides that fold, without a shoulder to turn on."""
        return self.record.cover.kind in ("limp", "wrapper")

    @property
    def reading_mm(self) -> float:
        """± of one reading in mm."""
        return self.record.measuring.error or READING_MM

    @property
    def shoulder_mm(self) -> float:
        """The lower of the two shoulders."""
        return min(spines.shoulder_mm(self.record, side) for side in ("front", "back"))

    @property
    def board_mm(self) -> float | None:
        """The thinner of the two boards."""
        sides = (self.record.cover.side("front"), self.record.cover.side("back"))
        known = [side.board_thickness for side in sides if side.board_thickness is not None]
        return min(known, default=None)

    @property
    def takes_slot(self) -> bool:
        """True when both boards can be slotted and a shoulder is there for them to turn on."""
        wooden = self.record.cover.kind == "wooden boards"
        thick = self.board_mm is not None and self.board_mm >= SLOT_BOARD_MM
        return thick and not wooden and not self.limp and self.shoulder_mm > 0

    @property
    def takes_hinge(self) -> bool:
        """True unless the spine is too thin for the two stubs of a tissue hinge to be bonded."""
        if self.spine is None:
            return True
        return min(self.spine.girth_head_mm, self.spine.girth_tail_mm) >= HINGE_SPINE_MM

    @property
    def heavy(self) -> bool:
        """True when the block is known to weigh 1.5 kg or more."""
        return self.mass is not None and self.mass.kg >= HEAVY_KG

    @property
    def leaves(self) -> int | None:
        """Leaves as counted, else gatherings × leaves in a gathering."""
        block = self.record.text_block
        return block.leaves if block.leaves is not None else self.leaves_by_gatherings

    @property
    def leaves_by_gatherings(self) -> int | None:
        """Leaves by the gatherings, irregular ones at their own number of folios."""
        block = self.record.text_block
        if block.gatherings is None or block.leaves_per_gathering is None:
            return None
        usual = block.leaves_per_gathering
        odd = sum(2 * f.folios - usual for f in self.record.sewing.fold if f.folios is not None)
        return block.gatherings * usual + odd


def gather(record: Record, library: Library) -> Facts:
    """Work out what follows from a record; a spine that cannot be worked out is left None."""
    try:
        spine = spines.measure(record)
    except MendfoldError:
        spine = None
    boards = [record.cover.side(side).board_weight for side in ("front", "back")]
    both = None if boards[0] is None or boards[1] is None else boards[0] + boards[1]
    return Facts(record, library, spine, block_mass(record), both)
