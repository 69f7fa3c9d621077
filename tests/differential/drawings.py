"""A sheet in SVG as a plain document of marks, so that two ways of writing one mark are equal.

What a group lends its marks counts as their own; a line, polyline, polygon or rectangle is the path
it draws; figures are figures.
"""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping

VERSION = re.compile(r"\bmendfold \d+(?:\.\w+)*")
_FIGURE = re.compile(r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_PATH = re.compile(rf"[A-Za-z]|{_FIGURE.pattern}")
_STRETCHES = re.compile(r"^(matrix|scale)\b|\bcm$")
"""What stretches all that follows, in SVG or PDF."""
_NOT_LENT = {"id", "class"}
_SHAPES = {
    "line": ("x1", "y1", "x2", "y2"),
    "polyline": ("points",),
    "polygon": ("points",),
    "path": ("d",),
    "rect": ("x", "y", "width", "height"),
}


def sheet(text: str) -> dict[str, object]:
    """Return size, title and layers of a sheet; the program's version is left out.

    Raises ET.ParseError for what is no XML.
    """
    root = ET.fromstring(text)
    layers: dict[str, list[object]] = {}
    title = ""
    for child in root:
        if _tag(child) == "title":
            title = masked(child.text or "")
        else:
            for layer, mark in _marks(child, {}, ""):
                layers.setdefault(layer, []).append(mark)
    size = {key: value(root.get(key, "")) for key in ("width", "height", "viewBox")}
    return {
        "title": title,
        "size": size,
        "layers": [{"name": name, "marks": marks} for name, marks in layers.items()],
    }


def masked(words: str) -> str:
    """Return words without the program's version.

    >>> masked("Record of 2026-03-02 · mendfold 0.1.0. Measure both bars")
    'Record of 2026-03-02 · mendfold VERSION. Measure both bars'
    """
    return VERSION.sub("mendfold VERSION", words)


def value(text: str) -> object:
    """Return a figure as a figure, and words that hold some as the words and the figures.

    >>> value("12.5mm"), value("#595959"), value("3")
    ({'words': '#mm', 'figures': [12.5]}, '#595959', 3.0)
    """
    figures = _FIGURE.findall(text)
    if not figures or text.startswith(("#", "'")):
        return text
    if len(figures) == 1 and figures[0] == text.strip():
        return float(text)
    kind = "factors" if _STRETCHES.search(text) else "figures"
    return {"words": _FIGURE.sub("#", text), kind: list(map(float, figures))}


def _marks(
    element: ET.Element, lent: Mapping[str, str], layer: str
) -> Iterator[tuple[str, dict[str, object]]]:
    tag = _tag(element)
    if tag == "defs":
        return
    own = dict(lent) | {key: held for key, held in element.attrib.items() if key not in _NOT_LENT}
    if tag == "g":
        layer = element.get("id", layer)
        for child in element:
            yield from _marks(child, own, layer)
        return
    mark: dict[str, object] = {"kind": "path" if tag in _SHAPES else tag}
    if tag in _SHAPES:
        mark["draws"] = _drawn(tag, own)
        own = {key: value for key, value in own.items() if key not in _SHAPES[tag]}
    words = "".join(element.itertext())
    if words.strip():
        mark["words"] = masked(words)
        if mark["words"] != words:  # another version is as long as it is
            own.pop("textLength", None)
    mark["look"] = {key: value(held) for key, held in sorted(own.items())}
    yield layer, mark


def _tag(element: ET.Element) -> str:
    return str(element.tag).rpartition("}")[2]


def _drawn(tag: str, own: Mapping[str, str]) -> dict[str, object]:
    """Return a shape's path as its letters and its figures; a letter left out is given again."""
    if tag == "path":
        return _steps(_PATH.findall(own.get("d", "")))
    if tag == "rect":
        x, y, w, h = (float(own.get(key, "0")) for key in _SHAPES["rect"])
        return {"letters": "MLLLZ", "figures": [x, y, x + w, y, x + w, y + h, x, y + h]}
    if tag == "line":
        figures = [float(own.get(key, "0")) for key in _SHAPES["line"]]
    else:
        figures = list(map(float, _FIGURE.findall(own.get("points", ""))))
    letters = "M" + "L" * (len(figures) // 2 - 1) + ("Z" if tag == "polygon" else "")
    return {"letters": letters, "figures": figures}


_TAKES = {"M": 2, "L": 2, "T": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "A": 7, "Z": 0}


def _steps(tokens: list[str]) -> dict[str, object]:
    letters, figures = "", list[float]()
    letter, left = "", 0
    for token in tokens:
        if token.isalpha():
            letter, left = token, _TAKES.get(token.upper(), 0)
            letters += letter
            continue
        if left == 0:
            letter = {"M": "L", "m": "l"}.get(letter, letter)
            letters, left = letters + letter, _TAKES.get(letter.upper(), 1)
        figures.append(float(token))
        left -= 1
    return {"letters": letters, "figures": figures}
