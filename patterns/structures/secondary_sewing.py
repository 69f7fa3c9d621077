"""secondary_sewing: a lining sewn through some of the gatherings."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from patterns.book import board_joint
from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.book.results import Handed, LiningResult, SewnLiningResult, SlotResult
from patterns.errors import SettingError
from patterns.formulas import joints
from patterns.formulas.joints import Joint
from patterns.model.drawing import Drawing, Line, LineKind
from patterns.model.part import Beyond, Diagram, Layer, Part, Union
from patterns.model.piece import Piece
from patterns.sewing import lining, pricking, raised
from patterns.sewing import plan as sewing_plan
from patterns.sewing import view as sewing_view
from patterns.sewing import words as sewing_words
from patterns.sewing.lining import Cloth, Flange
from patterns.sewing.sewn import Sewn
from patterns.sewing.words import SewingFigures
from patterns.structures.sewings import secondary_sewing as sewing
from patterns.structures.shared import joint_view, pictures, turn_ins
from patterns.structures.shared.board_layers import board_layer
from patterns.structures.shared.first_lining import first_lining
from patterns.structures.shared.opened import covered
from patterns.structures.suits.secondary_sewing import Params
from patterns.units import tenth

NAME = "secondary_sewing"
PASTE = "wheat starch paste"
ONTO_MM = (32.0, 51.0)
"""How far the lining goes onto a board: general, and heavy (A. L. Bailey 1916, published)."""
DRY_FIT_MM = 3.0
"""A flange is cut so much longer, and trimmed when it was laid on dry (practice)."""
LEAST_HOLD_MM = 5.0
"""A flange pasted to a board by less than this is refused (practice)."""


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    covered: bool
    sewing: SewingFigures
    pasted_first: bool
    pasted_after: bool
    fallen_in: bool
    tissue_words: str
    cloth_words: str
    warp_words: str
    flange_words: str
    onto_boards: bool
    on_boards_alone: bool
    on_covering: bool
    reached_words: str
    across_words: str
    onto_words: str
    carried_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out the lining, the places of its stitches, the needle's way and the load.

    Raises PlacementError when no stitches fit, SettingError for settings that contradict each other.
    """
    tissue = book.material("tissue")
    wanted = sewing.wanted(book, params)
    sewn = sewing_plan.sew(book, wanted)
    cloth_book = replace(book, lies_on_mm=book.lies_on_mm + tissue.thickness_mm)
    flanges, slot = _flanges(book, params, sewn), book.result(SlotResult)
    setbacks = (params.setback_head, params.setback_tail)
    cloth = lining.cut(
        cloth_book,
        NAME,
        flanges,
        setbacks,
        spine_to="first lining" if params.pasted else "",
        strong=params.strong,
    )
    guide = replace(
        cloth.piece,
        holes=pricking.guide_holes(book, cloth, sewn, params.setback_head),
        notes=(
            *cloth.piece.notes,
            *_swollen(sewn, max(f.trim_mm for f in flanges.values())),
            lining.GUIDE,
        ),
        serves=() if slot is None else (slot.structure,),
    )
    first = first_lining(book, NAME, (params.setback_head, params.setback_tail))
    part = Part(
        structure=NAME,
        title="Secondary sewing",
        figures=_figures(book, params, sewn, cloth, first, flanges),
        others=sewing_words.others(book, sewn)
        | {
            "lining_width_mm": cloth.piece.width_mm,
            "lining_height_mm": cloth.piece.height_mm,
            "spine_width_mm": cloth.spine_mm,
            "flange_mm": max(f.width_mm for f in flanges.values()),
            "flange_front_mm": flanges["front"].width_mm,
            "flange_back_mm": flanges["back"].width_mm,
            "trim_mm": max(f.trim_mm for f in flanges.values()),
        },
        pieces=(guide, first, *pricking.pricking_strips(book, sewn, NAME)),
        diagrams=(
            *sewing_view.diagrams(book, sewn, cloth, NAME, _through(book)),
            *(() if slot is not None else _joints(book, flanges)),
        ),
        layers=(
            *_layers(
                cloth,
                first,
                "pasted and sewn" if params.pasted else "sewn",
                "inner face" if slot is None else "slot",
            ),
            *(() if slot is not None else _boards(book, flanges)),
        ),
        warnings=(
            *_joint_doubts(book),
            *_on_turn_ins(book, params),
            *raised.over_bands(book, setbacks),
            *_fallen_in(book),
            *sewing_words.warnings(book, wanted, sewn),
        ),
        boxes=sewing_words.boxes(wanted, sewn),
        checks=sewing_plan.checks(sewn),
        sewing=sewing_plan.sewing(book, wanted, sewn),
        undo=sewing_words.undo(
            sewn,
            "release the tails outside {off_spine}",
            ("", "the cloth and tissue come off {off_spine}"),
        ),
        girth_mm=book.spine.girth_head_mm,
    )
    swell = sewn.swell
    result = SewnLiningResult(
        sewn.holes_mm,
        swell.least_mm,
        swell.most_mm,
        swell.diameter_mm,
        sewn.thread,
        {side: flange.width_mm for side, flange in flanges.items()},
    )
    return Handed(part, result)


def _joint_doubts(book: Book) -> tuple[str, ...]:
    """Say what makes the flanges' way to the boards doubtful; with slots, these say it."""
    if book.result(SlotResult) is not None:
        return ()
    known = [book.board(side) for side in SIDES if book.boarded(side)]
    return tuple(line for board in known for line in book.joint_doubts(board, book.joint(board)))


def _on_turn_ins(book: Book, params: Params) -> tuple[str, ...]:
    """Say that flanges of its own end on the turn-ins."""
    setbacks = (params.setback_head, params.setback_tail)
    if book.result(SlotResult) is not None:
        return ()
    return turn_ins.warnings(turn_ins.reached(book, setbacks), setbacks)


def _fallen_in(book: Book) -> tuple[str, ...]:
    if book.spine.turn_deg >= 0:
        return ()
    return (
        "the spine has fallen in, and a lining pasted and sewn to it keeps it so: bring it back to its round, "
        "measure it again and draft from that record, or support the block (text_block_support) and do nothing else",
    )


def _figures(
    book: Book,
    params: Params,
    sewn: Sewn,
    cloth: Cloth,
    first: Piece,
    flanges: Mapping[Which, Flange],
) -> Figures:
    own = book.result(SlotResult) is None
    on_turn_ins = turn_ins.reached(book, (params.setback_head, params.setback_tail)) if own else {}
    on_covering = own and (bool(on_turn_ins) or not all(map(book.boarded, SIDES)))
    return Figures(
        covered=covered(book),
        sewing=sewing_words.figures(book, sewn),
        pasted_first=params.pasted and not sewn.swell.laid_dry,
        pasted_after=params.pasted and sewn.swell.laid_dry,
        fallen_in=book.spine.turn_deg < 0 and book.result(LiningResult) is None,
        tissue_words=lining.size_words(first),
        cloth_words=lining.cut_words(cloth.piece),
        warp_words=lining.warp_words(cloth.piece.grain),
        flange_words=_each(flanges, lambda flange: tenth(flange.width_mm)),
        onto_boards=own and any(map(book.boarded, SIDES)),
        on_boards_alone=own and not on_covering,
        on_covering=on_covering,
        reached_words=turn_ins.words(on_turn_ins),
        across_words=_each(flanges, _across),
        onto_words=_each(flanges, lambda flange: tenth(flange.pasted_mm)),
        carried_words="board" if any(map(book.boarded, SIDES)) else "side of the cover",
    )


def _each(flanges: Mapping[Which, Flange], tell: Callable[[Flange], str]) -> str:
    """Say the same of both flanges: once where they are alike.

    >>> same = Flange(38.3, 32.0, "", 1)
    >>> _each({"front": same, "back": same}, lambda flange: tenth(flange.pasted_mm))
    '32.0'
    """
    found = {which: tell(flange) for which, flange in flanges.items()}
    if len(set(found.values())) == 1:
        return found["front"]
    return " and ".join(f"{which} {told}" for which, told in found.items())


def _across(flange: Flange) -> str:
    """Say how a flange lies: free across the joint first, where there is one to cross.

    >>> _across(Flange(38.3, 32.0, "", 1)), _across(Flange(32.0, 32.0, "", 1))
    ('6.3 mm free across the joint, then 32.0 mm', '32.0 mm, from the tip of the shoulder on,')
    """
    free = flange.width_mm - flange.pasted_mm
    if free <= lining.FREE_MM:
        return f"{tenth(flange.pasted_mm)} mm, from the tip of the shoulder on,"
    return f"{tenth(free)} mm free across the joint, then {tenth(flange.pasted_mm)} mm"


def _swollen(sewn: Sewn, trim_mm: float) -> tuple[str, ...]:
    """Say on the cloth that the sewn spine is wider than the one it was drawn for."""
    swell = sewn.swell
    if not swell.most_mm:
        return ()
    return (
        f"sewn, the spine is {tenth(swell.least_mm)} to {tenth(swell.most_mm)} mm wider than drawn, so each flange is cut "
        f"{tenth(trim_mm)} mm larger: after the sewing trim it by measure from the tip of its shoulder",
    )


def _flanges(book: Book, params: Params, sewn: Sewn) -> dict[Which, Flange]:
    more = sewn.swell.most_mm / 2
    slot = book.result(SlotResult)
    if slot is not None:
        _refuse_flange(params)
        return {side: _slotted(slot, side, more) for side in SIDES}
    flanges = {}
    for side in SIDES:
        reach = ONTO_MM[1] if book.heavy_for_lining else ONTO_MM[0]
        across = 0.0
        if book.boarded(side):
            across = board_joint.lining_path(book.joint(book.board(side)), "N").length_mm
        width = params.flange if params.flange is not None else across + reach
        if width < across + LEAST_HOLD_MM:
            raise SettingError(
                f"secondary_sewing.flange: {width:g} mm ends in the {side} joint, which takes {across:.1f} mm; "
                f"give {across + LEAST_HOLD_MM:.1f} mm or more"
            )
        flanges[side] = Flange(
            width,
            width - across,
            _into(book, side),
            1,
            DRY_FIT_MM + more,
            on="board" if book.boarded(side) else "cover",
        )
    return flanges


def _into(book: Book, side: Which) -> str:
    """Say where an own flange is pasted."""
    if book.boarded(side):
        return f"inner face of the {side} board, under the paste-down"
    return f"inner face of the {side} side of the cover"


def _refuse_flange(params: Params) -> None:
    """Refuse a flange of its own for the cloth that goes into the slots."""
    if params.flange is not None:
        raise SettingError(
            "secondary_sewing.flange: with board_slot the flange is as wide as the way over the joint and the slot's depth, "
            "less 1 mm; leave flange out"
        )


def _slotted(slot: SlotResult, side: Which, more: float) -> Flange:
    own = slot.sides[side]
    return Flange(
        own.flange_mm,
        own.depth_mm - joints.SHORTER_MM,
        f"slot in the {side} board",
        2,
        slot.trim_mm + more,
        slot.cutter_diameter_mm,
        own.depth_mm,
    )


def _boards(book: Book, flanges: Mapping[Which, Flange]) -> tuple[Layer, ...]:
    """Return the boards that the flanges are pasted to: they lie over them, the paste-downs beneath."""
    half = book.spine.girth_mm(book.height_mm / 2) / 2
    return tuple(
        board_layer(book, book.board(side), half, flange.width_mm)
        for side, flange in flanges.items()
        if book.boarded(side)
    )


def _joints(book: Book, flanges: Mapping[Which, Flange]) -> tuple[Diagram, ...]:
    """Draw each kind of joint once: where the flange lies, shut and open."""
    drawn: dict[Joint, list[Which]] = {}
    for side in SIDES:
        if book.boarded(side):
            drawn.setdefault(book.joint(book.board(side)), []).append(side)
    return tuple(_joint(joint, sides, flanges[sides[0]]) for joint, sides in drawn.items())


def _joint(joint: Joint, sides: list[Which], flange: Flange) -> Diagram:
    boards = " and ".join(sides)
    shown = min(flange.pasted_mm, joint_view.REACH_MM)
    onto = joint.gap_mm + shown

    def lines(angle: float) -> list[Line]:
        groove = [(0.0, 0.0)] if joint.kind == "french" and angle == 0 else []
        ends = (joints.turned(joint, (x, 0.0), angle) for x in (joint.gap_mm, onto))
        cloth = Line(LineKind.SECTION, (joint.tip, *groove, *ends))
        return [*joint_view.book_lines(joint, shown + 1.0, angle), cloth]

    return joint_view.joint_section(
        NAME,
        f"flange section, {boards}",
        f"Flange in section, {boards} board" + ("s" if len(sides) > 1 else ""),
        joint,
        lines,
        (
            f"heavy line: the cloth, {_across(flange)} pasted to the inner face of the board, under the paste-down "
            f"(its first {tenth(shown)} mm are drawn)",
        ),
    )


def _through(book: Book) -> tuple[str, ...]:
    """Name what the needle passes besides the folios, from the folds outwards."""
    lined = ("spine lining",) if book.result(LiningResult) is not None else ()
    return (*lined, "first lining", "lining cloth")


def _layers(cloth: Cloth, first: Piece, union: Union, beyond: Beyond) -> tuple[Layer, ...]:
    return (
        lining.first_layer(first, cloth.spine_mm / 2, "pasted and sewn"),
        cloth.layer(union, beyond),
    )


def _closed(_book: Book, _params: Params, part: Part) -> Drawing:
    """Show one stitch sewn by itself."""
    assert part.sewing is not None
    one = part.sewing.stitches[0]
    return pictures.closed(one.to_mm - one.from_mm)


PICTURES = {"closed": _closed}
