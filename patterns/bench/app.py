"""What the page may ask for: each way in passes every guard, and each answer bears every header."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from http import HTTPStatus
from pathlib import Path

from flask import Flask, Response, abort, jsonify, request
from werkzeug.exceptions import HTTPException

import patterns
from patterns.bench import desk_ways, gallery_ways, plan_ways
from patterns.bench.bench import OpenBench
from patterns.bench.guards import GUARDS, HEADERS, LARGEST_PHOTOGRAPH, Door, Guard
from patterns.errors import MendfoldError
from patterns.model import lettering
from patterns.writers import html

PAGES = Path(__file__).parent / "pages"
LOOKS = {"style.css": "text/css", "icon.svg": "image/svg+xml", **dict.fromkeys(("bench.js", "asking.js", "desk.js", "drawing.js", "measuring.js", "gallery.js", "plan.js", "rows.js", "tape.js", "turns.js"), "text/javascript")}  # fmt: skip
TYPEFACES = {"regular.ttf": False, "bold.ttf": True}
ANSWER_FIRST_S = 0.3


def create(
    bench: OpenBench,
    door: Door,
    guards: Mapping[str, Guard] = GUARDS,
    headers: Mapping[str, str] = HEADERS,
) -> Flask:
    """Return the application of a bench that is asked at `door`."""
    app = Flask(__name__, static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_PHOTOGRAPH

    @app.before_request
    def guarded() -> Response | None:
        for guard in guards.values():
            refusal = guard(request, door)
            if refusal is not None:
                return _refused(refusal.words, refusal.status)
        return None

    @app.after_request
    def dressed(answer: Response) -> Response:
        for name, value in headers.items():
            answer.headers.setdefault(name, value)
        return answer

    _errors(app)
    _page(app, bench)
    desk_ways.add(app, bench)
    gallery_ways.add(app, bench)
    plan_ways.add(app, bench)
    return app


def _errors(app: Flask) -> None:
    @app.errorhandler(MendfoldError)
    def refused(error: MendfoldError) -> Response:
        rows = [
            {"field": one.field, "words": one.words, "missing": one.kind == "missing"}
            for one in error.problems
        ]
        return _refused(str(error), HTTPStatus.UNPROCESSABLE_ENTITY, problems=rows)

    @app.errorhandler(KeyError)
    def unknown(_error: KeyError) -> Response:
        return _refused("there is nothing of that number here", HTTPStatus.NOT_FOUND)

    @app.errorhandler(HTTPException)
    def other(error: HTTPException) -> Response:
        return _refused(error.name.lower(), error.code or 500)

    @app.errorhandler(Exception)
    def fault(error: Exception) -> Response:
        return _refused(
            f"this went wrong here ({type(error).__name__}), by a fault of mendfold's own; nothing was changed",
            HTTPStatus.INTERNAL_SERVER_ERROR,
        )


def _refused(words: str, status: int, **more: object) -> Response:
    answer = jsonify(refused=words, **more)
    answer.status_code = status
    return answer


def _page(app: Flask, bench: OpenBench) -> None:
    """The empty page, its looks, links that work once, and the end."""

    @app.get("/")
    def page() -> Response:
        threading.Thread(target=bench.drawer.warm, daemon=True).start()
        return Response(html.page(PAGES, "bench.html", {"version": patterns.__version__}))

    @app.get("/looks/<name>")
    def looks(name: str) -> Response:
        if name in TYPEFACES:
            data = lettering.font_path(TYPEFACES[name]).read_bytes()
            return Response(data, mimetype="font/ttf", headers={"Cache-Control": "max-age=3600"})
        if name not in LOOKS:
            abort(404)
        return Response((PAGES / name).read_bytes(), mimetype=LOOKS[name])

    @app.get("/once/<word>")
    def once(word: str) -> Response:
        paper = bench.once.take(word)
        if paper is None:
            return _refused("this link was used, or is over a minute old; ask for it again", 410)
        answer = Response(paper.data, mimetype=paper.kind)
        how = "attachment" if paper.download else "inline"
        answer.headers.set("Content-Disposition", how, filename=paper.name)
        # the browser's own viewer of a PDF is kept out by a policy that allows nothing
        answer.headers["Content-Security-Policy"] = "base-uri 'none'; frame-ancestors 'none'"
        return answer

    @app.get("/alive")
    def alive() -> Response:
        return jsonify(folder=str(bench.shelf.folder))

    @app.post("/close")
    def close() -> Response:
        bench.close(lambda end: threading.Timer(ANSWER_FIRST_S, end).start())
        return jsonify(closed=True)
