"""Books drawn by chance, as people meet them, each as the text of a record.

Measures belong together (a girth fits its chord and round, a cover its block), but head and tail,
front and back are often unlike, measures are missing, and now and then one is wrong.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from random import Random

from tests.differential import covers
from tests.differential.rows import Bare, Row, Tables, between, figure, tenth

FORMATS: Mapping[str, tuple[float, float]] = {
    "duodecimo": (110, 180),
    "octavo": (170, 260),
    "quarto": (230, 330),
    "folio": (300, 440),
    "large folio": (440, 760),
}
"""Height of the block, in mm."""
USUAL = (2, 4, 4, 2, 0.1)
"""How often each format is met; for the largest a best sewing is searched for seconds."""
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
    tables["cover"] = covers.cover(chance, block, spine, cover)
    if cover in ("in-boards", "case", "wooden boards"):
        tables |= covers.unequal_boards(chance, tables["cover"])
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
        row["paper"] = chance.choice(
            ["strong", "strong", "fair", "fair", "fair", "fair", "weak", "brittle"]
        )
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
    most = 3 if light else 5
    name = chance.choices(list(FORMATS)[:most], USUAL[:most])[0]
    height = between(chance, *FORMATS[name])
    while True:
        leaf = round(chance.uniform(0.06, 0.3), 3)
        per = chance.choice([4, 8, 8, 8, 12, 16])
        gatherings = int(chance.triangular(2, 70, 14 if light else 24))
        thickness = leaf * per * gatherings * chance.uniform(1.0, 1.15)
        if (3 if light else 6) < thickness < (45 if light else 115):
            break
    row: Row = {
        "height": height,
        "width": tenth(height * chance.uniform(0.6, 0.82)),
        "thickness": tenth(thickness),
        "leaves": per * gatherings,
        "gatherings": gatherings,
        "leaves_per_gathering": per,
        "leaf_thickness": leaf,
    }
    if chance.random() < 0.7:
        row["thickness_fore_edge"] = tenth(thickness * chance.uniform(0.98, 1.08))
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
    height = between(chance, 180, 380)
    return {
        "height": height,
        "width": tenth(height * chance.uniform(0.7, 1.35)),
        "thickness": between(chance, 12, 60),
        "grain": chance.choice(["head-tail", "none"]),
    }


def _spine(chance: Random, block: Row, cover: str, album: bool) -> Row:
    thickness = figure(block, "thickness")
    light = album or cover in ("limp", "wrapper")
    profile = chance.choices(["rounded", "flat", "concave"], [2, 7, 1] if light else [6, 2.5, 1.5])[
        0
    ]
    shoulder = 0.0
    if profile == "rounded" and not light:
        shoulder = between(chance, 0.5, min(6, 1 + thickness / 10))
    row: Row = {"profile": profile, "shoulder": shoulder}
    back = shoulder
    if shoulder and chance.random() < 0.2:
        back = max(0.0, tenth(shoulder + chance.uniform(-1.5, 1.5)))
        row |= {"shoulder_front": shoulder, "shoulder_back": back}
    chord = thickness + shoulder + back
    depth = {
        "flat": 0.0,
        "rounded": tenth(chord * chance.uniform(0.08, 0.32)),
        "concave": -between(chance, 0.5, max(0.8, min(7, chord / 8))),
    }[profile]
    row["round_depth"] = depth
    girth = _arc(chord, abs(depth))
    linings = chance.choice([0.0, 0.0, 0.2, 0.3, between(chance, 0.2, 1.2)])
    row["girth_head"] = row["girth_tail"] = tenth(girth)
    if chance.random() < 0.4:  # tapered
        less, more = (0.98, 1.02) if profile == "flat" else (0.93, 1.09)
        row["girth_tail"] = tenth(girth * chance.uniform(less, more))
    row["linings"] = linings
    row["strip_over"] = chance.choice([0.0, linings, linings])
    if chance.random() < 0.5:
        row["over_shoulders"] = tenth(chord + chance.choice([0, 0, -0.4, 0.4]))
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


def _sewing(chance: Random, block: Row) -> Row:
    height = figure(block, "height")
    supports = chance.choices(["tapes", "recessed", "raised", "none"], [4, 4, 1.5, 3])[0]
    head, tail = between(chance, 7, 20), between(chance, 7, 20)
    fine = chance.random() < 0.3  # a rule is read to a millimetre, calipers to a tenth
    kettles = [head, tenth(height - tail)]
    count = chance.randint(2, 5 if height < 330 else 7)
    gap = (kettles[1] - kettles[0]) / (count + 1)
    inner = [tenth(head + gap * (i + 1) + chance.uniform(-3, 3)) for i in range(count)]
    if not fine:
        kettles, inner = [float(round(at)) for at in kettles], [float(round(at)) for at in inner]
    row: Row = {"supports": supports}
    if supports == "none":
        if chance.random() < 0.5:
            row["stations"] = [kettles[0], *inner, kettles[1]]
        else:
            row |= {"kettles": kettles, "holes_at": inner}
    else:
        width = {"tapes": chance.choice([8.0, 10.0, 12.0, 15.0])}.get(
            supports, between(chance, 1.5, 5)
        )
        row |= {"kettles": kettles, "supports_at": inner, "support_width": width}
        if chance.random() < 0.08:
            row["holes_at"] = [tenth(kettles[0] + (inner[0] - kettles[0]) / 2)]
    if chance.random() < 0.4:
        row["tie_down"] = chance.choice([0.0, 0.0, between(chance, 4, 12)])
    if chance.random() < 0.05:
        row["stations_from"] = "kettle"
        for key in ("stations", "kettles", "supports_at", "holes_at"):
            held = row.get(key)
            if isinstance(held, list):
                row[key] = [tenth(one - kettles[0]) for one in held]
    return row


def _fold(chance: Random, block: Row) -> Row:
    gatherings = int(figure(block, "gatherings"))
    row: Row = {"gathering": chance.randint(1, gatherings), "folios": chance.randint(1, 6)}
    if chance.random() < 0.4:
        height = figure(block, "height")
        row["holes"] = sorted(between(chance, 8, height - 8) for _ in range(chance.randint(2, 6)))
    return row


def _album(chance: Random, block: Row) -> Row:
    leaves = chance.randint(4, 60)
    contents: object = between(chance, 0, 2)
    if chance.random() < 0.25:
        contents = [between(chance, 0, 2.5) for _ in range(leaves)]
    row: Row = {
        "kind": chance.choice(["single", "single", "folios"]),
        "leaves": leaves,
        "leaf_thickness": round(chance.uniform(0.2, 0.8), 2),
        "contents_thickness": contents,
        "leaf_width": tenth(figure(block, "width") - chance.uniform(12, 34)),
        "leaf_height": figure(block, "height"),
        "old_stub": chance.choice([0.0, between(chance, 12, 40)]),
        "inner_margin": between(chance, 6, 30),
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
    cubic = math.prod(figure(block, key) for key in ("height", "width", "thickness")) / 1e6
    block_kg = cubic * chance.uniform(0.7, 1.1)
    board_kg = 0.0
    if "board_height" in cover:
        face = figure(cover, "board_height") * figure(cover, "board_width")
        board_kg = face * figure(cover, "board_thickness") * 1.0e-6 * chance.uniform(0.7, 1.1)
        if chance.random() < 0.6:
            cover["board_weight"] = max(0.001, round(board_kg, 3))
    if chance.random() < 0.8:
        whole["weight"] = max(0.005, round(block_kg + 2 * board_kg + 0.02, 3))
    elif chance.random() < 0.4:
        block["weight"] = max(0.003, round(block_kg, 3))
    if chance.random() < 0.5:
        height = figure(block, "height")
        fits = [name for name, (low, high) in FORMATS.items() if low <= height <= high]
        whole["format"] = chance.choice(fits or ["other"])
