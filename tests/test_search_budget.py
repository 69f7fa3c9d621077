"""One count of steps for a whole draft: what any allowed record may cost, and what is refused at once."""

from __future__ import annotations

from itertools import pairwise

import pytest

from patterns.drafting.order import Drafted
from patterns.errors import PlacementError, RecordError
from patterns.record import reading
from patterns.record.record import Record
from patterns.sewing import advice, ways
from patterns.sewing.meter import STEPS, Meter, Spent
from patterns.sewing.scatter import Request, arrange
from patterns.sewing.stations import FoldToSew
from tests.books import DEMO, changed, drafted

NAME = "secondary_sewing"


def book(height: float, gatherings: int, **sewing: object) -> Record:
    """Return a book of a height and so many gatherings, on six supports unless said otherwise."""
    supports = tuple(60.0 + i * (height - 120) / 5 for i in range(6))
    own: dict[str, object] = {"kettles": (15.0, height - 15.0), "supports_at": supports, **sewing}
    return changed(
        "logbook",
        text_block={
            "height": height,
            "gatherings": gatherings,
            "leaves": None,
            "leaf_thickness": 0.1,
        },
        cover={"board_height": height + 9},
        sewing=own,
    )


def counted(
    record: Record, monkeypatch: pytest.MonkeyPatch, **settings: object
) -> tuple[Drafted, int]:
    """Draft a sewing and return it with the steps that all its searches have taken."""
    meters: list[Meter] = []

    class Counting(Meter):
        def __init__(self, steps: int = STEPS) -> None:
            super().__init__(steps)
            if steps == STEPS:
                meters.append(self)

    monkeypatch.setattr("patterns.sewing.ways.Meter", Counting)
    found = drafted(record, NAME, **settings)
    (meter,) = meters
    return found, meter.taken


@pytest.mark.parametrize(
    ("height", "gatherings", "sewing", "settings"),
    [
        (1900.0, 300, {}, {}),
        (1900.0, 300, {}, {"every": 1}),
        (689.0, 44, {}, {}),
        (
            400.0,
            600,
            {
                "supports_at": None,
                "kettles": None,
                "stations": tuple(15 + 9.3 * k for k in range(40)),
            },
            {},
        ),
    ],
)
def test_no_draft_takes_more_steps_than_one_meter_holds(
    height: float,
    gatherings: int,
    sewing: dict[str, object],
    settings: dict[str, object],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Every rung, count and way is paid from one meter; an arrangement has 4,000 steps in any case."""
    found, taken = counted(book(height, gatherings, **sewing), monkeypatch, **settings)
    arrangements = 3 * (ways.MOST_STITCHES - ways.FEWEST_STITCHES + 1) + len(advice.FEWER)
    assert taken <= STEPS + arrangements * ways.LEAST_STEPS
    part = next(one for one in found.pattern.parts if one.sewing)
    assert part.sewing is not None
    assert part.sewing.proof.status in ("proven", "best found")
    assert (part.sewing.proof.bound_mm or 0.0) >= float(part.quantities["distance_mm"]) - 1e-9


def test_a_meter_is_paid_once_and_never_overdrawn() -> None:
    meter = Meter(10)
    lent = meter.lend(0.5)
    lent.take(3)
    meter.settle(lent)
    assert (meter.left, meter.taken) == (7, 3)
    with pytest.raises(Spent):
        meter.take(8)
    assert (meter.left, meter.taken) == (0, 10)


def test_the_same_meter_gives_the_same_layout() -> None:
    """Stopped anywhere, the search gives the same answer again: it counts steps, not time."""
    request = Request(tuple(range(1, 41)), 1.3, FoldToSew(330, (40, 110, 190, 270)), 4)
    for steps in (0, 50, 500, 5_000):
        one, other = arrange(request, Meter(steps)), arrange(request, Meter(steps))
        assert one == other
        assert one.bound_mm is not None
        assert (one.distance_mm or 0.0) <= one.bound_mm + 1e-9


@pytest.mark.parametrize("layout", ["best", "classes"])
def test_one_strip_for_neighbours_is_refused_at_once(layout: str) -> None:
    """One strip for all would sew neighbours level; nothing is searched for it."""
    meter = Meter()
    request = Request((1, 2, 5), 1.5, FoldToSew(689, (15, 674)), 4, layout=layout, strips=1)  # type: ignore[arg-type]
    with pytest.raises(PlacementError, match=r"strips 1: one strip for all .* give 2 or more"):
        arrange(request, meter)
    assert meter.taken == 0
    alone = arrange(Request((3,), 1.5, FoldToSew(240, (15, 225)), 3, strips=1))
    assert len(alone.centres_mm[3]) == 3


@pytest.mark.parametrize("key", ["stations", "kettles", "supports_at", "holes_at"])
def test_a_fold_has_at_most_200_holes(key: str) -> None:
    """More are no fold that anybody sewed; the line says how many were found and how many may be."""
    text = (DEMO / "atlas.toml").read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith(f"{key} =")]
    places = ", ".join(f"{10 + k}" for k in range(201))
    at = lines.index("[sewing]")
    lines.insert(at + 1, f"{key} = [{places}]")
    with pytest.raises(RecordError, match=rf"sewing\.{key}.*201.*200"):
        reading.parse("\n".join(lines), "atlas.toml")


THIN_AND_TALL = """
[book]
id = "thin"
weight = 1.534
[text_block]
height = 403.8
width = 269.6
thickness = 6.5
leaves = 68
gatherings = 17
leaves_per_gathering = 4
leaf_thickness = 0.085
[spine]
profile = "rounded"
shoulder = 1.4
round_depth = 1.1
girth_head = 9.6
girth_tail = 10
[cover]
kind = "in-boards"
joint = "flush"
turn_in = 0
board_height = 410.8
board_width = 273.7
board_thickness = 4.2
board_weight = 0.47
spine_width = 15.1
[sewing]
supports = "tapes"
kettles = [10, 395]
supports_at = [87, 164, 243, 317]
support_width = 8
"""


def test_a_search_that_runs_out_still_sews_the_whole_height() -> None:
    """Columns stand 2.26 mm apart whatever the heights: four stitches share 17.7 to 386.1, not its upper half.

    Centres may lie from 25.2 to 378.6: thirds are 117.8, and eight heights dealt to two strips keep 98.6.
    """
    (part,) = drafted(reading.parse(THIN_AND_TALL, "thin.toml"), NAME).pattern.parts
    assert part.sewing is not None
    folds: dict[int, list[float]] = {}
    for one in part.sewing.stitches:
        folds.setdefault(one.gathering, []).append((one.from_mm + one.to_mm) / 2)
    heights = sorted(y for fold in folds.values() for y in fold)
    assert min(b - a for fold in folds.values() for a, b in pairwise(sorted(fold))) >= 98.6
    assert (heights[0], heights[-1]) == pytest.approx((25.2, 378.6), abs=0.1)
