"""Choosing: the ways to go on, in order, each with its reasons, doing nothing among them.

Nothing is scored. A structure stands in the order in which the findings call for it: unions that
have parted, then what is out of proportion and wears the rest, then unions that are weak or made
the wrong way, then the sewing. Doing nothing comes first when something stops the work or when no
structure is called for, else last, so that it is always weighed.
"""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence

from patterns.examine.facts import Facts
from patterns.examine.finding import NOTHING, Choice, Finding, Suit
from patterns.record.needs import present
from patterns.structures.template import Template

NOTHING_TITLE = "Do nothing, tie or box"
SEWN = frozenset({"secondary_sewing", "tissue_hinge", "sewn_cloth_joint", "joint_tacket"})
"""Structures sewn through the old folds."""
LINED = frozenset({"secondary_sewing", "hollow_tube"})
"""Structures that fix the spine in the shape it has."""
PASTED = frozenset({"hollow_tube", "spine_lining", "cover_widening", "board_slot"})
"""Structures set with a wet paste."""
_SHAPE = "spine.round_depth"


def choose(
    facts: Facts, findings: Sequence[Finding], path: str, templates: Mapping[str, Template]
) -> tuple[Choice, ...]:
    """Return every way to go on, first the one to weigh first.

    Only structures among `templates` are offered. The first choice carries the draft command,
    unless it is to do nothing.
    """
    asked = _asked(findings, templates)
    stopped = any(finding.call == "stop" for finding in findings)
    weak = any(finding.key == "weak_folds" for finding in findings)
    structures = [_choice(facts, name, rows, findings, templates) for name, rows in asked.items()]
    if weak:  # what is sewn through the folds waits behind what is not
        structures.sort(key=lambda choice: bool(SEWN & set(choice.structure.split("+"))))
    nothing = _nothing(findings)
    first_sewn = structures and SEWN & set(structures[0].structure.split("+"))
    if stopped or not structures or (weak and first_sewn):
        return (nothing, *structures)
    first = structures[0]
    words = ["mendfold", "draft", path, *first.structure.split("+")]
    drafted = Choice(
        first.structure, first.title, first.because, first.pros, first.cons, first.missing,
        shlex.join(words),
    )  # fmt: skip
    return (drafted, *structures[1:], nothing)


def _asked(
    findings: Sequence[Finding], templates: Mapping[str, Template]
) -> dict[str, list[tuple[Finding, Suit]]]:
    """Gather what was offered by structure, in the order it is called for."""
    asked: dict[str, list[tuple[Finding, Suit]]] = {}
    for finding in sorted(findings, key=_rank):
        for suit in finding.suits:
            if all(name in templates for name in suit.structure.split("+")):
                asked.setdefault(suit.structure, []).append((finding, suit))
    # What is only noted supports a structure that something calls for; it calls for none itself.
    return {
        name: rows for name, rows in asked.items() if any(row[0].call == "mend" for row in rows)
    }


def _rank(finding: Finding) -> tuple[bool, int]:
    """What is to be mended before what is noted; parted, out of proportion, weak, sewing."""
    topics = ("proportion", "unions", "sewing", "grain", "condition", "measurements")
    place = -1 if finding.key == "union_failed" else topics.index(finding.topic)
    return finding.call != "mend", place


def _choice(
    facts: Facts,
    structure: str,
    rows: Sequence[tuple[Finding, Suit]],
    findings: Sequence[Finding],
    templates: Mapping[str, Template],
) -> Choice:
    names = structure.split("+")
    found = {finding.key for finding in findings}
    cons = [suit.con for _, suit in rows]
    if SEWN & set(names):
        if "leaves_unsewn" in found:
            cons.append("there is no fold to sew through until the leaves hang on guards")
        if "weak_folds" in found:
            cons.append("the paper at the folds is too weak to sew through without guards")
        if {"union_failed", "union_weak"} & found and facts.record.text_block.tear_strength is None:
            cons.append("the paper's tear strength is not measured: what the folds bear is unknown")
    if "fallen_in" in found and LINED & set(names):
        cons.append(
            "the fallen-in spine is brought back to its round and measured again before it is lined"
        )
    if PASTED & set(names):
        wet = {"iron_gall": "iron-gall ink", "leather": "red-rotted leather",
               "soluble_media": "media that run"}  # fmt: skip
        cons += [f"its paste brings moisture near {words}" for key, words in wet.items()
                 if key in found]  # fmt: skip
    doubtful = [field for each in findings if each.call == "measure" for field in each.fields]
    if doubtful:
        cons.append("measurements are in doubt: " + ", ".join(dict.fromkeys(doubtful)))
    return Choice(
        structure=structure,
        title=_title([templates[name].title for name in names]),
        because=tuple(dict.fromkeys(finding.key for finding, _ in rows)),
        pros=tuple(dict.fromkeys(suit.pro for _, suit in rows)),
        cons=tuple(dict.fromkeys(cons)),
        missing=_missing(facts, [templates[name] for name in names]),
    )


def _title(titles: Sequence[str]) -> str:
    first, *others = titles
    return " with ".join([first, *(title[0].lower() + title[1:] for title in others)])


def _missing(facts: Facts, wanted: Sequence[Template]) -> tuple[str, ...]:
    """Name the fields these structures cannot do without and the record lacks."""
    flat = facts.record.spine.profile == "flat"
    needs = dict.fromkeys(need for template in wanted for need in template.needs)
    return tuple(
        " or ".join(need.split("|"))
        for need in needs
        if not any(present(facts.record, name) for name in need.split("|"))
        and not (flat and _SHAPE in need.split("|"))
    )


def _nothing(findings: Sequence[Finding]) -> Choice:
    """Weigh doing nothing: what it spares the book, and what it leaves undone."""
    rows = [
        (finding, suit)
        for finding in findings
        for suit in finding.suits
        if suit.structure == NOTHING
    ]
    stops = [finding.title.lower() for finding in findings if finding.call == "stop"]
    pros = ["nothing is lost, and everything can still be done later"]
    pros += [f"{title}: the work waits for a conservator's judgement" for title in stops]
    called = any(
        suit.structure != NOTHING and finding.call == "mend"
        for finding in findings
        for suit in finding.suits
    )
    if not called and not stops:
        pros.append("nothing found calls for a new structure")
    left = [finding.title for finding in findings if finding.call == "mend"]
    cons = [suit.con for _, suit in rows]
    if left:
        cons.append("it leaves as it is: " + "; ".join(left))
    return Choice(
        structure=NOTHING,
        title=NOTHING_TITLE,
        because=tuple(dict.fromkeys(finding.key for finding, _ in rows)),
        pros=tuple(dict.fromkeys([*pros, *(suit.pro for _, suit in rows)])),
        cons=tuple(dict.fromkeys(cons)),
    )
