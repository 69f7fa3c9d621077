"""Loads, threads, paste and moisture against published examples and independent sums."""

import math
import random

import pytest

from patterns.errors import PlacementError
from patterns.formulas import mechanics
from patterns.formulas.mechanics import Count, Thread

G = 9.80665

# FAA AC 43.13-1B, table 2-2: cotton hand-sewing thread
COTTON_20_4 = Thread("cotton 20/4", 99.2, 22.2)
COTTON_8_4 = Thread("cotton 8/4", 300.6, 62.3)


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
    # Georgia Tech IPST notes: 75 g/m² at 1.36 cm³/g is 0.102 mm
    assert mechanics.caliper_mm(75, 1.36) == pytest.approx(0.102, abs=5e-5)


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


def test_tenacity_of_tested_thread() -> None:
    """FAA AC 43.13-1B, table 2-2: cotton 8/4, 62.3 N at 300.6 tex, is 20.7 cN/tex."""
    assert mechanics.tenacity_cn_tex(62.3, 300.6) == pytest.approx(20.7, abs=0.05)


# Standing loads


def test_five_stitches_of_a_standing_block() -> None:
    """Worked figures: 1.5 kg, 160 wide, at 20, 70, 120, 170, 220: shear 2.941995, most 5.550945."""
    loads = mechanics.stitch_loads_n(1.5, 160, [20, 70, 120, 170, 220])
    assert loads[2] == pytest.approx(2.941995, abs=1e-6)
    assert max(loads) == pytest.approx(5.550945, abs=1e-6)
    assert loads[0] == pytest.approx(loads[4])


@pytest.mark.parametrize("levels", [2, 3, 5, 8, 13])
@pytest.mark.parametrize("books", [1, 4])
def test_closed_form_at_even_pitch(levels: int, books: int) -> None:
    """The closed form is the real sum when every gathering has the same even heights."""
    heights = [15 + 210 * i / (levels - 1) for i in range(levels)] * books
    closed = mechanics.even_pitch_load_n(2.2, 180, levels, 210, levels * books)
    assert max(mechanics.stitch_loads_n(2.2, 180, heights)) == pytest.approx(closed)


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


# General groups


def test_bolt_group_of_shigley() -> None:
    """Shigley, 9th ed., example 8-7: bolts at (± 75, ± 60), 16 kN at x = 425: 21.0 and 14.8 kN."""
    bolts = [(75.0, 60.0), (75.0, -60.0), (-75.0, 60.0), (-75.0, -60.0)]
    loads = [math.hypot(*f) for f in mechanics.group_loads(bolts, (0, -16), (425, 0))]
    assert loads == pytest.approx([21.0, 21.0, 14.8, 14.8], abs=0.05)


def test_any_group_is_in_equilibrium() -> None:
    draw = random.Random(5)
    points = [(draw.uniform(-9, 9), draw.uniform(-9, 9)) for _ in range(7)]
    weights = [draw.uniform(0.2, 3) for _ in points]
    force, at = (3.0, -7.0), (11.0, 4.0)
    loads = mechanics.group_loads(points, force, at, weights)
    assert sum(f[0] for f in loads) == pytest.approx(force[0])
    assert sum(f[1] for f in loads) == pytest.approx(force[1])
    turning = sum(x * f[1] - y * f[0] for (x, y), f in zip(points, loads, strict=True))
    assert turning == pytest.approx(at[0] * force[1] - at[1] * force[0])


def test_a_column_of_stitches_is_a_group() -> None:
    """The stitch rule is the general group with every stitch on one line."""
    heights = [20.0, 70.0, 120.0, 170.0, 220.0]
    loads = mechanics.group_loads([(0.0, y) for y in heights], (0, 1.5 * G), (80, 120))
    assert [math.hypot(*f) for f in loads] == pytest.approx(
        mechanics.stitch_loads_n(1.5, 160, heights)
    )


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


def test_cloth_is_some_hundred_times_strong_enough() -> None:
    """FAA AC 43.13-1B, table 2-1: grade A cotton, 140 N/cm new, against lifting by one board."""
    pull = mechanics.lifted_line_load(4.1, 0.44, 330)
    assert 14.0 / pull == pytest.approx(100, rel=0.1)
    assert pull * 330 == pytest.approx(4.54 * G)


def test_a_hole_tears_or_its_paper_breaks() -> None:
    """Four sheets of 350 mN hold 1.4 N a hole; a weak sheet under a thin thread holds less."""
    assert mechanics.hole_capacity_n(4, 350) == pytest.approx(1.4)
    assert mechanics.hole_capacity_n(4, 350, tensile_n_mm=0.5, thread_mm=0.4) == pytest.approx(0.8)
    assert mechanics.hole_capacity_n(4, 350, tensile_n_mm=3, thread_mm=0.4) == pytest.approx(1.4)
    assert mechanics.stitch_capacity_n(4, 350) == pytest.approx(2 * 1.4)


def test_permanent_paper() -> None:
    """ISO 9706: at least 350 mN from 70 g/m² up, 6g − 70 from 25 to 70."""
    assert mechanics.permanent_paper_tear_mn(90) == 350
    assert mechanics.permanent_paper_tear_mn(70) == 350
    assert mechanics.permanent_paper_tear_mn(60) == 290
    assert mechanics.permanent_paper_tear_mn(25) == 80


def test_stitches_needed() -> None:
    """Worked figure: SF 3, 350 mN, four folios, five levels over 200, 1.5 kg, 160 → 29.7, so 30."""
    needed = mechanics.stitches_needed(3, 1.5, mechanics.hole_capacity_n(4, 350), 160, 5, 200)
    assert needed == pytest.approx(29.7, abs=0.05)
    # independent: thirty of them at their real heights do reach it, twenty-five do not
    capacity = mechanics.stitch_capacity_n(4, 350)
    for gatherings, enough in ((6, True), (5, False)):
        heights = [20.0, 70.0, 120.0, 170.0, 220.0] * gatherings
        greatest = max(mechanics.stitch_loads_n(1.5, 160, heights))
        assert (capacity / greatest >= 3) is enough


def test_thread_is_the_thinnest_that_outlasts_the_paper_five_times() -> None:
    threads = [COTTON_8_4, COTTON_20_4]
    assert mechanics.thinnest_thread(threads, 2.8) is COTTON_20_4
    assert mechanics.thinnest_thread(threads, 4.43) is COTTON_20_4
    assert mechanics.thinnest_thread(threads, 4.45) is COTTON_8_4
    assert mechanics.thinnest_thread(threads, 12.5) is None
    assert mechanics.thinnest_thread(threads, 12.5, times=4) is COTTON_8_4
    assert mechanics.thinnest_thread([], 1) is None


# Moisture


def test_growth_of_the_printed_sheet() -> None:
    """Worked figure: 297 across the grain, 0.012 % per % RH, ten per cent: 0.36."""
    assert mechanics.growth_mm(297, 0.012, 10) == pytest.approx(0.36, abs=0.005)


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


# The bond in a slot


def test_worked_slot_bond() -> None:
    """Worked figure: K 140, G/η 10, q 1.37, L 10 → 0.259176 MPa."""
    assert mechanics.bond_stress_mpa(1.37, 140, 10, 10) == pytest.approx(0.259176, abs=1e-6)


@pytest.mark.parametrize("depth", [2.0, 6.0, 10.0, 20.0])
def test_slot_bond_by_stepping_along_the_cloth(depth: float) -> None:
    """Independent: K u″ = 2 (G/η) u from the free end (u′ = 0) to the mouth, by Runge–Kutta."""
    k, bond, pull, steps = 140.0, 10.0, 1.37, 2000
    h, u, v = depth / steps, 1.0, 0.0
    rate = 2 * bond / k
    for _ in range(steps):
        k1, l1 = v, rate * u
        k2, l2 = v + h / 2 * l1, rate * (u + h / 2 * k1)
        k3, l3 = v + h / 2 * l2, rate * (u + h / 2 * k2)
        k4, l4 = v + h * l3, rate * (u + h * k3)
        u, v = u + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4), v + h / 6 * (l1 + 2 * l2 + 2 * l3 + l4)
    stress_at_mouth = bond * u * pull / (k * v)
    assert mechanics.bond_stress_mpa(pull, k, bond, depth) == pytest.approx(stress_at_mouth)


def test_a_deeper_slot_than_the_useful_depth_gains_one_per_cent() -> None:
    useful = mechanics.useful_depth_mm(140, 10)
    assert 5 < useful < 10
    at_useful = mechanics.bond_stress_mpa(1.37, 140, 10, useful)
    endless = mechanics.bond_stress_mpa(1.37, 140, 10, 1000)
    assert at_useful / endless == pytest.approx(1.01, abs=5e-4)
