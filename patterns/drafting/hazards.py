"""What the condition of the book changes in a draft: what is refused, how steps are told, the boxes.

Everything goes by the traits that templates declare and by the rows of `structures/shared/conditions`.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from patterns.book.book import Book
from patterns.book.condition import HAZARDS, Hazard, met
from patterns.errors import Unsuitable
from patterns.formulas import mechanics
from patterns.model.part import Heed, Part, Step
from patterns.model.piece import Piece
from patterns.model.traits import Traits, Way, Where
from patterns.record.record import ConditionTable
from patterns.stock import cautions
from patterns.structures.shared import conditions, heeding
from patterns.structures.steps import BOND, OFF, PLACES, UNHEATED, StepTemplate, fill, named
from patterns.units import two_figures


def refuse(condition: ConditionTable, parts: Sequence[Part]) -> None:
    """Raise Unsuitable for a step that such a book does not bear, whichever setting brought it."""
    for part in parts:
        for step in part.steps:
            for ruling in conditions.refusals(condition, step.traits):
                raise Unsuitable(f"{part.structure}: {ruling.words}")


def told(
    condition: ConditionTable,
    step: StepTemplate,
    figures: Mapping[str, object],
    angles: Collection[str],
    structure: str,
) -> Step:
    """Return a step as it is done on such a book, its figures filled in, with what it heeds."""
    found = heeding.heeded(condition, step)
    source, judged = found.source, found.judged
    return Step(
        step.phase,
        _led(judged, fill(source.text, {**figures, BOND: found.bond}, angles)),
        tuple(dict.fromkeys((*source.cautions, *(one for row in judged for one in row.cautions)))),
        structure,
        source.traits,
        tuple(_heed(row, found.way, step.traits) for row in found.rows),
        tools=source.tools,
        adhesive=_adhesive(found.way) if BOND in named(source.text) else "",
    )


def _led(judged: Sequence[conditions.Instead], text: str) -> str:
    """Return a step's text behind what those rows want said first."""
    return " ".join(filter(None, (*dict.fromkeys(row.lead for row in judged), text)))


PASTE_NAME = "wheat starch paste"
"""What a step sets with where the book asks for nothing else, on a list."""


def _adhesive(way: Way | None) -> str:
    """Return by its name what a bond is set with in one way."""
    return PASTE_NAME if way is None else conditions.rules().ways[way].adhesive


def _heed(row: conditions.Instead, way: Way | None, traits: Traits) -> Heed:
    if way is None or not conditions.satisfied(row, way):
        return Heed(row.condition, row.judged)
    return Heed(row.condition, conditions.rules().ways[way].told, way, traits.wets)


def with_what_comes_before(condition: ConditionTable, steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return all steps with those that the condition puts before the first that touches."""
    ordered = list(steps)
    found = conditions.first(condition, [step.traits for step in steps])
    for at, row in sorted(found, key=lambda pair: pair[0], reverse=True):
        judged = conditions.changes(condition, row.traits)
        heeds = (Heed(row.condition, row.told), *(_heed(one, None, row.traits) for one in judged))
        text = _led(judged, row.text)
        ordered.insert(at, Step(ordered[at].phase, text, row.cautions, "", row.traits, heeds))
    return tuple(ordered)


def warned(condition: ConditionTable, step: Step) -> Step:
    """Return a step with those of its cautions that this book asks for."""
    there = {one.key for one in met(condition)}
    known = [cautions.find(key) for key in step.cautions]
    asked = tuple(one.key for one in known if not one.only or there & set(one.only))
    return replace(step, cautions=asked)


def warned_together(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return steps with the cautions that belong to two dangers of one draft, beside the first of them."""
    there = {key for step in steps for key in step.cautions}
    found = [one for one in cautions.load().values() if one.beside and there.issuperset(one.beside)]

    def more(step: Step) -> tuple[str, ...]:
        return tuple(one.key for one in found if one.beside[0] in step.cautions)

    return tuple(replace(step, cautions=(*step.cautions, *more(step))) for step in steps)


def stops(condition: ConditionTable) -> tuple[str, ...]:
    """Return what stops the work, in reading order."""
    return tuple(one.stop for one in met(condition) if one.stops)


def boxes(condition: ConditionTable, steps: Sequence[Step]) -> Iterator[str]:
    """Yield what the condition changes, by the numbers that the steps have on the sheets."""
    for one in (hazard for hazard in HAZARDS if hazard.met(condition) and not hazard.stops):
        numbers: dict[str, list[int]] = {}
        for number, step in enumerate(steps, 1):
            for heed in step.heeds:
                if heed.condition == one.key and number not in numbers.setdefault(heed.told, []):
                    numbers[heed.told].append(number)
        if box := _box(one, condition, numbers):
            yield box


def _box(one: Hazard, condition: ConditionTable, numbers: Mapping[str, Collection[int]]) -> str:
    """Return one box, "" where nothing that is drafted touches what suffers."""
    rules = conditions.rules()
    if not numbers and one.key not in rules.always:
        return ""
    words = getattr(condition, one.key)
    of = f" ({' and '.join(words)})" if isinstance(words, tuple) else ""
    begun = rules.always.get(one.key, rules.boxes.get(one.key, ""))
    steps = [conditions.named(told, at) for told, at in numbers.items()]
    return f"{one.title}{of}: {'; '.join(filter(None, (begun, *steps)))}."


def weaker(book: Book, steps: Sequence[Step]) -> Iterator[str]:
    """Yield what a heavy block would pull on that a cellulose ether holds where paste was meant.

    Lifted by one board, block and other board hang on the spine's whole height (statics).
    """
    numbers = [
        number
        for number, step in enumerate(steps, 1)
        if step.traits.covers and any(heed.way == "solvent" for heed in step.heeds)
    ]
    mass = book.block_mass
    if not numbers or mass is None or not book.heavy_for_attachment:
        return
    pull = (mass.value + book.board_mass.value) * mechanics.GRAVITY
    told = conditions.named("{steps}", numbers)
    yield (
        f"A cellulose ether holds less than paste, and {told} {'is' if len(numbers) == 1 else 'are'} set with it: lifted by "
        f"one board, block and board pull by {two_figures(pull)} N, {two_figures(pull / book.height_mm)} N on each mm of the "
        "spine's height, twice that when suddenly. Count on what is sewn or tied and on nothing that is set with it; "
        "try its hold on waste of the same materials first"
    )


def needed(steps: Sequence[Step]) -> Iterator[tuple[str, str]]:
    """Yield each material that the condition asks for, with the steps that use it."""
    rules = conditions.rules()
    by_way = {rules.ways[way].told: rules.ways[way].needs for way in rules.ways}
    by_way |= {row.told: row.needs for row in rules.before}
    numbers: dict[str, dict[int, None]] = {}
    for number, step in enumerate(steps, 1):
        for heed in step.heeds:
            if stuff := by_way.get(heed.told):
                numbers.setdefault(stuff, {})[number] = None
    for stuff, at in numbers.items():
        yield stuff, conditions.named("{steps}", at)


def undone(
    condition: ConditionTable, lines: Sequence[str], own: Sequence[Step], every: Sequence[Step]
) -> tuple[str, ...]:
    """Return how a structure is undone, each bond as it was set and as such a book bears it.

    By its own steps, or, on a part of the book that these do not reach, by those of the whole draft.
    """
    pasted = {place for step in own for place in step.traits.wets}
    others = {place: way for place, way in _ways(every).items() if place not in pasted}
    ways = {**others, **_ways(own)}
    off = {
        OFF + place: conditions.rules().ways[ways[place]].off
        if place in ways
        else conditions.unpasted(condition, place)
        for place in PLACES
    }
    off[UNHEATED] = "" if conditions.may_set(condition, "heat") else ", without heat"
    return tuple(line.format(**off) for line in lines)


def _ways(steps: Sequence[Step]) -> dict[Where, Way]:
    """Return how the bonds on each part of the book are set that are not pasted."""
    ways: dict[Where, Way] = {}
    for step in steps:
        for heed in step.heeds:
            if heed.way in ("solvent", "sparing"):
                ways |= dict.fromkeys(heed.reaches, heed.way)
    return ways


def repasted(part: Part) -> Part:
    """Return a part whose pieces name the adhesive that its steps set them with."""
    ways = _ways(part.steps)
    return replace(part, pieces=tuple(_repasted(piece, ways) for piece in part.pieces))


def _repasted(piece: Piece, ways: Mapping[Where, Way]) -> Piece:
    rules = conditions.rules()
    zones = tuple(
        replace(zone, adhesive=rules.ways[ways[zone.on]].adhesive)
        if zone.on is not None and zone.on in ways
        else zone
        for zone in piece.zones
    )
    return piece if zones == piece.zones else replace(piece, zones=zones)
