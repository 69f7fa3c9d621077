"""One owner for each fact of the book: every room that asks gets the same answer, and where it is from."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import patterns
from patterns.book.book import Book
from patterns.drafting.order import Drafted
from patterns.errors import RecordError
from patterns.examine.examination import examine
from patterns.examine.finding import Finding
from patterns.model.part import Part
from patterns.model.piece import Piece
from patterns.record.record import Record
from tests.books import changed as demo_changed
from tests.books import drafted
from tests.examine_books import LIBRARY, SOUND, changed

PACKAGE = Path(patterns.__file__).parent
CASE = changed(
    SOUND,
    {
        "cover.kind": "case", "cover.joint": "french", "cover.joint_gap": None,
        "cover.spine_width": 31.0, "cover.thickness": None, "spine.profile": "flat",
        "spine.round_depth": None, "spine.over_shoulders": None, "spine.shoulder": None,
        "spine.girth_head": None, "spine.girth_tail": None,
    },
)  # fmt: skip
"""A flat case 30 mm thick with a French joint whose gap nobody measured, its spine 31 mm wide."""


def book_of(record: Record = SOUND, **changes: object) -> Book:
    """Return the sound octavo as a book, some fields changed: `cover__joint=…`."""
    named = {key.replace("__", "."): value for key, value in changes.items()}
    return Book.of(changed(record, named), LIBRARY)


def part(found: Drafted, structure: str) -> Part:
    return next(one for one in found.pattern.parts if one.structure == structure)


def piece(found: Drafted, structure: str, name: str) -> Piece:
    return next(one for one in part(found, structure).pieces if one.name == name)


def finding(record: Record, key: str) -> Finding:
    return next(one for one in examine(record, LIBRARY).findings if one.key == key)


# the joint gap


@pytest.mark.parametrize(
    ("joint", "kind", "shoulder", "wanted"),
    [
        ("french", "in-boards", 2.5, (6.4, "published")),
        ("french", "case", None, (6.4, "published")),
        ("tight", "in-boards", 2.5, (1.0, "practice")),
        (None, "in-boards", 2.5, (1.0, "practice")),
        (None, "in-boards", None, (0.0, "a flush joint has none")),
        ("flush", "in-boards", 2.5, (0.0, "a flush joint has none")),
        (None, "limp", 2.5, (0.0, "a flush joint has none")),
        (None, "wrapper", 2.5, (0.0, "a flush joint has none")),
    ],
)
def test_a_gap_not_measured_is_the_usual_one_of_its_joint(
    joint: str | None, kind: str, shoulder: float | None, wanted: tuple[float, str]
) -> None:
    """French 6.4 (Bean & Brodhead, p. 37), tight 1.0 (practice), flush and limp none."""
    book = book_of(
        cover__joint_gap=None, cover__joint=joint, cover__kind=kind, spine__shoulder=shoulder
    )
    for side in ("front", "back"):
        assert (book.gap(side).value, book.gap(side).source) == wanted
        assert book.gap(side).assumed


def test_a_gap_that_was_measured_is_taken_as_it_is() -> None:
    """Front and back may differ; a measured 0 is a measurement."""
    book = book_of(cover__joint_gap=2.0, cover__front__joint_gap=0.0)
    assert (book.gap("front").value, book.gap("back").value) == (0.0, 2.0)
    assert {book.gap("front").how, book.gap("back").how} == {"measured"}


@pytest.mark.parametrize(
    ("reading", "across"),
    [("left-to-right", ("back", "front")), ("right-to-left", ("front", "back"))],
)
def test_the_front_board_lies_at_the_right_of_a_left_to_right_book(
    reading: str, across: tuple[str, str]
) -> None:
    """Seen from outside with the head up; of a right-to-left book at the left."""
    book = book_of(book__reading=reading)
    assert book.across == across
    assert book.edge_words == (across[0].upper(), across[1].upper())
    assert (book.at_right("front"), book.at_right("back")) == (
        across[1] == "front",
        across[1] == "back",
    )


def test_examine_and_draft_agree_on_a_cover_that_is_too_narrow() -> None:
    """A flat 30 mm case, gap not given, spine 31: 30 + 2 × 7.2608 − 31 = 13.52 lacking for both.

    Over a joint without a shoulder 3.2 to the groove's middle, and √(3.2² + 2.5²) = 4.0608 up again.
    """
    narrow = finding(CASE, "spine_too_narrow")
    assert narrow.figure == pytest.approx(13.5216, abs=1e-4)
    assert "joint gap not given: 6.4 mm assumed (published)" in narrow.sureness
    closing = drafted(changed(CASE, {"spine.linings": 0.0}), "spine_lining").pattern.closing
    assert "13.5 mm are lacking" in closing
    widened = drafted(changed(CASE, {"cover.thickness": 0.3}), "cover_widening")
    lacking = part(widened, "cover_widening").quantities["deficiency_head_mm"]
    assert lacking == pytest.approx(13.5216 + 3.14159 * 0.15, abs=1e-4)  # half a turn of 0.3


def test_an_album_counts_the_same_gap_for_its_cover_and_its_room() -> None:
    """French joints not measured: 2 × 6.4 of cover beside the new spine, 6.4 of room for a leaf."""
    known = demo_changed("seaweed_album", cover={"joint": "french", "joint_gap": 6.4})
    unknown = demo_changed("seaweed_album", cover={"joint": "french", "joint_gap": None})
    one, other = (drafted(record, "album_guards") for record in (known, unknown))
    for name in ("room_mm", "reach_mm"):
        assert (
            part(one, "album_guards").quantities[name]
            == (part(other, "album_guards").quantities[name])
        )
    assert [w for w in one.pattern.warnings if "too narrow" in w] == [
        w for w in other.pattern.warnings if "too narrow" in w
    ]


def test_the_board_of_a_french_joint_begins_behind_its_gap_for_every_room() -> None:
    """Board 132 wide, block 130, square 3: a gap of 1 fits; the usual 6.4 is 5.4 more, and is told."""
    book = changed(SOUND, {"cover.joint": "french", "cover.joint_gap": None})
    told = finding(book, "board_width_disagrees")
    assert told.figure == pytest.approx(132 - 130 - 3 + 6.4)
    assert "6.4 mm assumed (published)" in told.words


# what is heavy


@pytest.mark.parametrize(
    ("weights", "lining", "attachment"),
    [
        ((2.4, 1.5), False, True),
        ((2.5, 1.4), True, False),
        ((2.4, 1.4), False, False),
        ((None, 2.5), True, True),
        ((2.5, None), True, True),
        ((None, None), False, False),
    ],
)
def test_heavy_means_one_thing_for_linings_and_another_for_attachments(
    weights: tuple[float | None, float | None], lining: bool, attachment: bool
) -> None:
    """Linings go by 2.5 kg of book, attachments by 1.5 kg of block; neither by a guess."""
    book = book_of(
        book__weight=weights[0],
        text_block__weight=weights[1],
        text_block__grammage=None,
        cover__board_weight=None,
    )
    assert (book.heavy_for_lining, book.heavy_for_attachment) == (lining, attachment)


@pytest.mark.parametrize("kilograms", [1.4, 1.5, 2.4, 2.6])
def test_a_cloth_joint_is_warned_of_where_examine_calls_the_block_heavy(kilograms: float) -> None:
    """Boards hang on the first gatherings alone: the limit is that of attachments, 1.5 kg of block."""
    weights = {"text_block.weight": kilograms, "book.weight": kilograms + 0.2}
    record = changed(SOUND, {**weights, "sewing.supports": "none", "sewing.supports_at": None})
    keys = {one.key for one in examine(record, LIBRARY).findings}
    warned = any("share" in one for one in drafted(record, "sewn_cloth_joint").pattern.warnings)
    assert ("heavy_unsupported" in keys) is warned is (kilograms >= 1.5)


@pytest.mark.parametrize(
    ("weights", "mass", "board"),
    [
        ((0.70, None, 0.058), (0.584, "estimated"), (0.058, "measured")),
        ((0.70, 0.55, None), (0.55, "measured"), (0.0, "default")),
        ((0.70, None, None), (0.70, "estimated"), (0.0, "estimated")),
    ],
)
def test_a_mass_says_how_it_is_known(
    weights: tuple[float | None, float | None, float | None],
    mass: tuple[float, str],
    board: tuple[float, str],
) -> None:
    """Block: weighed, or book less boards, or the whole book, of which the boards are then part."""
    book = book_of(
        book__weight=weights[0],
        text_block__weight=weights[1],
        cover__board_weight=weights[2],
        text_block__grammage=None,
    )
    assert book.block_mass is not None
    assert book.block_mass.value == pytest.approx(mass[0])
    assert book.block_mass.how == mass[1]
    assert (book.board_mass.value, book.board_mass.how) == board


@pytest.mark.parametrize(("kind", "held"), [("limp", "cover"), ("case", "boards")])
def test_what_was_weighed_with_the_block_is_called_what_it_is(kind: str, held: str) -> None:
    book = book_of(
        book__weight=0.7,
        cover__kind=kind,
        cover__board_weight=None,
        text_block__grammage=None,
    )
    assert book.block_mass is not None
    assert book.block_mass.source == f"whole book, {held} not taken off"


def test_a_board_that_was_not_weighed_is_said_to_be_left_out() -> None:
    """Lifted by a board, its own weight counts; where nobody weighed it the sheet says so."""
    told = "boards not weighed: the block alone is counted"
    for structure in ("secondary_sewing", "joint_tacket"):
        known, unknown = (
            drafted(
                changed(SOUND, {"text_block.weight": 0.55, "cover.board_weight": kg}), structure
            )
            for kg in (0.058, None)
        )
        words = [
            " ".join((*one.pattern.warnings, *(step.text for step in one.pattern.steps)))
            for one in (known, unknown)
        ]
        assert told not in words[0], structure
        assert told in words[1], structure


# boards that differ


UNEQUAL = {
    "cover.front.board_height": 208.0, "cover.front.square_head": 4.5,
    "cover.back.board_height": 205.5, "cover.back.square_head": 2.5,
    "cover.board_height": None, "cover.square_head": None,
}  # fmt: skip


def test_each_board_has_its_own_square_on_its_own_strip() -> None:
    """Supports at 50, 100, 150 below the head of the block; squares of 4.5 in front, 2.5 behind."""
    record = changed(SOUND, {**UNEQUAL, "spine.linings": 0.0})
    found = drafted(record, "board_slot")
    for side, square in (("front", 4.5), ("back", 2.5)):
        strip = piece(found, "board_slot", f"edge strip, {side}")
        old = [hole.at[1] for hole in strip.holes if hole.old]
        assert old == pytest.approx([50 + square, 100 + square, 150 + square])


@pytest.mark.parametrize("reading", ["left-to-right", "right-to-left"])
@pytest.mark.parametrize(("toward", "sign"), [("inner", 1), ("outer", -1)])
def test_the_slot_is_drawn_where_it_is_cut(reading: str, toward: str, sign: int) -> None:
    """Boards 3.2 and 2.8, slot 9 deep at 4°: the mouth lies (B − 0.1)/2 ± 4.5·sin 4° from the inner face.

    A slot that runs towards the inner face starts nearer the outer one. Seen from outside, head up,
    the board at the right has its inner face at the left edge of the strip, the other at the right.
    """
    boards = {"front": 3.2, "back": 2.8}
    record = changed(
        SOUND,
        {
            **{f"cover.{side}.board_thickness": b for side, b in boards.items()},
            "cover.board_thickness": None,
            "book.reading": reading,
            "spine.linings": 0.0,
        },
    )
    asked = {"depth": "9", "angle": "4", "toward": toward, "wall": "0.5"}
    found = drafted(record, "board_slot", **asked)
    at_right = "front" if reading == "left-to-right" else "back"
    for side, thickness in boards.items():
        strip = piece(found, "board_slot", f"edge strip, {side}")
        (x, _), (same, _) = strip.slits[0]
        mouth = (thickness - 0.1) / 2 + sign * 4.5 * 0.0697565  # sin 4°
        inner_left = side == at_right
        assert x == same == pytest.approx(mouth if inner_left else strip.width_mm - mouth, abs=1e-5)
        assert (strip.left, strip.right) == (
            ("LEFT EDGE: INNER FACE", "FLAP: OUTER FACE")
            if inner_left
            else ("FLAP: OUTER FACE", "RIGHT EDGE: INNER FACE")
        )
        (ends,) = {abs(b[0] - a[0]) for a, b in strip.slits[1:]}
        assert ends == pytest.approx(thickness)


def test_what_is_as_high_as_the_cover_goes_by_its_higher_board() -> None:
    """Boards 208 and 205.5 high: the inlay is 208 and begins 4.5 above the block."""
    found = drafted(changed(SOUND, UNEQUAL), "spine_inlay")
    assert piece(found, "spine_inlay", "inlay").height_mm == pytest.approx(208.0)
    book = book_of(SOUND, **{key.replace(".", "__"): value for key, value in UNEQUAL.items()})
    assert (book.cover_height.value, book.cover_top_mm) == (208.0, -4.5)


def test_one_measurement_of_the_covers_spine_holds_at_head_and_tail() -> None:
    """Measured at the tail alone, it holds at the head too: 39.2 − 2 × 1.0 over joints − 2 × 0.5."""
    record = changed(SOUND, {"cover.spine_width": None, "cover.spine_width_tail": 39.2})
    quantities = part(drafted(record, "spine_inlay"), "spine_inlay").quantities
    assert quantities["width_head_mm"] == pytest.approx(36.2)
    assert quantities["width_tail_mm"] == pytest.approx(36.2)


# the old sewing


@pytest.mark.parametrize(
    "structure",
    ["secondary_sewing", "spine_lining", "joint_tacket", "sewn_cloth_joint", "board_slot"],
)
def test_supports_without_a_width_are_refused_by_all(structure: str) -> None:
    """A needle that takes a tape for a line would go through it."""
    record = changed(SOUND, {"sewing.support_width": None, "spine.linings": 0.0})
    with pytest.raises(RecordError, match=r"sewing\.support_width is needed beside supports_at"):
        drafted(record, structure)


FROM_KETTLE = {
    "sewing.stations_from": "kettle", "sewing.kettles": (0.0, 176.0),
    "sewing.supports_at": (38.0, 88.0, 138.0), "spine.linings": 0.0,
}  # fmt: skip


def test_heights_from_the_first_kettle_are_shifted_for_linings_as_for_sewing() -> None:
    """Kettles 176 apart on a fold of 200 stand 12 from both ends: supports at 50, 100, 150."""
    book = book_of(SOUND, **{key.replace(".", "__"): value for key, value in FROM_KETTLE.items()})
    assert book.old_sewing.supports_mm == pytest.approx((50.0, 100.0, 150.0))
    assert book.old_sewing.holes_mm == pytest.approx((12, 45, 55, 95, 105, 145, 155, 188))
    plain, shifted = (
        drafted(record, "spine_lining").pattern.parts[0]
        for record in (changed(SOUND, {"spine.linings": 0.0}), changed(SOUND, FROM_KETTLE))
    )
    assert plain.quantities["panel_words"] == shifted.quantities["panel_words"]


def test_heights_from_a_kettle_that_is_not_recorded_are_refused() -> None:
    """Half the fold's height was taken for the way to the first kettle."""
    record = changed(SOUND, {**FROM_KETTLE, "sewing.kettles": None})
    with pytest.raises(RecordError, match=r"sewing\.kettles"):
        drafted(record, "secondary_sewing")


# who may read a record


ASK_THE_BOOK = ("structures", "sewing", "drafting/closing.py", "drafting/combining.py")
"""What works on the book: it asks the book, never the record."""


def test_what_works_on_the_book_never_reads_its_record() -> None:
    """A fact read in two places has two answers sooner or later."""
    wrong = []
    for place in ASK_THE_BOOK:
        path = PACKAGE / place
        for file in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
            tree = ast.parse(file.read_text(encoding="utf-8"))
            wrong += [
                f"{file.relative_to(PACKAGE)}:{node.lineno}: {ast.unparse(node)}"
                for node in ast.walk(tree)
                if isinstance(node, ast.Attribute)
                and isinstance(node.value, ast.Attribute)
                and node.value.attr == "record"
            ]
    assert wrong == []
