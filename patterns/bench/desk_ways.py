"""What the page asks of books: which there are, one in hand, its changes, looks, print and keep."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, cast, get_args

from flask import Blueprint, Flask, Response, abort, jsonify, request

from patterns.bench import form, keeping, offered, place
from patterns.bench.bench import OpenBench
from patterns.bench.desk import OpenBook
from patterns.bench.figures import Figures
from patterns.bench.wish import (
    BookWish,
    FilesSeen,
    FindingsSeen,
    NotDrawn,
    Overtaken,
    PagesSeen,
    PiecesSeen,
    Seen,
    SheetSeen,
    Want,
)
from patterns.drafting.given import settings_given
from patterns.errors import MendfoldError, RecordError
from patterns.stock import paper as papers
from patterns.traced import outlines
from patterns.writers import html

PAGES = Path(__file__).parent / "pages"
FIRST = {"text_block.height", "text_block.thickness"}
"""Before these are given a book says nothing."""
PAPERS = ("A4", "A3", "A2", "A1", "Letter", "Tabloid", "roll:610", "roll:914")


def add(app: Flask, bench: OpenBench) -> None:
    """Add the ways to books."""
    ways = Blueprint("books", __name__)
    for some in (_shelf, _changes, _asides, _looks, _done):
        some(ways, bench)
    app.register_blueprint(ways)


def fragment(template: str, **values: object) -> str:
    """Return a part of the page."""
    return html.page(PAGES, template, values).decode()


def said(*names: str) -> tuple[str, ...]:
    """Return the words that the request gives under these names; 400 where one is no words."""
    body = request.get_json()
    found = tuple(body.get(name) for name in names) if isinstance(body, dict) else ()
    if not found or not all(isinstance(one, str) for one in found):
        abort(400)
    return cast("tuple[str, ...]", found)


def _shelf(ways: Blueprint, bench: OpenBench) -> None:
    @ways.get("/books")
    def books() -> Response:
        shown = fragment("shelf.html", books=bench.shelf.books(), folder=str(bench.shelf.folder))
        return jsonify(html=shown)

    @ways.post("/books")
    def new() -> Response:
        return jsonify(number=bench.shelf.new())

    @ways.get("/books/<int:number>")
    def book(number: int) -> Response:
        bench.on_desk = number
        return jsonify(**_whole(bench, number))

    @ways.post("/books/<int:number>/anew")
    def anew(number: int) -> Response:
        bench.anew(number)
        return jsonify(**_whole(bench, number))

    @ways.post("/figures/<how>")
    def figures(how: str) -> Response:
        if how not in ("metric", "inches"):
            abort(404)
        bench.shelf.read_inches(how == "inches")
        return jsonify(said="Figures stay as you typed them; this is only how they are read.")


def _whole(
    bench: OpenBench, number: int, blocks: Mapping[str, int] | None = None
) -> dict[str, object]:
    """Return a book's whole desk, and how it stands."""
    desk, figures = bench.desk(number), bench.shelf.figures
    words = desk.words
    shown = fragment(
        "desk.html",
        number=number,
        file=desk.file,
        title=words.get("book.title", "") or words.get("book.id", "") or "A new book",
        stops=form.stops(words, blocks or {}, figures),
        inches=figures.inches,
        papers=list(dict.fromkeys((*PAPERS, desk.paper))),
        paper=desk.paper,
        moved_on=desk.moved_on,
    )
    return {"html": shown, **state(bench, desk)}


def state(bench: OpenBench, desk: OpenBook) -> dict[str, object]:
    """Return how a book stands: every problem by its field, what differs, what can be taken back."""
    return {
        "problems": form.beside(desk.found().problems),
        "read": bench.shelf.figures.read(desk.found()),
        "unsaved": desk.unsaved,
        "begun": bool(desk.base),
        "undo": bool(desk.changes),
        "structures": list(desk.structures),
        "changed": len(desk.given()),
        "title": desk.words.get("book.title", "") or desk.words.get("book.id", ""),
    }


def _changes(ways: Blueprint, bench: OpenBench) -> None:
    @ways.post("/books/<int:number>/field")
    def field(number: int) -> Response:
        name, words, visit = said("name", "words", "visit")
        with bench.changing(number) as desk:
            desk.write(name, words, visit)
            return jsonify(**state(bench, desk))

    @ways.post("/books/<int:number>/block")
    def block(number: int) -> Response:
        (table,) = said("table")
        count = max(form.blocks(table, bench.desk(number).words), default=0) + 1
        return jsonify(**_whole(bench, number, {table: count}))

    @ways.post("/books/<int:number>/setting")
    def setting(number: int) -> Response:
        name, words, visit = said("name", "words", "visit")
        with bench.changing(number) as desk:
            desk.set(name, words.strip(), visit)
            return jsonify(**state(bench, desk))

    @ways.post("/books/<int:number>/structures")
    def structures(number: int) -> Response:
        names, settings = said("names", "settings")
        given = settings_given(filter(None, settings.split("\n")))
        with bench.changing(number) as desk:
            desk.choose(tuple(filter(None, names.split("+"))))
            for name, words in given.items():
                desk.set(name, words)
            return jsonify(settings=_settings(bench, desk), **state(bench, desk))

    @ways.post("/books/<int:number>/paper")
    def paper(number: int) -> Response:
        (name,) = said("paper")
        papers.parse(name)
        with bench.changing(number) as desk:
            desk.use_paper(name)
            return jsonify(**state(bench, desk))

    @ways.post("/books/<int:number>/undo")
    def undo(number: int) -> Response:
        with bench.changing(number) as desk:
            name = desk.undo()
            return jsonify(undone=name, settings=_settings(bench, desk), **_whole(bench, number))

    @ways.post("/books/<int:number>/file/<kind>/<name>")
    def tracing(number: int, kind: str, name: str) -> Response:
        if kind not in ("svg", "dxf"):
            abort(404)
        outline = outlines.of_bytes(request.get_data(), kind, name)
        with bench.changing(number) as desk:
            desk.trace(name, outline)
            return jsonify(**state(bench, desk))


def _asides(ways: Blueprint, bench: OpenBench) -> None:
    """What stands beside the form: where a figure is read, and the settings of what was chosen."""

    @ways.get("/where/<field>")
    def where(field: str) -> Response:
        return Response(place.picture(field), mimetype="image/svg+xml")

    @ways.get("/where/<field>/known")
    def known(field: str) -> Response:
        return jsonify(title=place.title(field) if place.known(field) else "")

    @ways.get("/books/<int:number>/settings")
    def settings(number: int) -> Response:
        return jsonify(html=_settings(bench, bench.desk(number)))


def _settings(bench: OpenBench, desk: OpenBook) -> str:
    return fragment("settings.html", structures=offered.settings(desk, bench.shelf.figures))


def _looks(ways: Blueprint, bench: OpenBench) -> None:
    @ways.get("/books/<int:number>/look/<want>")
    def look(number: int, want: str) -> Response:
        if want not in get_args(Want) or want == "made":
            abort(404)
        page = request.args.get("page", 1, type=int)
        desk = bench.desk(number)
        if want != "findings" and not desk.structures:
            return jsonify(nothing=True)
        if want == "findings" and not desk.words.keys() >= FIRST:
            return jsonify(html=fragment("begin.html"))
        try:
            wish = bench.wish(number, cast("Want", want), page)
        except RecordError as error:
            rows = form.beside(error.problems)
            html = fragment("waiting.html", fields=offered.waiting(rows))
            return jsonify(waiting=True, problems=rows, html=html)
        return shown(bench.drawer.look(wish), desk, bench.shelf.figures)


def shown(answer: Seen, desk: OpenBook, figures: Figures) -> Response:
    """Return a look's answer as the page takes it."""
    match answer:
        case Overtaken():
            return jsonify(overtaken=True)
        case NotDrawn(words, problems):
            html = fragment("not_drawn.html", **offered.not_drawn(answer, desk.file))
            return jsonify(cannot=words, problems=form.beside(problems), html=html)
        case FindingsSeen(examination):
            return jsonify(
                html=fragment("findings.html", **offered.findings(examination, desk, figures))
            )
        case PiecesSeen():
            return jsonify(
                svg=answer.svg.decode(),
                width=answer.width_mm,
                warnings=answer.warnings,
                boxes=answer.boxes,
                settings=offered.came(answer.settings, figures),
            )
        case PagesSeen(pages):
            return jsonify(
                pages=[
                    {"title": one.title, "group": one.group, "wide": one.width_mm > one.height_mm}
                    for one in pages
                ]
            )
        case SheetSeen(svg):
            return Response(svg, mimetype="image/svg+xml")
        case FilesSeen():
            raise AssertionError("what is made is never a look")


def made(bench: OpenBench, wish: BookWish) -> Any:
    """Return every file of a draft; raises MendfoldError where it is refused."""
    answer = bench.drawer.make(wish)
    if isinstance(answer, NotDrawn):
        raise MendfoldError(answer.words, answer.problems)
    assert isinstance(answer, FilesSeen)
    return answer.made


def _done(ways: Blueprint, bench: OpenBench) -> None:
    """Saving, printing, keeping, exporting."""

    @ways.post("/books/<int:number>/save")
    def save(number: int) -> Response:
        with bench.lock:
            desk = bench.desk(number)
            bench.shelf.save(desk)
            return jsonify(said=f"Saved as {desk.file}.", **state(bench, desk))

    @ways.post("/books/<int:number>/print")
    def print_(number: int) -> Response:
        found = made(bench, bench.wish(number, "made"))
        link = bench.once.put(f"{found.folder}.pdf", "application/pdf", found.files["sheets.pdf"])
        return jsonify(link=link, said=f"{found.sheets} sheets: print at 100 %, measure both bars.")

    @ways.post("/books/<int:number>/export")
    def export(number: int) -> Response:
        found = made(bench, bench.wish(number, "made"))
        link = bench.once.put(
            f"{found.folder}.zip",
            "application/zip",
            keeping.zipped(found.folder, found.files),
            True,
        )
        return jsonify(link=link, said="Sheets, pattern and record in one zip file.")

    @ways.post("/books/<int:number>/keep")
    def keep(number: int) -> Response:
        found = made(bench, bench.wish(number, "made"))
        name, words = keeping.keep(bench.shelf.gallery, found)
        return jsonify(said=words, pattern=bench.pattern(name))
