"""One book examined: every finding in reading order, what stops the work, and the ways to go on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

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

PARTS = (condition, measurements, unions, proportion, weight, grain, sewing)
"""Reading order: what stops the work, what to measure again, then what fails, and why."""


def examine(
    record: Record,
    library: Library,
    templates: Mapping[str, Template] | None = None,
    path: str = "",
) -> Examination:
    """Examine a record and say what fails, why, and what would hold.

    `templates` are the structures that may be offered (`catalogue.templates()`); without them
    only doing nothing is. `path` is the record as the draft command names it, by default the
    record's own file name.
    """
    facts = gather(record, library)
    found = [finding for part in PARTS for finding in part.find(facts)]
    needs = {finding.need for finding in found if finding.need}
    offered = offers.gather(facts.book, needs, templates or {})
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
    if finding.need is None:
        return finding
    answers = (
        Suit(offer.structure, reason.pro, reason.con)
        for offer, reason in offered.answers(finding.need)
    )
    return replace(finding, suits=(*answers, *finding.suits))
