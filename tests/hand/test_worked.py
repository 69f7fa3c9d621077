"""Every book worked out by hand: what is drafted through the command line, and what stands in its PDF."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import Any

import pytest
from pypdf import PdfReader

from patterns import cli
from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.drafting.making import make
from patterns.drafting.order import Order
from patterns.stock.paper import parse
from patterns.stock.printer import Correction
from tests import hand
from tests.hand.finished import canvases, missing
from tests.hand.worked import Cut, Point, Worked

BOOKS: Mapping[str, Worked] = {
    one.name: import_module(f"tests.hand.{one.name}").BOOK
    for one in iter_modules(hand.__path__)
    if one.name not in ("finished", "worked", "test_worked")
}
ACROSS, DOWN = 179.1 / 180, 250.6 / 250
"""What the printer of these tests makes of a length; its sheets are drawn by as much larger."""


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every book drafted once, for a printer that draws 0.5 % short and 0.24 % long."""
    home = tmp_path_factory.mktemp("hand")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("MENDFOLD_CONFIG", str(home / "studio"))
        run("printer", "set", "worn", "--across", "179.1/180", "--down", "250.6/250")
        return {name: drafted(book, home / name) for name, book in BOOKS.items()}


def run(*words: str) -> None:
    with pytest.raises(SystemExit) as leave:
        cli.main(list(words))
    assert leave.value.code in (None, 0)


def drafted(book: Worked, home: Path) -> Path:
    """Write the record, draft it as a person would, and return the pattern's folder."""
    home.mkdir()
    (home / "book.toml").write_text(book.record, encoding="utf-8")
    settings = [f"--set={name}={value}" for name, value in book.settings.items()]
    run(
        "draft", str(home / "book.toml"), *book.structures, *settings, "--out", str(home / "out"),
        "--paper", book.paper, "--printer", "worn", "--full-size", "all", "--formats", "pdf",
    )  # fmt: skip
    (folder,) = (home / "out").iterdir()
    return folder


def document(folder: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder / "pattern.json").read_text("utf-8"))
    return found


@pytest.mark.parametrize("name", BOOKS)
def test_every_piece_is_as_worked_out(name: str, folders: dict[str, Path]) -> None:
    """Corners, creases, holes, slits, zones, grain and number of each piece, and no piece more."""
    book, found = BOOKS[name], document(folders[name])["pieces"]
    assert [one["name"] for one in found] == list(book.pieces)
    for one in found:
        differing = list(differences(book.pieces[one["name"]], one, book.within))
        assert not differing, (one["name"], differing)


def differences(cut: Cut, piece: Mapping[str, Any], within: float) -> list[str]:
    """Return what of a piece is not as in its table; where its corner of lowest x and y lies is its own."""
    (x0, y0), (x1, y1) = lowest(cut.outline), lowest(piece["outline_mm"])
    dx, dy = x1 - x0, y1 - y0

    def moved(points: Sequence[Point]) -> list[Point]:
        return [(x + dx, y + dy) for x, y in points]

    found = [
        f"{name}: {piece[name]} instead of {wanted}"
        for name, wanted in (("grain", cut.grain), ("quantity", cut.quantity))
        if piece[name] != wanted
    ]
    kinds = cut.kinds or ("valley",) * len(cut.folds)
    plain: Sequence[tuple[str, Sequence[Any], Sequence[Any]]] = (
        ("outline", [cut.outline], [piece["outline_mm"]]),
        (
            "first cut",
            [cut.cut_first] if cut.cut_first else [],
            [piece["cut_first_mm"]] if piece["cut_first_mm"] else [],
        ),
        ("opening", cut.openings, piece["openings_mm"]),
        ("hole", [(p,) for p in cut.holes], [(p,) for p in piece["holes_mm"]]),
        ("old hole", [(p,) for p in cut.old_holes], [(p,) for p in piece["old_holes_mm"]]),
        ("slit", cut.slits, piece["slits"]),
    )
    for name, table, drawn in plain:
        found += unpaired(
            name, [("", moved(one)) for one in table], [("", one) for one in drawn], within
        )
    folds = [(kind, moved(line)) for kind, line in zip(kinds, cut.folds, strict=True)]
    found += unpaired(
        "fold", folds, [(one["kind"], one["line_mm"]) for one in piece["folds"]], within
    )
    if cut.zones is not None:
        zones = [((z.kind, z.face, z.to), moved(z.outline)) for z in cut.zones]
        drawn = [((z["kind"], z["face"], z["to"]), z["outline_mm"]) for z in piece["zones"]]
        found += unpaired("zone", zones, drawn, within)
    return found


def lowest(points: Sequence[Point]) -> Point:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys)


def unpaired(
    name: str, table: Sequence[tuple[Any, Sequence[Point]]], drawn: Sequence[Any], within: float
) -> list[str]:
    """Return what stands in one alone, each taken once: the same words and the same corners in turn."""
    left, found = list(drawn), []
    for words, points in table:
        twin = next(
            (one for one in left if one[0] == words and alike(points, one[1], within)), None
        )
        if twin is None:
            found.append(f"no {name} {words} {[(round(x, 3), round(y, 3)) for x, y in points]}")
        else:
            left.remove(twin)
    return [*found, *(f"one more {name}: {one}" for one in left)]


def alike(table: Sequence[Point], drawn: Sequence[Point], within: float) -> bool:
    """Tell whether two rings or runs have the same corners in the same turn, begun anywhere, either way round."""
    one, other = corners(table), corners(drawn)
    if len(one) != len(other):
        return False
    turns = [
        way[start:] + way[:start] for way in (other, other[::-1]) for start in range(len(other))
    ]
    return any(
        all(math.dist(p, q) <= within for p, q in zip(one, way, strict=True)) for way in turns
    )


def corners(ring: Sequence[Point]) -> list[Point]:
    """Return the points at which a ring turns."""
    if len(ring) < 4:
        return list(ring)
    around = list(ring)
    return [
        p for i, p in enumerate(around) if bent(around[i - 1], p, around[(i + 1) % len(around)])
    ]


def bent(a: Point, b: Point, c: Point) -> bool:
    area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return abs(area) > 0.003 * math.dist(a, c)


@pytest.mark.parametrize("name", BOOKS)
def test_every_figure_is_as_worked_out(name: str, folders: dict[str, Path]) -> None:
    """What steps, tables and views print, by its name in pattern.json."""
    book, found = BOOKS[name], document(folders[name])
    for key, value in book.quantities.items():
        assert found["quantities"][key] == pytest.approx(value, abs=book.within), key
    assert found["stations_mm"] == pytest.approx(list(book.stations), abs=book.within)


@pytest.mark.parametrize("name", BOOKS)
def test_every_piece_stands_in_the_finished_pdf(name: str, folders: dict[str, Path]) -> None:
    """Put together by its match marks and measured through the printer, to 0.06 mm."""
    pdf = (folders[name] / "sheets.pdf").read_bytes()
    found = canvases(document(folders[name]), pdf, 1 / ACROSS, 1 / DOWN)
    for piece, cut in BOOKS[name].pieces.items():
        lacking = [missing(cut, canvas) for canvas in found]
        assert min(map(len, lacking)) == 0, (piece, min(lacking, key=len))


@pytest.mark.parametrize("name", BOOKS)
def test_its_words_are_printed(name: str, folders: dict[str, Path]) -> None:
    """Figures within sentences, as pypdf reads them."""
    reader = PdfReader(folders[name] / "sheets.pdf")
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    text = text.replace("\u00a0", " ")
    for words in BOOKS[name].said:
        assert words in text, words


@pytest.mark.parametrize("order", orders(), ids=lambda order: str(order.record.book.id))
@pytest.mark.parametrize("paper", ["A4", "roll:914"])
def test_every_piece_of_the_demo_books_stands_in_the_finished_pdf(order: Order, paper: str) -> None:
    """What pattern.json tells of each piece, for a worn printer, on sheets that are joined and on a roll.

    Outlines, creases, holes to prick and old ones, slits and openings, and HEAD at the head.
    """
    worn = Correction(1 / ACROSS, 1 / DOWN, "worn")
    wish = replace(order, paper=parse(paper), correction=worn, full_size="all", formats=("pdf",))
    worked = draft(wish)
    made = make(worked)
    measured_off = {p.name for part in worked.pattern.parts for p in part.pieces if p.drawn_as}
    told = json.loads(made.files["pattern.json"])
    found = canvases(told, made.files["sheets.pdf"], 1 / ACROSS, 1 / DOWN)
    for piece in told["pieces"]:
        if piece["name"] in measured_off:  # its size stands beside the one that is drawn
            continue
        lacking = [missing(as_told(piece), canvas) for canvas in found]
        assert min(map(len, lacking)) == 0, (piece["name"], min(lacking, key=len))


def as_told(piece: Mapping[str, Any]) -> Cut:
    """Return a piece of pattern.json as a table would have it."""
    return Cut(
        tuple(map(tuple, piece["outline_mm"])),
        tuple((tuple(a), tuple(b)) for a, b in (fold["line_mm"] for fold in piece["folds"])),
        tuple(map(tuple, piece["holes_mm"])),
        tuple(map(tuple, piece["old_holes_mm"])),
        tuple((tuple(a), tuple(b)) for a, b in piece["slits"]),
        tuple(tuple(map(tuple, ring)) for ring in piece["openings_mm"]),
        cut_first=tuple(map(tuple, piece["cut_first_mm"])),
        head="",
        tail="",
    )
