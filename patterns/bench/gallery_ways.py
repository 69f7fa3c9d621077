"""What the page asks of the gallery: pictures first, one pattern, its sheets, its report, its use."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from flask import Blueprint, Flask, Response, abort, jsonify, request

from patterns.bench import telling
from patterns.bench.bench import OpenBench
from patterns.bench.desk import OpenBook
from patterns.bench.desk_ways import fragment
from patterns.drafting import again
from patterns.errors import GalleryError
from patterns.gallery import pack, shown, similar, store
from patterns.gallery.history import history
from patterns.gallery.index import GalleryEntry, Query, search
from patterns.gallery.owner import passed_on
from patterns.gallery.portrait import portrait
from patterns.gallery.summary import features, kept_of
from patterns.writers.svg import svg_text

MOST_NEAR = 5


def add(app: Flask, bench: OpenBench) -> None:
    """Add the ways to kept patterns."""
    ways = Blueprint("gallery", __name__)
    for some in (_seen, _used, telling.add):
        some(ways, bench)
    app.register_blueprint(ways)


def entries(bench: OpenBench, words: str = "") -> list[GalleryEntry]:
    """Return what is kept; nothing where nothing was kept yet."""
    place, index = bench.shelf.gallery, bench.shelf.hidden / "gallery.sqlite"
    return search(place, Query(words), index=index)[0] if place.is_dir() else []


@dataclass(frozen=True, slots=True)
class KeptNow:
    """A kept pattern as it is now."""

    entry: GalleryEntry
    files: Mapping[str, bytes]
    pictures: Mapping[str, bytes]


def kept(bench: OpenBench, number: int) -> KeptNow:
    """Return the pattern of a number. Raises KeyError and GalleryError."""
    name = bench.patterns[number]
    found = [one for one in entries(bench) if one.name == name]
    if not found:
        raise GalleryError(f"{name} is not in the gallery any more")
    if found[0].trouble:
        raise GalleryError(found[0].trouble)
    files = passed_on(store.newest(bench.shelf.gallery / name))
    return KeptNow(found[0], files, shown.pictures(files)[0])


def _seen(ways: Blueprint, bench: OpenBench) -> None:
    @ways.get("/gallery")
    def gallery() -> Response:
        words = request.args.get("words", "")[:200]
        rows = [_card(bench, one) for one in entries(bench, words)]
        every = len(entries(bench)) if words else len(rows)
        return jsonify(html=fragment("gallery.html", cards=rows, words=words, all=every))

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
        more = {"number": number, "photographs": photographs, "sheets": sheets}
        books = [book for book in bench.shelf.books() if not book.trouble]
        return jsonify(html=fragment("pattern.html", **{**values, **more, "books": books}))

    @ways.get("/gallery/<int:number>/picture/<int:place>")
    def picture(number: int, place: int) -> Response:
        pictures = kept(bench, number).pictures
        if place >= len(pictures):
            abort(404)
        name = list(pictures)[place]
        return Response(pictures[name], mimetype=_kind(name))

    @ways.get("/gallery/<int:number>/portrait")
    def pieces(number: int) -> Response:
        one = kept(bench, number)
        drawn = portrait(kept_of(one.files, one.entry.name).pieces)
        words = svg_text(drawn, "All pieces, not to scale")
        return Response(words, mimetype="image/svg+xml")


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

    @ways.get("/books/<int:number>/similar")
    def near(number: int) -> Response:
        desk = bench.desk(number)
        if desk.found().problems or not desk.words:
            return jsonify(html="")  # there is nothing yet to be like
        asked = features(desk.record())
        found = similar.nearest(asked, entries(bench), MOST_NEAR)
        rows = [
            {
                "number": bench.pattern(one.entry.name),
                "title": one.entry.title or one.entry.id or one.entry.name,
                "what": shown.made(one.entry),
                "far": [row.name.replace("_", " ") for row in one.features if row.distance > 1][:3],
                "near": [row.name.replace("_", " ") for row in one.features if row.distance < 0.5][
                    :3
                ],
            }
            for one in found
        ]
        return jsonify(html=fragment("similar.html", near=rows))


def _take(desk: OpenBook, name: str, words: str) -> None:
    """Take one setting of a kept pattern; a traced outline as the text that it was kept as."""
    if desk.kind_of(name) == "outline":
        desk.trace(name, words)
    else:
        desk.set(name, words.removesuffix(".0"))
