"""Joint paths against worked figures and against boards opened step by step."""

import math
import random

import pytest
from shapely import LineString, Polygon

from patterns.formulas import joints
from patterns.formulas.joints import Joint, PathEnd, PathStart
from patterns.model.drawing import Point

TIGHT = Joint("tight", 3.0, 90, 1.0, 3.2)
FRENCH = Joint("french", 2.5, 90, 6.0, 2.5)


def turned(point: Point, about: Point, deg: float) -> Point:
    """A point turned from +x towards +z."""
    x, z = point[0] - about[0], point[1] - about[1]
    c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
    return about[0] + x * c - z * s, about[1] + x * s + z * c


def sampled(fixed: Point, moving: Point, about: Point, opening: float, steps: int = 4000) -> float:
    """Greatest distance met while opening, by trying every angle."""
    angles = (opening * i / steps for i in range(steps + 1))
    return max(math.dist(fixed, turned(moving, about, angle)) for angle in angles)


@pytest.mark.parametrize(
    ("joint", "start", "end", "length", "straight"),
    [
        (TIGHT, "S", ("Q", 0.976), 2.692, 2.258),
        (TIGHT, "S", ("Q", 2.224), 1.519, 1.266),
        (TIGHT, "S", "N", 3.650, 3.162),
        (TIGHT, "O", "N", 6.280, 1.0),
        (Joint("tight", 3.0, 90, 1.0, 3.2, 60), "S", ("Q", 0.976), 2.643, 2.258),
        (FRENCH, "S", ("Q", 0.975), 9.475, 6.191),
        (FRENCH, "O", "N", 6.0, 6.0),
        (FRENCH, "S", "N", 8.5, 6.5),
    ],
)
def test_worked_joints(
    joint: Joint, start: PathStart, end: PathEnd, length: float, straight: float
) -> None:
    found = joints.path(joint, start, end)
    assert found.length_mm == pytest.approx(length, abs=5e-4)
    assert found.straight_mm == pytest.approx(straight, abs=5e-4)
    assert found.slack_mm == pytest.approx(length - straight, abs=1e-3)


def test_worked_flanges() -> None:
    assert joints.path(TIGHT, "S", ("Q", 0.976)).flange_mm(12) == pytest.approx(13.69, abs=0.005)
    assert joints.path(FRENCH, "S", ("Q", 0.975)).flange_mm(12) == pytest.approx(20.48, abs=0.006)


def test_special_values_of_an_upright_shoulder() -> None:
    """J = √(g² + (j + B)²) from O to N; two hypotenuses from S to Q."""
    assert joints.path(TIGHT, "O", "N").length_mm == pytest.approx(math.hypot(1, 6.2))
    two = 0.5 * math.hypot(1, 0.2) + math.hypot(0.5, 3.1 - 0.976)
    assert joints.path(TIGHT, "S", ("Q", 0.976)).length_mm == pytest.approx(two)


def test_every_tight_and_flush_path_by_opening_the_board() -> None:
    """Brute force: 300 drawn joints, the board opened in 4,000 steps about its hinge."""
    draw = random.Random(7)
    for _ in range(300):
        board, gap = draw.uniform(1.5, 6), draw.uniform(0, 3)
        kind = draw.choice(["tight", "flush"])
        shoulder = draw.uniform(0.5, 5) if kind == "tight" else 0.0
        lean, opening = draw.uniform(60, 120), draw.choice([30.0, 60.0, 90.0, 135.0, 180.0])
        joint = Joint("tight" if kind == "tight" else "flush", shoulder, lean, gap, board, opening)
        tip = (-shoulder / math.tan(math.radians(lean)), shoulder)
        outer = (gap, board)
        about = ((tip[0] + outer[0]) / 2, (tip[1] + outer[1]) / 2) if kind == "tight" else (0, 0)
        into = draw.uniform(0, board)
        ends: list[tuple[PathEnd, float]] = [("N", 0.0), ("C", board), (("Q", into), into)]
        for end, at in ends:
            for start, fixed in (("S", tip), ("O", (0.0, 0.0))):
                found = joints.path(joint, "S" if start == "S" else "O", end)
                wanted = sampled(fixed, (gap, at), about, opening, 1000)
                assert found.length_mm == pytest.approx(wanted, abs=2e-5)
                assert found.straight_mm == pytest.approx(math.dist(fixed, (gap, at)))


def test_the_covering_is_never_longer_than_shut() -> None:
    """A tight joint's hinge lies in the middle of its covering: shut, it is straight and longest."""
    found = joints.path(TIGHT, "S", "C")
    assert found.length_mm == pytest.approx(math.hypot(1, 0.2))
    assert found.slack_mm == pytest.approx(0)


def test_a_given_pivot_is_used() -> None:
    joint = Joint("tight", 3.0, 90, 1.0, 3.2, 180, (0.2, 2.0))
    wanted = sampled((0, 0), (1, 0), (0.2, 2.0), 180)
    assert joints.path(joint, "O", "N").length_mm == pytest.approx(wanted, abs=1e-5)
    at_tip = Joint("tight", 3.0, 90, 1.0, 3.2, 180, (0.0, 3.0))
    assert joints.path(at_tip, "S", "N").length_mm == pytest.approx(math.hypot(1, 3))
    assert joints.path(at_tip, "S", "N").slack_mm == pytest.approx(0)


def test_a_wrapper_without_shoulder_turns_about_its_fold() -> None:
    """With no gap the way from fold to arris is nothing; to the mouth it is the height e."""
    wrapper = Joint("flush", 0, 90, 0, 2.0)
    assert joints.path(wrapper, "O", "N").length_mm == 0
    assert joints.path(wrapper, "O", ("Q", 1.2)).length_mm == pytest.approx(1.2)
    assert joints.path(wrapper, "S", ("Q", 1.2)) == joints.path(wrapper, "O", ("Q", 1.2))


# French joints


def opened_french(joint: Joint, point: Point, deg: float) -> Point:
    """Where a point of the board is: about the groove's middle, then about the shoulder's tip."""
    middle, meets = (joint.gap_mm / 2, 0.0), joints.french_contact_deg(joint)
    if deg <= meets:
        return turned(point, middle, deg)
    return turned(turned(point, middle, meets), (0.0, joint.shoulder_mm), deg - meets)


@pytest.mark.parametrize("shoulder", [0.5, 1.0, 2.0, 2.5, 3.0])
def test_a_french_board_meets_the_shoulder_when_stated(shoulder: float) -> None:
    """Brute force: the first of 18,000 angles at which the tip is inside the turning board."""
    joint = Joint("french", shoulder, 90, 6.0, 2.5)

    def inside(deg: float) -> bool:
        x, z = turned((0.0, shoulder), (3.0, 0.0), -deg)  # the tip, seen from the board
        return x >= 6.0 and 0 <= z <= 2.5

    first = next(i / 100 for i in range(18_001) if inside(i / 100))
    assert joints.french_contact_deg(joint) == pytest.approx(first, abs=0.011)


def test_worked_french_contact() -> None:
    assert joints.french_contact_deg(FRENCH) == pytest.approx(100.4, abs=0.05)


@pytest.mark.parametrize("shoulder", [0.5, 1.0, 2.0, 2.5, 3.0])
@pytest.mark.parametrize("into", [0.0, 0.5, 0.975, 1.7, 2.5])
def test_a_french_path_is_enough_at_every_opening(shoulder: float, into: float) -> None:
    """Brute force along the two-part motion, taut round the tip once the board lies on it."""
    joint = Joint("french", shoulder, 90, 6.0, 2.5)
    tip = (0.0, shoulder)
    from_tip = joints.path(joint, "S", ("Q", into)).length_mm
    from_base = joints.path(joint, "O", ("Q", into)).length_mm
    shut = math.dist(tip, (6.0, into))
    for deg in range(181):
        mouth = opened_french(joint, (6.0, into), deg)
        reach = math.dist(tip, mouth)
        assert reach <= shut + 1e-9  # never exceeds its shut value
        assert reach <= from_tip
        over_tip = mouth[0] < 0
        assert (shoulder + reach if over_tip else math.hypot(*mouth)) <= from_base + 1e-9
    assert from_tip == pytest.approx(shoulder + 6.0 + into)


@pytest.mark.parametrize(("shoulder", "sinks"), [(1.0, 1.5), (2.0, 0.5), (2.5, 0.0), (3.0, 0.0)])
def test_a_board_thicker_than_the_shoulder_sinks_past_it(shoulder: float, sinks: float) -> None:
    joint = Joint("french", shoulder, 90, 6.0, 2.5)
    lowest = min(opened_french(joint, (6.0, z), 180)[1] for z in (0.0, 2.5))
    assert joints.sink_mm(joint) == pytest.approx(sinks)
    assert max(0.0, shoulder - lowest) == pytest.approx(sinks, abs=1e-9)


def test_a_leaning_shoulder_lengthens_the_groove_by_its_flank() -> None:
    joint = Joint("french", 2.5, 60, 6.0, 2.5)
    flank = 2.5 / math.sin(math.radians(60))
    assert joints.path(joint, "S", "N").length_mm == pytest.approx(flank + 6)
    assert joints.path(joint, "O", "N").length_mm == pytest.approx(6.0)
    close = Joint("french", 2.5, 60, 4.0, 2.5)
    assert joints.path(close, "O", "N").length_mm == pytest.approx(flank + 2.5)


# Board and shoulder that do not match


@pytest.mark.parametrize("board", [1.5, 3.0, 3.2, 4.3, 6.0])
def test_overlap_of_arris_and_tip_by_opening_the_board(board: float) -> None:
    """Brute force: how far behind the shoulder's face the outer arris comes."""
    joint = Joint("tight", 3.0, 90, 1.0, board)
    about = (0.5, (3.0 + board) / 2)
    behind = -min(turned((1.0, board), about, i / 10)[0] for i in range(-3600, 3601))
    assert joints.collision_mm(joint) == pytest.approx(max(behind, 0.0), abs=1e-5)


def test_the_limit_of_overlap_is_met_at_about_1_1() -> None:
    """At a gap of 1, board and shoulder may differ by 1.1 before a warning."""
    assert joints.collision_mm(Joint("tight", 3, 90, 1, 4.1)) < joints.COLLISION_LIMIT_MM
    assert joints.collision_mm(Joint("tight", 3, 90, 1, 4.15)) > joints.COLLISION_LIMIT_MM
    assert joints.collision_mm(Joint("tight", 3, 90, 1, 1.85)) > joints.COLLISION_LIMIT_MM


# The shortest way round tip and arris


def test_worked_way_round_the_outer_arris() -> None:
    """g 6, j 4, B 2.5 at 180° needs 6.715, not 4 + 2.5.

    By hand: the tip lies √(3² + 4²) = 5 from the groove's middle and meets the outer face at
    √(5² − 2.5²) = 4.330, 1.330 beyond the arris; folded over, the arris stands 1.330 beyond the
    shoulder's base and 4 above it: √(1.330² + 4²) + 2.5.
    """
    joint = Joint("french", 4.0, 90, 6.0, 2.5)
    assert joints.path(joint, "O", "N").length_mm == pytest.approx(6.715, abs=5e-4)
    half = Joint("french", 4.0, 90, 6.0, 2.5, 90)
    assert joints.path(half, "O", "N").length_mm == pytest.approx(6.5)  # the rule alone


@pytest.mark.parametrize("angle", [60, 75, 90, 105, 120])
def test_a_path_is_never_less_than_the_shortest_way_by_shapes(angle: float) -> None:
    """Brute force: the board a turned box, the block a wall with a leaning flank, every degree."""
    draw = random.Random(11)
    for _ in range(25):
        gap, board, shoulder = draw.uniform(4, 8), draw.uniform(1.5, 5), draw.uniform(0.5, 6)
        lean = -shoulder / math.tan(math.radians(angle))
        if lean > gap / 2:
            continue
        joint = Joint("french", shoulder, angle, gap, board)
        tip = (lean, shoulder)
        wall = Polygon([(-60, -1), (0, -1), (0, 0), tip, (-60, shoulder)]).buffer(-1e-6)
        box = [(gap, 0.0), (gap + 60, 0.0), (gap + 60, board), (gap, board)]
        need = 0.0
        for deg in range(0, 181, 3):
            corners = [joints.turned(joint, corner, deg) for corner in box]
            inner, arris = corners[0], corners[3]
            shapes = (wall, Polygon(corners).buffer(-1e-6))
            ways = [
                LineString([(0.0, 0.0), *by, inner]) for by in ([], [tip], [arris], [tip, arris])
            ]
            clear = [w.length for w in ways if all(w.intersection(s).length < 1e-4 for s in shapes)]
            if clear:  # a board that sinks past a lower shoulder leaves none
                need = max(need, min(clear))
        assert joints.path(joint, "O", "N").length_mm >= need - 1e-4


@pytest.mark.parametrize("angle", [70, 110])
@pytest.mark.parametrize("shoulder", [1.0, 2.0, 3.5])
def test_a_leaning_tip_is_met_where_the_turning_board_finds_it(
    angle: float, shoulder: float
) -> None:
    """Brute force: the first hundredth of a degree at which the tip is inside the turning board."""
    joint = Joint("french", shoulder, angle, 6.0, 2.5)
    tip = joint.tip

    def inside(deg: float) -> bool:
        x, z = turned(tip, (3.0, 0.0), -deg)
        return x >= 6.0 and 0 <= z <= 2.5

    first = next((i / 100 for i in range(18_001) if inside(i / 100)), 360.0)  # never
    assert joints.french_contact_deg(joint) == pytest.approx(first, abs=0.011)


# A board level with a rounded spine


@pytest.mark.parametrize(
    ("board", "gap", "entered"),
    [
        # chord 40, round 8: R 29; at z below the fold the circle stands √(29² − (20 − z)²) − 21 out
        (3.0, 0.0, math.sqrt(29**2 - 17**2) - 21),  # 2.495
        (4.5, 0.0, math.sqrt(29**2 - 15.5**2) - 21),  # 3.509
        (3.0, 1.0, math.sqrt(29**2 - 17**2) - 22),
        (25.0, 0.0, 8.0),  # thicker than half the spine: the whole round
        (3.0, 3.0, 0.0),
    ],
)
def test_a_flush_board_enters_the_round_of_the_spine(
    board: float, gap: float, entered: float
) -> None:
    """Folded over by 180°, the board lies beside the spine from the fold to its own thickness."""
    joint = Joint("flush", 0.0, 90, gap, board)
    turn = math.degrees(2 * math.asin(20 / 29))
    assert joints.round_entered_mm(joint, 40, turn, 180) == pytest.approx(entered, abs=0.03)
    assert joints.round_entered_mm(joint, 40, 0.0, 180) == 0
    assert joints.round_entered_mm(joint, 40, 87.2, 90) == 0


def test_a_flush_board_opens_to_the_tangent_of_the_round() -> None:
    """Without a gap the spine edge meets the circle at its tangent: 180° less half the turning."""
    joint = Joint("flush", 0.0, 90, 0.0, 3.0)
    turn = math.degrees(2 * math.asin(20 / 29))  # 87.206
    assert joints.clear_of_round_deg(joint, 40, turn) == math.floor(180 - turn / 2) == 136
    assert joints.clear_of_round_deg(joint, 40, 0.0) == 180
