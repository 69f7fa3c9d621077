"""tissue_hinge: whether sewn cloth and tissue can carry this cover."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor
from typing import Literal, NamedTuple

from patterns.book import threads
from patterns.book.answer import certain
from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.book.covering import NARROWER_MM
from patterns.book.results import SewnResult, WideningResult
from patterns.book.scattered import ScatteredSewing
from patterns.book.suits import Reason, Ruling, Suits, told
from patterns.errors import SettingError
from patterns.structures.shared import against
from patterns.units import at_ends, tenth, trimmed, up_to

GIVES = SewnResult

SETBACK_MM = (12.7, 8.0)
"""Published for linings (A. L. Bailey 1916); of blocks under 200 mm (practice)."""
CLOTH_SHORT_MM = 0.5
"""The cloth stops so far short of each joint."""
LEAST_CLOTH_MM = 3.0
LEAST_FOLD_MM = 20.0
LEAST_BOND_MM = 10.0
LEAST_BONDED_MM = 2.0
"""What a stub keeps to bond beside what stays free at its joint (practice)."""
THIN = "one tissue round the spine, or a wrapper or box, suits a book this thin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Params(ScatteredSewing):
    """Settings of the hinge and its sewing; lengths in mm."""

    setback: float | None
    stub_end: float
    keep: float
    free: float
    ease: float
    inset: float
    hem: float
    line_folds: bool
    strong: Literal["weft", "warp", "equal"] | None


class Flat(NamedTuple):
    """One tissue laid flat, in mm: both ends of its stub, how far it reaches onto its side."""

    head: float
    tail: float
    reach: float
    height: float
    """Of what lies on the side, inside its edges or turn-ins."""
    inset: float


def suits(book: Book, params: Params) -> Suits:
    """Answer the joints of a limp cover; refuse boards, raised supports, thin spines, narrow covers."""
    reasons = (
        Reason(
            "cover joint",
            "sewn thin cloth and tissue carry the sides; no adhesive touches folds or spine",
            "holds light blocks only; the tissue shows on the sides' inner faces",
        ),
        *_across(book),
    )
    return Suits(
        reasons=reasons,
        rulings=told(
            against.no_folds(book),
            kind(book),
            _raised(book),
            _stubs(book, params),
            _cloth(book, params),
            _narrow(book, params),
            _folds(book, params),
            against.heat(book, "adhesive"),
            against.weak_folds(book, params.paper, params.line_folds),
        ),
    )


def _across(book: Book) -> Iterator[Reason]:
    """Yield what its grain has to say to a joint that tears; nothing where its growth is not known."""
    height, grows = book.side_height_mm, book.materials["tissue"].growth_across
    if height is not None and grows is not None:
        grown = height * grows / 100
        yield Reason(
            "paper hinge",
            "its tissue is cut with the grain across the joint, so that it does not tear along it",
            f"wetted, the tissue would grow {trimmed(grown, 1)} mm head to tail: it is set without "
            "water",
        )


def kind(book: Book) -> Iterator[Ruling]:
    """Refuse boards."""
    if book.has_boards:
        yield Ruling(
            "boards are too heavy for a hinge of tissue; a sewn lining with its flanges on or in the "
            "boards carries them (secondary_sewing, board_slot), or tie or box the book and do nothing",
            tie_or_box=True,
        )


def _raised(book: Book) -> Iterator[Ruling]:
    if book.supports == "raised":
        yield Ruling(
            "raised supports stand through the laminate; line between them (spine_lining) and hold "
            "the cover by its own supports"
        )


def _stubs(book: Book, params: Params) -> Iterator[Ruling]:
    for side in SIDES:
        found = flat(book, params, side)
        stub, bond = min(found.head, found.tail), found.reach - params.free - params.ease
        if stub < params.keep + LEAST_BONDED_MM:
            yield Ruling(
                f"a stub of {tenth(stub)} mm leaves nothing to bond; {THIN}",
                tie_or_box=True,
            )
        if bond < LEAST_BOND_MM or found.height < LEAST_FOLD_MM:
            yield Ruling(
                f"{tenth(max(0.0, bond))} mm of the {side} side are left to bond to, within "
                f"its edges and turn-ins; at least {LEAST_BOND_MM:g} are needed: lower inset or free, or lift the turn-ins first"
            )


def _cloth(book: Book, params: Params) -> Iterator[Ruling]:
    width = min(cloth_mm(book, params))
    if width < LEAST_CLOTH_MM:
        yield Ruling(f"a cloth of {tenth(width)} mm cannot be sewn; {THIN}", tie_or_box=True)


def _narrow(book: Book, params: Params) -> Iterator[Ruling]:
    lacks = book.covering.lacks_mm(under_mm(book, params))
    if max(lacks) > NARROWER_MM and not book.expects(WideningResult):
        has = cover_spine_mm(book)
        needs = [wide + lack for wide, lack in zip(has, lacks, strict=True)]
        yield Ruling(
            f"the cover's spine is {at_ends(has)} mm wide and needs {at_ends(needs)} round the sewn laminate; "
            "widen the cover first: draft cover_widening with it, or tie or box the book and do nothing",
            tie_or_box=True,
        )


def _folds(book: Book, params: Params) -> Iterator[Ruling]:
    first, last = within(book, params)
    if first > last:
        girth = book.spine.girth_mm(book.height_mm / 2)
        yield Ruling(
            f"no fold of a spine of {tenth(girth)} mm lies {tenth(params.hem)} mm inside cloth and both "
            "stubs; one tissue round the spine, unsewn, or a wrapper or box suits a book this thin",
            tie_or_box=True,
        )


def ends(book: Book, params: Params) -> tuple[float, float]:
    """Return where cloth and stubs begin and end below the head of the block.

    Raises SettingError for a setback that leaves too little of the fold.
    """
    setback = params.setback
    if setback is None:
        setback = SETBACK_MM[0] if book.height_mm >= 200 else SETBACK_MM[1]
    low = book.height_mm - setback
    if low - setback < LEAST_FOLD_MM:
        raise SettingError(
            f"tissue_hinge.setback: {tenth(setback)} mm leaves less than 20 mm of a fold of "
            f"{tenth(book.height_mm)} mm; allowed is up to {up_to((book.height_mm - 20) / 2)}"
        )
    return setback, low


def flat(book: Book, params: Params, side: Which) -> Flat:
    """Return one tissue laid flat; the front stub lies on the back one."""
    tissue = book.material("tissue").thickness_mm
    under = book.lies_on_mm + (tissue if side == "front" else 0.0)
    head, tail = (
        book.spine.layer_mm(under, tissue, y) - params.stub_end for y in ends(book, params)
    )
    own = book.limp_side(side)
    inset = params.inset + own.turn_in.value
    return Flat(head, tail, params.ease + own.width_mm - inset, own.height_mm - 2 * inset, inset)


def cloth_on_mm(book: Book) -> float:
    """Return the thickness on the bare spine beneath the cloth: what was there, and both stubs."""
    return book.lies_on_mm + 2 * book.material("tissue").thickness_mm


def cloth_mm(book: Book, params: Params) -> tuple[float, float]:
    """Return the width of the cloth at its two ends: a(u, t) less what it stops short of each joint."""
    thickness, on = book.material("cloth").thickness_mm, cloth_on_mm(book)
    head, tail = (
        book.spine.layer_mm(on, thickness, y) - 2 * CLOTH_SHORT_MM for y in ends(book, params)
    )
    return head, tail


def laminate_mm(book: Book) -> tuple[float, float]:
    """Return the girth over the laminate's outer face, at the block's head and tail."""
    return _over_mm(book, 0.0), _over_mm(book, book.height_mm)


def _over_mm(book: Book, y: float) -> float:
    over = cloth_on_mm(book) + book.material("cloth").thickness_mm
    return book.spine.layer_mm(over, 0.0, y)


def overlap_mm(book: Book, params: Params) -> float:
    """Return how far the two stubs lie on each other, at the end where it is less."""
    front, back = flat(book, params, "front"), flat(book, params, "back")
    head, tail = (_over_mm(book, y) for y in ends(book, params))
    return min(front.head + back.head - head, front.tail + back.tail - tail)


def under_mm(book: Book, params: Params) -> float:
    """Return what the cover goes round: the laminate, and the bars of its own thread."""
    bars = book.diameter_mm(threads.chosen(book, book.fold_strength(params.paper)))
    return cloth_on_mm(book) + book.material("cloth").thickness_mm + bars


def cover_spine_mm(book: Book) -> tuple[float, float]:
    """Return the cover's spine as measured, at its head and tail."""
    old = certain(book.cover_spine, "cover.spine_width")
    return old.head_mm, old.tail_mm


def within(book: Book, params: Params) -> tuple[int, int]:
    """Return first and last gathering that cloth and both stubs cover with a hem to spare."""
    total = book.gatherings.total
    girth = book.spine.girth_mm(book.height_mm / 2)
    beside = (max(params.stub_end, CLOTH_SHORT_MM) + params.hem) / girth * total
    return ceil(beside + 0.5 - 1e-9), floor(total - beside + 0.5 + 1e-9)


def adds_mm(book: Book, _params: Params) -> float:
    """Return what it adds over the spine, bars apart: both stubs and the cloth."""
    return 2 * book.material("tissue").thickness_mm + book.material("cloth").thickness_mm
