"""What would mend a sewing that swells too much or holds too little: every setting named was tried."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

from patterns.book import threads
from patterns.book.scattered import ThreadPath
from patterns.errors import PlacementError
from patterns.sewing import swell
from patterns.sewing.sewn import Advice, Sewn
from patterns.sewing.ways import MOST_STITCHES, Bench
from patterns.stock.materials import Material
from patterns.units import told_apart

FEWER: tuple[float, ...] = (4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0)
MORE: tuple[float, ...] = (2.0, 1.0)
"""About every how many gatherings: what is tried to swell less, and to hold more."""

Changes = Mapping[str, str]


def of(bench: Bench, found: Sewn) -> Advice:
    """Return what would do where the sewing swells more than is let pass, or holds less than asked."""
    return Advice(
        swell="" if found.swell.within else _less_swell(bench, found),
        weak="" if bench.holds(found) else _more_hold(bench, found),
    )


def _less_swell(bench: Bench, found: Sewn) -> str:
    best: tuple[bool, int, Changes, float, Sewn] | None = None
    for changes, likely, sewn in _swelling(bench, found):
        if likely > found.swell.allowed_mm + 1e-9:
            continue
        weak = not bench.holds(sewn)
        if best is None or (weak, len(changes)) < best[:2]:
            best = (weak, len(changes), changes, likely, sewn)
        if best[:2] == (False, 1):
            break
    if best is None:
        return "no setting brings it lower than that: nothing helps but fewer gatherings (set gatherings)"
    weak, _, changes, likely, sewn = best
    words = f"{_set(changes)} brings it to about {told_apart(likely, found.swell.allowed_mm)[0]} mm"
    if weak and sewn.load is not None and sewn.load.safety is not None:
        words += f", at a safety of {sewn.load.safety:.2f}: draft text_block_support with it, then nothing hangs on it"
    return words


def _swelling(bench: Bench, found: Sewn) -> Iterator[tuple[Changes, float, Sewn]]:
    """Yield every change of path, thread and gatherings, with the likely swell it leaves; mm."""
    paths: tuple[ThreadPath, ...] = ("fold", "loops") if found.path == "fold" else (found.path,)
    steps: tuple[float | None, ...] = (found.every,)
    if found.every is not None:
        steps += tuple(step for step in FEWER if step > found.every)
    thinner = [found.thread, *_thinner(bench, found)]
    for every, path in product(steps, paths):
        if bench.meter.left <= 0 and every != found.every:
            return
        try:
            sewn = bench.sewn(path, every)
        except PlacementError:
            continue
        for thread in thinner:
            changes = {
                **({"path": path} if path != found.path else {}),
                **({"every": f"{every:g}"} if every is not None and every != found.every else {}),
                **({"thread": repr(thread.name)} if thread is not found.thread else {}),
            }
            if changes:
                diameter = bench.book.diameter_mm(thread)
                yield changes, swell.LIKELY * sewn.swell.gatherings * diameter, sewn


def _thinner(bench: Bench, found: Sewn) -> list[Material]:
    """Return the threads that are thinner and strong enough, the thickest first."""
    now = bench.book.diameter_mm(found.thread)
    fit = [
        t for t in threads.strong_enough(bench.book, bench.known) if bench.book.diameter_mm(t) < now
    ]
    return sorted(fit, key=bench.book.diameter_mm, reverse=True)


def _more_hold(bench: Bench, found: Sewn) -> str:
    best: tuple[bool, Changes, Sewn] | None = None
    for changes, sewn in _holding(bench, found):
        little = sewn.swell.within or sewn.swell.likely_mm <= found.swell.likely_mm + 1e-9
        if bench.holds(sewn) and (best is None or (best[0] and little)):
            best = (not little, changes, sewn)
        if best is not None and not best[0]:
            break
    fitted = "text_block_support in the same draft takes the standing load off the stitches"
    flat = "or store the book lying flat"
    if best is None or best[2].load is None or best[2].load.safety is None:
        return f"No number of stitches reaches it: {fitted}, {flat}"
    much, changes, sewn = best
    reached = f"{_set(changes)} reaches {best[2].load.safety:.2f}"
    if much:  # what would hold must not be what swells too much
        likely, _ = told_apart(sewn.swell.likely_mm, sewn.swell.allowed_mm)
        swells = f"would swell the spine by about {likely} mm"
        return f"The structure {fitted}, {flat}; more stitches alone ({reached}) {swells}"
    return f"{reached}; {fitted}; {flat}"


def _holding(bench: Bench, found: Sewn) -> Iterator[tuple[Changes, Sewn]]:
    """Yield neighbours of thin gatherings, more stitches in each, then more gatherings, worked out."""
    if named := _thicker(bench, found):
        yield from _tried(bench, found, {"gatherings": ",".join(map(str, named))})
    now = max(map(len, found.arrangement.centres_mm.values()))
    for count in range(now + 1, MOST_STITCHES + 1):
        yield from _tried(bench, found, {"stitches": f"{count}"})
    if found.every is not None:
        for every in MORE:
            if every < found.every:
                yield from _tried(bench, found, {"every": f"{every:g}"})


def _thicker(bench: Bench, found: Sewn) -> tuple[int, ...]:
    """Return the sewn gatherings with each thin one changed for its nearest neighbour of usual folios; () if none is."""
    chosen, usual = set(found.arrangement.centres_mm), bench.book.folios.value
    first, last = bench.wanted.within or (1, found.total)
    thick = [g for g in range(first, last + 1) if found.folios[g] >= usual]
    changed = set(chosen)
    for thin in sorted(g for g in chosen if found.folios[g] < usual):
        free = [g for g in thick if g not in changed]
        if free:
            changed ^= {thin, min(free, key=lambda g: (abs(g - thin), g))}
    return () if changed == chosen else tuple(sorted(changed))


def _tried(bench: Bench, found: Sewn, changes: dict[str, str]) -> Iterator[tuple[Changes, Sewn]]:
    if bench.meter.left <= 0:
        return
    stitches = int(changes["stitches"]) if "stitches" in changes else bench.wanted.stitches
    every = float(changes["every"]) if "every" in changes else found.every
    wanted = replace(bench.wanted, stitches=stitches)
    if "gatherings" in changes:
        named = tuple(map(int, changes["gatherings"].split(",")))
        wanted, every = replace(wanted, gatherings=named, every=None), None
    other = Bench(bench.book, wanted, bench.meter)
    try:
        sewn = other.sewn(found.path, every)
    except PlacementError:
        return
    placed = min(map(len, sewn.arrangement.centres_mm.values()))
    if stitches is None or placed >= stitches:
        yield changes, sewn


def _set(changes: Changes) -> str:
    return " and ".join(f"{name}={value}" for name, value in changes.items())
