"""The scales: weights that do not agree with the size of what was weighed."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.examine.doubt import doubt, named, sides
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding
from patterns.formulas import mechanics
from patterns.record.record import SideTable
from patterns.units import trimmed

LIGHT, HEAVY = 0.95, 1.10
"""A book may weigh 5 % less than its parts come to (supplier's tolerance on grammage, ISO 536
habit) and 10 % more (mendfold's own threshold: paste, leather, endpapers)."""
BOARD = (550.0, 1300.0)
"""Believable density of a covered board in kg/m³."""
BLOCK = (300.0, 1300.0)
"""Believable density of a block under light pressure in kg/m³."""
LIMP = (500.0, 1000.0)
"""Believable density of a limp cover in kg/m³."""
CONTENTS = (0.0, 600.0)
"""Believable density of what is mounted in an album, air included, in kg/m³."""
PAPER = (1000 / 1.5, 1000 / 1.2)
"""Density of album leaves in kg/m³, about the usual bulk of 1.36 cm³/g."""

Range = tuple[float, float]


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every weight that does not agree with sizes and counts."""
    yield from _whole(facts)
    yield from _block(facts)
    yield from _boards(facts)


def expected_leaves_kg(facts: Facts) -> Range | None:
    """Return the least and most the leaves can weigh by count and size; None when unknown."""
    block, album = facts.record.text_block, facts.record.album
    if facts.leaves and block.grammage and block.width and block.height:
        kg = mechanics.leaves_mass_kg(facts.leaves, block.grammage, block.width, block.height)
        return kg, kg
    contents = album.contents_thickness
    if not (album.leaves and album.leaf_thickness and album.leaf_width and album.leaf_height):
        return None
    if contents is None:
        return None
    each = sum(contents) / len(contents) if isinstance(contents, tuple) else contents
    area = album.leaves * album.leaf_width * album.leaf_height * 1e-9
    low, high = (area * (album.leaf_thickness * PAPER[i] + each * CONTENTS[i]) for i in (0, 1))
    return low, high


def expected_cover_kg(facts: Facts) -> Range:
    """Return the least and most the covered boards, or a limp cover, can weigh, its spine included."""
    cover = facts.record.cover
    volume = 0.0
    for side in (cover.side("front"), cover.side("back")):
        if facts.limp and side.side_width and side.side_height and side.thickness:
            volume += side.side_width * side.side_height * side.thickness
        elif (thick := _covered_mm(side)) and side.board_width and side.board_height:
            volume += side.board_width * side.board_height * thick
    spine = _spine_volume(facts)
    low, high = LIMP if facts.limp else BOARD
    boards = (facts.boards_kg,) * 2 if facts.boards_kg is not None else None
    least, most = boards or (volume * 1e-9 * low, volume * 1e-9 * high)
    return least + spine * 1e-9 * LIMP[0], most + spine * 1e-9 * LIMP[1]


def _covered_mm(side: SideTable) -> float | None:
    """Return how thick a board is with its covering; one that was not measured is left out."""
    bare, covering = side.board_thickness, side.thickness
    return bare if bare is None or covering is None else bare + covering


def _spine_volume(facts: Facts) -> float:
    """Return the volume in mm³ of what covers the spine between the sides; 0 where it is not known."""
    thick, height = facts.record.cover.thickness, facts.book.cover_height.value
    return thick * facts.spine.girth_mm(height / 2) * height if thick and facts.spine else 0.0


def _whole(facts: Facts) -> Iterator[Finding]:
    weight = facts.record.book.weight
    own = facts.record.text_block.weight
    leaves = (own, own) if own is not None else expected_leaves_kg(facts)
    if weight is None or leaves is None:
        return
    cover = expected_cover_kg(facts)
    low, high = LIGHT * (leaves[0] + cover[0]), HEAVY * (leaves[1] + cover[1])
    if not low <= weight <= high:
        yield doubt(
            "weight_disagrees",
            "The weight does not agree with leaves and cover",
            f"The book weighs {trimmed(weight, 3)} kg; by its parts it should weigh from "
            f"{trimmed(low, 3)} to {trimmed(high, 3)} kg.",
            ("book.weight", *_behind(facts)),
            weight,
            low if weight < low else high,
            "kg",
            "mendfold's own threshold: 10 % over, 5 % under (supplier's tolerance on grammage)",
        )


def _behind(facts: Facts) -> tuple[str, ...]:
    """Name the fields the estimate rests on."""
    block = facts.record.text_block
    if block.weight is not None:
        return ("text_block.weight",)
    if block.grammage is None:
        return ("album.leaf_thickness", "album.leaf_width", "album.leaf_height")
    count = "text_block.leaves" if block.leaves is not None else "text_block.gatherings"
    return ("text_block.grammage", count, "text_block.height", "text_block.width")


def _block(facts: Facts) -> Iterator[Finding]:
    """Hold the block's mass against its volume, whatever the leaves are."""
    block, mass = facts.record.text_block, facts.mass
    thick = max((mm for mm in (block.thickness, block.thickness_fore_edge) if mm), default=None)
    if mass is None or thick is None or block.height is None or block.width is None:
        return
    density = mass.value / (thick * block.height * block.width * 1e-9)
    if not BLOCK[0] <= density <= BLOCK[1]:
        yield doubt(
            "density_disagrees",
            "Weight and size of the block do not agree",
            f"A block of this size at {trimmed(mass.value, 3)} kg ({mass.source}) has a density of "
            f"{density:.0f} kg/m³{_weighed_with_it(facts)}.",
            ("book.weight" if block.weight is None else "text_block.weight",
             "text_block.height", "text_block.width", "text_block.thickness"),
            density,
            BLOCK[0] if density < BLOCK[0] else BLOCK[1],
            "kg/m³",
            "mendfold's own range",
        )  # fmt: skip
    estimate = expected_leaves_kg(facts)
    if block.weight is not None and estimate is not None:
        low, high = 0.9 * estimate[0], HEAVY * estimate[1]
        if not low <= block.weight <= high:
            yield doubt(
                "block_weight_disagrees",
                "The block's weight does not agree with its leaves",
                f"Its leaves come to {trimmed(estimate[1], 3)} kg.",
                ("text_block.weight", "text_block.grammage", "text_block.leaves"),
                block.weight,
                low if block.weight < low else high,
                "kg",
            )


def _boards(facts: Facts) -> Iterator[Finding]:
    for side, board in sides(facts):
        density = _density(board)
        if density is None or BOARD[0] <= density <= BOARD[1]:
            continue
        yield doubt(
            "board_weight_disagrees",
            f"Weight and size of {_which(facts, side)} do not agree",
            f"They make a density of {density:.0f} kg/m³, {_covering_words(board)}.",
            named(facts, side, "board_weight", "board_thickness", "board_height", "board_width"),
            density,
            BOARD[0] if density < BOARD[0] else BOARD[1],
            "kg/m³",
            "mendfold's own range: board with its covering",
        )


def _which(facts: Facts, side: str) -> str:
    """Name the board; each where one set of figures stands for both."""
    alike = facts.record.cover.front == facts.record.cover.back
    return "each board" if alike else f"the {side} board"


def _covering_words(board: SideTable) -> str:
    """Say whether the covering is counted."""
    if board.thickness is None:
        return "its covering, whose thickness was not measured, left out"
    return f"{trimmed(board.thickness)} mm of covering counted with it"


def _weighed_with_it(facts: Facts) -> str:
    """Say that the covering of the spine is in a block's weight by difference."""
    by_difference = facts.record.text_block.weight is None and facts.boards_kg is not None
    return ", the covering of its spine weighed with it" if by_difference else ""


def _density(board: SideTable) -> float | None:
    height, width, thickness = board.board_height, board.board_width, _covered_mm(board)
    if board.board_weight is None or height is None or width is None or thickness is None:
        return None
    return board.board_weight / (height * width * thickness * 1e-9)
