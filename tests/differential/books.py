"""Books drawn by chance, as people meet them, each as the text of a record.

Measures belong together (a girth fits its chord and round, a cover its block), but head and tail,
front and back are often unlike, measures are missing, and now and then one is wrong.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from random import Random

from tests.differential.rows import Bare, Row, Tables

FORMATS: Mapping[str, tuple[float, float]] = {
    "duodecimo": (110, 180),
    "octavo": (170, 260),
    "quarto": (230, 330),
    "folio": (300, 460),
    "large folio": (440, 760),
}
"""Height of the block, in mm."""
COVERS = ("in-boards", "case", "limp", "wrapper", "wooden boards", "other")
UNIONS = (
    ("text block", "boards"), ("text block", "case"), ("text block", "cover"), ("leaves", "stubs"),
    ("covering spine", "text block"), ("gatherings", "tapes"), ("endpapers", "boards"),
    ("front board", "text block"),
)  # fmt: skip


def book(chance: Random, number: int, cover: str, album: bool = False) -> Tables:
    """Return the record of a drawn book with a kind of cover; an album has single leaves."""
    tables: Tables = {"book": _names(chance, number), "condition": _condition(chance)}
    block = _album_block(chance) if album else _block(chance, cover)
    tables["text_block"] = block
    spine = _spine(chance, block, cover, album)
    tables["spine"] = spine
    tables["cover"] = _cover(chance, block, spine, cover)
    if cover in ("in-boards", "case", "wooden boards"):
        tables |= _unequal_boards(chance, tables["cover"])
    if album:
        tables["sewing"] = {"kind": "none: leaves pasted to stubs", "supports": "none"}
        tables["album"] = _album(chance, block)
    else:
        tables["sewing"] = _sewing(chance, block)
        if chance.random() < 0.12 and isinstance(block["gatherings"], int):
            tables["sewing.fold"] = [_fold(chance, block)]
    tables["union"] = _unions(chance)
    measuring: Row = {"error": chance.choice([0.25, 0.5, 0.5, 0.5, 1.0])}
    if chance.random() < 0.8:
        measuring["on"] = Bare("2026-11-25")
    tables["measuring"] = measuring
    _weigh(chance, tables)
    return tables


def _mm(value: float) -> float:
    return round(value, 1)


def _between(chance: Random, low: float, high: float) -> float:
    return _mm(chance.uniform(low, high))


def _figure(row: Row, key: str) -> float:
    value = row.get(key, 0.0)
    return float(value) if isinstance(value, int | float) else 0.0


def _names(chance: Random, number: int) -> Row:
    row: Row = {"id": f"drawn-{number}", "title": f"Drawn book {number}"}
    if chance.random() < 0.3:
        row["owner"] = "An invented owner"
    if chance.random() < 0.1:
        row["note"] = "Drawn by chance; nothing here was ever measured."
    if chance.random() < 0.12:
        row["reading"] = "right-to-left"
    return row


def _condition(chance: Random) -> Row:
    row: Row = {}
    if chance.random() < 0.8:
        row["paper"] = chance.choice(["strong", "fair", "fair", "weak", "brittle"])
    if chance.random() < 0.3:
        row["leather"] = chance.choice(["sound", "sound", "red-rot"])
    for key, share in (
        ("mould", 0.05), ("parchment", 0.07), ("iron_gall", 0.12), ("green_cloth", 0.04),
        ("soluble_media", 0.15), ("active_pests", 0.02),
    ):  # fmt: skip
        if chance.random() < 0.4:
            row[key] = chance.random() < share / 0.4
    return row


def _block(chance: Random, cover: str) -> Row:
    light = cover in ("limp", "wrapper")
    name = chance.choice(list(FORMATS)[: 3 if light else 5])
    height = _between(chance, *FORMATS[name])
    while True:
        leaf = round(chance.uniform(0.06, 0.3), 3)
        per = chance.choice([4, 8, 8, 8, 12, 16])
        gatherings = int(chance.triangular(2, 70, 14 if light else 24))
        thickness = leaf * per * gatherings * chance.uniform(1.0, 1.15)
        if (3 if light else 6) < thickness < (45 if light else 115):
            break
    row: Row = {
        "height": height,
        "width": _mm(height * chance.uniform(0.6, 0.82)),
        "thickness": _mm(thickness),
        "leaves": per * gatherings,
        "gatherings": gatherings,
        "leaves_per_gathering": per,
        "leaf_thickness": leaf,
    }
    if chance.random() < 0.7:
        row["thickness_fore_edge"] = _mm(thickness * chance.uniform(0.98, 1.08))
    if chance.random() < 0.5:
        row["grammage"] = round(leaf * chance.uniform(600, 900))
    if chance.random() < 0.6:
        row["grain"] = chance.choice(["head-tail", "head-tail", "spine-fore edge", "none"])
    if chance.random() < 0.12:
        row["tear_strength"] = round(chance.uniform(150, 1500))
    if chance.random() < 0.12:
        row |= {"anchor_first": 2, "anchor_last": gatherings - 1 if gatherings > 3 else gatherings}
    return row


def _album_block(chance: Random) -> Row:
    height = _between(chance, 180, 380)
    return {
        "height": height,
        "width": _mm(height * chance.uniform(0.7, 1.35)),
        "thickness": _between(chance, 12, 60),
        "grain": chance.choice(["head-tail", "none"]),
    }


def _spine(chance: Random, block: Row, cover: str, album: bool) -> Row:
    thickness = _figure(block, "thickness")
    light = album or cover in ("limp", "wrapper")
    profile = chance.choices(["rounded", "flat", "concave"], [2, 7, 1] if light else [6, 2.5, 1.5])[
        0
    ]
    shoulder = 0.0
    if profile == "rounded" and not light:
        shoulder = _between(chance, 0.5, min(6, 1 + thickness / 10))
    row: Row = {"profile": profile, "shoulder": shoulder}
    back = shoulder
    if shoulder and chance.random() < 0.2:
        back = max(0.0, _mm(shoulder + chance.uniform(-1.5, 1.5)))
        row |= {"shoulder_front": shoulder, "shoulder_back": back}
    chord = thickness + shoulder + back
    depth = {
        "flat": 0.0,
        "rounded": _mm(chord * chance.uniform(0.08, 0.32)),
        "concave": -_between(chance, 0.5, max(0.8, min(7, chord / 8))),
    }[profile]
    row["round_depth"] = depth
    girth = _arc(chord, abs(depth))
    linings = chance.choice([0.0, 0.0, 0.2, 0.3, _between(chance, 0.2, 1.2)])
    row["girth_head"] = row["girth_tail"] = _mm(girth)
    if chance.random() < 0.4:  # tapered
        row["girth_tail"] = _mm(girth * chance.uniform(0.93, 1.09))
    row["linings"] = linings
    row["strip_over"] = chance.choice([0.0, linings, linings])
    if chance.random() < 0.5:
        row["over_shoulders"] = _mm(chord + chance.choice([0, 0, -0.4, 0.4]))
    if shoulder and chance.random() < 0.4:
        row["shoulder_angle"] = chance.choice([90, 90, 75, 100, 60])
    if depth > 0 and chance.random() < 0.06:
        row["edge_angle"] = chance.choice([30, 45, 60])
    return row


def _arc(chord: float, depth: float) -> float:
    """Return the length of a circle's arc over a chord."""
    if depth < 0.05:
        return chord
    radius = (chord * chord / 4 + depth * depth) / (2 * depth)
    half = math.asin(min(1.0, chord / 2 / radius))
    return 2 * radius * (half if depth <= radius else math.pi - half)


def _cover(chance: Random, block: Row, spine: Row, kind: str) -> Row:
    height, width = _figure(block, "height"), _figure(block, "width")
    boards = kind in ("in-boards", "case", "wooden boards")
    head = _between(chance, 1.5, 6) if boards else _between(chance, 0, 3)
    tail = head if chance.random() < 0.5 else _mm(head * chance.uniform(0.8, 1.5))
    joint = chance.choices(
        ["tight", "french", "flush"],
        {"case": [1, 6, 1], "other": [2, 2, 2]}.get(kind, [7, 2, 1] if boards else [1, 0, 8]),
    )[0]
    gap = {"tight": _between(chance, 0.5, 2), "french": _between(chance, 4, 9), "flush": 0.0}[joint]
    fore = _between(chance, 1.5, 7)
    row: Row = {
        "kind": kind,
        "joint": joint,
        "joint_gap": gap,
        "square_head": head,
        "square_tail": tail,
        "square_fore_edge": fore,
        "thickness": round(chance.uniform(0.3, 1.6), 2),
        "turn_in": 0.0 if chance.random() < 0.15 else _between(chance, 8, 22),
    }
    if boards or kind == "other":
        row |= {
            "board_height": _mm(height + head + tail),
            "board_width": _mm(width + fore - (gap if joint == "french" else 0)),
            "board_thickness": _mm(
                chance.triangular(1.2, 9 if kind == "wooden boards" else 5, 2.5)
            ),
        }
    else:
        row |= {"side_height": _mm(height + head + tail), "side_width": _mm(width + fore)}
    girth = max(_figure(spine, "girth_head"), _figure(spine, "girth_tail"))
    across = girth + 2 * gap + chance.uniform(-0.3, 2.5)
    if chance.random() < 0.3:  # leaves were added since
        across *= chance.uniform(0.7, 0.98)
    row["spine_width"] = _mm(max(0.8, across))
    if chance.random() < 0.3:
        taper = chance.uniform(-1.0, 1.0)
        row["spine_width_head"] = _mm(max(0.6, across - taper))
        row["spine_width_tail"] = _mm(max(0.6, across + taper))
    if chance.random() < 0.5:
        row["square_tail_spine"] = _mm(tail * chance.uniform(0.85, 1.1))
        row["square_tail_fore_edge"] = _mm(tail * chance.uniform(1.0, 1.5))
    if chance.random() < 0.7:
        row["endband_head"] = row["endband_tail"] = chance.choice([0.0, 2.0, 2.5, 3.0])
    return row


def _unequal_boards(chance: Random, cover: Row | list[Row]) -> Tables:
    if isinstance(cover, list) or chance.random() < 0.65:
        return {}
    side: Row = {}
    if chance.random() < 0.7:
        side["board_thickness"] = _mm(_figure(cover, "board_thickness") * chance.uniform(0.8, 1.3))
    if chance.random() < 0.3:
        side["board_width"] = _mm(_figure(cover, "board_width") + chance.uniform(-2, 2))
    if chance.random() < 0.3:
        extra = chance.uniform(-1, 1.5)
        side["square_head"] = _mm(max(0, _figure(cover, "square_head") + extra))
        side["board_height"] = _mm(_figure(cover, "board_height") + extra)
    if chance.random() < 0.25:
        side["joint_gap"] = _mm(_figure(cover, "joint_gap") + chance.uniform(0, 2))
    return {chance.choice(["cover.front", "cover.back"]): side} if side else {}


def _sewing(chance: Random, block: Row) -> Row:
    height = _figure(block, "height")
    supports = chance.choices(["tapes", "recessed", "raised", "none"], [4, 4, 1.5, 3])[0]
    head, tail = _between(chance, 7, 20), _between(chance, 7, 20)
    kettles = [head, _mm(height - tail)]
    count = chance.randint(2, 5 if height < 330 else 7)
    gap = (kettles[1] - kettles[0]) / (count + 1)
    inner = [_mm(head + gap * (i + 1) + chance.uniform(-3, 3)) for i in range(count)]
    row: Row = {"supports": supports}
    if supports == "none":
        if chance.random() < 0.5:
            row["stations"] = [kettles[0], *inner, kettles[1]]
        else:
            row |= {"kettles": kettles, "holes_at": inner}
    else:
        width = {"tapes": chance.choice([8.0, 10.0, 12.0, 15.0])}.get(
            supports, _between(chance, 1.5, 5)
        )
        row |= {"kettles": kettles, "supports_at": inner, "support_width": width}
        if chance.random() < 0.08:
            row["holes_at"] = [_mm(kettles[0] + gap / 2)]
    if chance.random() < 0.4:
        row["tie_down"] = chance.choice([0.0, 0.0, _between(chance, 4, 12)])
    if chance.random() < 0.05:
        row["stations_from"] = "kettle"
        for key in ("stations", "kettles", "supports_at", "holes_at"):
            held = row.get(key)
            if isinstance(held, list):
                row[key] = [_mm(one - kettles[0]) for one in held]
    return row


def _fold(chance: Random, block: Row) -> Row:
    gatherings = int(_figure(block, "gatherings"))
    row: Row = {"gathering": chance.randint(1, gatherings), "folios": chance.randint(1, 6)}
    if chance.random() < 0.4:
        height = _figure(block, "height")
        row["holes"] = sorted(_between(chance, 8, height - 8) for _ in range(chance.randint(2, 6)))
    return row


def _album(chance: Random, block: Row) -> Row:
    leaves = chance.randint(4, 60)
    contents: object = _between(chance, 0, 2)
    if chance.random() < 0.25:
        contents = [_between(chance, 0, 2.5) for _ in range(leaves)]
    row: Row = {
        "kind": chance.choice(["single", "single", "folios"]),
        "leaves": leaves,
        "leaf_thickness": round(chance.uniform(0.2, 0.8), 2),
        "contents_thickness": contents,
        "leaf_width": _mm(_figure(block, "width") - chance.uniform(12, 34)),
        "leaf_height": _figure(block, "height"),
        "old_stub": chance.choice([0.0, _between(chance, 12, 40)]),
        "inner_margin": _between(chance, 6, 30),
    }
    return row


def _unions(chance: Random) -> list[Row]:
    rows: list[Row] = []
    for names in chance.sample(UNIONS, chance.randint(0, 3)):
        row: Row = {"between": list(names)}
        if chance.random() < 0.9:
            row["moves"] = chance.random() < 0.6
        row["made"] = chance.choice(["sewn", "pasted"])
        row["state"] = chance.choice(["sound", "weak", "failed", "failed"])
        rows.append(row)
    return rows


def _weigh(chance: Random, tables: Tables) -> None:
    """Give the weights that go with the sizes; a fifth of the books was not weighed."""
    block, cover, whole = tables["text_block"], tables["cover"], tables["book"]
    if isinstance(block, list) or isinstance(cover, list) or isinstance(whole, list):
        return
    cubic = math.prod(_figure(block, key) for key in ("height", "width", "thickness")) / 1e6
    block_kg = cubic * chance.uniform(0.7, 1.1)
    board_kg = 0.0
    if "board_height" in cover:
        face = _figure(cover, "board_height") * _figure(cover, "board_width")
        board_kg = face * _figure(cover, "board_thickness") * 1.0e-6 * chance.uniform(0.7, 1.1)
        if chance.random() < 0.6:
            cover["board_weight"] = max(0.001, round(board_kg, 3))
    if chance.random() < 0.8:
        whole["weight"] = max(0.005, round(block_kg + 2 * board_kg + 0.02, 3))
    elif chance.random() < 0.4:
        block["weight"] = max(0.003, round(block_kg, 3))
    if chance.random() < 0.5:
        height = _figure(block, "height")
        fits = [name for name, (low, high) in FORMATS.items() if low <= height <= high]
        whole["format"] = chance.choice(fits or ["other"])
