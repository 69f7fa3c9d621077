"""A small interpreter of PDF page contents for tests: paths, pens, matrices, forms and words."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import atan2, degrees, dist, hypot
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

from tests.shapes import Label, Point, Shape

Matrix = tuple[float, float, float, float, float, float]

IDENTITY: Matrix = (1, 0, 0, 1, 0, 0)
MM_PER_POINT = 25.4 / 72  # ISO 32000-1, 8.3.2.3: the default user space unit is 1/72 inch


def _times(a: Matrix, b: Matrix) -> Matrix:
    """Return the matrix that applies `a`, then `b` (ISO 32000-1, 8.3.4)."""
    return (
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    )


def _map(m: Matrix, x: float, y: float) -> Point:
    return m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]


def _scale(m: Matrix) -> float:
    return float(abs(m[0] * m[3] - m[1] * m[2]) ** 0.5)


def _bezier(a: Point, b: Point, c: Point, d: Point) -> list[Point]:
    """Return eight points along a cubic curve, its end last (ISO 32000-1, 8.5.2.2)."""
    along = [(step / 8, 1 - step / 8) for step in range(1, 9)]
    return [
        (
            s**3 * a[0] + 3 * s * s * t * b[0] + 3 * s * t * t * c[0] + t**3 * d[0],
            s**3 * a[1] + 3 * s * s * t * b[1] + 3 * s * t * t * c[1] + t**3 * d[1],
        )
        for t, s in along
    ]


@dataclass(slots=True)
class _State:
    ctm: Matrix
    width: float = 1.0
    dashes: tuple[float, ...] = ()
    stroke_grey: float = 0.0
    fill_grey: float = 0.0
    font: Any = None
    size: float = 0.0


@dataclass(slots=True)
class Page:
    """What has been met on a page so far, and the state it is painted in."""

    reader: PdfReader
    state: _State
    shapes: list[Shape] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    stack: list[_State] = field(default_factory=list)
    path: list[tuple[list[Point], bool, bool]] = field(default_factory=list)
    text: Matrix = IDENTITY

    def run(self, stream: Any, resources: Any) -> None:
        for operands, operator in ContentStream(stream, self.reader).operations:
            name = operator.decode("latin-1")
            if name == "Do":
                self.form(resources["/XObject"][operands[0]].get_object())
            elif name == "Tf":
                self.state.font = resources["/Font"][operands[0]].get_object()
                self.state.size = float(operands[1])
            elif name == "gs":
                look = resources["/ExtGState"][operands[0]].get_object()
                self.state.width = float(look.get("/LW", self.state.width))
            elif name in ("Tj", "TJ"):
                self.show(operands[0])
            else:
                self.step(name, operands)

    def form(self, form: Any) -> None:
        if form["/Subtype"] == "/Form":
            self.step("q", [])
            self.step("cm", form.get("/Matrix", IDENTITY))
            self.run(form, form.get("/Resources", {}))
            self.step("Q", [])

    def step(self, name: str, operands: Sequence[Any]) -> None:
        state = self.state
        match name, [float(o) for o in operands if isinstance(o, int | float)]:
            case "q", _:
                self.stack.append(replace(state))
            case "Q", _:
                self.state = self.stack.pop()
            case "cm", [a, b, c, d, e, f]:
                state.ctm = _times((a, b, c, d, e, f), state.ctm)
            case "w", [width]:
                state.width = width
            case "d", _:
                state.dashes = tuple(float(dash) for dash in operands[0])
            case "G", [grey]:
                state.stroke_grey = grey
            case "RG", [red, *_]:
                state.stroke_grey = red
            case "g", [grey]:
                state.fill_grey = grey
            case "rg", [red, *_]:
                state.fill_grey = red
            case "m", [x, y]:
                self.path.append(([_map(state.ctm, x, y)], False, False))
            case "l", [x, y]:
                self.path[-1][0].append(_map(state.ctm, x, y))
            case "c", [*handles] if len(handles) == 6:
                points, closed, _ = self.path[-1]
                ends = [_map(state.ctm, *pair) for pair in zip(*[iter(handles)] * 2, strict=True)]
                self.path[-1] = (points + _bezier(points[-1], *ends), closed, True)
            case "h", _:
                points, _, curved = self.path[-1]
                self.path[-1] = (points, True, curved)
            case "re", [x, y, w, h]:
                corners = ((x, y), (x + w, y), (x + w, y + h), (x, y + h))
                self.path.append(([_map(state.ctm, *corner) for corner in corners], True, False))
            case (("S" | "s" | "f" | "F" | "f*" | "B" | "B*" | "b" | "b*" | "n"), _):
                self.paint(name)
            case "BT", _:
                self.text = IDENTITY
            case "Tm", [a, b, c, d, e, f]:
                self.text = (a, b, c, d, e, f)
            case _:
                pass

    def paint(self, name: str) -> None:
        state, path = self.state, self.path
        self.path = []
        for points, closed, curved in path:
            if len(points) < 2:
                continue
            closed = closed or name in ("s", "b", "b*")
            if closed and dist(points[0], points[-1]) < 1e-6:
                points = points[:-1]  # a closing stroke of no length
            shape = Shape(tuple(points), closed, curved)
            if name in ("f", "F", "f*", "B", "B*", "b", "b*"):
                fill = replace(shape, closed=True, filled=True, grey=state.fill_grey)
                self.shapes.append(fill)
            if name in ("S", "s", "B", "B*", "b", "b*"):
                scale = _scale(state.ctm)
                dashes = tuple(dash * scale for dash in state.dashes)
                self.shapes.append(
                    replace(
                        shape,
                        grey=state.stroke_grey,
                        width_mm=state.width * scale,
                        dashes_mm=dashes,
                    )
                )

    def show(self, shown: Any) -> None:
        if self.state.font["/Subtype"] != "/TrueType":  # a printing program's own, of two bytes
            return
        parts = shown if isinstance(shown, list) else [shown]
        raw = b"".join(p.original_bytes for p in parts if hasattr(p, "original_bytes"))
        state, matrix = self.state, _times(self.text, self.state.ctm)
        along_x, along_y = matrix[0], matrix[1]
        length = hypot(along_x, along_y)
        self.labels.append(
            Label(
                at=(matrix[4], matrix[5]),
                text=_decode(raw, state.font),
                size_mm=state.size * length,
                angle_deg=round(degrees(atan2(-along_y, along_x)), 4) + 0.0,
                bold="Bold" in str(state.font["/BaseFont"]),
                grey=state.fill_grey,
                length_mm=_advance(raw, state.font) * state.size * length / 1000,
            )
        )


def read_page(pdf: bytes, page: int) -> Page:
    """Return the page with its shapes and labels read, in painting order."""
    reader = PdfReader(io.BytesIO(pdf), strict=True)
    leaf = reader.pages[page]
    k, top = MM_PER_POINT, float(leaf.mediabox.top) * MM_PER_POINT
    at_top_left: Matrix = (k, 0, 0, -k, -float(leaf.mediabox.left) * k, top)
    read = Page(reader, _State(at_top_left))
    read.run(leaf["/Contents"].get_object(), leaf["/Resources"])
    return read


def _decode(raw: bytes, font: Any) -> str:
    """Return the characters of one-byte codes by the font's /ToUnicode map."""
    table = font["/ToUnicode"].get_object().get_data().decode("latin-1")
    codes: dict[int, str] = {}
    for block in re.findall(r"beginbfrange(.*?)endbfrange", table, re.S):
        for low, high, target in re.findall(r"<(\w+)>\s*<(\w+)>\s*(\[[^\]]*\]|<\w+>)", block, re.S):
            words = [bytes.fromhex(w).decode("utf-16-be") for w in re.findall(r"<(\w+)>", target)]
            for offset in range(int(high, 16) - int(low, 16) + 1):
                listed = target.startswith("[")
                codes[int(low, 16) + offset] = (
                    words[offset] if listed else words[0][:-1] + chr(ord(words[0][-1]) + offset)
                )
    for block in re.findall(r"beginbfchar(.*?)endbfchar", table, re.S):
        for code, target in re.findall(r"<(\w+)>\s*<(\w+)>", block):
            codes[int(code, 16)] = bytes.fromhex(target).decode("utf-16-be")
    return "".join(codes.get(code, "\ufffd") for code in raw)


def _advance(raw: bytes, font: Any) -> float:
    """Return the summed /Widths of the codes in thousandths of the type size."""
    first, widths = int(font["/FirstChar"]), font["/Widths"].get_object()
    return sum(float(widths[code - first]) for code in raw)
