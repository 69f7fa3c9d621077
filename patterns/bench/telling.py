"""The treatment of a kept pattern: steps ticked off, materials with lot, tests, photographs; the report.

What is filled in becomes the treatment.toml that one would write by hand, as the next revision of the
pattern. Its photographs bear names given here.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, abort, jsonify, request

from patterns.bench.bench import OpenBench
from patterns.bench.desk_ways import fragment
from patterns.errors import GalleryError
from patterns.gallery import pictures, store
from patterns.reading import tables
from patterns.record.writing import toml
from patterns.report import writing
from patterns.report.treatment import FATES, FORMAT, HEAD, ROWS, WHENS

MOST_ROWS = 400
SPARE = ("test", "deviation", "adhesive", "evidence")
"""Tables to which a row can be added on the page."""


def add(ways: Blueprint, bench: OpenBench) -> None:
    """Add the ways to a treatment."""

    @ways.get("/gallery/<int:number>/treatment")
    def form(number: int) -> Response:
        files = _files(bench, number)
        held = _held(files, bench.patterns[number])
        tree = tables(held)
        rows = {table: [_texts(row) for row in tree.get(table, [])] for table in ROWS}
        for table in SPARE:
            rows[table].append(dict.fromkeys(ROWS[table], ""))
        values = {"rows": rows, "head": _texts(tree.get("treatment", {})), "fates": FATES}
        return jsonify(html=fragment("treatment.html", number=number, **values))

    @ways.post("/gallery/<int:number>/treatment")
    def filled(number: int) -> Response:
        name = bench.patterns[number]
        with bench.lock:
            _keep(bench, name, _asked(), _files(bench, number), {})
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
            tree = tables(_held(files, name))
            rows = [row for row in tree.get("photograph", []) if row.get("file")]
            tree["photograph"] = [*rows, {"file": file, "shows": "", "when": when}]
            _keep(bench, name, tree, files, {file: data})
        return jsonify(said=f"Kept as {file}.")

    @ways.post("/gallery/<int:number>/report")
    def report(number: int) -> Response:
        files, name = _files(bench, number), bench.patterns[number]
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


def _texts(row: Mapping[str, Any]) -> dict[str, str]:
    """Return a row's values as they are typed: a size as two figures."""
    return {
        key: " × ".join(map(str, value)) if isinstance(value, list) else str(value)
        for key, value in row.items()
    }


def _asked() -> dict[str, Any]:
    """Return what the page filled in, as the tables of a treatment.toml; 400 for what is no such thing."""
    body = request.get_json()
    if not isinstance(body, dict) or not set(body) <= {"treatment", *ROWS}:
        abort(400)
    tree: dict[str, Any] = {"treatment": _row(body.get("treatment", {}), HEAD)}
    for table, keys in ROWS.items():
        rows = body.get(table, [])
        if not isinstance(rows, list) or len(rows) > MOST_ROWS:
            abort(400)
        found = [_row(row, keys) for row in rows]
        tree[table] = [row for row in found if any(value not in ("", []) for value in row.values())]
    return tree


def _row(given: object, keys: Mapping[str, str]) -> dict[str, Any]:
    if not isinstance(given, dict) or not set(given) <= set(keys):
        abort(400)
    if not all(isinstance(value, str) for value in given.values()):
        abort(400)
    return {
        key: _size(value) if keys[key] == "size" else value.strip() for key, value in given.items()
    }


def _size(words: str) -> list[float | str]:
    """Return width and height from words such as `51 × 194`."""
    parts = [part.strip() for part in words.replace("x", "×").split("×")]
    return [_figure(part) for part in parts] if words.strip() else []


def _figure(words: str) -> float | str:
    try:
        return float(words)
    except ValueError:
        return words


def _keep(
    bench: OpenBench,
    name: str,
    tree: Mapping[str, Any],
    files: Mapping[str, bytes],
    more: Mapping[str, bytes],
) -> None:
    """Keep a treatment, and photographs with it. Raises GalleryError."""
    data = _written(tree).encode()
    writing.checked(data, "treatment", {**files, **more}.get)
    store.add(bench.shelf.gallery, name, {**more, writing.TREATMENT: data})


def _written(tree: Mapping[str, Any]) -> str:
    blocks = [f'format = "{FORMAT}"']
    for table in ("treatment", *ROWS):
        held = tree.get(table, {})
        for row in held if isinstance(held, list) else [held]:
            head = f"[[{table}]]" if table in ROWS else f"[{table}]"
            rows = [f"{key} = {toml(value)}" for key, value in row.items()]
            blocks.append("\n".join([head, *rows]))
    return "\n\n".join(blocks) + "\n"


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
