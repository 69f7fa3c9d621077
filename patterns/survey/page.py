"""The survey as one web page that opens from the disk: counts as tables with bars, and every book in a list."""

from __future__ import annotations

import base64
import hashlib
import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from markupsafe import Markup

import patterns
from patterns.survey.counts import CLASSES, Counts
from patterns.survey.sample import interval
from patterns.writers import html

_PAGES = Path(__file__).parent / "pages"
_ALIKE_SHOWN = 30
"""Groups of books that are listed; smaller ones are many and help nobody."""
NOTHING_WORDS = "do nothing, tie or box"


@dataclass(frozen=True, slots=True)
class Told:
    """What the page says beside the counts."""

    name: str
    population: int | None = None
    """Books of the whole collection, where this is a sample of it."""
    hours: Mapping[str, float] = field(default_factory=dict)
    """The studio's own hours for each structure."""
    notes: tuple[str, ...] = ()


@dataclass(slots=True)
class Listed:
    """Every book as the page lists it: short rows, with words told once."""

    findings: dict[str, int] = field(default_factory=dict)
    ways: dict[str, int] = field(default_factory=dict)
    books: list[str] = field(default_factory=list)
    """Each a JSON row: id, state, class, value, use, way, findings, fields to measure."""

    def add(self, told: Mapping[str, Any]) -> None:
        """Add one book."""
        found = [
            self.findings.setdefault(_words(one), len(self.findings))
            for one in dict.fromkeys(told.get("findings", ()))
        ]
        way = told.get("first_way")
        place = -1 if way is None else self.ways.setdefault(_together(way), len(self.ways))
        row = [
            told["id"],
            STATES.index(told["state"]),
            told.get("class", 0),
            told["value"],
            told["use"],
            place,
            found,
            len(told.get("needs_measuring", ())),
        ]
        self.books.append(json.dumps(row, ensure_ascii=False, separators=(",", ":")))

    def data(self) -> str:
        """Return everything as JSON that may stand inside a page."""
        heads = json.dumps([list(STATES), list(self.findings), list(self.ways)], ensure_ascii=False)
        states, findings, ways = json.loads(heads)
        told = json.dumps(
            {"states": states, "findings": findings, "ways": ways}, ensure_ascii=False
        )
        return f'{told[:-1]},"books":[{",".join(self.books)}]}}'.replace("<", "\\u003c")


STATES = ("examined", "drafted", "refused")


def page(counts: Counts, listed: Listed, told: Told) -> bytes:
    """Return the page."""
    script = (_PAGES / "survey.js").read_text(encoding="utf-8")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    values: dict[str, object] = {
        "name": told.name,
        "version": patterns.__version__,
        "lead": _lead(counts),
        "notes": (*_sampled(counts, told), *told.notes),
        "shares": told.population is not None,
        "findings": _rows(
            Counter({_words(key): count for key, count in counts.findings.items()}), counts, told
        ),
        "ways": _rows(
            Counter({_together(way) or NOTHING_WORDS: count for way, count in counts.ways.items()}),
            counts,
            told,
        ),
        "to_measure": _rows(_either(counts.to_measure), counts, told),
        "not_measured": _rows(counts.not_measured, counts, told),
        "refused": _rows(counts.refused_for, counts, told),
        "classes": list(CLASSES.items()),
        "parts": counts.part_rows(),
        "whole": [counts.classes[one] for one in CLASSES],
        "alike": _alike(counts),
        "materials": _materials(counts),
        "drafted": counts.states["drafted"],
        "hours": _hours(counts, told),
        "hours_left": _without_hours(counts, told),
        "rank_words": _rank_words(counts),
        "data": Markup(listed.data()),
        "script": Markup(script),
        "script_digest": f"sha256-{digest}",
    }
    return html.page(_PAGES, "survey.html", values)


def _words(key: str) -> str:
    return key.replace("_", " ")


def _either(fields: Counter[str]) -> Counter[str]:
    """Return fields of which one is enough with “or” between them."""
    return Counter({name.replace("|", " or "): count for name, count in fields.items()})


def _together(way: str) -> str:
    return " + ".join(_words(one) for one in way.split("+") if one)


def _lead(counts: Counts) -> str:
    drafted = counts.states["drafted"]
    told = [
        f"{counts.judged:,} examined",
        f"{counts.states['refused']:,} refused for what cannot stand in their rows",
    ]
    if drafted:
        told.insert(1, f"{drafted:,} of them drafted")
    return f"{counts.books:,} books read: {', '.join(told)}."


def _sampled(counts: Counts, told: Told) -> tuple[str, ...]:
    lines = (
        [
            f"Books of which a reading was only taken about: {counts.about:,}. Its error is taken as three times the usual."
        ]
        if counts.about
        else []
    )
    if counts.not_drafted:
        lines.append(f"{counts.not_drafted:,} books could not be drafted; problems.csv says why.")
    if told.population is not None:
        lines.append(
            f"A sample of a collection of {told.population:,} books. Shares of the collection are 95 % intervals after Wilson, "
            "corrected for a finite population; they hold for a simple random sample and no other. They are reckoned on "
            f"the books examined: {counts.judged:,}. Every count of books, pieces and hours is of the sample alone."
        )
    return tuple(lines)


def _rows(counted: Counter[str], counts: Counts, told: Told) -> list[dict[str, object]]:
    rows = sorted(counted.items(), key=lambda pair: (-pair[1], pair[0]))
    most = rows[0][1] if rows else 0
    return [
        {"words": words, "count": count, "most": most, "share": _share(count, counts, told)}
        for words, count in rows
    ]


def _share(count: int, counts: Counts, told: Told) -> str:
    if told.population is None or not counts.judged:
        return ""
    low, high = interval(min(count, counts.judged), counts.judged, told.population)
    return f"{100 * low:.1f} to {100 * high:.1f} %" if high > low else f"{100 * low:.1f} %"


def _alike(counts: Counts) -> list[dict[str, object]]:
    groups = sorted(
        counts.alike.items(), key=lambda pair: (-pair[1], pair[0].way, pair[0].cautions)
    )
    return [
        {
            "way": _together(one.way),
            "cautions": ", ".join(map(_words, one.cautions)) or "none",
            "count": count,
        }
        for one, count in groups[:_ALIKE_SHOWN]
        if count > 1
    ]


def _materials(counts: Counts) -> list[dict[str, object]]:
    return [
        {
            "name": name,
            "pieces": pieces,
            "area": f"{area:.2f}" if area else "",
            "thread": f"{thread:.1f}" if thread else "",
        }
        for name, (pieces, area, thread) in sorted(counts.materials.items())
    ]


def _structures(counts: Counts) -> Counter[str]:
    found: Counter[str] = Counter()
    for way, count in counts.ways.items():
        for structure in filter(None, way.split("+")):
            found[structure] += count
    return found


def _hours(counts: Counts, told: Told) -> list[dict[str, object]]:
    found = _structures(counts)
    rows = [(name, found[name], each) for name, each in told.hours.items() if found[name]]
    shown: list[dict[str, object]] = [
        {"name": _words(name), "books": books, "each": f"{each:g}", "all": f"{books * each:,.1f}"}
        for name, books, each in rows
    ]
    if rows:
        shown.append(
            {
                "name": "in all",
                "books": "",
                "each": "",
                "all": f"{sum(books * each for _, books, each in rows):,.1f}",
            }
        )
    return shown


def _without_hours(counts: Counts, told: Told) -> str:
    left: Sequence[str] = sorted(
        _words(name) for name in _structures(counts) if name not in told.hours
    )
    return f"Without a figure, so not counted: {', '.join(left)}." if left else ""


def _rank_words(counts: Counts) -> str:
    if not counts.ranked:
        return "No book is ranked: the table gives no value and no use (1 to 4) beside each other."
    return (
        "Urgency is need × value × use, each from 1 to 4: need from the worst that was found, value and use as the "
        f"library judged them. {counts.ranked:,} books are ranked; the others stand behind them."
    )
