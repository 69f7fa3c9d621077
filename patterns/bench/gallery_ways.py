"""What the page asks of the gallery: pictures first, one pattern, its sheets, its report, its use."""

from __future__ import annotations

from collections.abc import Mapping

from flask import Blueprint, Flask, Response, abort, jsonify, request

from patterns import units
from patterns.bench import comparing, telling
from patterns.bench.bench import OpenBench
from patterns.bench.desk import OpenBook
from patterns.bench.desk_ways import fragment
from patterns.bench.kept import entries, kept
from patterns.drafting import again
from patterns.errors import GalleryError
from patterns.gallery import pack, shown
from patterns.gallery.history import history
from patterns.gallery.index import GalleryEntry, Query
from patterns.gallery.portrait import portrait
from patterns.gallery.summary import kept_of
from patterns.writers.svg import svg_text


def add(app: Flask, bench: OpenBench) -> None:
    """Add the ways to kept patterns."""
    ways = Blueprint("gallery", __name__)
    for some in (_seen, _used, comparing.add, telling.add):
        some(ways, bench)
    app.register_blueprint(ways)


def _seen(ways: Blueprint, bench: OpenBench) -> None:
    @ways.get("/gallery")
    def gallery() -> Response:
        asked = {name: request.args.get(name, "")[:200] for name in ("words", "structure", *_SIZE)}
        every = entries(bench)
        answers = entries(bench, _query(asked)) if any(asked.values()) else every
        rows = [_card(bench, one) for one in answers]
        names = sorted({name for one in every for name in one.structures})
        there = [(name, shown.words_of(name)) for name in names]
        return jsonify(
            html=fragment("gallery.html", cards=rows, asked=asked, all=len(every), structures=there)
        )

    @ways.get("/gallery/<int:number>")
    def pattern(number: int) -> Response:
        one = kept(bench, number)
        told = history(bench.shelf.gallery / one.entry.name)
        document = kept_of(one.files, one.entry.name)
        values = shown.pattern(one.entry, told, one.files, document, one.pictures)
        pictures = list(one.pictures)
        photographs = [
            (pictures.index(photo.file), photo.caption)
            for photo in shown.photographs(one.files, one.pictures)
        ]
        sheets = [
            (pictures.index(sheet.file), sheet.title)
            for sheet in document.sheets
            if sheet.file in one.pictures
        ]
        books = [book for book in bench.shelf.books() if not book.trouble]
        more = {
            "number": number,
            "photographs": photographs,
            "sheets": sheets,
            "near": comparing.like(bench, one),
            "on_desk": next((book for book in books if book.number == bench.on_desk), None),
            "books": [book for book in books if book.number != bench.on_desk],
        }
        return jsonify(html=fragment("pattern.html", **{**values, **more}))

    @ways.get("/gallery/<int:number>/picture/<int:place>")
    def picture(number: int, place: int) -> Response:
        pictures = kept(bench, number, _revision()).pictures
        if place >= len(pictures):
            abort(404)
        name = list(pictures)[place]
        return Response(pictures[name], mimetype=_kind(name))

    @ways.get("/gallery/<int:number>/portrait")
    def pieces(number: int) -> Response:
        one = kept(bench, number, _revision())
        drawn = portrait(kept_of(one.files, one.entry.name).pieces)
        words = svg_text(drawn, "All pieces, not to scale")
        return Response(words, mimetype="image/svg+xml")


_SIZE = ("least", "most")
"""The least and the most height of the text block."""


def _query(asked: Mapping[str, str]) -> Query:
    """Return what is looked for. Raises MendfoldError for a height that is none."""
    least, most = (
        units.quantity(asked[name].strip(), "mm", bare=True) if asked[name].strip() else None
        for name in _SIZE
    )
    heights = {"height": (least, most)} if (least, most) != (None, None) else {}
    structures = tuple(filter(None, [asked["structure"]]))
    return Query(asked["words"], structures, sizes=heights)


def _revision() -> int:
    """Return the number of the revision that is asked for, 0 for the newest."""
    return request.args.get("revision", 0, type=int)


def _card(bench: OpenBench, entry: GalleryEntry) -> dict[str, object]:
    number = bench.pattern(entry.name)
    picture = f"/gallery/{number}/portrait"
    if not entry.trouble:
        one = kept(bench, number)
        lead = next(iter(shown.photographs(one.files, one.pictures)), None)
        if lead:
            picture = f"/gallery/{number}/picture/{list(one.pictures).index(lead.file)}"
    return {
        "number": number,
        "title": entry.title or entry.id or entry.name,
        "id": entry.id,
        "what": shown.made(entry),
        "size": " × ".join(
            f"{entry.features[name]:g}"
            for name in ("height", "width", "thickness")
            if isinstance(entry.features.get(name), float | int)
        ),
        "day": entry.date,
        "trouble": entry.trouble,
        "picture": picture,
    }


def _kind(name: str) -> str:
    suffix = name.rpartition(".")[2].lower()
    known = {"svg": "image/svg+xml", "png": "image/png", "gif": "image/gif", "webp": "image/webp"}
    return known.get(suffix, "image/jpeg")


def _used(ways: Blueprint, bench: OpenBench) -> None:
    @ways.post("/gallery/<int:number>/print")
    def print_(number: int) -> Response:
        one = kept(bench, number)
        if shown.PDF not in one.files:
            raise GalleryError(
                "its sheets are not kept here; use it for its book and print from there"
            )
        link = bench.once.put(f"{one.entry.name}.pdf", "application/pdf", one.files[shown.PDF])
        return jsonify(link=link, said="Print at 100 %, measure both bars.")

    @ways.post("/gallery/<int:number>/export")
    def export(number: int) -> Response:
        name = kept(bench, number).entry.name
        packed = pack.export(bench.shelf.gallery, name)
        link = bench.once.put(f"{name}.zip", "application/zip", packed.data, True)
        return jsonify(link=link, said="Every revision in one zip file, the owner left out.")

    @ways.post("/gallery/<int:number>/use/<int:book>")
    def use(number: int, book: int) -> Response:
        one = kept(bench, number)
        settings, gone = again.settings_of(kept_of(one.files, one.entry.name))
        with bench.changing(book) as desk:
            desk.choose(one.entry.structures)
            for name, words in settings.items():
                _take(desk, name, words)
        return jsonify(said="; ".join(gone) or "Taken over: structures and settings.", book=book)


def _take(desk: OpenBook, name: str, words: str) -> None:
    """Take one setting of a kept pattern; a traced outline as the text that it was kept as."""
    if desk.kind_of(name) == "outline":
        desk.trace(name, words)
    else:
        desk.set(name, words.removesuffix(".0"))
