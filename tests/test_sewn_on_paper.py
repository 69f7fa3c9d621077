"""What a second reader met who sewed on paper from the sheets alone."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from patterns.book.results import SupportResult
from patterns.drafting.order import Drafted
from patterns.errors import MendfoldError
from patterns.examine.examination import examine
from patterns.examine.finding import Choice
from patterns.model.drawing import Words
from patterns.model.part import Diagram, Part
from patterns.record.record import FoldTable, Record, UnionTable
from patterns.sewing.sewn import Sewn
from patterns.sewing.ways import Bench
from patterns.sheets import layers
from patterns.stock import materials
from patterns.structures import catalogue
from tests.books import changed, drafted, made, part
from tests.readers import pdf_labels

UNREAD = {"girth_sewn_head": None, "girth_sewn_tail": None}
"""The logbook at its first visit: its spine is not sewn yet."""


def sewing(found: Drafted) -> Part:
    """Return the part that is sewn."""
    return next(one for one in found.pattern.parts if one.sewing)


def picture(found: Part, title: str) -> Diagram:
    """Return one drawing of a part."""
    return next(one for one in found.diagrams if one.title == title)


def test_each_tail_of_a_continuous_thread_is_tied_in_the_gathering_where_it_comes_out() -> None:
    """Every hitch stands at a hole of its own gathering, two for each length of thread."""
    found = sewing(drafted("logbook", "secondary_sewing", path="continuous", stitches=6))
    assert found.sewing is not None
    hitches = 0
    for one in found.sewing.path:
        holes = {move[-1] for move in one.moves if move[0] in ("in", "out")}
        tied = [move[-1] for move in one.moves if move[0] == "hitch"]
        assert holes.issuperset(tied)
        hitches += len(tied)
    lengths = found.sewing.details["lengths"]
    assert isinstance(lengths, list)
    assert hitches == 2 * len(lengths)


def test_undo_begins_with_what_was_fastened_last() -> None:
    """The tube is slit before the cover that lies on it gives up its inlay, flanges before the sewing."""
    found = drafted(
        "logbook", "board_slot", "secondary_sewing", "hollow_tube", "spine_inlay", "spine_lining"
    )
    titles = list(dict.fromkeys(line.split(":")[0] for line in found.pattern.undo))
    assert titles == [
        "Hollow tube",
        "Spine inlay",
        "Board slot",
        "Secondary sewing",
        "Spine lining",
    ]


def test_a_hinge_sewn_with_one_thread_names_no_paste_to_undo() -> None:
    """Nothing of a hinge is pasted: its sides are released first, its tails are tied and no more."""
    lines = [
        line.partition(": ")[2]
        for line in drafted("almanac", "tissue_hinge", path="continuous").pattern.undo
    ]
    assert "release the sides of the tissue" in lines[0]
    assert not any("paste" in line for line in lines)
    assert "loosen their half hitches" in lines[1]


def test_a_hinge_lifted_by_a_side_loads_the_outer_two_gatherings() -> None:
    """Nothing is pasted to its folds, so no case of a pasted lining is told."""
    (line,) = (text for text in drafted("almanac", "tissue_hinge").warnings if "lifted by" in text)
    assert "in the outer two gatherings" in line
    assert "pasted" not in line


def test_the_original_spine_is_pasted_on_the_piece_that_widens_it() -> None:
    narrow = changed("almanac", cover={"spine_width": 9.0})
    found = drafted(narrow, "tissue_hinge", "cover_widening")
    (spine,) = (one for one in layers.stack(found.pattern) if one.name == "original spine")
    assert spine.union == "pasted"


def test_what_waits_for_the_sewing_is_told_after_it_and_in_a_table() -> None:
    book = changed("logbook", spine=UNREAD)
    found = drafted(book, "secondary_sewing", "hollow_tube", "spine_inlay")
    order = [(step.structure, "not drawn yet" in step.text) for step in found.pattern.steps]
    last = max(place for place, (name, _) in enumerate(order) if name == "secondary_sewing")
    waiting = [place for place, (_, waits) in enumerate(order) if waits]
    sewn = [place for place, one in enumerate(found.pattern.steps) if one.phase == "sew"]
    assert len(waiting) == 2
    assert min(waiting) > max(sewn)
    assert last > 0
    (tube,) = part(found, "hollow_tube").waits
    assert tube.title == "tube strip"
    assert tube.wide_mm is not None
    sheets = made(book, "secondary_sewing", "hollow_tube").files["sheets.pdf"]
    words = " ".join(label.text for label in pdf_labels(sheets))
    assert "Not cut yet" in words
    assert f"{tube.wide_mm[0]:.1f} to {tube.wide_mm[1]:.1f}" in words


def test_a_thin_gathering_does_not_hide_what_the_others_bear() -> None:
    """At one height the greater force is shown: a gathering of more stitches bears less at each."""
    thin = (FoldTable(gathering=15, folios=2),)
    book = changed("logbook", sewing={"fold": thin}, text_block={"tear_strength": 600})
    found = sewing(drafted(book, "secondary_sewing", path="loops", every=3, stitches=3))
    shown = [mark.text for mark in picture(found, "What each height carries").marks if isinstance(mark, Words)]  # fmt: skip
    told = {float(a): float(b) for text in shown for a, b in re.findall(r"^([\d.]+) mm: ([\d.]+) N$", text)}  # fmt: skip
    assert found.sewing is not None
    for y, force in told.items():
        there = [
            one.force_n
            for one in found.sewing.stitches
            if abs((one.from_mm + one.to_mm) / 2 - y) < 0.051 and one.force_n is not None
        ]
        assert force == pytest.approx(max(there), rel=0.06)


def test_the_load_picture_says_when_a_support_carries_the_block() -> None:
    book = changed("logbook", spine=UNREAD)
    alone = sewing(drafted(book, "secondary_sewing"))
    carried = sewing(drafted(book, "secondary_sewing", "text_block_support"))
    title = "What each height carries"
    assert not any("hangs on no stitch" in note for note in picture(alone, title).notes)
    assert any("hangs on no stitch" in note for note in picture(carried, title).notes)


def test_a_covering_that_was_not_read_is_not_told_a_width_without_its_thread() -> None:
    found = drafted(changed("logbook", spine=UNREAD), "secondary_sewing")
    assert "is not measured" in found.pattern.closing
    assert "Thread adds" in found.pattern.closing


def test_a_sewing_that_was_read_is_not_advised_to_be_another() -> None:
    """The strip was read after the sewing: fold and every third swell too much, but they are sewn."""
    sewn = drafted("logbook", "secondary_sewing", path="fold", every=3)
    (line,) = (text for text in sewn.warnings if "the thread adds" in text)
    assert line.endswith("it is sewn, and the strip read over it counts")


def test_an_adhesive_is_named_once_where_bases_are_pasted() -> None:
    found = drafted("pay_book", "flap_wrapper")
    told = [zone for one in found.pattern.parts[0].pieces for zone in one.zones if zone.adhesive]
    assert told
    for zone in told:
        assert zone.adhesive not in zone.to


def test_no_name_of_a_structure_is_capitalised_into_another() -> None:
    weak = changed("logbook", spine=UNREAD, text_block={"tear_strength": 150})
    for line in drafted(weak, "secondary_sewing", path="fold").pattern.boxes:
        assert "Text_block" not in line


def test_a_thin_gathering_that_weakens_the_book_is_left_for_its_neighbour() -> None:
    """Half the folios bear half the force: the advice names the gatherings, drafted it holds as it says."""
    book = changed(
        "logbook",
        spine=UNREAD,
        text_block={"tear_strength": 600},
        sewing={"fold": (FoldTable(gathering=18, folios=1),)},
    )
    settings = {"path": "loops", "every": 4}
    (box,) = sewing(drafted(book, "secondary_sewing", **settings)).boxes
    found = re.search(r"gatherings=([\d,]+) reaches ([\d.]+)", box)
    assert "gathering 18" in box
    assert found is not None, box
    assert "18" not in found[1].split(",")
    again = sewing(drafted(book, "secondary_sewing", path="loops", gatherings=found[1]))
    safety = again.quantities["safety_factor"]
    assert isinstance(safety, float)
    assert f"{safety:.2f}" == found[2]
    assert safety >= 3


def test_a_section_is_listed_as_finely_as_it_is_checked() -> None:
    """Half a strip, 0.125 mm, is what a section may be out by: tenths would hide it."""
    found = drafted("seaweed_album", "album_guards")
    listed = next(one for one in found.pattern.parts[0].diagrams if "Section list" in one.title)
    figures = [m.text for m in listed.marks if isinstance(m, Words) and "." in m.text]
    assert figures
    assert all(len(text.rpartition(".")[2]) == 2 for text in figures)


def ways(record: Record) -> dict[str, Choice]:
    """Examine a record and return every way to go on by its structures."""
    found = examine(record, materials.built_in(), catalogue.templates(), "x.toml")
    return {one.structure: one for one in found.choices}


def test_no_sewing_is_offered_where_there_is_no_gathering_to_measure() -> None:
    """An album of single leaves, weighed and heavy: nothing to sew through until it is guarded."""
    heavy = changed("seaweed_album", book={"weight": 6.0})
    assert not [name for name in ways(heavy) if "secondary_sewing" in name]


def test_leaves_tipped_into_a_sewn_book_do_not_ask_for_its_taking_down() -> None:
    """Only where leaves hang on stubs or guards, or in an album, is the whole book guarded anew."""
    tipped = UnionTable(("tipped leaves", "gatherings"), moves=True, made="pasted", state="weak")
    stubs = UnionTable(("leaves", "stubs"), moves=True, made="pasted", state="weak")
    book = changed("almanac")
    assert "album_guards" not in ways(replace(book, unions=(tipped,)))
    assert "album_guards" in ways(replace(book, unions=(stubs,)))


def test_a_last_resort_stays_behind_what_swells_the_spine() -> None:
    """Tackets tear out under a heavy block: a lining that swells a little more than is let pass comes before them."""
    spine = {**UNREAD, "girth_head": 62, "girth_tail": 62, "over_shoulders": 58}
    heavy = changed("logbook", spine=spine, text_block={"tear_strength": 600})
    order = list(ways(heavy))
    sewn = next(place for place, name in enumerate(order) if "secondary_sewing" in name)
    assert sewn < order.index("joint_tacket+hollow_tube+reback")


@pytest.mark.parametrize("structure", ["secondary_sewing", "sewn_cloth_joint"])
def test_gatherings_of_one_leaf_have_no_fold_to_sew_through(structure: str) -> None:
    """Examination said so, and the draft sewed them all the same: both refuse."""
    single = changed("logbook", text_block={"leaves_per_gathering": 1, "leaves": 40})
    assert structure not in "+".join(ways(single)).split("+")
    with pytest.raises(MendfoldError, match="no fold to sew through"):
        drafted(single, structure)


def test_examination_works_each_sewing_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Weak paper: two structures lead a sewing, with and without a support: one carried and one not."""
    worked: list[bool] = []
    real = Bench.best

    def counted(bench: Bench) -> Sewn:
        worked.append(bench.book.expects(SupportResult))
        return real(bench)

    monkeypatch.setattr(Bench, "best", counted)
    found = ways(changed("logbook", spine=UNREAD, text_block={"tear_strength": 160}))
    assert [name for name in found if "secondary_sewing" in name]
    assert sorted(worked) == [False, True]


def test_the_figures_an_album_is_guarded_by_stand_on_its_first_page() -> None:
    """Stub, margin and contents decide every width: whoever cuts can compare them with the album."""
    book = changed("seaweed_album", album={"contents_thickness": (0.3,) * 23 + (1.25,)})
    told = dict(drafted(book, "album_guards").pattern.measurements)
    assert told["contents of a leaf"] == "0.3 to 1.25 mm"
    assert {"leaves", "old stub", "clear margin"} <= set(told)
    assert dict(drafted("logbook", "secondary_sewing").pattern.measurements)["gatherings"] == "40"
