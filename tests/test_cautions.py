"""The cautions: complete, sourced, and each handed over to the rules of the place."""

from __future__ import annotations

import pytest

from patterns.errors import TemplateError
from patterns.stock import cautions

ENDING = "Follow your institution's and local safety rules; ask a qualified person where in doubt."

# What each caution must say, after the sources it names; the numbers are those of the
# NIOSH Pocket Guide (ethyl alcohol: flash point 55 °F, LEL 3.3 %, UEL 19 %, TWA 1000 ppm).
MUST_SAY = {
    "knife": ("light passes", "sharps container", "forceps"),
    "slotting_cutter": ("guard on", "unplug", "eye protection", "lead, arsenic or mould"),
    "ethanol": ("13 °C", "3.3 and 19 %", "1000 ppm", "gloves", "all that is hot"),
    "heat": ("release paper", "Ventilate"),
    "ethanol_and_heat": ("never", "air out"),
    "mould": ("FFP2 or FFP3", "gloves", "sensitive"),
    "pests": ("isolate",),
    "green_cloth": ("arsenic", "nitrile", "wash hands", "lead or chromium"),
    "red_rot": ("water blackens it", "no paste straight onto it"),
    "old_treatments": ("assume a pesticide",),
    "solvents_on_object": ("Spot-test every liquid", "shellac", "gilding"),
    "no_moisture": ("iron-gall", "parchment", "red-rotted"),
    "parchment": ("no heat", "nearly dry", "under restraint", "tested first", "conservator"),
    "ink": ("judgement of this very ink",),
    "photographs": ("ISO 18916", "activity test"),
    "brittle": ("stop", "conservator"),
    "awl": ("away from the hand", "cork"),
    "support_block": ("support", "hang"),
    "lift": ("both hands", "never by a board or a side of its cover"),
    "drill": ("cork", "eye protection"),
}


@pytest.mark.parametrize(("key", "phrases"), MUST_SAY.items())
def test_each_caution_says_what_its_source_asks(key: str, phrases: tuple[str, ...]) -> None:
    for phrase in phrases:
        assert phrase in cautions.text(key)


@pytest.mark.parametrize("key", cautions.load())
def test_each_caution_ends_by_handing_over_and_names_its_source(key: str) -> None:
    caution = cautions.load()[key]
    assert caution.text.endswith(ENDING)
    assert caution.text.count(ENDING) == 1
    assert caution.source.strip()
    assert caution.work.strip()
    assert caution.confidence in ("seen", "practice")


def test_an_unknown_key_is_refused_with_the_nearest() -> None:
    with pytest.raises(TemplateError, match="slotting_cutter"):
        cautions.text("slot_cutter")
