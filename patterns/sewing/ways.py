"""Every way in which one book could be sewn, tried in a fixed order until one is safe and swells little."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from typing import Any

from patterns.book import threads
from patterns.book.block import Gatherings
from patterns.book.book import Book
from patterns.book.scattered import ScatteredSewing, ThreadPath
from patterns.errors import PlacementError, SettingError
from patterns.sewing import load as loads
from patterns.sewing import needle, scatter, stations, swell
from patterns.sewing.load import Load
from patterns.sewing.meter import STEPS, Meter
from patterns.sewing.scatter import StitchPlaces
from patterns.sewing.sewn import Sewn
from patterns.sewing.swell import Swell

Tried = tuple[StitchPlaces, Load | None]
Pin = tuple[int, float | Fraction]

EVERY: tuple[float, ...] = (3.0, 4.0, 5.0)
"""About every how many gatherings are sewn, in the order tried (practice: every 2nd to 4th)."""
FEWEST_STITCHES, USUAL_STITCHES, MOST_STITCHES = 3, 4, 8
SHARE, LEAST_STEPS = 1 / 3, 4_000
"""What one arrangement may take of the steps that are left, and what it has in any case."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SewingSettings(ScatteredSewing):
    """Settings of a scattered sewing, by the names a structure's parameters have; mm."""

    structure: str
    lining_mm: float
    """What the needle passes besides the folios: cloth and tissues together."""
    setback_head: float
    setback_tail: float
    within: tuple[int, int] | None = None
    """First and last gathering the lining covers; all when None."""
    pasted: bool = True
    """The lining is pasted between the shoulder tips, so that all gatherings share a pull at one side."""


def settings(structure: str, params: Any, **given: Any) -> SewingSettings:
    """Return a structure's parameters as the settings of its sewing; `given` names win."""
    taken = {
        one.name: getattr(params, one.name)
        for one in fields(SewingSettings)
        if hasattr(params, one.name)
    }
    return SewingSettings(structure=structure, **{**taken, **given})


class Bench:
    """One book with its sewing's settings, and every way of sewing it that was tried."""

    def __init__(self, book: Book, wanted: SewingSettings, meter: Meter) -> None:
        self.book, self.wanted, self.meter = book, wanted, meter
        self.known = book.fold_strength(wanted.paper)
        self.thread = threads.chosen(book, self.known)
        self.diameter_mm = book.diameter_mm(self.thread)
        self.fold = _fold(book, wanted)
        self.found = book.gatherings
        girths = (book.spine.girth_head_mm, book.spine.girth_tail_mm)
        self.allowed_mm = swell.allowed_mm(max(girths))
        ends = stations.margins(self.fold)
        least = min(
            book.spine.girth_mm(y) for y in (float(ends[0]), book.height_mm - float(ends[1]))
        )
        self.pitch_mm = least / self.found.total
        self.arranged: dict[tuple[int, ...], Tried] = {}

    def best(self) -> Sewn:
        """Return the first way that is safe and swells little, else the one that comes nearest.

        Path and gatherings that are not given are searched in one fixed order. Raises PlacementError when
        no stitches fit, SettingError for settings that contradict each other.
        """
        tried: list[Sewn] = []
        refusal: PlacementError | None = None
        for path, every in ways(self.wanted, self.found.total):
            try:
                sewn = self.sewn(path, every)
            except PlacementError as error:
                refusal = refusal or error
                continue
            if sewn.swell.within and self.holds(sewn):
                return sewn
            tried.append(sewn)
        if refusal and not tried:
            raise refusal
        return self.nearest(tried)

    def holds(self, sewn: Sewn) -> bool:
        """Tell whether nothing known of paper and weight speaks against a way."""
        return sewn.load is None or sewn.load.holds

    def nearest(self, tried: Sequence[Sewn]) -> Sewn:
        """Return the safest of those that swell little, else the one that swells least."""
        little = [one for one in tried if one.swell.within]
        if little:
            return max(little, key=lambda one: one.safety)
        return min(tried, key=lambda one: one.swell.likely_mm)

    def sewn(self, path: ThreadPath, every: float | None) -> Sewn:
        """Work out one way."""
        chosen = _chosen(self.wanted, self.found.total, every)
        if chosen not in self.arranged:
            self.arranged[chosen] = self.enough(chosen)
        arrangement, load = self.arranged[chosen]
        half = arrangement.stitch_mm / 2
        holes = {
            g: [(c - half, c + half) for c in found] for g, found in arrangement.centres_mm.items()
        }
        return Sewn(
            total=self.found.total,
            folios=self.found.folios,
            own_holes=self.found.own_holes,
            fold=self.fold,
            arrangement=arrangement,
            stitching=_stitching(self.book, self.wanted, arrangement, self.found, path),
            paper=self.known,
            load=load,
            path=path,
            every=every,
            thread=self.thread,
            swell=Swell(*swell.most_level(holes, path), self.diameter_mm, self.allowed_mm),
            searched=self.wanted.path is None
            or (self.wanted.every is None and self.wanted.gatherings is None),
        )

    def tried(
        self,
        chosen: tuple[int, ...],
        count: int,
        own: Mapping[int, int],
        kept: tuple[Pin, ...] = (),
    ) -> Tried:
        """Arrange so many stitches in each gathering, its own number in some, and load them; `kept` stay in place."""
        lent = self.meter.lend(SHARE, round(LEAST_STEPS * self.book.search_share))
        try:
            request = _request(
                self.wanted, self.fold, chosen, self.found, self.pitch_mm, count, own
            )
            if kept:
                request = replace(request, fixed=kept)
            found = scatter.arrange(request, lent)
        finally:
            self.meter.settle(lent)
        safety = self.wanted.safety
        return found, loads.loads(
            self.book, found.centres_mm, self.found.folios, self.known, safety
        )

    def enough(self, chosen: tuple[int, ...]) -> Tried:
        """Try the fewest stitches from 3 to 8 that are safe; 4 where nothing says how many are.

        A gathering with fewer folios than usual bears less at each hole: it alone takes more stitches.
        """
        wanted = self.wanted
        if wanted.stitches is not None:
            return self.tried(chosen, wanted.stitches, {})
        fit = scatter.heights_that_fit(self.fold, wanted.stitch)
        most = max(1, fit if len(chosen) == 1 else fit // 2)
        usual = min(USUAL_STITCHES, most)
        if self.known is None or not loads.hangs(self.book):
            return self.tried(chosen, usual, {})
        best: Tried | None = None
        for count in range(min(FEWEST_STITCHES, most), min(MOST_STITCHES, most) + 1):
            found = self.tried(chosen, count, {})
            if found[1] is None:
                return found if count == usual else self.tried(chosen, usual, {})
            thin = self.thin(found[1], chosen)
            if all(s >= wanted.safety for g, s in found[1].safeties.items() if g not in thin):
                found = self.thickened(chosen, count, found, thin)
            if found[1] is not None and found[1].holds:
                return found
            best = found if best is None or _safety(found) > _safety(best) else best
        return best or self.tried(chosen, usual, {})

    def thin(self, load: Load, chosen: tuple[int, ...]) -> tuple[int, ...]:
        """Return the gatherings that are weaker than asked for want of folios, unless all are thin."""
        usual = self.book.folios.value
        thin = tuple(g for g in chosen if self.found.folios[g] < usual)
        weak = tuple(g for g in thin if load.safeties[g] < self.wanted.safety)
        return () if len(thin) == len(chosen) else weak

    def thickened(
        self, chosen: tuple[int, ...], count: int, found: Tried, thin: tuple[int, ...]
    ) -> Tried:
        """Give each thin gathering the fewest stitches that make it as safe as asked, or as many as fit.

        All other gatherings keep their places.
        """
        own: dict[int, int] = {}
        for gathering in thin:
            for stitches in range(count + 1, MOST_STITCHES + 1):
                others = tuple((g, y) for g in chosen if g != gathering for y in found[0].placed[g])
                try:
                    better = self.tried(chosen, count, {**own, gathering: stitches}, others)
                except PlacementError:
                    break
                if better[0].eased != found[0].eased or better[1] is None:
                    break
                found, own[gathering] = better, stitches
                if better[1].safeties[gathering] >= self.wanted.safety:
                    break
        return found


def _safety(found: Tried) -> float:
    load = found[1]
    return 0.0 if load is None or load.safety is None else load.safety


def bench(book: Book, wanted: SewingSettings) -> Bench:
    """Return a book with its sewing's settings, and all the steps that one draft has for searching."""
    return Bench(book, wanted, Meter(round(STEPS * book.search_share)))


def ways(wanted: SewingSettings, total: int) -> tuple[tuple[ThreadPath, float | None], ...]:
    """Return the ways to try, path and every how many gatherings: what is given stays as given.

    Ways that sew the same gatherings alike are tried once.
    """
    paths: tuple[ThreadPath, ...] = ("fold", "loops") if wanted.path is None else (wanted.path,)
    steps: tuple[float | None, ...] = EVERY
    if wanted.gatherings is not None:
        steps = (None,)
    elif wanted.every is not None:
        steps = (wanted.every,)
    different = {_chosen(wanted, total, every): every for every in reversed(steps)}
    kept = [every for every in steps if every in different.values()]
    return tuple((path, every) for path in paths for every in kept)


def _chosen(wanted: SewingSettings, total: int, every: float | None) -> tuple[int, ...]:
    if wanted.gatherings is not None and wanted.every is not None:
        raise SettingError(
            f"{wanted.structure}: every and gatherings are both set; give one of the two"
        )
    first, last = wanted.within or (1, total)
    if wanted.gatherings is None:
        inner = scatter.chosen_gatherings(last - first + 1, every or EVERY[0])
        return tuple(number + first - 1 for number in inner)
    for number in (max(wanted.gatherings), min(wanted.gatherings)):
        if not first <= number <= last:
            raise SettingError(
                f"{wanted.structure}.gatherings: {number} is asked for; allowed are {first} to {last} "
                "(gatherings with two folios or more, counted from the first of them)"
            )
    return tuple(sorted(set(wanted.gatherings)))


def _fold(book: Book, wanted: SewingSettings) -> stations.FoldToSew:
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
    wanted: SewingSettings,
    fold: stations.FoldToSew,
    chosen: tuple[int, ...],
    found: Gatherings,
    pitch_mm: float,
    count: int,
    own: Mapping[int, int],
) -> scatter.Request:
    return scatter.Request(
        gatherings=chosen,
        pitch_mm=pitch_mm,
        fold=fold,
        stitches=count,
        stitch_mm=wanted.stitch,
        layout=wanted.layout,
        strips=wanted.strips if wanted.layout == "best" else wanted.strips or 2,
        fixed=_pins(wanted, found.total),
        own_holes_mm={g: holes for g, holes in found.own_holes.items() if g in chosen},
        own_stitches=own,
    )


def _pins(wanted: SewingSettings, total: int) -> tuple[tuple[int, float], ...]:
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
    wanted: SewingSettings,
    arrangement: StitchPlaces,
    found: Gatherings,
    path: ThreadPath,
) -> needle.Stitching:
    leaf, total = book.leaf.value, found.total
    half = arrangement.stitch_mm / 2
    lining = book.lies_on_mm + wanted.lining_mm
    sewn = [
        needle.SewnGathering(
            gathering,
            tuple((c - half, c + half) for c in centres),
            needle.through_mm(lining, found.folios[gathering], leaf),
        )
        for gathering, centres in arrangement.centres_mm.items()
    ]
    raised: tuple[tuple[float, float], ...] = ()
    if book.supports == "raised":
        old, half = book.old_sewing, book.old_sewing.support_width_mm / 2
        raised = tuple((y - half, y + half) for y in old.supports_mm)
    pitch = book.spine.girth_mm(book.height_mm / 2) / total
    return needle.sew(sewn, total, path, pitch_mm=pitch, raised_mm=raised)
