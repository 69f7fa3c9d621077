"""The sewing in words and figures: quantities for steps and JSON, warnings, boxes, details."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from patterns.book import threads
from patterns.book.book import Book
from patterns.formulas import mechanics
from patterns.model.part import Quantity
from patterns.sewing.numbers import numbers
from patterns.sewing.sewn import Sewn
from patterns.units import tenth, told_apart, trimmed, two_figures

THREAD_TIMES = mechanics.THREAD_OVER_PAPER


@dataclass(frozen=True, slots=True)
class SewingFigures:
    """What the steps of a sewing are filled in with."""

    strip_count: int
    stitch_words: str
    first_gathering: str
    first_strip: str
    move_words: str
    fold_path: bool
    loops_path: bool
    continuous_path: bool
    order_words: str
    thread_words: str


def figures(book: Book, sewn: Sewn) -> SewingFigures:
    """Return the figures and words that fill in the steps of a sewing."""
    found, passes, letters = sewn.arrangement, sewn.stitching.passes, sewn.strip_letters
    return SewingFigures(
        strip_count=len({(found.strips[g], sewn.holes(g)) for g in found.centres_mm}),
        stitch_words=f"stitches of {tenth(found.stitch_mm)} mm",
        first_gathering=str(passes[0].gathering),
        first_strip=letters[passes[0].gathering],
        move_words=_moves(passes[0].moves, sewn.path),
        fold_path=sewn.path == "fold",
        loops_path=sewn.path == "loops",
        continuous_path=sewn.path == "continuous",
        order_words=", ".join(f"{one.gathering} {letters[one.gathering]}" for one in passes[1:])
        or "no other is sewn",
        thread_words=_thread(sewn) + _advice(book, sewn),
    )


def others(book: Book, sewn: Sewn) -> dict[str, Quantity]:
    """Return what is worked out of a sewing beyond the figures of its steps."""
    found, load, swell = sewn.arrangement, sewn.load, sewn.swell
    result: dict[str, Quantity] = {
        "girth_head_mm": book.spine.girth_head_mm,
        "girth_tail_mm": book.spine.girth_tail_mm,
        "lies_on_mm": book.lies_on_mm,
        "stitch_mm": found.stitch_mm,
        "clear_mm": found.clear_mm,
        "stitch_count": sum(len(c) for c in found.centres_mm.values()),
        "gathering_count": len(found.centres_mm),
        "thread_mm": sewn.stitching.total_mm,
        "thread_diameter_mm": swell.diameter_mm,
        "swell_least_mm": swell.least_mm,
        "swell_likely_mm": swell.likely_mm,
        "swell_most_mm": swell.most_mm,
        "swell_gatherings_n": swell.gatherings,
        "swell_at_mm": swell.at_mm,
    }
    for name, value in (("distance_mm", found.distance_mm), ("pitch_mm", found.pitch_mm)):
        if value is not None:
            result[name] = value
    if load is not None:
        result |= {
            "block_kg": load.mass.value,
            "force_n": load.greatest_n,
            "opened_force_n": load.opened_n,
            "lifted_pasted_n": load.lifted_pasted_n,
            "lifted_unpasted_n": load.lifted_unpasted_n,
            "needed_tear_mn": load.needed_mn,
        }
        if load.safety is not None and load.capacity_n is not None:
            result |= {"capacity_n": load.capacity_n, "safety_factor": load.safety}
    return result


def _moves(moves: tuple[Any, ...], path: str) -> str:
    if path == "continuous":
        return _outside(moves)
    words = ["leave a tail of 100 mm inside"]
    for move in moves:
        if move[0] == "out":
            words.append(f"out at {tenth(move[1])}")
        elif move[0] == "in":
            words.append(f"in at {tenth(move[1])}")
        elif move[0] == "knot":
            words.append("square knot with the tail")
        else:
            words.append(f"back inside to {tenth(move[1])}, two half hitches")
    return ", ".join(words) + "."


def _outside(moves: tuple[Any, ...]) -> str:
    """Tell the first gathering of a continuous thread: stitches inside, travels and ties outside."""
    words = ["leave a tail of 100 mm outside"]
    for number, move in enumerate(moves):
        if move[0] == "hitch":
            last = number > 1 and moves[number - 1] == ("out", move[1])
            which = "the end" if last else "the tail"
            words.append(
                f"outside tie {which} at {tenth(move[1])} with two half hitches round the travel"
            )
        else:
            words.append(f"{move[0]} at {tenth(move[1])}")
    return ", ".join(words) + "."


def _thread(sewn: Sewn) -> str:
    if sewn.path == "continuous":
        return _lengths(sewn)
    cuts: dict[tuple[float, int], list[int]] = {}
    for length in sewn.stitching.lengths:
        cuts.setdefault((length.cut_to_mm, length.quantity), []).extend(length.gatherings)
    parts = [
        f"gathering{'s' if len(set(found)) > 1 else ''} {numbers(sorted(set(found)))}: {f'{count} × ' if count > 1 else ''}{cut:.0f} mm"
        for (cut, count), found in cuts.items()
    ]
    metres = math.ceil(sewn.stitching.total_mm / 100) / 10
    return "; ".join(parts) + f"; {tenth(metres)} m in all"


def _lengths(sewn: Sewn) -> str:
    """List the lengths of a continuous thread: each sews several gatherings, and a gathering may take two."""
    lengths = sewn.stitching.lengths
    parts = [
        f"no. {number} from gathering {one.gatherings[0]} to {one.gatherings[-1]}, {one.cut_to_mm:.0f} mm"
        if len(one.gatherings) > 1
        else f"no. {number} in gathering {one.gatherings[0]}, {one.cut_to_mm:.0f} mm"
        for number, one in enumerate(lengths, 1)
    ]
    metres = math.ceil(sewn.stitching.total_mm / 100) / 10
    count = "1 length" if len(lengths) == 1 else f"{len(lengths)} lengths"
    return f"{count}: {'; '.join(parts)}; {tenth(metres)} m in all"


def undo(sewn: Sewn, tails: str, rest: tuple[str, str]) -> tuple[str, ...]:
    """Say how the thread is drawn out again where no knot lies inside the folds.

    `tails` is how they are loosened; `rest` what comes off before the thread and what after it.
    """
    if sewn.path != "continuous":
        return ()
    before, after = rest
    thread = (
        f"{tails} and loosen their half hitches; cut the thread on the lining between every two stitches and draw "
        f"each stitch out of its fold from outside; then {after}"
    )
    holes = "the new holes stay and are recorded here, height by height"
    return tuple(line for line in (before, thread, holes) if line)


def _advice(book: Book, sewn: Sewn) -> str:
    """Say which thread would do, where the paper's strength is known."""
    advised = suggested_thread(book, sewn)
    if advised is None:
        return ""
    holds = f"what the paper of one stitch holds ({two_figures(float(str(advised['paper_holds_n'])))} N)"
    if advised["name"] is None:
        return f"; no thread in the list breaks at {THREAD_TIMES:g} times {holds}: the thread may give first"
    return f"; the thinnest that still bears {THREAD_TIMES:g} times {holds} is {advised['name']}"


def warnings(book: Book, wanted: Any, sewn: Sewn) -> tuple[str, ...]:
    """Say what was eased, what swells, what cannot be judged, what would do instead."""
    lines = list(sewn.arrangement.eased)
    used = len(set(sewn.arrangement.strips.values()))
    if wanted.strips is not None and used < wanted.strips:
        serve = "serves" if used == 1 else "serve"
        lines.append(f"at most {wanted.strips} pricking strips asked; {used} {serve}")
    if book.old_sewing.kettles_taken:
        lines.append("kettles not given: first and last station are taken as kettles")
    if book.stations_shift_mm:
        lines.append(
            f"stations were measured from the first kettle; the head is taken to lie "
            f"{tenth(book.stations_shift_mm)} mm above it. Register every strip on its old hole, not on the head"
        )
    lines += swelling(sewn, book.sewn_girths is not None)
    load = sewn.load
    if load is None:
        lines.append("no weight or width: the load on the stitches is not worked out")
        return tuple(lines)
    if load.safety is None:
        lines.append(
            f"measure how a leaf tears along the fold: for a safety of {wanted.safety:g} one leaf must bear "
            f"{two_figures(load.needed_mn)} mN ({two_figures(load.greatest_n)} N a stitch)"
        )
    elif sewn.paper is not None and not sewn.paper.measured:
        lines.append(
            f"the safety rests on {sewn.paper.words} (memory): measure how a leaf tears along the fold"
        )
    side, alone = "side of the cover", ""
    if book.thinnest_board_mm is not None:
        side, alone = "board", f"; {book.board_mass.source}" if book.board_mass.assumed else ""
    outer = f"{two_figures(load.lifted_unpasted_n)} N in the outer two gatherings"
    bears = (
        f"{two_figures(load.lifted_pasted_n)} N when the lining is pasted, {outer} when it is not"
    )
    lines.append(
        f"lift the block, never a {side}: lifted by one (twice that for a sudden lift{alone}) a stitch bears "
        f"{bears if wanted.pasted else outer}"
    )
    return tuple(lines)


def swelling(sewn: Sewn, read: bool) -> list[str]:
    """Say how much the thread swells the spine, where, and what would do where that is too much.

    Where the strip was read after the sewing nothing is advised any more: that reading counts.
    """
    swell = sewn.swell
    if not swell.gatherings:
        return []
    line = (
        f"the thread adds {tenth(swell.least_mm)} to {tenth(swell.most_mm)} mm to the spine, most at "
        f"{tenth(swell.at_mm)} mm below the head"
    )
    if read:
        return [f"{line}; it is sewn, and the strip read over it counts"]
    if swell.within:
        return [f"{line}: read the strip again after sewing"]
    likely, allowed = told_apart(swell.likely_mm, swell.allowed_mm)
    return [
        f"{line}, likely {likely}, more than the {allowed} mm that are let pass: {sewn.advice.swell}"
    ]


def boxes(wanted: Any, sewn: Sewn) -> tuple[str, ...]:
    """Return the boxed words of a sewing that is too weak, with what would do."""
    load = sewn.load
    if load is None or load.safety is None or load.holds:
        return ()
    safety, _ = told_apart(load.safety, wanted.safety, 2)
    return (
        f"TOO WEAK STANDING: safety {safety}, asked {trimmed(wanted.safety)}; weakest: {load.weakest}. "
        f"{sewn.advice.weak}.",
    )


def suggested_thread(book: Book, sewn: Sewn) -> Mapping[str, object] | None:
    """Return the thinnest known thread that breaks at five times what the paper holds."""
    if sewn.paper is None:
        return None
    strong = min(
        threads.strong_enough(book, sewn.paper), key=lambda one: (one.tex, one.name), default=None
    )
    found = {"paper_holds_n": threads.holds_n(book, sewn.paper), "times": THREAD_TIMES}
    if strong is None:
        return {"name": None, **found}
    return {"name": strong.name, "breaks_n": threads.breaks_n(strong), **found}


def details(book: Book, wanted: Any, sewn: Sewn) -> dict[str, object]:
    """Return what `--json` carries beyond stitches, path and proof."""
    found, load = sewn.arrangement, sewn.load
    result: dict[str, object] = {
        "path": sewn.path,
        "every": sewn.every,
        "thread": sewn.thread.name,
        "swell": {
            "gatherings": sewn.swell.gatherings,
            "at_mm": sewn.swell.at_mm,
            "least_mm": sewn.swell.least_mm,
            "likely_mm": sewn.swell.likely_mm,
            "most_mm": sewn.swell.most_mm,
            "allowed_mm": sewn.swell.allowed_mm,
        },
        "layout": wanted.layout,
        "heights_mm": list(found.heights_mm),
        "strips": {str(g): found.strips[g] for g in sorted(found.strips)},
        "least_distance_mm": found.distance_mm,
        "least_pitch_mm": found.pitch_mm,
        "eased": list(found.eased),
        "lengths": [
            {
                "gatherings": list(one.gatherings),
                "net_mm": one.net_mm,
                "cut_mm": one.cut_mm,
                "cut_to_mm": one.cut_to_mm,
                "quantity": one.quantity,
            }
            for one in sewn.stitching.lengths
        ],
        "thread_suggested": suggested_thread(book, sewn),
    }
    if load is not None:
        result["loads"] = {
            "block_kg": load.mass.value,
            "block_by": load.mass.source,
            "standing_shut_n": load.greatest_n if load.hangs else 0.0,
            "standing_shut_if_hanging_n": load.greatest_n,
            "opened_90_n": load.opened_n,
            "lifted_by_a_board_pasted_n": load.lifted_pasted_n,
            "lifted_by_a_board_unpasted_n": load.lifted_unpasted_n,
            "sudden_factor": 2.0,
            "needed_tear_mn": load.needed_mn,
            "capacity_n": load.capacity_n,
            "capacity_from": sewn.paper.words if sewn.paper else None,
            "safety_factor": load.safety,
            "weakest": load.weakest,
        }
    return result
