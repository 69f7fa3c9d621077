"""Grain: which way leaves tear, grow when wetted and curl, and what that asks of a repair."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.suits import Need
from patterns.book.unions import role
from patterns.errors import MaterialError
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding
from patterns.formulas import mechanics
from patterns.record.record import ConditionTable
from patterns.stock.materials import Figure, Material
from patterns.structures.shared import conditions
from patterns.units import trimmed

RH_STEP = 10.0
"""A usual swing of relative humidity in %, for the curl (mendfold's own choice)."""
LEAF = "text paper 75 g/m²"
TISSUE = "long-fibred tissue 25 g/m²"
LINING = "kraft lining paper"
BOARD_PAPER = "endpaper stock"

_STATUS = {"seen": "as published", "derived": "worked out from a published figure",
           "second-hand": "as reported", "own": "measured by the studio",
           "practice": "common practice", "memory": "from memory"}  # fmt: skip


def find(facts: Facts) -> Iterator[Finding]:
    """Yield what the grain of leaves and hinges asks for."""
    yield from _leaves(facts)
    yield from _curl(facts)
    yield from _hinge(facts)
    yield from _board_papers(facts)


def _leaves(facts: Facts) -> Iterator[Finding]:
    block = facts.record.text_block
    if block.grain == "none":
        yield _finding(
            "leaves_without_grain",
            "The leaves have no grain",
            "Handmade paper grows much the same both ways: test an offcut of what is to be pasted "
            "to it, and turn the repair paper's grain by the joint, not by the leaf.",
            "grain is a property of machine-made paper (R&E, “machine direction”)",
        )
    if block.grain != "spine-fore edge" or block.height is None or block.width is None:
        return
    leaf = facts.stock.find(LEAF)
    high, wide = _growth(leaf, block.height, True), _growth(leaf, block.width, False)
    yield _finding(
        "leaf_grain_across",
        "The leaves' grain runs from spine to fore edge",
        "They bend stiffly at the fold and will not drape. Wetted, a leaf grows about "
        f"{trimmed(high, 1)} mm from head to tail and {trimmed(wide, 1)} mm from spine to fore edge, "
        "and cockles at the spine: keep paste sparing there, or use a join that is not wet.",
        "grain head to tail for leaves, linings, guards and boards (R&E)",
        figure=high,
        sureness=_sure(leaf.figures["growth_across"]),
        extra=("text_block.height", "text_block.width"),
    )


def _curl(facts: Facts) -> Iterator[Finding]:
    """Work out how far a lining with its grain head to tail would curl leaves that cross it."""
    block = facts.record.text_block
    if block.grain != "spine-fore edge" or block.leaf_thickness is None:
        return
    lining = facts.stock.find(LINING)
    along, across = lining.humid_along, lining.humid_across
    if lining.thickness_mm is None or along is None or across is None:
        return
    strain = (across - along) / 100 * RH_STEP
    curl = mechanics.curl_per_mm(strain, lining.thickness_mm, block.leaf_thickness)
    yield _finding(
        "crossed_layers_curl",
        "A lining along the spine crosses the leaves' grain",
        f"Pasted to a leaf of {trimmed(block.leaf_thickness, 3)} mm, {LINING} with its grain head to "
        f"tail curls it to a radius of about {1 / curl:.0f} mm when the air changes by "
        f"{RH_STEP:g} % RH: use thin tissue on the folds, or cut the lining to the leaf's grain.",
        "S. Timoshenko, J. Opt. Soc. Am. 11 (1925), for two bonded layers",
        figure=1 / curl,
        sureness=_sure(lining.figures["humid_across"]),
        extra=("text_block.leaf_thickness",),
    )


def _hinge(facts: Facts) -> Iterator[Finding]:
    """Say which way a hinge tears and grows, when a joint is pasted, weak or parted."""
    height = facts.book.side_height_mm
    joints = _tired_joints(facts)
    if not joints or height is None:
        return
    tissue = facts.stock.find(TISSUE)
    grown = _growth(tissue, height, True)
    yield _finding(
        "hinge_tears_along_grain",
        "Paper over a joint tears along its grain",
        "A hinge whose grain runs along the joint tears straight down the fold; with the grain "
        f"across the joint it resists, but wetted it grows about {trimmed(grown, 1)} mm over "
        f"{trimmed(height, 1)} mm from head to tail: set it {_unwetted(facts.record.condition)}.",
        "tears run straight along the grain (Wheelwright); grain across the joint is common practice",
        figure=grown,
        sureness=_sure(tissue.figures["growth_across"]),
        fields=tuple(f"union[{number}]" for number in joints),
        need="paper hinge" if facts.limp else None,
    )


def _unwetted(condition: ConditionTable) -> str:
    """Say how a hinge is set that must not grow; a dry-set film takes heat, which not every book bears."""
    kinds = {"heat": "dry", "solvent": "with a solvent"}
    borne = [words for way, words in kinds.items() if conditions.may_set(condition, way)]
    return " or ".join(borne) or "with nearly dry adhesive"


def _board_papers(facts: Facts) -> Iterator[Finding]:
    """Say how much a wet board paper grows both ways, where a joint makes one be lifted or renewed."""
    board = facts.record.cover.side("front")
    if facts.limp or not _tired_joints(facts) or not board.board_width or not board.board_height:
        return
    paper = facts.stock.find(BOARD_PAPER)
    wide, high = _growth(paper, board.board_width, True), _growth(paper, board.board_height, False)
    yield _finding(
        "board_paper_draws",
        "A board paper draws its board as it dries",
        f"With its grain head to tail, as the board's, a wet paper grows about {trimmed(wide, 1)} mm "
        f"from spine to fore edge and {trimmed(high, 1)} mm from head to tail, and draws the board "
        "hollow as it dries: cut it smaller by so much, and put it down with the board open.",
        "wetted paper grows several times more across its grain (R&E, “damping stretch”)",
        figure=wide,
        sureness=_sure(paper.figures["growth_across"]),
        fields=("cover.board_width", "cover.board_height"),
    )


def _tired_joints(facts: Facts) -> list[int]:
    """Return the numbers of the joints that are pasted, weak or parted."""
    return [
        number
        for number, union in enumerate(facts.record.unions, 1)
        if role(union.between, facts.limp) in ("board joint", "cover joint")
        and (union.state in ("weak", "failed") or union.made == "pasted")
    ]


def _growth(material: Material, length_mm: float, across: bool) -> float:
    percent = material.growth_across if across else material.growth_along
    if percent is None:
        raise MaterialError(f"{material.name}: how much it grows is not known; soak-test a strip")
    return length_mm * percent / 100


def _sure(figure: Figure) -> str:
    return f"growth figure {_STATUS[figure.confidence]}: {figure.source}"


def _finding(
    key: str,
    title: str,
    words: str,
    source: str,
    *,
    figure: float | None = None,
    sureness: str = "as seen",
    extra: tuple[str, ...] = (),
    fields: tuple[str, ...] = ("text_block.grain",),
    need: Need | None = None,
) -> Finding:
    return Finding(
        key=key,
        topic="grain",
        call="note",
        title=title,
        words=words,
        fields=(*fields, *extra),
        figure=figure,
        unit="mm" if figure is not None else "",
        limit_source=source,
        status="published",
        sureness=sureness,
        need=need,
    )
