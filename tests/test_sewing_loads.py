"""What a sewing carries: properties that hold for any book, and the statics behind the figures."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.model.part import Part
from tests.books import changed, drafted, made


def sewing(**fields: dict[str, object]) -> Part:
    """Draft the logbook's sewing with some record fields changed."""
    found = drafted(
        changed("logbook", **fields),
        "secondary_sewing",
        stitches=4,
        layout="classes",
        path="fold",
        every=3,
    )
    return found.pattern.parts[0]


def value(part: Part, name: str) -> float:
    """Return one figure."""
    return float(part.quantities[name])


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.floats(0.5, 10), st.floats(1.01, 3))
def test_heavier_is_never_safer(block_kg: float, times: float) -> None:
    """More weight on the same stitches never gives more safety, nor asks less of the paper."""
    light, heavy = (
        sewing(text_block={"weight": kg, "tear_strength": 350.0})
        for kg in (block_kg, block_kg * times)
    )
    assert value(heavy, "safety_factor") < value(light, "safety_factor")
    assert value(heavy, "needed_tear_mn") > value(light, "needed_tear_mn")


@settings(max_examples=15, deadline=None, derandomize=True)
@given(st.floats(160, 2000), st.floats(1.01, 3))
def test_stronger_paper_is_never_less_safe(tear_mn: float, times: float) -> None:
    """Safety grows in proportion to the paper's tear strength."""
    weak, strong = (
        sewing(text_block={"weight": 3.0, "tear_strength": mn}) for mn in (tear_mn, tear_mn * times)
    )
    ratio = value(strong, "safety_factor") / value(weak, "safety_factor")
    assert ratio == pytest.approx(times)


def test_forces_balance_the_hanging_block() -> None:
    """Statics: the shears add up to the weight, and the pulls to its moment about the spine."""
    part = sewing(text_block={"weight": 4.1, "width": 230.0})
    assert part.sewing is not None
    forces = [(s.from_mm + s.to_mm, s.force_n or 0.0) for s in part.sewing.stitches]
    share = 4.1 * 9.80665 / len(forces)
    mean = sum(y / 2 for y, _ in forces) / len(forces)
    pulls = [math.sqrt(max(0.0, f * f - share * share)) for _, f in forces]
    moment = sum(p * abs(y / 2 - mean) for (y, _), p in zip(forces, pulls, strict=True))
    assert moment == pytest.approx(4.1 * 9.80665 * 230 / 2, rel=1e-6)


def test_the_worked_logbook_load() -> None:
    """Worked example: 4.1 kg, W 230, H 330, 40 gatherings of 4, 15 sewn, 350 mN, n = 4: 1.46 N, 1.92."""
    fields: dict[str, dict[str, object]] = {
        "text_block": {"weight": 4.1, "tear_strength": 350.0},
        "sewing": {
            "supports_at": None,
            "kettles": (5.0, 325.0),
            "stations": None,
            "supports": "none",
            "tie_down": 0.0,
        },
    }
    part = sewing(**fields)
    assert value(part, "force_n") == pytest.approx(1.461, abs=5e-4)
    assert value(part, "safety_factor") == pytest.approx(1.92, abs=5e-3)


def test_enough_stitches_are_chosen_where_the_paper_is_known() -> None:
    """Worked example: 7 stitches reach a safety of 3.08."""
    book = changed(
        "logbook",
        text_block={"weight": 4.1, "tear_strength": 350.0},
        sewing={
            "supports_at": None,
            "kettles": (5.0, 325.0),
            "stations": None,
            "supports": "none",
            "tie_down": 0.0,
        },
    )
    part = drafted(book, "secondary_sewing", layout="classes", every=3).pattern.parts[0]
    assert value(part, "stitch_count") == 7 * 15
    assert value(part, "safety_factor") == pytest.approx(3.08, abs=5e-3)


def test_a_sewing_too_weak_is_told_on_the_sheet_and_beside_it() -> None:
    """Too weak is a box and a warning, and no refusal."""
    book = changed("logbook", text_block={"weight": 4.1, "tear_strength": 160.0})
    found = made(book, "secondary_sewing", settings={"stitches": "3"}, formats=("svg",))
    assert any(line.startswith("TOO WEAK") for line in found.warnings)
    sheets = b"".join(data for name, data in found.files.items() if name.endswith(".svg"))
    assert b"TOO WEAK" in sheets


@pytest.mark.parametrize(
    ("block", "name"),
    [
        ({"weight": 1.2, "tear_strength": 200.0}, "linen thread 60/3"),
        ({"weight": 3.0, "tear_strength": 200.0}, "linen thread 35/3"),
        ({"weight": 3.0, "tear_strength": 700.0}, "linen thread 35/3"),
        ({"weight": 3.0, "tear_strength": 720.0}, "linen thread 30/3"),
        (
            {"weight": 3.0, "tear_strength": 600.0, "leaves_per_gathering": 16, "gatherings": 20},
            "linen thread 18/3",
        ),
        ({"weight": 3.0}, "linen thread 35/3"),
    ],
)
def test_the_thread_is_the_thinnest_that_outlasts_the_paper(
    block: dict[str, object], name: str
) -> None:
    """5 × 2·k·F in N, worked by hand, against 20 cN/tex: k 4 at 200 mN 8.0 N → 60/3 (16.5), from 1.5 kg on 35/3 (28.3).

    At 700 mN 28.0, at 720 mN 28.8 → 30/3 (33.1); k 8 at 600 mN 48 → 18/3 (55.1), for 25/3 breaks at 39.7.
    """
    found = drafted(changed("logbook", text_block=block), "secondary_sewing")
    assert found.materials["secondary_sewing"]["thread"].name == name
    shown = found.parameters["secondary_sewing"]["thread"]
    assert shown == (None if name != "linen thread 35/3" else name)


def test_a_thread_given_by_hand_is_left_as_given() -> None:
    book = changed("logbook", text_block={"weight": 1.2, "tear_strength": 200.0})
    found = drafted(book, "secondary_sewing", thread="linen thread 18/3")
    assert found.materials["secondary_sewing"]["thread"].name == "linen thread 18/3"
