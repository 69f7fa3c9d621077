"""Two revisions of one pattern side by side, and books that are like one another."""

from __future__ import annotations

from collections.abc import Mapping

from flask import Blueprint, Response, jsonify, request

from patterns.bench.bench import OpenBench
from patterns.bench.desk_ways import fragment
from patterns.bench.kept import KeptNow, entries, kept
from patterns.errors import GalleryError
from patterns.gallery import shown, similar, store
from patterns.gallery.changes import between
from patterns.gallery.equal import different_files
from patterns.gallery.summary import features, kept_of, record_of

MOST_NEAR = 5
_NEAR, _FAR, _TOLD = 0.5, 1.0, 3
"""Up to which distance two books are alike in one thing, from which they are not; so many are told."""


def add(ways: Blueprint, bench: OpenBench) -> None:
    """Add the ways to what differs and to what is alike."""

    @ways.get("/gallery/<int:number>/compared")
    def compared(number: int) -> Response:
        numbers = [
            one.number for one in store.revisions(bench.shelf.gallery / bench.patterns[number])
        ]
        if len(numbers) < 2:
            raise GalleryError("one revision alone is kept: there is nothing to compare it with")
        first = request.args.get("first", numbers[-2], type=int)
        second = request.args.get("second", numbers[-1], type=int)
        one, other = (kept(bench, number, revision) for revision in (first, second))
        name = bench.patterns[number]
        values = {
            "number": number,
            "numbers": numbers,
            "both": (first, second),
            "tables": shown.compared(between(one.files, other.files, name)),
            "sheets": _sheets(one, other),
        }
        return jsonify(html=fragment("compared.html", **values))

    @ways.get("/books/<int:number>/similar")
    def near(number: int) -> Response:
        desk = bench.desk(number)
        if desk.found().problems or not desk.words:
            return jsonify(html="")  # there is nothing yet to be like
        found = alike(bench, features(desk.record()), "")
        return jsonify(html=fragment("similar.html", near=found))


def alike(bench: OpenBench, asked: Mapping[str, float | str], own: str) -> list[dict[str, object]]:
    """Return the past books nearest to one with some features; the book of the id `own` left out."""
    others = [one for one in entries(bench) if not own or one.id != own]
    return [
        {
            "number": bench.pattern(one.entry.name),
            "title": one.entry.title or one.entry.id or one.entry.name,
            "what": shown.made(one.entry),
            "far": [_said(row) for row in one.features if row.distance > _FAR][:_TOLD],
            "near": [_said(row) for row in one.features if row.distance < _NEAR][:_TOLD],
        }
        for one in similar.nearest(asked, others, MOST_NEAR)
    ]


def _said(row: similar.Compared) -> str:
    return row.name.replace("_", " ")


def like(bench: OpenBench, one: KeptNow) -> list[dict[str, object]]:
    """Return the past books nearest to the book of a kept pattern."""
    record = record_of(one.files, one.entry.name)
    return alike(bench, features(record), one.entry.id)


def _sheets(one: KeptNow, other: KeptNow) -> list[dict[str, object]]:
    """Return the sheets that differ: their title, and the place of each among its revision's pictures."""
    found: list[dict[str, object]] = []
    titles = {
        sheet.file: sheet.title
        for side in (one, other)
        for sheet in kept_of(side.files, side.entry.name).sheets
    }
    for name in different_files(one.files, other.files):
        if name in titles:
            places = [
                list(side.pictures).index(name) if name in side.pictures else None
                for side in (one, other)
            ]
            found.append({"title": titles[name], "places": places})
    return found
