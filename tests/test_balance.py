"""Strips and creep, held against worked examples and against nests built thickness by thickness."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations_with_replacement
from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.formulas.balance import Nest, balance, creep

sizes = st.integers(1, 60).map(lambda n: n / 100)
strips = st.integers(5, 40).map(lambda n: n / 100)
threads = st.sampled_from([0.0, 0.2, 0.41, 0.6])


def stacked(
    nest: Nest, leaves: Sequence[float], guard: float, strip: float, thread: float, ahead: float
) -> list[float]:
    """Build the section from its first leaf to its last; return leaves − spine after each leaf.

    The spine is laid down part by part in the order in which a knife would meet them.
    """
    m = len(nest.strips)
    order: list[str] = []
    for count in nest.strips:
        order += ["guard", *["strip"] * count]
    upper = list(order)
    whole = [*upper, *["strip"] * nest.single, "thread", *reversed(upper)]
    thick = {"guard": guard, "strip": strip, "thread": thread}
    found, spine, leaf, carried = [], 0.0, 0, 0.0
    for k, part in enumerate(whole):
        spine += thick[part]
        if part == "guard":
            carried += leaves[leaf]
            leaf += 1
        later = whole[k + 1] if k + 1 < len(whole) else "end"
        first_half = leaf <= m
        # a leaf's own strips follow its guard in the first half and come before it in the second
        done = later in ("guard", "thread", "end") or (later == "strip" and part == "thread")
        if first_half and leaf == m:
            done = k == len(upper) - 1
        if not first_half:
            done = part == "guard"
        if done:
            found.append(ahead + carried - spine)
    return found


def test_the_worked_album_balances_exactly() -> None:
    """Worked example: 24 leaves of 0.90, guards 0.15, strips 0.25: [3, 3] six times, nothing left."""
    nests = balance([0.75] * 24, 2, 0.25)
    assert [nest.strips for nest in nests] == [(3, 3)] * 6
    assert [nest.single for nest in nests] == [0] * 6
    assert {one for nest in nests for one in nest.differences_mm} == {0.0}
    assert sum(nest.folded for nest in nests) == 36
    assert pytest.approx(24 * 0.90) == 24 * 0.15 + 2 * 36 * 0.25


def test_the_worked_album_that_does_not_divide() -> None:
    """Worked example: d 0.60 = 2.4 strips; the strips of every section, 0.15 at most, −0.10 left."""
    nests = balance([0.60] * 24, 2, 0.25)
    assert [(list(nest.strips), nest.single) for nest in nests] == [
        ([3, 2], 0),
        ([2, 2], 1),
        ([3, 2], 0),
        ([2, 2], 1),
        ([3, 2], 0),
        ([3, 2], 0),
    ]
    assert max(nest.greatest_mm for nest in nests) == pytest.approx(0.15)
    assert nests[-1].differences_mm[-1] == pytest.approx(-0.10)


def test_the_worked_album_with_thread() -> None:
    """Worked example: thread 0.41 in every fold: 30 folded, 2 single, 0.36 at most, +0.04 left."""
    nests = balance([0.75] * 24, 2, 0.25, 0.41)
    assert (sum(n.folded for n in nests), sum(n.single for n in nests)) == (30, 2)
    assert max(nest.greatest_mm for nest in nests) == pytest.approx(0.36)
    assert nests[-1].differences_mm[-1] == pytest.approx(0.04)


def test_creep_of_the_worked_album() -> None:
    """Worked example: guards 66.59 and 69.42, strips 38.39 to 42.79."""
    found = creep(balance([0.75] * 4, 2, 0.25)[0], 0.15, 0.25)
    assert [round(64 + one, 2) for one in found.guards] == [69.42, 66.59]
    assert round(38 + found.strips[0][0], 2) == 42.79
    assert round(38 + found.strips[1][-1], 2) == 38.39


@settings(max_examples=300, deadline=None)
@given(st.integers(1, 6), st.integers(2, 60), sizes, strips, threads)
def test_every_album_keeps_its_guarantee(
    guards: int, leaves: int, excess: float, strip: float, thread: float
) -> None:
    """Half a strip at every section's end, one strip and half the thread within.

    An odd last leaf adds a bare half guard, and half of what it lacks to what may be met within.
    """
    guard = 0.15
    halves = [excess] * leaves + [-guard] * (leaves % 2)
    nests = balance(halves, guards, strip, thread)
    assert sum(nest.guards for nest in nests) == (leaves + 1) // 2
    for nest in nests:
        if not nest.balanced:
            assert nest.folded == nest.single == 0
            assert nest.differences_mm[-1] < -strip / 2
            continue
        within = strip + thread / 2
        before = nests[nest.number - 2].balanced if nest.number > 1 else True
        if nest is nests[-1] and leaves % 2:
            within += max(guard, (excess + guard) / 2)
        assert abs(nest.differences_mm[-1]) <= strip / 2 + 1e-9
        if before:
            assert nest.greatest_mm <= within + 1e-9


@settings(max_examples=200, deadline=None)
@given(
    st.integers(1, 4),
    st.lists(st.integers(15, 300).map(lambda n: n / 100), min_size=2, max_size=40),
    strips,
    threads,
)
def test_mixed_leaves_end_level_and_agree_with_a_nest_built_part_by_part(
    guards: int, leaves: list[float], strip: float, thread: float
) -> None:
    """A list of unlike leaves: the running difference is that of the built nest, and ends level."""
    guard = 0.15
    leaves = leaves + [0.0] * (len(leaves) % 2)
    ahead, at = 0.0, 0
    for nest in balance([one - guard for one in leaves], guards, strip, thread):
        own = leaves[at : at + 2 * nest.guards]
        assert list(nest.differences_mm) == pytest.approx(
            stacked(nest, own, guard, strip, thread, ahead), abs=1e-9
        )
        if nest.balanced:
            assert abs(nest.differences_mm[-1]) <= strip / 2 + 1e-9
        ahead, at = nest.differences_mm[-1], at + len(own)


@settings(max_examples=120, deadline=None)
@given(
    st.integers(1, 3),
    st.data(),
    st.sampled_from([0.2, 0.25, 0.3]),
    threads,
    st.integers(-10, 10).map(lambda n: n / 100),
)
def test_no_other_deal_of_strips_is_better(
    guards: int, data: st.DataObject, strip: float, thread: float, spare: float
) -> None:
    """Every n_1 ≤ … ≤ n_m and both b tried, by a nest built part by part: none comes lower."""
    halves = data.draw(
        st.lists(
            st.integers(-15, 70).map(lambda n: n / 100), min_size=2 * guards, max_size=2 * guards
        )
    )
    halves[0] = round(halves[0] + spare, 3)
    nest = balance(halves, guards, strip, thread)[0]
    leaves = [one + 0.15 for one in halves]
    tried = []
    for row in combinations_with_replacement(range(13), guards):
        for single in (0, 1):
            counts = tuple(b - a for a, b in zip((0, *row), row, strict=False))
            other = Nest(1, counts, single, (), True)
            met = stacked(other, leaves, 0.15, strip, thread, 0.0)
            if abs(met[-1]) <= strip / 2 + 1e-9:
                tried.append((round(max(map(abs, met)), 6), single, row[-1]))
    if not tried:
        assert not nest.balanced
        return
    chosen = (round(nest.greatest_mm, 6), nest.single, nest.folded)
    assert chosen == min(tried)


@given(st.lists(st.integers(0, 5), min_size=1, max_size=5), st.sampled_from([0, 1]))
def test_creep_is_the_half_turn_about_everything_nested_inside(
    counts: list[int], single: int
) -> None:
    """A fold about a stack H is π(H/2 + t/2), H summed from the parts inside."""
    guard, strip = 0.15, 0.25
    found = creep(Nest(1, tuple(counts), single, (), True), guard, strip)
    for q in range(len(counts)):
        deeper = sum(guard + count * strip for count in counts[q + 1 :])
        stack = 2 * (deeper + counts[q] * strip) + single * strip
        assert found.guards[q] == pytest.approx(pi * (stack / 2 + guard / 2))
        for i, more in enumerate(found.strips[q], 1):
            stack = 2 * (deeper + (counts[q] - i) * strip) + single * strip
            assert more == pytest.approx(pi * (stack / 2 + strip / 2))


def test_a_spine_already_thick_enough_gets_no_strips() -> None:
    """Leaves thinner than their guards: no strips, and it is said."""
    nests = balance([-0.05] * 8, 2, 0.25)
    assert [(nest.folded, nest.single) for nest in nests] == [(0, 0)] * 2
    assert not nests[0].balanced
