"""Books at the ends of what a record allows, as TOML, for tests."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import Any

from patterns.record.fields import FIELDS, LIST_TABLES
from patterns.record.writing import written

Tables = dict[str, Any]


def book(**changes: object) -> Tables:
    """Return a usual book of 240 × 160 × 40 with changes, `spine__round_depth=9`; None leaves out."""
    tables: Tables = {
        "book": {"id": "x-1", "title": "An extreme book", "weight": 1.5},
        "text_block": {
            "height": 240.0, "width": 160.0, "thickness": 40.0, "leaves": 320, "gatherings": 40,
            "leaves_per_gathering": 8, "leaf_thickness": 0.12,
        },
        "spine": {
            "profile": "rounded", "round_depth": 8.0, "shoulder": 2.0, "girth_head": 46.0,
            "girth_tail": 46.0, "linings": 0.2, "strip_over": 0.0,
        },
        "cover": {
            "board_height": 246.0, "board_width": 160.0, "board_thickness": 2.5, "board_weight": 0.1,
            "joint": "tight", "joint_gap": 1.0, "square_head": 3.0, "square_tail": 3.0,
            "square_tail_spine": 3.0, "square_tail_fore_edge": 3.0, "square_fore_edge": 3.0,
            "side_width": 160.0, "side_height": 246.0, "spine_width": 40.0, "spine_width_head": 40.0,
            "spine_width_tail": 40.0, "thickness": 0.5, "turn_in": 12.0, "endband_tail": 2.0,
        },
        "sewing": {
            "kettles": [12.0, 228.0], "supports_at": [60.0, 120.0, 180.0], "support_width": 12.0,
            "supports": "tapes",
        },
        "album": {
            "kind": "single", "leaves": 40, "leaf_thickness": 0.4, "contents_thickness": 0.5,
            "leaf_width": 150.0, "leaf_height": 240.0, "old_stub": 25.0, "inner_margin": 15.0,
        },
        "measuring": {"error": 0.5, "on": datetime.date(2026, 11, 25)},
    }  # fmt: skip
    for name, value in changes.items():
        table, _, key = name.rpartition("__")
        row = tables.setdefault(table.replace("__", "."), {})
        if value is None:
            row.pop(key, None)
        else:
            row[key] = value
    return tables


def sized(height: float, width: float, thickness: float, **changes: object) -> Tables:
    """Return a coherent book of a size, everything else in proportion, with changes."""
    whole: dict[str, dict[str, object]] = {
        "text_block": {
            "height": height, "width": width, "thickness": thickness,
            "leaf_thickness": max(0.01, round(thickness / 330, 4)),
        },
        "spine": {
            "girth_head": thickness * 1.1, "girth_tail": thickness * 1.1,
            "round_depth": thickness * 0.2, "shoulder": min(2.0, thickness / 10),
        },
        "cover": {
            "board_height": height + 6, "board_width": width, "side_height": height + 6,
            "side_width": width, "spine_width": thickness, "spine_width_head": thickness,
            "spine_width_tail": thickness, "turn_in": min(12.0, height / 4),
        },
        "sewing": {
            "kettles": [height * 0.05, height * 0.95], "supports_at": [height / 4, height / 2, height * 0.75],
            "support_width": min(40.0, height / 20),
        },
        "album": {"leaf_height": height, "leaf_width": width},
    }  # fmt: skip
    proportions = {f"{table}__{key}": v for table, row in whole.items() for key, v in row.items()}
    return book(**{**proportions, **changes})


NO_SUPPORTS: Mapping[str, object] = {
    "sewing__kettles": None, "sewing__supports_at": None, "sewing__support_width": None,
    "sewing__supports": "none",
}  # fmt: skip
LONE: Mapping[str, object] = {
    "text_block__leaves": 2, "text_block__gatherings": 1, "text_block__leaves_per_gathering": 2,
}  # fmt: skip


def _folds() -> Tables:
    tables = book()
    tables["sewing.fold"] = [
        {"gathering": g, "folios": 1 + g % 64, "holes": [float(y) for y in range(1, 240, 5 + g)]}
        for g in range(1, 41)
    ]
    return tables


BOOKS: dict[str, Tables] = {
    # sizes
    "smallest": sized(
        20.0, 15.0, 0.5, **NO_SUPPORTS, **LONE, cover__square_head=0.0, cover__square_tail=0.0,
        cover__board_height=20.0, cover__side_height=20.0, cover__board_thickness=0.2, book__weight=0.005,
        cover__board_weight=0.001, album__leaves=1, cover__turn_in=0.0,
    ),
    "pocket book": sized(60.0, 45.0, 8.0, text_block__leaves=64, text_block__gatherings=8),
    "two metres tall": sized(2000.0, 1500.0, 100.0, book__weight=60.0, text_block__leaves=300),
    "400 thick": sized(
        600.0, 400.0, 400.0, book__weight=70.0, text_block__gatherings=600, text_block__leaves=4800,
        text_block__leaf_thickness=0.08,
    ),
    "half a millimetre thick": sized(300.0, 200.0, 0.5, **LONE, text_block__leaf_thickness=0.2),
    "two metres wide": sized(100.0, 2000.0, 30.0, book__weight=5.0),
    "one gathering": sized(
        200.0, 140.0, 5.0, text_block__gatherings=1, text_block__leaves=32, text_block__leaves_per_gathering=32,
    ),
    "two gatherings": sized(
        200.0, 140.0, 8.0, text_block__gatherings=2, text_block__leaves=32, text_block__leaves_per_gathering=16,
    ),
    "600 gatherings": sized(
        300.0, 200.0, 250.0, text_block__gatherings=600, text_block__leaves=4800, book__weight=12.0,
        text_block__leaf_thickness=0.05,
    ),
    "80 kg of weak paper": book(book__weight=80.0, text_block__tear_strength=10.0),
    "light and strong": book(book__weight=0.3, text_block__tear_strength=20000.0),
    # old holes
    "a station each 2 mm": book(**NO_SUPPORTS, sewing__stations=[float(y) for y in range(0, 241, 2)]),
    "200 stations": book(**NO_SUPPORTS, sewing__stations=[y * 1.2 for y in range(200)]),
    "supports that touch": book(sewing__supports_at=[float(y) for y in range(6, 231, 12)]),
    "end bands tied to the middle": book(sewing__tie_down=80.0),
    "every fold its own": _folds(),
    # shoulders and joints
    "no shoulder": book(spine__shoulder=0.0),
    "shoulder of 30": book(spine__shoulder=30.0, spine__girth_head=None, spine__girth_tail=None),
    "shoulder leaning in": book(spine__shoulder_angle=20.0),
    "shoulder leaning out": book(spine__shoulder_angle=160.0, cover__joint_gap=5.6),
    "flush": book(cover__joint="flush", spine__shoulder=0.0, cover__joint_gap=0.0),
    "flush with a shoulder": book(cover__joint="flush"),
    "french": book(cover__joint="french", cover__joint_gap=6.4),
    "french without a gap": book(cover__joint="french", cover__joint_gap=0.0),
    "french over 60": book(cover__joint="french", cover__joint_gap=60.0),
    "tight, no gap, no shoulder": book(cover__joint="tight", spine__shoulder=0.0, cover__joint_gap=0.0),
    "tight over 60": book(cover__joint_gap=60.0),
    "right to left": book(
        book__reading="right-to-left", spine__girth_tail=49.0, cover__front__board_thickness=4.0
    ),
    "boards as unlike as can be": book(
        cover__front__board_thickness=0.2, cover__back__board_thickness=40.0, cover__front__board_height=243.0,
        cover__front__square_head=0.0, cover__back__joint="french", cover__back__joint_gap=6.0,
        spine__shoulder_front=0.0, spine__shoulder_back=9.0,
    ),
    "boards of 40": book(cover__board_thickness=40.0),
    "boards of card": book(cover__board_thickness=0.2),
    # shapes of the spine
    "fallen in": book(
        spine__profile="concave", spine__round_depth=-3.0, spine__girth_head=44.5, spine__girth_tail=44.5
    ),
    "fallen in far": book(
        spine__profile="concave", spine__round_depth=-40.0, spine__girth_head=100.0, spine__girth_tail=100.0,
        spine__linings=20.0,
    ),
    "fallen in, depth unknown": book(spine__profile="concave", spine__round_depth=None),
    "round as a barrel": book(spine__round_depth=44.0, spine__girth_head=130.0, spine__girth_tail=130.0),
    "round, no strip": book(spine__round_depth=44.0, spine__girth_head=None, spine__girth_tail=None),
    "flat": book(
        spine__profile="flat", spine__round_depth=0.0, spine__shoulder=0.0, spine__girth_head=40.0,
        spine__girth_tail=40.0,
    ),
    "flat by name, round by strip": book(
        spine__profile="flat", spine__round_depth=None, spine__girth_head=46.0, spine__girth_tail=46.0
    ),
    "tail twice the head": book(spine__girth_head=36.0, spine__girth_tail=82.0),
    "head twice the tail": book(spine__girth_head=82.0, spine__girth_tail=36.0),
    "strip shorter than the chord by its errors": book(spine__girth_head=41.0, spine__girth_tail=41.0),
    "linings of 20": book(spine__linings=20.0),
    "strip over 20": book(spine__strip_over=20.0),
    # covers
    "squares of 80": book(
        cover__square_head=80.0, cover__square_tail=80.0, cover__board_height=400.0,
        cover__square_tail_spine=80.0, cover__square_tail_fore_edge=0.0, cover__square_fore_edge=80.0,
    ),
    "no squares": book(
        cover__square_head=0.0, cover__square_tail=0.0, cover__board_height=240.0, cover__square_tail_spine=0.0,
        cover__square_tail_fore_edge=0.0, cover__square_fore_edge=0.0,
    ),
    "cover spine of 900": book(
        cover__spine_width=900.0, cover__spine_width_head=900.0, cover__spine_width_tail=900.0
    ),
    "cover spine of nothing": book(
        cover__spine_width=0.5, cover__spine_width_head=0.5, cover__spine_width_tail=0.5
    ),
    "cover spine a wedge": book(cover__spine_width_head=40.0, cover__spine_width_tail=90.0),
    "limp": book(cover__kind="limp", cover__board_thickness=None),
    "case": book(cover__kind="case"),
    "wooden boards": book(cover__kind="wooden boards"),
    "raised bands": book(sewing__supports="raised"),
    # words
    "title without a break": book(book__title="W" * 200, book__note="note " * 200),
    "title in other letters": book(book__title="日本語の本"),
    "title of marks": book(book__title='<b>&amp;</b> {x} %s $x \\n "q"', book__owner="{owner}"),
    "longest id": book(book__id="W" * 64),
    # measuring and albums
    "an error of 5": book(measuring__error=5.0),
    "nothing said of the measuring": book(measuring__error=None, measuring__on=None),
    "album of 1": book(album__leaves=1),
    "album of 2000": book(album__leaves=2000),
    "album stuffed": book(album__contents_thickness=60.0, album__leaf_thickness=5.0),
    "album empty": book(album__contents_thickness=0.0, album__leaf_thickness=0.01),
    "album without stubs": book(album__old_stub=0.0),
    "album of wide stubs": book(album__old_stub=200.0),
    "album without margin": book(album__inner_margin=0.0),
    "album uneven": book(album__contents_thickness=[i * 7 % 11 / 3 for i in range(40)]),
    "album of folios": book(album__kind="folios"),
}  # fmt: skip


def limits() -> Iterator[tuple[str, str, Tables]]:
    """Yield field, which end, and the usual book with that field at that end of its range."""
    for field in FIELDS:
        if field.table in LIST_TABLES or not (field.unit or field.kind == "count" or field.words):
            continue
        ends: dict[str, object] = {"least": field.low, "most": field.high}
        if field.words:
            ends = {word: word for word in field.words}
        elif field.kind == "count":
            ends = {end: int(str(value).split(".")[0]) for end, value in ends.items()}
        elif field.kind in ("lengths", "three lengths"):
            continue
        for end, value in ends.items():
            changes = {f"{field.table}.{field.key}".replace(".", "__"): value}
            if field.key == "shoulder_angle":  # a tip that leans over the board is refused
                changes["cover__joint_gap"] = 5.6
            yield field.name, end, book(**changes)


def toml(tables: Tables) -> str:
    """Return the record's text."""
    return written(tables)
