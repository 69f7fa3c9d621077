"""The cutting plan on the page: kept patterns laid out on what the studio has, shown, printed, cut."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, Flask, Response, abort, jsonify, request

from patterns.bench import stock_rows
from patterns.bench.bench import OpenBench, PlanMade
from patterns.bench.desk_ways import fragment, said
from patterns.bench.kept import entries, kept
from patterns.bench.planner import PlanSeen, PlanWish
from patterns.bench.wish import NotDrawn
from patterns.cutting import writing
from patterns.cutting.plan import Wish
from patterns.errors import MendfoldError, SettingError
from patterns.gallery import shown
from patterns.gallery.summary import kept_of
from patterns.stock import materials

MOST_PATTERNS = 40
TRIES = 100
"""Enough for a plan that waits on the page; the command line tries three times as many."""


def add(app: Flask, bench: OpenBench) -> None:
    """Add the ways to a cutting plan and to the studio's stock."""
    ways = Blueprint("plan", __name__)
    _stock(ways, bench)
    _plan(ways, bench)
    app.register_blueprint(ways)


def _stock(ways: Blueprint, bench: OpenBench) -> None:
    @ways.get("/plan")
    def form() -> Response:
        return jsonify(html=_form(bench))

    @ways.post("/plan/stock")
    def added() -> Response:
        form, *words = said("form", *stock_rows.KEYS)
        with bench.lock:
            row = dict(zip(stock_rows.KEYS, words, strict=True))
            if form != "sheet":
                row.pop("grain")
                row.pop("from")
            if form == "roll":
                row.pop("count")
            stock_rows.add(bench.shelf.folder, form, row)
            return jsonify(said="Written into stock.toml.", html=_form(bench))

    @ways.post("/plan/stock/<int:number>/gone")
    def gone(number: int) -> Response:
        with bench.lock:
            there = bench.stock_shown
            if number >= len(there):
                abort(404)
            stock_rows.remove(bench.shelf.folder, number, there[number])
            return jsonify(said="Taken out of stock.toml.", html=_form(bench))


def _form(bench: OpenBench) -> str:
    """Return what there is to cut, and from what."""
    trouble = ""
    try:
        bench.stock_shown = stock_rows.rows(bench.shelf.folder)
    except MendfoldError as error:
        bench.stock_shown, trouble = (), str(error)
    kinds = sorted({one.name for one in materials.load().materials})
    return fragment(
        "plan.html",
        rows=[
            {"material": one.material, "words": one.words, "count": one.count, "from": one.source}
            for one in bench.stock_shown
        ],
        trouble=trouble,
        kinds=kinds,
        forms=stock_rows.FORMS,
        patterns=[
            (bench.pattern(one.name), one.title or one.id or one.name, shown.made(one))
            for one in entries(bench)
            if not one.trouble
        ],
    )


def _plan(ways: Blueprint, bench: OpenBench) -> None:
    @ways.post("/plan")
    def plan() -> Response:
        numbers, cuts, gap, margin = _asked()
        chosen = [kept(bench, number) for number in numbers]
        patterns = tuple((one.entry.name, kept_of(one.files, one.entry.name)) for one in chosen)
        rows = stock_rows.rows(bench.shelf.folder)
        if not patterns or not rows:
            raise SettingError(
                "choose what is to be cut, and say below what there is to cut it from"
            )
        how = Wish("free" if cuts == "free" else "through", gap, margin, TRIES)
        seen = _laid_out(bench, PlanWish(patterns, rows, how))
        made = seen.plan
        bench.plan = PlanMade(tuple(name for name, _ in patterns), rows, made, seen.pdf)
        html = fragment(
            "planned.html",
            pieces=sum(len(sheet.pieces) for sheet in made.sheets),
            stock=len(made.sheets),
            waste=f"{100 * made.waste_share:.1f}",
            offcuts=sum(len(sheet.offcuts) for sheet in made.sheets),
            unplaced=made.unplaced,
            by_hand=made.by_hand,
            shopping=made.shopping,
            titles=[title for title, _ in seen.pages],
        )
        return jsonify(html=html, pages=[drawn for _, drawn in seen.pages])

    @ways.post("/plan/print")
    def print_() -> Response:
        held = _held(bench)
        link = bench.once.put("cutting-plan.pdf", "application/pdf", held.pdf)
        return jsonify(link=link, said="The plan; the sheets are printed from each book.")

    @ways.post("/plan/cut")
    def cut() -> Response:
        with bench.lock:
            held = _held(bench)
            path = bench.shelf.folder / stock_rows.FILE
            job = ", ".join(held.names)[:60]
            beside = writing.keep_offcuts(path, held.stock, held.plan, job)
            bench.plan = None
            words = f"What is left stands in stock.toml; as it was before: {beside.name}."
            return jsonify(said=words, html=_form(bench))


def _laid_out(bench: OpenBench, wish: PlanWish) -> PlanSeen:
    """Return a plan, laid out beside the page. Raises MendfoldError where it is refused."""
    seen = bench.planner.make(wish)
    if isinstance(seen, NotDrawn):
        raise MendfoldError(seen.words, seen.problems)
    assert isinstance(seen, PlanSeen)
    return seen


def _held(bench: OpenBench) -> PlanMade:
    if bench.plan is None:
        raise SettingError("lay the pieces out first")
    return bench.plan


def _asked() -> tuple[list[int], str, float, float]:
    """Return the patterns' numbers, how it is cut, gap and margin in mm; 400 for what is none."""
    body: Any = request.get_json()
    numbers = body.get("patterns") if isinstance(body, dict) else None
    if not isinstance(numbers, list) or not all(type(one) is int for one in numbers):
        abort(400)
    if len(numbers) > MOST_PATTERNS:
        raise SettingError(f"at most {MOST_PATTERNS} patterns are laid out together")
    cuts, gap, margin = said("cuts", "gap", "margin")
    return numbers, cuts, _mm("gap", gap), _mm("margin", margin)


def _mm(name: str, words: str) -> float:
    try:
        return float(words)
    except ValueError:
        raise SettingError(f"{name} is “{words[:40]}”; write millimetres, as 2") from None
