"""Loads, threads, paste and moisture against published examples and independent sums."""

import math
import random

import pytest

from patterns.errors import PlacementError
from patterns.formulas import mechanics
from patterns.formulas.mechanics import Count

G = 9.80665

# FAA AC 43.13-1B, table 2-2: cotton hand-sewing thread


def logbook_heights(stitches: int) -> list[float]:
    """Two classes of heights, 25.2 to 304.8, dealt to fifteen gatherings by turns."""
    count = 2 * stitches
    heights = [25.2 + (304.8 - 25.2) * i / (count - 1) for i in range(count)]
    return [y for gathering in range(15) for y in heights[gathering % 2 :: 2]]


# Mass, thickness, thread


def test_mass_and_thickness_of_leaves() -> None:
    """ISO 536: an A4 leaf at 80 g/m² is 4.9896 g; 160 leaves of 160 × 240 are 0.49152 kg."""
    assert mechanics.leaves_mass_kg(1, 80, 210, 297) == pytest.approx(0.0049896, abs=1e-12)
    assert mechanics.leaves_mass_kg(160, 80, 160, 240) == pytest.approx(0.49152, abs=1e-12)
    # a square metre is what grammage says it is
    assert mechanics.leaves_mass_kg(1, 115, 1000, 1000) == pytest.approx(0.115)


def test_thread_counts() -> None:
    """Kadolph & Langford 2001, ASTM D2260: linen 18/3, 25/3, 35/3; 30 tex is Ne 19.7."""
    found = [mechanics.thread_tex(lea, "lea", 3) for lea in (18, 25, 35)]
    assert found == pytest.approx([275.6, 198.4, 142], abs=0.3)
    assert mechanics.thread_tex(18, "lea", 3) == pytest.approx(275.6, abs=0.05)
    assert mechanics.thread_tex(25, "lea", 3) == pytest.approx(198.4, abs=0.05)
    assert mechanics.thread_tex(19.7, "Ne") == pytest.approx(30, abs=0.05)


def test_counts_follow_from_their_definitions() -> None:
    """Lea counts 300 yd, Ne 840 yd in a pound; Nm 1000 m in a kilogram; denier grams in 9 km."""
    yard, pound = 0.9144, 453.59237
    in_a_pound: list[tuple[Count, float]] = [("lea", 300), ("Ne", 840), ("yd/lb", 1)]
    for system, yards in in_a_pound:
        grams_per_km = pound / (yards * yard / 1000)
        assert mechanics.thread_tex(1, system) == pytest.approx(grams_per_km, rel=1e-6)
    assert mechanics.thread_tex(20, "Nm") == 50
    assert mechanics.thread_tex(900, "denier") == 100
    assert mechanics.thread_tex(25, "tex", 2) == 50


def test_thread_diameter() -> None:
    """Peirce 1937 (yarn of 1.1 cm³/g): cotton of 100 tex is 0.374 thick. Worked: 18/3 → 0.6244."""
    assert mechanics.thread_diameter_mm(100, 1 / 1.1) == pytest.approx(0.374, abs=5e-4)
    tex = mechanics.thread_tex(18, "lea", 3)
    assert mechanics.thread_diameter_mm(tex, 0.90) == pytest.approx(0.6244, abs=5e-5)
    # independent: a kilometre of it weighs tex grams again
    area = math.pi * mechanics.thread_diameter_mm(tex, 0.90) ** 2 / 4
    assert area * 1e-2 * 1e5 * 0.90 == pytest.approx(tex)


def test_swell_is_a_range() -> None:
    """Diehl, "Backing": ten sections sewn all along put ten threads in the back (hard paper)."""
    least, most = mechanics.swell_mm(10, 0.6)
    assert most == pytest.approx(10 * 0.6)
    assert least == pytest.approx(most / 2)


# Standing loads


def test_five_stitches_of_a_standing_block() -> None:
    """Worked figures: 1.5 kg, 160 wide, at 20, 70, 120, 170, 220: shear 2.941995, most 5.550945."""
    loads = mechanics.stitch_loads_n(1.5, 160, [20, 70, 120, 170, 220])
    assert loads[2] == pytest.approx(2.941995, abs=1e-6)
    assert max(loads) == pytest.approx(5.550945, abs=1e-6)
    assert loads[0] == pytest.approx(loads[4])


@pytest.mark.parametrize("opening", [0.0, 90.0, 180.0])
def test_stitches_balance_weight_and_moment(opening: float) -> None:
    """Equilibrium: shears carry the weight, side forces the moment and no net side pull."""
    draw = random.Random(11)
    heights = [draw.uniform(20, 310) for _ in range(24)]
    loads = mechanics.stitch_loads_n(4.1, 230, heights, opening)
    mean = sum(heights) / 24
    shear = 4.1 * G / 24
    side = [
        math.copysign(math.sqrt(max(0.0, f * f - shear * shear)), y - mean)
        for f, y in zip(loads, heights, strict=True)
    ]
    assert sum(side) == pytest.approx(0, abs=1e-6)
    moment = sum(f * (y - mean) for f, y in zip(side, heights, strict=True))
    # the two halves' middles lie a quarter turn of their opening out of the plane between them
    out = (
        115 * math.cos(math.radians(opening / 2)) + 115 * math.cos(math.radians(-opening / 2))
    ) / 2
    assert moment == pytest.approx(4.1 * G * out, abs=1e-6)


def test_closed_is_the_worst_of_standing() -> None:
    heights = [20.0, 120.0, 220.0]
    greatest = [max(mechanics.stitch_loads_n(1.5, 160, heights, a)) for a in range(0, 181, 10)]
    assert greatest == sorted(greatest, reverse=True)
    assert greatest[-1] == pytest.approx(1.5 * G / 3)


@pytest.mark.parametrize("heights", [[], [50.0], [50.0, 50.0]])
def test_stitches_at_one_height_are_refused(heights: list[float]) -> None:
    with pytest.raises(PlacementError, match="two heights or more"):
        mechanics.stitch_loads_n(1.5, 160, heights)


# What the paper bears


@pytest.mark.parametrize(
    ("stitches", "force", "safety"),
    [(4, 1.461, 1.92), (5, None, 2.30), (6, None, 2.69), (7, 0.908, 3.08)],
)
def test_logbook(stitches: int, force: float | None, safety: float) -> None:
    """Worked figures: 4.1 kg, 230 × 330, fifteen gatherings of four folios, 350 mN."""
    greatest = max(mechanics.stitch_loads_n(4.1, 230, logbook_heights(stitches)))
    if force is not None:
        assert greatest == pytest.approx(force, abs=5e-4)
    assert mechanics.stitch_capacity_n(4, 350) / greatest == pytest.approx(safety, abs=0.006)


def test_what_the_logbooks_paper_must_bear() -> None:
    """Worked figure: at four stitches, 548 mN a sheet for a safety of 3."""
    greatest = max(mechanics.stitch_loads_n(4.1, 230, logbook_heights(4)))
    assert mechanics.needed_tear_mn(3, greatest, 4) == pytest.approx(548, abs=0.5)
    # paper of just that strength gives just that safety
    assert mechanics.stitch_capacity_n(4, mechanics.needed_tear_mn(3, greatest, 4)) == (
        pytest.approx(3 * greatest)
    )


def test_lifting_the_logbook_by_one_board() -> None:
    """Worked figures, with a board of 0.44 kg: 5.6 N unpasted, 11 N when sudden, 0.74 N pasted."""
    counts = [4] * 15
    loose = mechanics.lifted_load_n(4.1, 0.44, counts, pasted=False)
    sudden = mechanics.lifted_load_n(4.1, 0.44, counts, pasted=False, sudden=mechanics.SUDDEN)
    assert loose == pytest.approx(5.6, abs=0.05)
    assert sudden == pytest.approx(11, abs=0.5)
    assert mechanics.lifted_load_n(4.1, 0.44, counts, pasted=True) == pytest.approx(0.74, abs=0.005)
    assert sudden / mechanics.stitch_capacity_n(4, 350) == pytest.approx(4, abs=0.1)
    # the end with fewer stitches is the one that counts
    uneven = [4, 4, 4, 3, 2]
    assert mechanics.lifted_load_n(2, 0.3, uneven, pasted=False) == pytest.approx(2.3 * G / 5)


# Moisture


def test_curl_of_equal_layers() -> None:
    """Timoshenko 1925: 1.5 Δε/h; 10⁻³ over 0.2 → 0.0075 per mm."""
    assert mechanics.curl_per_mm(1e-3, 0.1, 0.1) == pytest.approx(0.0075)


@pytest.mark.parametrize(("t1", "t2", "ratio"), [(0.1, 0.1, 1), (0.12, 0.3, 2.5), (0.4, 0.1, 0.4)])
def test_curl_by_summing_thin_slices(t1: float, t2: float, ratio: float) -> None:
    """Independent: no net force and no net moment over 3,000 slices of the two layers."""
    slices, whole = 3000, t1 + t2
    step = whole / slices
    s0 = s1 = s2 = e0 = e1 = 0.0
    for i in range(slices):
        z = (i + 0.5) * step
        modulus, grown = (ratio, 1e-3) if z < t1 else (1.0, 0.0)
        s0, s1, s2 = s0 + modulus, s1 + modulus * z, s2 + modulus * z * z
        e0, e1 = e0 + modulus * grown, e1 + modulus * grown * z
    curvature = (s0 * e1 - s1 * e0) / (s0 * s2 - s1 * s1)
    assert mechanics.curl_per_mm(1e-3, t1, t2, ratio) == pytest.approx(abs(curvature), rel=2e-3)
