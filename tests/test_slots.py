"""Slots in board edges against worked figures and against slots tried one by one."""

import math
import random

import pytest

from patterns.errors import SettingError, Unsuitable
from patterns.formulas import slots
from patterns.formulas.slots import Toward


def walls(
    board: float, kerf: float, depth: float, angle: float, mouth: float, toward: Toward
) -> float:
    """Least board left beside a slot, from its drawn sides: square to the slot, half a kerf off."""
    a = math.radians(angle)
    sign = 1 if toward == "outer" else -1
    across = (-sign * math.sin(a) * kerf / 2, math.cos(a) * kerf / 2)
    left = []
    for side in (1, -1):
        # where the drawn side meets the board's edge (x = 0) and the depth's end
        x0, z0 = side * across[0], mouth + side * across[1]
        for x in (0.0, depth * math.cos(a)):
            z = z0 + (x - x0) * sign * math.tan(a)
            left += [z, board - z]
    return min(left)


def test_worked_slots() -> None:
    """B 3.2, kerf 0.35, L 12, 5.97°: mouth at 0.976 or 2.224; B 2.5, 2.63°: mouth at 0.975.

    Those are the steepest angles of boards read without error; given, they are not rounded.
    """
    assert slots.BoardEdge(3.2, 0.35).largest_angle_deg(12) == pytest.approx(5.97, abs=0.005)
    assert slots.BoardEdge(2.5, 0.35).largest_angle_deg(12) == pytest.approx(2.63, abs=0.006)
    outer = slots.slot(3.2, 0.35, 12, 5.969, toward="outer")
    assert (outer.depth_mm, outer.angle_deg) == (12, 5.969)
    assert outer.mouth_mm == pytest.approx(0.976, abs=5e-4)
    assert slots.slot(3.2, 0.35, 12, 5.969).mouth_mm == pytest.approx(2.224, abs=5e-4)
    thin = slots.slot(2.5, 0.35, 12, 2.625, toward="outer")
    assert thin.mouth_mm == pytest.approx(0.975, abs=5e-4)


def test_a_slot_holds_in_a_board_that_was_read_too_thick() -> None:
    """B 3.2 ± 0.1, kerf 0.35: 10 deep at 6.5°, laid out in 3.1 mm.

    By hand: sin 6.5° = 0.113203, cos 0.993572; rise 1.13203, half the kerf 0.176132. Each wall of
    3.1 mm is (3.1 − 1.13203)/2 − 0.176132 = 0.8079; at 7° it would be (3.1 − 1.21869)/2 − 0.176314
    = 0.7643. Towards the inner face the mouth lies 1.55 + 0.566015 = 2.1160 from it.
    """
    found = slots.slot(3.2, 0.35, error_mm=0.1)
    assert (found.depth_mm, found.angle_deg) == (10, 6.5)
    assert found.least_wall_mm == pytest.approx(0.808, abs=5e-4)
    assert found.mouth_mm == pytest.approx(2.1160, abs=5e-5)
    assert found.bottom_mm == pytest.approx(0.9840, abs=5e-5)
    for thick in (3.1, 3.2, 3.3):  # whatever the board really is
        assert walls(thick, 0.35, 10, 6.5, found.mouth_mm, "inner") >= 0.8079 - 5e-5
    outer = slots.slot(3.2, 0.35, error_mm=0.1, toward="outer")
    assert outer.mouth_mm == pytest.approx(0.9840, abs=5e-5)


@pytest.mark.parametrize(
    ("board", "depth", "angle"),
    [
        # (B − 0.1 − 1.6 − 0.35/cos α)/sin α, the depth at which the walls stand at 0.8
        (6.0, 10.0, 12.0),  # 18.96 at 12°
        (2.6, 10.0, 3.0),  # 10.5 at 3°, 9.0 at 3.5°
        (2.4, 10.0, 2.0),  # 10.02 at 2°
        (2.38, 9.0, 2.0),  # 9.45 at 2°
        (2.3, 7.0, 2.0),  # 7.16 at 2°
        (2.26, 6.0, 2.0),  # 6.01 at 2°
        (2.25, 6.0, 1.5),  # 5.73 at 2°, 7.64 at 1.5°: least depth, so the angle may fall
        (2.16, 6.0, 1.0),  # 6.30 at 1°
        (2.05, 6.0, 0.0),
    ],
)
def test_depth_is_given_up_for_two_degrees_and_angle_only_at_the_least_depth(
    board: float, depth: float, angle: float
) -> None:
    found = slots.slot(board, 0.35, error_mm=0.1)
    assert (found.depth_mm, found.angle_deg) == (depth, angle)
    sure = board - 0.1
    assert walls(sure, 0.35, depth, angle, found.mouth_mm, "inner") >= 0.8 - 1e-9


def test_the_thinnest_board_that_takes_a_slot() -> None:
    """2 × 0.8 + 0.35 + 0.1 = 2.050 level; + 0.35/cos 2° + 6·sin 2° in place of 0.35: 2.260."""
    assert slots.least_board_mm(0.35, error_mm=0.1) == pytest.approx(2.050)
    assert slots.least_board_mm(0.35, 0.8, 2, 6, 0.1) == pytest.approx(2.260, abs=5e-4)
    with pytest.raises(Unsuitable, match=r"2\.0 mm thick .* read ± 0\.1 mm, has no room"):
        slots.slot(2.04, 0.35, error_mm=0.1)
    assert slots.slot(2.26, 0.35, least_angle_deg=2, error_mm=0.1).depth_mm == 6
    with pytest.raises(Unsuitable, match="another attachment"):
        slots.slot(2.25, 0.35, least_angle_deg=2, error_mm=0.1)


def test_what_is_given_is_not_rounded() -> None:
    """A given angle, and the least angle of a tool between two half degrees, are taken as they are."""
    assert slots.slot(3.2, 0.35, angle_deg=5.3, error_mm=0.1).angle_deg == 5.3
    tool = slots.slot(2.2, 0.35, least_angle_deg=1.3, error_mm=0.1)  # 6.61 at 1.3°, 5.73 at 1.5°
    assert (tool.depth_mm, tool.angle_deg) == (6.0, 1.3)


def test_the_mouth_lies_nearer_the_hinge_by_default() -> None:
    inner = slots.slot(3.2, 0.35)
    assert inner.toward == "inner"
    assert inner.mouth_mm > 1.6 > inner.bottom_mm


def test_default_slots_are_the_steepest_that_a_search_finds() -> None:
    """Brute force: 100 drawn boards, every half degree up to 12°, drawn in a board thinner than read."""
    draw = random.Random(3)
    for _ in range(100):
        board, kerf, wall = draw.uniform(2.9, 6), draw.uniform(0.2, 0.5), draw.uniform(0.5, 0.8)
        error = draw.choice([0.0, 0.1, 0.2])
        toward: Toward = "outer" if draw.random() < 0.5 else "inner"
        sure, sign = board - error, 1 if toward == "outer" else -1

        def holds(
            half: int,
            sure: float = sure,
            kerf: float = kerf,
            wall: float = wall,
            toward: Toward = toward,
            sign: int = sign,
        ) -> bool:
            mouth = sure / 2 - sign * 5 * math.sin(math.radians(half / 2))
            return walls(sure, kerf, 10, half / 2, mouth, toward) >= wall - 1e-12  # fmt: skip

        best = max(half / 2 for half in range(25) if holds(half))
        found = slots.slot(board, kerf, wall_mm=wall, toward=toward, error_mm=error)
        assert best >= 2
        assert (found.depth_mm, found.angle_deg) == (10, best)
        left = walls(sure, kerf, 10, found.angle_deg, found.mouth_mm, toward)
        assert left == pytest.approx(found.least_wall_mm, abs=1e-9)


def test_depth_gives_way_before_the_least_angle() -> None:
    """From 10 in steps of 0.5: at 10° in 3.2 mm there is room for 7.17 mm, so 7.0."""
    found = slots.slot(3.2, 0.35, least_angle_deg=10)
    assert found.depth_mm == 7.0
    assert found.angle_deg >= 10
    assert walls(3.2, 0.35, 7.5, 10, 1.6 + 3.75 * math.sin(math.radians(10)), "inner") < 0.8
    assert slots.slot(3.2, 0.35, angle_deg=10).depth_mm == 7.0


def test_what_breaks_out_is_refused_with_what_would_hold() -> None:
    deepest = (3.2 - 1.6 - 0.35 / math.cos(math.radians(10))) / math.sin(math.radians(10))
    assert slots.BoardEdge(3.2, 0.35).largest_depth_mm(10) == pytest.approx(deepest)
    assert slots.BoardEdge(3.2, 0.35).largest_angle_deg(12) == pytest.approx(5.97, abs=0.005)
    with pytest.raises(SettingError, match=r"depth at 10\.0° is 7\.1 mm.*at 12\.0 mm is 5\.9°"):
        slots.slot(3.2, 0.35, depth_mm=12, angle_deg=10)
    with pytest.raises(SettingError, match="largest depth"):
        slots.slot(3.2, 0.35, depth_mm=12, least_angle_deg=11)
    with pytest.raises(SettingError, match=r"at 80\.0° is 0\.0 mm"):
        slots.slot(3.2, 0.35, angle_deg=80)


def test_a_board_with_no_room_is_refused_with_what_suits() -> None:
    with pytest.raises(Unsuitable, match="another attachment"):
        slots.slot(2.0, 0.35, least_angle_deg=6)
    with pytest.raises(Unsuitable, match=r"0\.20 mm from its inner face"):
        slots.slot(3.2, 0.35, entry_mm=0.2)
    with pytest.raises(Unsuitable, match="thinner cloth"):
        slots.slot(1.5, 0.35)
    assert slots.BoardEdge(1.5, 0.35).largest_depth_mm(5) is None
    assert slots.BoardEdge(1.5, 0.35).largest_angle_deg(6) is None


def test_limits_meet_at_each_other() -> None:
    """The largest depth at the largest angle is the depth it was found for."""
    angle = slots.BoardEdge(4.0, 0.3, entry_mm=1.2, toward="outer").largest_angle_deg(11)
    assert angle is not None
    assert slots.BoardEdge(4.0, 0.3, entry_mm=1.2, toward="outer").largest_depth_mm(
        angle
    ) == pytest.approx(11)
    assert slots.BoardEdge(4.0, 0.3).largest_depth_mm(0) == math.inf


@pytest.mark.parametrize(("toward", "entry"), [("outer", 1.0), ("inner", 2.2), ("outer", 1.6)])
def test_a_given_entry_is_kept(toward: Toward, entry: float) -> None:
    found = slots.slot(3.2, 0.35, toward=toward, entry_mm=entry)
    assert found.mouth_mm == entry
    assert walls(3.2, 0.35, found.depth_mm, found.angle_deg, entry, toward) == pytest.approx(
        found.least_wall_mm
    )
    assert found.least_wall_mm >= 0.8 - 1e-9
    steeper = found.angle_deg + 0.5
    assert walls(3.2, 0.35, found.depth_mm, steeper, entry, toward) < 0.8


def test_an_entry_too_near_a_face_is_refused_and_named() -> None:
    with pytest.raises(Unsuitable, match=r"mouth 0\.80 mm from its inner face"):
        slots.slot(3.2, 0.35, entry_mm=0.8, toward="outer")


def test_a_disc_leaves_curved_ends() -> None:
    """Worked figure: a disc of 50, 12 deep: 21.4. Independent: where its rim reaches the edge."""
    assert slots.end_arc_mm(50, 12) == pytest.approx(21.4, abs=0.05)
    assert slots.end_arc_mm(0, 12) == 0
    # the disc's centre stands 25 − 12 outside the edge; its rim cuts the edge there:
    x = next(i / 1000 for i in range(25_000) if math.hypot(i / 1000, 13) >= 25)
    assert slots.end_arc_mm(50, 12) == pytest.approx(x, abs=0.001)
    with pytest.raises(SettingError, match="a disc over 24 mm"):
        slots.end_arc_mm(24, 12)


def test_the_slot_is_a_little_longer_than_the_cloth_and_keeps_its_margin() -> None:
    """Cloth from 12.7 inside the block; squares 3 and 4: it lies 15.7 … 246 − 16.7 on the board."""
    assert slots.slot_extent_mm(246, (12.7, 12.7), (3, 4), 8) == pytest.approx((14.7, 230.3))
    assert slots.slot_extent_mm(246, (2, 2), (3, 4), 8) == pytest.approx((8, 238))
