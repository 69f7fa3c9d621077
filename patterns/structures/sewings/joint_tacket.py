"""joint_tacket: the places of its holes alone."""

from __future__ import annotations

from patterns.book.book import Book
from patterns.book.results import SewnResult
from patterns.errors import PlacementError
from patterns.sewing import maximin, stations
from patterns.structures.suits.joint_tacket import Params

NAME = "joint_tacket"


def places(book: Book, params: Params) -> tuple[float, ...]:
    """Return the tackets' heights from the head of the block, clear of everything sewn there.

    Raises PlacementError when the holes do not fit between supports and old holes.
    """
    count = params.stations or (3 if book.height_mm <= 200 else 4 if book.height_mm <= 300 else 5)
    old = book.old_sewing
    sewn = book.result(SewnResult)
    new = () if sewn is None else sewn.holes_mm
    fold = stations.FoldToSew(
        height_mm=book.height_mm,
        holes_mm=tuple(sorted({*old.holes_mm, *new})),
        supports_mm=old.supports_mm,
        support_width_mm=old.support_width_mm,
        clear_mm=params.clear,
        end_mm=params.end,
        setback_head_mm=0.0,
        setback_tail_mm=0.0,
        edge_mm=0.0,
        tie_down_mm=book.tie_down.value,
    )
    free = stations.centre_set(fold, params.pair)
    apart = params.pair + 2 * params.clear
    if maximin.most_that_fit(free, apart) < count:
        raise PlacementError(
            f"{NAME}: {count} pairs of holes {params.pair:g} mm apart do not fit between supports and old holes, "
            f"at most {maximin.most_that_fit(free, apart)} do; ask for fewer stations, or lower clear or end"
        )
    return tuple(float(y) for y in maximin.most_even(free, count, book.height_mm))
