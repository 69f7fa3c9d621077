"""From a book and a sewing's settings to the sewing itself: what every sewn lining has in common."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from typing import Any, Literal

from patterns.book.book import Book
from patterns.book.folds import Strength
from patterns.errors import SettingError
from patterns.formulas import mechanics
from patterns.model.part import Check, Proof, Sewing, Stitch
from patterns.sewing import load as sewing_load
from patterns.sewing import needle, scatter, stations
from patterns.sewing import words as sewing_words
from patterns.sewing.load import Load
from patterns.sewing.scatter import Arrangement
from patterns.sewing.sewn import Sewn

Tried = tuple[Arrangement, Load | None]


@dataclass(frozen=True, slots=True)
class Settings:
    """Settings of a scattered sewing, by the names a structure's parameters have; mm."""

    structure: str
    lining_mm: float
    """What the needle passes besides the folios: cloth and tissues together."""
    setback_head: float
    setback_tail: float
    edge: float
    every: float | None
    gatherings: tuple[int, ...] | None
    stitches: int | None
    stitch: float
    clear: float
    end: float | None
    strips: int | None
    path: Literal["fold", "loops", "continuous"]
    layout: Literal["best", "classes"]
    fixed: str
    reuse: bool
    safety: float
    paper: str | None
    within: tuple[int, int] | None = None
    """First and last gathering the lining covers; all when None."""


def settings(structure: str, params: Any, **given: Any) -> Settings:
    """Return a structure's parameters as the settings of its sewing; `given` names win."""
    taken = {
        one.name: getattr(params, one.name) for one in fields(Settings) if hasattr(params, one.name)
    }
    return Settings(structure, **{**taken, **given})


def sew(book: Book, wanted: Settings) -> Sewn:
    """Work out gatherings, places, the needle's way and the load of a scattered sewing.

    Raises PlacementError when no stitches fit, SettingError for settings that contradict each other.
    """
    found = book.gatherings
    total, folios, own = found.total, found.folios, found.own_holes
    chosen = _chosen(wanted, total)
    known = book.fold_strength(wanted.paper)
    fold = _fold(book, wanted)

    def tried(count: int) -> Tried:
        request = _request(book, wanted, fold, chosen, total, own, count)
        found = scatter.arrange(request)
        return found, sewing_load.loads(book, found.centres_mm, folios, known, wanted.safety)

    arrangement, load = _enough(wanted, fold, known, len(chosen), tried)
    stitching = _stitching(book, wanted, arrangement, folios, total)
    return Sewn(total, folios, own, fold, arrangement, stitching, known, load)


def _chosen(wanted: Settings, total: int) -> tuple[int, ...]:
    if wanted.gatherings is not None and wanted.every is not None:
        raise SettingError(
            f"{wanted.structure}: every and gatherings are both set; give one of the two"
        )
    first, last = wanted.within or (1, total)
    if wanted.gatherings is None:
        inner = scatter.chosen_gatherings(last - first + 1, wanted.every or 3)
        return tuple(number + first - 1 for number in inner)
    for number in (max(wanted.gatherings), min(wanted.gatherings)):
        if not first <= number <= last:
            raise SettingError(
                f"{wanted.structure}.gatherings: {number} is asked for; allowed are {first} to {last} "
                "(gatherings with two folios or more, counted from the first of them)"
            )
    return wanted.gatherings


def _enough(
    wanted: Settings,
    fold: stations.FoldToSew,
    known: Strength | None,
    sewn: int,
    tried: Callable[[int], Tried],
) -> Tried:
    """Try the fewest stitches from 3 to 8 that reach the safety; 4 when the paper is unknown."""
    if wanted.stitches is not None:
        return tried(wanted.stitches)
    fit = scatter.heights_that_fit(fold, wanted.stitch)
    most = max(1, fit if sewn == 1 else fit // 2)
    if known is None:
        return tried(min(4, most))
    for count in range(min(3, most), min(8, most) + 1):
        found = tried(count)
        load = found[1]
        if load is None and count >= min(4, most):
            break
        if load is not None and load.safety is not None and load.safety >= wanted.safety:
            break
    return found


def _fold(book: Book, wanted: Settings) -> stations.FoldToSew:
    old = book.old_sewing
    return stations.FoldToSew(
        height_mm=book.height_mm,
        holes_mm=old.holes_mm,
        supports_mm=old.supports_mm,
        support_width_mm=old.support_width_mm,
        clear_mm=wanted.clear,
        end_mm=wanted.end if wanted.end is not None else 12.0,
        setback_head_mm=wanted.setback_head,
        setback_tail_mm=wanted.setback_tail,
        edge_mm=wanted.edge,
        tie_down_mm=book.tie_down.value,
        reuse=wanted.reuse,
    )


def _request(
    book: Book,
    wanted: Settings,
    fold: stations.FoldToSew,
    chosen: tuple[int, ...],
    total: int,
    own: Mapping[int, tuple[float, ...]],
    count: int,
) -> scatter.Request:
    return scatter.Request(
        gatherings=chosen,
        pitch_mm=book.spine.girth_mm(book.height_mm / 2) / total,
        fold=fold,
        stitches=count,
        stitch_mm=wanted.stitch,
        layout=wanted.layout,
        strips=wanted.strips if wanted.layout == "best" else wanted.strips or 2,
        fixed=_pins(wanted, total),
        own_holes_mm={g: holes for g, holes in own.items() if g in chosen},
    )


def _pins(wanted: Settings, total: int) -> tuple[tuple[int, float], ...]:
    first, last = wanted.within or (1, total)
    pins = []
    for part in wanted.fixed.split():
        match = re.fullmatch(r"(\d{1,4})@(\d+(?:\.\d+)?)", part)
        if match is None or not first <= int(match[1]) <= last:
            raise SettingError(
                f"{wanted.structure}.fixed: {part!r} is no pinned stitch; write gathering@centre such as "
                f"5@40, gathering {first} to {last}"
            )
        pins.append((int(match[1]), float(match[2])))
    return tuple(pins)


def _stitching(
    book: Book,
    wanted: Settings,
    arrangement: Arrangement,
    folios: Mapping[int, int],
    total: int,
) -> needle.Stitching:
    leaf = book.leaf.value
    half = arrangement.stitch_mm / 2
    sewn = [
        needle.SewnGathering(
            gathering,
            tuple((c - half, c + half) for c in centres),
            needle.through_mm(wanted.lining_mm, folios[gathering], leaf),
        )
        for gathering, centres in arrangement.centres_mm.items()
    ]
    raised: tuple[tuple[float, float], ...] = ()
    if book.supports == "raised":
        old, half = book.old_sewing, book.old_sewing.support_width_mm / 2
        raised = tuple((y - half, y + half) for y in old.supports_mm)
    pitch = book.spine.girth_mm(book.height_mm / 2) / total
    return needle.sew(sewn, total, wanted.path, pitch_mm=pitch, raised_mm=raised)


def sewing(book: Book, wanted: Settings, sewn: Sewn) -> Sewing:
    """Return everything the needle does, as the pattern carries it."""
    found = sewn.arrangement
    stitches = [
        Stitch(gathering, *pair, force_n=sewn.load.standing_n[gathering][k] if sewn.load else None)
        for gathering in sorted(found.centres_mm)
        for k, pair in enumerate(sewn.holes(gathering))
    ]
    heights = sorted({y for s in stitches for y in (s.from_mm, s.to_mm)})
    return Sewing(
        stations_mm=tuple(heights),
        stitches=tuple(stitches),
        path=sewn.stitching.passes,
        thread_mm=sewn.stitching.total_mm,
        proof=Proof(found.status, found.bound_mm),
        details=sewing_words.details(book, wanted, sewn),
    )


def checks(sewn: Sewn) -> tuple[Check, ...]:
    """Return the sewing's figures that statics can be asked about; none without a weight."""
    load = sewn.load
    if load is None:
        return ()
    count = sum(len(c) for c in sewn.arrangement.centres_mm.values())
    share = load.mass.value * mechanics.GRAVITY / count
    return (
        Check("shear a stitch", share, "N", "m·g/N, the weight shared evenly (statics)"),
        Check(
            "greatest force a stitch",
            load.greatest_n,
            "N",
            "shear and moment by real heights (bolt group, Shigley, 9th ed., 8-12)",
        ),
    )
