"""The treatment of a kept pattern: steps ticked off, materials with lot, tests, photographs; the report.

What is filled in is kept as a draft at once; when it is kept it becomes the treatment.toml that one would
write by hand, as the next revision of the pattern, and what was written by hand in it stays. Its photographs
bear names given here.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

from flask import Blueprint, Response, abort, jsonify, request

from patterns.bench import begun
from patterns.bench.bench import OpenBench
from patterns.bench.desk_ways import fragment
from patterns.errors import GalleryError
from patterns.gallery import pictures, store
from patterns.reading import tables
from patterns.report import filling, writing
from patterns.report.filling import TypedRow, words_of
from patterns.report.treatment import FATES, HEAD, ROWS, WHENS

MOST_ROWS = 400
SPARE = ("test", "material", "adhesive", "evidence", "deviation")
"""Tables to which a row can be added on the page."""


def add(ways: Blueprint, bench: OpenBench) -> None:
    """Add the ways to a treatment."""

    @ways.get("/gallery/<int:number>/treatment")
    def form(number: int) -> Response:
        files, name = _files(bench, number), bench.patterns[number]
        held = _held(files, name)
        seen, draft = _seen(held), begun.begun(bench.shelf, name)
        tree = tables(held)
        typed = draft if draft and draft.seen == seen else begun.Begun(seen)
        values = {
            "rows": {
                table: _rows(table, typed.rows.get(table, tree.get(table, []))) for table in ROWS
            },
            "head": dict.fromkeys(HEAD, "") | _texts(tree.get("treatment", {})) | {**typed.head},
            "options": {"fate": ("", *FATES), "when": ("", *WHENS)},
            "seen": seen,
            "begun": draft is typed,
            "left": begun.path(bench.shelf, name).name if draft and draft is not typed else "",
        }
        return jsonify(html=fragment("treatment.html", number=number, **values))

    @ways.post("/gallery/<int:number>/treatment/draft")
    def drafted(number: int) -> Response:
        name = bench.patterns[number]
        with bench.lock:
            begun.remember(bench.shelf, name, begun.Begun(*_asked()))
        return jsonify(said="")

    @ways.post("/gallery/<int:number>/treatment")
    def filled(number: int) -> Response:
        name = bench.patterns[number]
        seen, head, rows = _asked()
        with bench.lock:
            files = _files(bench, number)
            held = _held(files, name)
            if seen != _seen(held):
                raise GalleryError(
                    "the treatment was filled in elsewhere since it was opened here, and is left as "
                    "it is; open it anew"
                )
            text = filling.filled(held, head, rows)
            _keep(bench, name, text, files, {})
            begun.done(bench.shelf, name)
        return jsonify(said="Kept with the pattern.")

    @ways.post("/gallery/<int:number>/file/<when>")
    def photograph(number: int, when: str) -> Response:
        if when not in WHENS:
            abort(404)
        name, data = bench.patterns[number], request.get_data()
        with bench.lock:
            files = _files(bench, number)
            file = _free(when, _suffix(data), files)
            pictures.check({file: data})
            held = _held(files, name)
            rows = [_texts(row) for row in tables(held).get("photograph", [])]
            rows = [row if row.get("file") else dict.fromkeys(row, "") for row in rows]
            rows.append({"file": file, "shows": "", "when": when})
            _keep(bench, name, filling.filled(held, {}, {"photograph": rows}), files, {file: data})
        return jsonify(said=f"Kept as {file}.")

    @ways.post("/gallery/<int:number>/report")
    def report(number: int) -> Response:
        files, name = _files(bench, number), bench.patterns[number]
        if begun.begun(bench.shelf, name) is not None:
            raise GalleryError(
                "the treatment is filled in further than it is kept: open it and keep it first"
            )
        found = writing.report_files(files, _held(files, name), files.get, name)
        link = bench.once.put(f"{name}-report.pdf", "application/pdf", found["report.pdf"])
        return jsonify(link=link, said="The treatment report.")


def _files(bench: OpenBench, number: int) -> dict[str, bytes]:
    return store.newest(bench.shelf.gallery / bench.patterns[number]).files()


def _held(files: Mapping[str, bytes], name: str) -> str:
    """Return the treatment as it was filled in so far, or the empty one."""
    held = files.get(writing.TREATMENT) or writing.blank_bytes(files, name)
    try:
        return held.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise GalleryError(f"{name}: its treatment is no text; save it as UTF-8") from None


def _rows(table: str, held: Sequence[Mapping[str, Any]]) -> list[TypedRow]:
    """Return the rows of a table as they are typed, an empty one after them where one can be added."""
    keys: dict[str, str] = dict.fromkeys(ROWS[table], "")
    rows: list[TypedRow] = [keys | _texts(row) for row in held]
    spare = table in SPARE and (not rows or any(rows[-1].values()))
    return [*rows, keys] if spare else rows


def _seen(text: str) -> str:
    """Return a word that tells one state of a treatment from another."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _texts(row: Mapping[str, Any]) -> dict[str, str]:
    """Return a row's values as they are typed."""
    return {key: words_of(value) for key, value in row.items()}


def _asked() -> tuple[str, TypedRow, dict[str, Sequence[TypedRow]]]:
    """Return what was seen, and what was typed by key and by row; 400 for what is no treatment."""
    body = request.get_json()
    if not isinstance(body, dict) or not set(body) <= {"seen", "treatment", *ROWS}:
        abort(400)
    rows = {table: body.get(table, []) for table in ROWS}
    if not all(isinstance(held, list) and len(held) <= MOST_ROWS for held in rows.values()):
        abort(400)
    head = _row(body.get("treatment", {}), HEAD)
    found: dict[str, Sequence[TypedRow]] = {
        table: [_row(row, ROWS[table]) for row in held] for table, held in rows.items()
    }
    return str(body.get("seen", "")), head, found


def _row(given: object, keys: Mapping[str, str]) -> TypedRow:
    if not isinstance(given, dict) or not set(given) <= set(keys):
        abort(400)
    if not all(isinstance(value, str) for value in given.values()):
        abort(400)
    return given


def _keep(
    bench: OpenBench,
    name: str,
    text: str,
    files: Mapping[str, bytes],
    more: Mapping[str, bytes],
) -> None:
    """Keep a treatment, and photographs with it. Raises GalleryError."""
    data = text.encode()
    writing.checked(data, "treatment", {**files, **more}.get)
    store.add(bench.shelf.gallery, name, {**more, writing.TREATMENT: data})


def _suffix(data: bytes) -> str:
    """Return the suffix that a photograph has by its content. Raises GalleryError for none."""
    if found := pictures.suffix_of(data):
        return found
    raise GalleryError("no photograph: choose a JPEG, PNG, GIF, TIFF or WebP file")


def _free(when: str, suffix: str, files: Mapping[str, bytes]) -> str:
    number = 1
    taken = {name.rpartition(".")[0] for name in files}
    while f"{when}-{number}" in taken:
        number += 1
    return f"{when}-{number}{suffix}"
