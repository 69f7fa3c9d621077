"""Tracings of losses as SVG, DXF or points: as they are drawn at the bench, and as often broken."""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Sequence
from random import Random

import ezdxf

from patterns.model.drawing import Ring
from tests.books import DEMO
from tests.campaign.asking import Ask, Looks
from tests.campaign.spoiling import spoiled

KIND = "tracings"
BOOK = "atlas"
LEAF = (285.0, 355.0)
"""A leaf of the book's, in mm."""


def draw(seed: int, number: int, looks: Looks) -> Ask:
    """Return the tracing of that number; every second one is broken."""
    chance = Random(f"{KIND}/{seed}/{number}")
    sort = ("svg", "dxf", "points")[number % 3]
    bar = chance.random() < 0.7
    data = WRITERS[sort](chance, _rings(chance), bar)
    broken = number % 2 == 1
    if broken:
        data = spoiled(chance, data)
    record = (DEMO / f"{BOOK}.toml").read_bytes()
    outline = data.decode("utf-8", "replace") if sort == "points" else f"loss.{sort}"
    outline = outline.replace("\0", "")[:20_000] or "x"  # no command line holds more, or a nul
    pairs = ["--set", f"outline={outline}"]
    if bar != (chance.random() < 0.9):
        pairs += ["--set", "scale_bar=0"]
    for name, values in (
        ("traced", ("recto", "verso")), ("face", ("recto", "verso")),
        ("of", ("leaf", "front board", "back board")), ("overlap", ("0.5", "2", "20")),
    ):  # fmt: skip
        if chance.random() < 0.2:
            pairs += ["--set", f"{name}={chance.choice(values)}"]
    formats = "svg,pdf" if looks.sheets else "svg"
    command = ("draft", "book.toml", "loss_infill", *pairs, "--formats", formats)
    files = {"book.toml": record}
    if sort != "points":
        files[f"loss.{sort}"] = data
    told = f"{sort}, {'broken' if broken else 'sound'}"
    odd = "" if sort == "points" else f"loss.{sort}"
    return Ask(KIND, told, f"{KIND} {seed}/{number}", files, (command,), odd, looks.sheets)


def _rings(chance: Random) -> list[Ring]:
    """Return one to four losses, now and then one that crosses itself or lies beyond the leaf."""
    return [_ring(chance) for _ in range(chance.choice([1, 1, 1, 2, 4]))]


def _ring(chance: Random) -> Ring:
    """Return a star about a point of the leaf, its corners in order or now and then not."""
    middle = chance.uniform(0, LEAF[0]), chance.uniform(0, LEAF[1])
    size, count = chance.choice([2, 10, 25, 60]), chance.choice([3, 5, 12, 60, 400])
    turns = [2 * math.pi * i / count for i in range(count)]
    if chance.random() < 0.1:
        chance.shuffle(turns)
    return tuple(
        (
            round(middle[0] + size * chance.uniform(0.5, 1.0) * math.cos(turn), 2),
            round(middle[1] + size * chance.uniform(0.5, 1.0) * math.sin(turn), 2),
        )
        for turn in turns
    )


def _pairs(ring: Ring) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in ring)


def _points(_chance: Random, rings: Sequence[Ring], bar: bool) -> bytes:
    items = [_pairs(ring) for ring in rings]
    if bar:
        items.insert(0, "scale 50.0")
    return "; ".join(items).encode()


def _svg(chance: Random, rings: Sequence[Ring], bar: bool) -> bytes:
    shapes = [_shape(chance, ring) for ring in rings]
    if bar:
        shapes.append('<line id="scale" x1="10" y1="10" x2="60" y2="10"/>')
    if chance.random() < 0.3:
        shapes.append('<rect id="leaf" x="0" y="0" width="285" height="355"/>')
    inside = "\n".join(shapes)
    for _ in range(chance.choice([0, 0, 1, 3])):
        turned = chance.choice(["translate(3 4)", "scale(1)", "rotate(2)", "matrix(1 0 0 1 0 0)"])
        inside = f'<g transform="{turned}">\n{inside}\n</g>'
    page = 'width="420mm" height="420mm" viewBox="0 0 420 420"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {page}>\n{inside}\n</svg>\n'.encode()


def _shape(chance: Random, ring: Ring) -> str:
    """Return a ring as one of the elements that a drawing program writes."""
    (x, y), rest = ring[0], ring[1:]
    match chance.randrange(5):
        case 0:
            return f'<polygon points="{_pairs(ring)}"/>'
        case 1:
            return f'<circle cx="{x:g}" cy="{y:g}" r="{chance.choice([0.3, 5, 40])}"/>'
        case 2:
            return f'<ellipse cx="{x:g}" cy="{y:g}" rx="9" ry="{chance.choice([1, 9, 30])}"/>'
        case 3:
            return f'<path d="M{x:g} {y:g}c5 0 10 5 10 10s-5 10-10 10q-9 0-9-9A9 9 0 0 1 {x:g} {y:g}z"/>'
        case _:
            lines = "".join(f"L{a:g} {b:g}" for a, b in rest)
            return f'<path d="M{x:g} {y:g}{lines}z"/>'


def _dxf(chance: Random, rings: Sequence[Ring], bar: bool) -> bytes:
    document = ezdxf.new("R2010", units=chance.choice([4] * 8 + [0, 1]))
    space = document.modelspace()
    for ring in rings:
        match chance.randrange(4):
            case 0:
                space.add_circle(ring[0], chance.choice([0.3, 5, 40]))
            case 1:
                space.add_ellipse(ring[0], (9, 0), 0.5)
            case 2:
                space.add_open_spline([*ring[:30], ring[0]])
            case _:
                space.add_lwpolyline(ring, close=chance.random() < 0.9)
    if bar:
        space.add_line((0, 0), (50, 0), dxfattribs={"layer": "SCALE"})
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode()


WRITERS: dict[str, Callable[[Random, Sequence[Ring], bool], bytes]] = {
    "svg": _svg,
    "dxf": _dxf,
    "points": _points,
}
