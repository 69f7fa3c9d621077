"""Files spoiled by chance: bytes lost, doubled or exchanged, figures and words made extreme."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from random import Random
from typing import Any

FIGURES = (
    "0", "-1", "-0.0", "1e308", "1e-308", "nan", "-inf", "NaN", "9" * 400, "1e999", "0x7f", "1_0",
    "1/3", "½", "12,5", "1e30", "9223372036854775808", "-2147483649", "0.0000001", "٣",
)  # fmt: skip
WORDS = (
    "", " ", "\0", "\ufeff", "\u202e", "\ud83d", "日本語", "W" * 5000, "../../x", "%s{x}", "\\", '"',
    "<b>&", "-", "a\nb", "\x1b[31m", "=1+1", "nul", "None", "🕮",
)  # fmt: skip
_FIGURE = re.compile(rb"-?\d+(?:\.\d+)?")


def spoiled(chance: Random, data: bytes) -> bytes:
    """Return a file of text or bytes with one to three faults."""
    for _ in range(chance.choice([1, 1, 1, 2, 3])):
        data = chance.choice(FAULTS)(chance, data)
    return data


def _figure(chance: Random, data: bytes) -> bytes:
    found = list(_FIGURE.finditer(data))
    if not found:
        return _lost(chance, data)
    one = chance.choice(found)
    return data[: one.start()] + chance.choice(FIGURES).encode() + data[one.end() :]


def _lost(chance: Random, data: bytes) -> bytes:
    start = chance.randrange(len(data) + 1)
    return data[:start] + data[start + chance.choice([1, 1, 2, 20, 10**9]) :]


def _doubled(chance: Random, data: bytes) -> bytes:
    start = chance.randrange(len(data) + 1)
    part = data[start : start + chance.choice([1, 10, 200])]
    return data[:start] + part * chance.choice([2, 2, 2, 3000]) + data[start + len(part) :]


def _exchanged(chance: Random, data: bytes) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]


def _line(chance: Random, data: bytes) -> bytes:
    lines = data.split(b"\n")
    at, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    lines[at], lines[other] = lines[other], lines[at]
    if chance.random() < 0.5:
        lines.insert(chance.randrange(len(lines)), lines[at])
    return b"\n".join(lines)


def _nested(chance: Random, data: bytes) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + chance.choice([b"[", b"{", b"(", b"<g>", b"a."]) * 3000 + data[at:]


def _coded(chance: Random, data: bytes) -> bytes:
    text = data.decode("utf-8", "replace")
    return chance.choice(
        [
            b"\xef\xbb\xbf" + data,
            text.encode("utf-16"),
            text.replace("\n", "\r").encode(),
            text.encode("latin-1", "replace"),
            data + b"\0",
            b"",
        ]
    )


def _word(chance: Random, data: bytes) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + chance.choice(WORDS).encode("utf-8", "surrogatepass") + data[at:]


FAULTS: tuple[Callable[[Random, bytes], bytes], ...] = (
    _figure, _figure, _figure, _lost, _lost, _doubled, _exchanged, _line, _nested, _coded, _word,
)  # fmt: skip


def misshapen(chance: Random, data: bytes) -> bytes:
    """Return a JSON document in which one to three values are of another kind, gone or extreme."""
    tree = json.loads(data)
    for _ in range(chance.choice([1, 1, 2, 3])):
        _change(chance, tree)
    return json.dumps(tree, ensure_ascii=chance.random() < 0.5).encode("utf-8", "surrogatepass")


def _change(chance: Random, tree: Any) -> None:
    """Change one value somewhere in a tree, in place."""
    held: Any = tree
    while True:
        places = list(held) if isinstance(held, dict) else list(range(len(held)))
        if not places:
            return
        place = chance.choice(places)
        inner = held[place]
        if isinstance(inner, dict | list) and inner and chance.random() < 0.8:
            held = inner
            continue
        if chance.random() < 0.2:
            del held[place]
        elif isinstance(held, dict) and chance.random() < 0.1:
            held[chance.choice(WORDS)] = held.pop(place)
        else:
            held[place] = _value(chance, inner)
        return


def _value(chance: Random, was: object) -> object:
    if isinstance(was, int | float) and chance.random() < 0.6:
        return chance.choice([0, -1, 1e30, 10**30, 1e-300, -was, was * 1000, 2**63, float("nan")])
    if isinstance(was, list) and chance.random() < 0.5:
        return was * chance.choice([2, 500]) if len(was) < 50 else was[:1]
    return chance.choice([None, True, 5, -0.5, [], {}, [[]], {"a": 1}, [1, 2], *WORDS])
