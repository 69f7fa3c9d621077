"""Traced outlines from an SVG file, at 1:1 in mm; anything active or from outside is refused.

A file from elsewhere may hold entities, scripts or links; none is ever followed. Only shapes that
are plainly drawn are read: path, rect, circle, ellipse, polygon, polyline, line.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from xml.parsers import expat

from patterns import units
from patterns.errors import SettingError
from patterns.traced.svg_path import Matrix, PathPen, draw
from patterns.traced.tracing import Gathered, Traced, role

MOST_ELEMENTS, MOST_DEPTH = 20_000, 60
SVG = "http://www.w3.org/2000/svg"
PLAIN = "save it again as plain SVG, with the traced lines turned into paths"
ACTIVE = {
    "script", "handler", "foreignobject", "iframe", "object", "embed", "audio", "video",
    "animate", "animatetransform", "animatemotion", "set", "use",
}  # fmt: skip
UNSEEN = {"defs", "symbol", "clippath", "mask", "marker", "pattern", "metadata", "title", "desc"}
GEOMETRY_IN_STYLE = {
    "transform", "translate", "rotate", "scale", "zoom", "d", "x", "y", "cx", "cy", "r", "rx", "ry",
    "width", "height",
}  # fmt: skip
PX_IN_UNITS = {"": 1.0, "px": 1.0}
MM_IN_UNITS = {
    "mm": 1.0,
    "cm": 10.0,
    "q": 0.25,
    "in": units.MM_PER_INCH,
    "pt": units.MM_PER_POINT,
    "pc": 12 * units.MM_PER_POINT,
}
_LENGTH = re.compile(r"\s*([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)\s*([A-Za-z]*)\s*")
_TRANSFORM = re.compile(r"\s*,?\s*([A-Za-z]+)\s*\(([^()]*)\)\s*,?\s*")
_OUTSIDE = re.compile(r"@import|url\((?!#)", re.IGNORECASE)
_SPACE_AND_QUOTES = str.maketrans("", "", " \t\r\n\f\"'\\")


@dataclass(slots=True)
class _Node:
    name: str
    attributes: dict[str, str]
    children: list[_Node] = field(default_factory=list)
    words: str = ""


def read(data: bytes, name: str) -> Traced:
    """Read the outlines of an SVG file in mm; a SettingError names the file and the remedy."""
    try:
        root = _tree(data)
        gathered = Gathered([], [], [])
        _walk(root, _page(root), "loss", gathered)
    except SettingError as error:
        raise SettingError(f"{name}: {error}") from None
    except ArithmeticError:
        raise SettingError(
            f"{name}: it holds figures too large or too small for any leaf; {PLAIN}"
        ) from None
    except (expat.ExpatError, LookupError, ValueError) as error:  # broken, or an odd encoding
        raise SettingError(f"{name} is no whole SVG file ({error}); {PLAIN}") from None
    return gathered.traced(name)


def _tree(data: bytes) -> _Node:
    """Parse without ever following an entity or a link."""
    parser = expat.ParserCreate(namespace_separator=" ")
    top = _Node("", {})
    open_: list[_Node] = [top]
    count = 0

    def start(tag: str, attributes: Mapping[str, str]) -> None:
        nonlocal count
        count += 1
        if count > MOST_ELEMENTS or len(open_) > MOST_DEPTH:
            raise SettingError(f"it holds too many or too deeply nested parts; {PLAIN}")
        _refuse_active(_local(tag), attributes)
        named = {key: value for key, value in attributes.items() if _local(key) == "label"}
        plain = {key.lower(): value for key, value in attributes.items() if " " not in key}
        node = _Node(tag, {"label": " ".join(named.values()), **plain})
        open_[-1].children.append(node)
        open_.append(node)

    def end(_tag: str) -> None:
        _refuse_style(open_.pop())

    def words(text: str) -> None:
        open_[-1].words += text if _local(open_[-1].name) == "style" else ""

    def doctype(_name: str, _system: str | None, _public: str | None, inner: int) -> None:
        if inner:
            raise SettingError(f"it declares entities of its own, which are not read; {PLAIN}")

    def refuse(*_: object) -> int:
        raise SettingError(
            f"it holds entities or links to other files, which are not read; {PLAIN}"
        )

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = words
    parser.StartDoctypeDeclHandler = doctype
    parser.EntityDeclHandler = refuse
    parser.ExternalEntityRefHandler = refuse
    parser.ProcessingInstructionHandler = refuse
    parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    parser.Parse(data, True)
    root = top.children[0]
    if root.name not in ("svg", f"{SVG} svg"):
        raise SettingError(f"it is no SVG drawing; {PLAIN}")
    return root


def _local(name: str) -> str:
    return name.rpartition(" ")[2].lower()


def _refuse_active(tag: str, attributes: Mapping[str, str]) -> None:
    if tag in ACTIVE:
        what = "clones (use)" if tag == "use" else f"an active part ({tag})"
        raise SettingError(f"it holds {what}, which is not read; {PLAIN}")
    for raw, value in attributes.items():
        key = _local(raw)
        if key.startswith("on"):
            raise SettingError(f"it holds an active part ({key}), which is not read; {PLAIN}")
        linked = value.strip()
        if key in ("href", "src") and not linked.startswith(("#", "data:image/")):
            raise SettingError(f"it links to something outside ({linked[:40]!r}); {PLAIN}")
        if _outside(value):
            raise SettingError(f"it links to something outside in {key}; {PLAIN}")


def _outside(text: str) -> bool:
    """Tell whether a style draws on anything but the drawing itself."""
    return _OUTSIDE.search(text.translate(_SPACE_AND_QUOTES)) is not None


def _refuse_style(node: _Node) -> None:
    """Refuse style sheets that draw from outside, or move or hide what is drawn."""
    if _local(node.name) != "style":
        return
    if _outside(node.words):
        raise SettingError(f"it links to something outside in its style sheet; {PLAIN}")
    used = {
        part.partition(":")[0].partition("/*")[0].strip().lower()
        for part in node.words.replace("{", ";").replace("}", ";").replace("*/", ";").split(";")
    }
    if used & {*GEOMETRY_IN_STYLE, "display", "visibility"}:
        raise SettingError(f"its style sheet moves, sizes or hides lines; {PLAIN}")


def _style(node: _Node) -> dict[str, str]:
    pairs = (part.partition(":") for part in node.attributes.get("style", "").split(";"))
    named = ((key.partition("/*")[0].strip().lower(), value) for key, _, value in pairs)
    return {key: value.strip().lower() for key, value in named if key}


def _page(root: _Node) -> Matrix:
    """Return the map from the drawing's own units to mm."""
    box = root.attributes.get("viewbox")
    sizes = [_mm(root.attributes.get(key)) for key in ("width", "height")]
    if box is None:
        return Matrix(a=units.MM_PER_PX, d=units.MM_PER_PX)
    parts = _figures(box)
    if len(parts) != 4 or min(parts[2:]) <= 0:
        raise SettingError(f"its viewBox {box[:40]!r} is no page; {PLAIN}")
    scales = [mm / own for mm, own in zip(sizes, parts[2:], strict=True) if mm is not None]
    if not scales:
        raise SettingError(
            "its page has no width in mm, so its true size is unknown; set the page's size in mm in the drawing program"
        )
    if max(scales) - min(scales) > 0.001 * max(scales):
        raise SettingError(
            "width, height and viewBox of its page do not agree, so it would be stretched; set the page's size again"
        )
    scale = min(scales)
    return Matrix(a=scale, d=scale)


def _mm(text: str | None) -> float | None:
    """Return a page size in mm; None where it is not given or given in %."""
    if text is None or text.strip() == "100%":
        return None
    value, unit = _length(text)
    size = value * MM_IN_UNITS.get(unit, units.MM_PER_PX)
    if size <= 0:
        raise SettingError(f"its page size {text[:20]!r} is nothing; set it in mm")
    return size


def _length(text: str) -> tuple[float, str]:
    match = _LENGTH.fullmatch(text.strip()[:40])
    unit = match[2].lower() if match else ""
    if match is None or (unit not in MM_IN_UNITS and unit not in PX_IN_UNITS):
        raise SettingError(f"length {text[:30]!r} cannot be read; use mm")
    value = float(match[1])
    if not abs(value) < 1e7:
        raise SettingError(f"length {text[:30]!r} is too large for any leaf")
    return value, unit


def _user(node: _Node, key: str) -> float:
    """Return a length attribute in user units (one unit is one px, SVG 1.1, 7.10)."""
    value, unit = _length(node.attributes.get(key, "0"))
    return value * MM_IN_UNITS[unit] / units.MM_PER_PX if unit in MM_IN_UNITS else value


def _walk(node: _Node, outer: Matrix, held: str, into: Gathered) -> None:
    tag = _local(node.name)
    if node.name != tag and not node.name.lower().startswith(SVG):
        return
    style = _style(node)
    if GEOMETRY_IN_STYLE & style.keys():
        raise SettingError(f"a style moves or sizes lines; {PLAIN}")
    hidden = [style.get(key, node.attributes.get(key, "")) for key in ("display", "visibility")]
    if tag in UNSEEN or hidden[0] == "none" or hidden[1] in ("hidden", "collapse"):
        return
    matrix = outer @ _transform(node.attributes.get("transform", ""))
    kind = role([node.attributes.get(key, "") for key in ("id", "label")], held)
    data = _shape(tag, node)
    if data:
        pen = PathPen(matrix)
        draw(data, pen)
        into.add(kind, pen.runs)
    for child in node.children:
        if _local(child.name) == "svg":
            raise SettingError(f"it holds a drawing within the drawing; {PLAIN}")
        _walk(child, matrix, kind, into)


def _shape(tag: str, node: _Node) -> str:
    """Return a shape as path data in user units; "" for what is no shape."""
    if tag == "path":
        return node.attributes.get("d", "")
    if tag in ("polygon", "polyline"):
        points = node.attributes.get("points", "").strip()
        return f"M{points}{'Z' if tag == 'polygon' else ''}" if points else ""
    if tag == "line":
        x1, y1, x2, y2 = (_user(node, key) for key in ("x1", "y1", "x2", "y2"))
        return f"M{x1!r},{y1!r}L{x2!r},{y2!r}"
    if tag == "rect":
        return _rect(node)
    if tag in ("circle", "ellipse"):
        cx, cy = _user(node, "cx"), _user(node, "cy")
        rx, ry = (_user(node, key if tag == "ellipse" else "r") for key in ("rx", "ry"))
        if rx <= 0 or ry <= 0:
            return ""
        half = f"A{rx!r},{ry!r},0,0,1,"
        return f"M{cx + rx!r},{cy!r}{half}{cx - rx!r},{cy!r}{half}{cx + rx!r},{cy!r}Z"
    return ""


def _rect(node: _Node) -> str:
    x, y, wide, high = (_user(node, key) for key in ("x", "y", "width", "height"))
    if wide <= 0 or high <= 0:
        return ""
    rx, ry = (_user(node, key) if key in node.attributes else None for key in ("rx", "ry"))
    rx, ry = (rx if rx is not None else ry or 0.0), (ry if ry is not None else rx or 0.0)
    rx, ry = min(max(rx, 0.0), wide / 2), min(max(ry, 0.0), high / 2)
    if not rx or not ry:
        return f"M{x!r},{y!r}h{wide!r}v{high!r}h{-wide!r}Z"
    arc = f"a{rx!r},{ry!r},0,0,1,"
    return (
        f"M{x + rx!r},{y!r}h{wide - 2 * rx!r}{arc}{rx!r},{ry!r}v{high - 2 * ry!r}{arc}{-rx!r},{ry!r}"
        f"h{2 * rx - wide!r}{arc}{-rx!r},{-ry!r}v{2 * ry - high!r}{arc}{rx!r},{-ry!r}Z"
    )


def _transform(text: str) -> Matrix:
    whole, at = Matrix(), 0
    text = " ".join(text.split())
    while at < len(text):
        match = _TRANSFORM.match(text, at)
        if match is None:
            raise SettingError(f"transform {text[:40]!r} cannot be read; {PLAIN}")
        whole, at = whole @ _one(match[1].lower(), list(_figures(match[2])), text), match.end()
    if abs(whole.a * whole.d - whole.b * whole.c) < 1e-12:
        raise SettingError(f"transform {text[:40]!r} flattens what it holds; {PLAIN}")
    return whole


def _one(name: str, v: list[float], text: str) -> Matrix:
    if name == "matrix" and len(v) == 6:
        return Matrix(*v)
    if name == "translate" and len(v) in (1, 2):
        return Matrix(e=v[0], f=v[1] if len(v) > 1 else 0.0)
    if name == "scale" and len(v) in (1, 2):
        return Matrix(a=v[0], d=v[-1])
    if name == "rotate" and len(v) in (1, 3):
        cos, sin = math.cos(math.radians(v[0])), math.sin(math.radians(v[0]))
        x, y = v[1:] or (0.0, 0.0)
        return Matrix(cos, sin, -sin, cos, x - cos * x + sin * y, y - sin * x - cos * y)
    if name == "skewx" and len(v) == 1:
        return Matrix(c=math.tan(math.radians(v[0])))
    if name == "skewy" and len(v) == 1:
        return Matrix(b=math.tan(math.radians(v[0])))
    raise SettingError(f"transform {text[:40]!r} cannot be read; {PLAIN}")


def _figures(text: str) -> tuple[float, ...]:
    def one(part: str) -> Iterator[float]:
        value = float(part)
        if not abs(value) < 1e7:
            raise ValueError
        yield value

    try:
        return tuple(v for part in text.replace(",", " ").split() for v in one(part))
    except ValueError:
        raise SettingError(f"{text[:40]!r} are no figures; {PLAIN}") from None
