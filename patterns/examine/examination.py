"""One book examined: every finding in reading order, what stops the work, and the ways to go on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from patterns.book.suits import Need
from patterns.examine import (
    condition,
    grain,
    measurements,
    offers,
    proportion,
    sewing,
    unions,
    weight,
)
from patterns.examine.choosing import choose
from patterns.examine.facts import gather
from patterns.examine.finding import Examination, Finding, Suit
from patterns.examine.offers import Offers
from patterns.record.record import Record
from patterns.stock.materials import Library
from patterns.structures.template import Template

BOX: Need = "box"
"""What a book asks for that is better tied or boxed than mended, or waits for it."""
PARTS = (condition, measurements, unions, proportion, weight, grain, sewing)
"""Reading order: what stops the work, what to measure again, then what fails, and why."""


def examine(
    record: Record,
    library: Library,
    templates: Mapping[str, Template] | None = None,
    path: str = "",
    search_share: float = 1.0,
) -> Examination:
    """Examine a record and say what fails, why, and what would hold.

    `templates` are the structures that may be offered (`catalogue.templates()`); without them
    only doing nothing is. `path` is the record as the draft command names it, by default the
    record's own file name. `search_share` is the part of the usual steps that a search for
    stitches may take: less makes its figures less sure, and the answer quicker.
    """
    facts = gather(record, library, search_share)
    found = [finding for part in PARTS for finding in part.find(facts)]
    needs: set[Need] = {finding.need for finding in found if finding.need}
    offered = offers.gather(facts.book, {*needs, BOX}, templates or {})
    findings = tuple(_answered(finding, offered) for finding in found)
    keys = [key for finding in findings for key in finding.cautions]
    if facts.heavy:
        keys += ["lift"]
    return Examination(
        book_id=record.book.id or "",
        book_title=record.book.title or "",
        findings=findings,
        stops=tuple(f.title for f in findings if f.call == "stop"),
        cautions=tuple(dict.fromkeys(keys)),
        choices=choose(offered, findings, path or record.source),
    )


def _answered(finding: Finding, offered: Offers) -> Finding:
    """Put what answers a finding's need before what doing nothing would mean for it."""
    answers = _suits(finding.need, offered) if finding.need else ()
    boxes = _suits(BOX, offered) if _boxed(finding, offered) else ()
    return replace(finding, suits=(*answers, *boxes, *finding.suits))


def _suits(need: Need, offered: Offers) -> tuple[Suit, ...]:
    return tuple(
        Suit(offer.structure, reason.pro, reason.con, boxes=need == BOX)
        for offer, reason in offered.answers(need)
    )


def _boxed(finding: Finding, offered: Offers) -> bool:
    """Tell whether a finding is answered by tying or boxing: so it says, or nothing else is left.

    What is to be mended and has no answer is boxed, too, and so is what is ruled out in favour of it.
    """
    if any(suit.boxes for suit in finding.suits):
        return True
    if finding.need is None or finding.call != "mend":
        return False
    refused = offered.ruled_out(finding.need)
    return not offered.answers(finding.need) or any(one.lead.tie_or_box for one in refused)
