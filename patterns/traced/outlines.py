"""Outlines traced from a book, as one line of text: from points, an SVG or a DXF file.

The text keeps everything that was read (file name, scale bar, leaf, losses), so that a pattern can
be drafted again without the file: `traced loss.svg; scale 50.00; leaf 0,0 210,0 …; 12,30 14,33 …`.
Items are parted by semicolons; each loss is a ring of points x,y in mm, x to the right, y down;
a slash parts the rings of one compound loss.
"""

from __future__ import annotations

import math
import re
from pathlib import Path

from patterns.errors import FileError, Problem, SettingError
from patterns.model.drawing import Point, Ring
from patterns.reading import read_bytes
from patterns.traced import outline_dxf, outline_svg
from patterns.traced.svg_path import MOST_MM, MOST_POINTS, too_long
from patterns.traced.tracing import Traced

MOST_BYTES = 5_000_000
MOST_LOSSES = 40
MOST_RINGS = 200
MOST_LENGTH_MM = 20_000.0
READERS = {".svg": outline_svg.read, ".dxf": outline_dxf.read}
_LOOKS_LIKE_POINTS = re.compile(r"\s*(?:(?:traced|scale|leaf)\s|[-+.0-9]+\s*,\s*[-+.0-9]+\s)")
_FIGURE = re.compile(r"[-+]?[0-9]*\.?[0-9]+")
_PAIR = re.compile(rf"({_FIGURE.pattern}),({_FIGURE.pattern})")
REMEDY = "give an SVG or DXF file, or points in mm such as “12,30 31,28 40,52 18,60”"


def setting(text: str, key: str) -> str:
    """Read an outline given as points or as a file's name; return its whole text.

    A SettingError says of the setting `key` what is wrong with it and what to do.
    """
    try:
        return written(read(text.strip()))
    except SettingError as error:
        problem = Problem(key, f"{error}", "one traced loss, of closed lines", REMEDY, "setting")
        raise SettingError(f"{key}: {error}", [problem]) from None


def read(text: str) -> Traced:
    """Read an outline from points or from the file they name."""
    path = Path(text)
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        if _LOOKS_LIKE_POINTS.match(text + " "):
            return parse(text)
        raise SettingError(f"“{text[:60]}” is no outline; {REMEDY}")
    try:
        data = read_bytes(path, MOST_BYTES)
    except FileError as error:
        remedy = "save the traced lines alone" if error.why == "large" else REMEDY
        raise SettingError(f"{path.name} {error.words}; {remedy}") from None
    return _checked(reader(data, path.name.replace(";", " ")))


def of_bytes(data: bytes, kind: str, key: str) -> str:
    """Return the whole text of an outline that was put in as a file of this kind, "svg" or "dxf".

    Raises SettingError of the setting `key`.
    """
    try:
        if len(data) > MOST_BYTES:
            raise SettingError("is larger than 5 MB; save the traced lines alone")
        return written(_checked(READERS[f".{kind}"](data, f"tracing.{kind}")))
    except SettingError as error:
        problem = Problem(key, f"{error}", "one traced loss, of closed lines", REMEDY, "setting")
        raise SettingError(f"{key}: {error}", [problem]) from None


def parse(text: str) -> Traced:
    """Read the one-line text of an outline."""
    name, scale, leaf = "", None, None
    losses: list[tuple[Ring, ...]] = []
    for item in filter(None, (part.strip() for part in text.split(";"))):
        word, _, rest = item.partition(" ")
        if word == "traced":
            name = rest.strip()[:80]
        elif word == "scale":
            scale = _scale(rest)
        elif word == "leaf":
            leaf = _ring(rest)
        else:
            losses.append(tuple(_ring(ring) for ring in item.split("/")))
    return _checked(Traced(tuple(losses), scale, leaf, name))


def _scale(text: str) -> float:
    words = text.split()
    ends = [match for word in words if (match := _PAIR.fullmatch(word[:60]))]
    if len(words) == len(ends) == 2:
        return math.dist(*([float(v) for v in end.groups()] for end in ends))
    if len(words) == 1 and _FIGURE.fullmatch(words[0][:60]):
        return float(words[0])
    raise SettingError(
        f"scale “{text[:30]}” is no length; write “scale 50.0” or its two ends “scale 0,0 50,0”"
    )


def _ring(text: str) -> Ring:
    pairs = text.split()
    found: list[Point] = []
    for pair in pairs:
        match = _PAIR.fullmatch(pair[:60])
        if match is None:
            raise SettingError(f"“{pair[:30]}” is no point; write x,y in mm, as in 12,30.5")
        found.append((float(match[1]), float(match[2])))
    if len(found) < 3:
        raise SettingError(
            f"an outline of {len(found)} points encloses nothing; give three or more"
        )
    return tuple(found)


def _checked(traced: Traced) -> Traced:
    """Refuse what no leaf can hold."""
    rings = [ring for loss in traced.losses for ring in loss]
    if not rings:
        raise SettingError(f"{traced.name or 'the outline'} holds no closed outline; {REMEDY}")
    if len(traced.losses) > MOST_LOSSES:
        raise SettingError(
            f"{len(traced.losses)} losses are too many for one draft; allowed are {MOST_LOSSES}: draft them in parts"
        )
    if sum(map(len, rings)) > MOST_POINTS:
        raise too_long()
    reached = [*rings, *([traced.leaf] if traced.leaf else [])]
    if not all(abs(v) <= MOST_MM for ring in reached for point in ring for v in point):
        raise SettingError("an outline lies more than 100 m away; trace near the page's corner")
    if traced.scale_mm is not None and not 0 <= traced.scale_mm <= MOST_MM:
        raise SettingError(
            f"a scale bar of {traced.scale_mm:g} mm is no length; draw it as one line of some 50 mm"
        )
    if len(rings) > MOST_RINGS:
        raise SettingError(
            f"{len(rings)} lines are too many; trace the losses alone, without texture"
        )
    if any(sum(map(math.dist, ring, ring[1:])) > MOST_LENGTH_MM for ring in rings):
        raise SettingError(
            f"an outline is longer than {MOST_LENGTH_MM / 1000:g} m, as no loss is; trace its edge once round"
        )
    return traced


def written(traced: Traced) -> str:
    """Return the one-line text of an outline, points to 0.001 mm."""
    items = [f"traced {traced.name}"] if traced.name else []
    if traced.scale_mm is not None:
        items.append(f"scale {traced.scale_mm:.3f}")
    if traced.leaf:
        items.append(f"leaf {_points(traced.leaf)}")
    items += [" / ".join(map(_points, loss)) for loss in traced.losses]
    return "; ".join(items)


def _points(ring: Ring) -> str:
    return " ".join(f"{_short(x)},{_short(y)}" for x, y in ring)


def _short(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
