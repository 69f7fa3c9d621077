"""Choosing: the ways to go on, in order, each with its reasons, doing nothing among them.

Nothing is scored. A structure stands in the order in which the findings call for it: unions that
have parted, then what is out of proportion and wears the rest, then unions that are weak or made
the wrong way, then the sewing. Doing nothing comes first when something stops the work or when no
structure is called for, else last, so that it is always weighed.
"""

from __future__ import annotations

import dataclasses
import shlex
from collections.abc import Iterator, Sequence

from patterns.book.suits import LEFT_OPEN
from patterns.examine.finding import BOXED, NOTHING, Choice, Finding, Suit
from patterns.examine.offer import Offer
from patterns.examine.offers import Offers

NOTHING_TITLE = "Do nothing, tie or box"
PARTED = "union_failed"
APART_TITLE = "Do nothing: isolate the book"
"""Where something lives in it, which a box or wrapper would keep."""


WayOn = tuple[Offer, Sequence[tuple[Finding, Suit]]]


def choose(offers: Offers, findings: Sequence[Finding], path: str) -> tuple[Choice, ...]:
    """Return every way to go on, first the one to weigh first.

    Each carries the command that drafts it, unless the work waits.
    """
    asked = [(offers.named(name), rows) for name, rows in _asked(findings).items()]
    every = [way for way in asked if not any(_part_of(way, other) for other in asked)]
    ways = [way for way in every if not _boxes(way[1])]
    boxes = [_choice(offer, rows, ()) for offer, rows in every if _boxes(rows)]
    stopped = any(finding.call == "stop" for finding in findings)
    weak = any(finding.key == "weak_folds" for finding in findings)
    if any(
        offer.swells_much for offer, _ in ways
    ):  # behind what swells less, never behind a last resort
        ways.sort(key=lambda way: (way[0].last_resort, way[0].swells_much))
    if weak:  # what is sewn through the folds waits behind what is not
        ways.sort(key=lambda way: way[0].sewn)
    nothing = _nothing(offers, findings)
    structures = [_choice(offer, rows, findings) for offer, rows in ways]
    if stopped or not structures or (weak and ways[0][0].sewn):
        return (nothing, *boxes, *structures)
    return (*(_commanded(one, path) for one in (*structures, *boxes)), nothing)


def _commanded(choice: Choice, path: str) -> Choice:
    names = choice.structure.split("+")
    given = [word for setting in choice.settings for word in ("--set", setting)]
    command = shlex.join(["mendfold", "draft", path, *names, *given])
    return dataclasses.replace(choice, command=command)


def _part_of(way: WayOn, other: WayOn) -> bool:
    """Tell whether a way is only a part of a whole one, which mends a parted union as well."""
    names, others = (set(each[0].structure.split("+")) for each in (way, other))
    told, more = ({(row[0].key, row[0].title) for row in each[1]} for each in (way, other))
    return names < others and told < more and any(key == PARTED for key, _ in more - told)


def _boxes(rows: Sequence[tuple[Finding, Suit]]) -> bool:
    """Tell whether a way ties, wraps or boxes the book: it stands beside doing nothing."""
    return all(suit.boxes for _, suit in rows)


def _asked(findings: Sequence[Finding]) -> dict[str, list[tuple[Finding, Suit]]]:
    """Gather what was offered by structure, in the order it is called for."""
    asked: dict[str, list[tuple[Finding, Suit]]] = {}
    for finding in sorted(findings, key=_rank):
        for suit in finding.suits:
            if suit.structure != NOTHING:
                asked.setdefault(suit.structure, []).append((finding, suit))
    # What is only noted supports a structure that something calls for; it calls for none itself.
    return {
        name: rows
        for name, rows in asked.items()
        if any(row[0].call == "mend" or _boxes([row]) for row in rows)
    }


def _rank(finding: Finding) -> tuple[bool, int]:
    """What is to be mended before what is noted; parted, out of proportion, weak, sewing."""
    topics = ("proportion", "unions", "sewing", "grain", "condition", "measurements")
    place = -1 if finding.key == PARTED else topics.index(finding.topic)
    return finding.call != "mend", place


def _choice(
    offer: Offer, rows: Sequence[tuple[Finding, Suit]], findings: Sequence[Finding]
) -> Choice:
    cons = [*(suit.con for _, suit in rows), *offer.against]
    return Choice(
        structure=offer.structure,
        title=_title(
            [offer.leading.title, *(one.title for one in offer.chosen if one is not offer.leading)]
        ),
        because=tuple(dict.fromkeys(finding.key for finding, _ in rows)),
        pros=tuple(dict.fromkeys(suit.pro for _, suit in rows)),
        cons=tuple(dict.fromkeys(cons)),
        missing=offer.missing,
        leaves=tuple(_left(offer, findings)),
        settings=offer.settings,
    )


def _left(offer: Offer, findings: Sequence[Finding]) -> Iterator[str]:
    """Yield what a way leaves open, and what else is to be mended that it does not answer."""
    yield from (LEFT_OPEN[need] for need in offer.left_open)
    for finding in findings:
        need = finding.need
        if finding.call == "mend" and need is not None and offer.answer(need) is None:
            yield finding.title[0].lower() + finding.title[1:]


def _title(titles: Sequence[str]) -> str:
    """Return titles in one line.

    >>> _title(["Board slot", "Secondary sewing", "Hollow tube", "Reback"])
    'Board slot with secondary sewing, hollow tube and reback'
    """
    first, *others = titles
    if not others:
        return first
    *most, last = (title[0].lower() + title[1:] for title in others)
    return f"{first} with {', '.join(most)} and {last}" if most else f"{first} with {last}"


def _nothing(offers: Offers, findings: Sequence[Finding]) -> Choice:
    """Weigh doing nothing: what it spares the book, and what it leaves undone."""
    rows = [
        (finding, suit)
        for finding in findings
        for suit in finding.suits
        if suit.structure == NOTHING
    ]
    apart = any(finding.isolates for finding in findings)
    stops = [finding.title.lower() for finding in findings if finding.call == "stop"]
    pros = ["nothing is lost, and everything can still be done later"]
    pros += [f"{title}: the work waits for a conservator's judgement" for title in stops]
    if not apart:  # what is ruled out, and what else asks for doing nothing, may name a wrapper
        pros += _ruled_out(offers, findings, stops)
    pros += [suit.pro for finding, suit in rows if finding.isolates or not apart]
    left = [finding.title for finding in findings if finding.call == "mend"]
    cons = [suit.con for _, suit in rows]
    if left:
        cons.append("it leaves as it is: " + "; ".join(left))
    return Choice(
        structure=NOTHING,
        title=APART_TITLE if apart else NOTHING_TITLE,
        because=tuple(dict.fromkeys(finding.key for finding, _ in rows)),
        pros=tuple(dict.fromkeys(pros)),
        cons=tuple(dict.fromkeys(cons)),
    )


def _ruled_out(offers: Offers, findings: Sequence[Finding], stops: Sequence[str]) -> Iterator[str]:
    """Yield what speaks for doing nothing because of what cannot be done, or need not be."""
    asked = [one.need for one in findings if one.need and one.call == "mend"]
    refused = [offer for need in asked for offer in offers.ruled_out(need)]
    for offer in refused:
        yield from (f"{offer.leading.title} is ruled out: {words}" for words in offer.lead.why_not)
    if any(offer.lead.tie_or_box for offer in refused):
        yield BOXED
    called = any(
        suit.structure != NOTHING and not suit.boxes and finding.call == "mend"
        for finding in findings
        for suit in finding.suits
    )
    if not called and not stops and not refused:
        yield "nothing found calls for a new structure"
