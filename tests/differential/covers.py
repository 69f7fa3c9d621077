"""Covers drawn for a block and its spine, boards and joints often unlike."""

from __future__ import annotations

from math import hypot, pi
from random import Random

from tests.differential.rows import Row, Tables, between, figure, tenth

COVERS = ("in-boards", "case", "limp", "wrapper", "wooden boards", "other")


def cover(chance: Random, block: Row, spine: Row, kind: str) -> Row:
    """Return a cover of a kind, its size from block and spine; a third were made for a thinner block."""
    height, width = figure(block, "height"), figure(block, "width")
    boards = kind in ("in-boards", "case", "wooden boards")
    head = between(chance, 1.5, 6) if boards else between(chance, 0, 3)
    tail = head if chance.random() < 0.5 else tenth(head * chance.uniform(0.8, 1.5))
    joint = chance.choices(
        ["tight", "french", "flush"],
        {"case": [1, 6, 1], "other": [2, 2, 2]}.get(kind, [7, 2, 1] if boards else [1, 0, 8]),
    )[0]
    gap = {"tight": between(chance, 0.5, 2), "french": between(chance, 4, 9), "flush": 0.0}[joint]
    fore = between(chance, 1.5, 7)
    row: Row = {
        "kind": kind,
        "joint": joint,
        "joint_gap": gap,
        "square_head": head,
        "square_tail": tail,
        "square_fore_edge": fore,
        "thickness": round(chance.uniform(0.3, 1.6), 2),
        "turn_in": 0.0 if chance.random() < 0.15 else between(chance, 8, 22),
    }
    if boards or kind == "other":
        row |= {
            "board_height": tenth(height + head + tail),
            "board_width": tenth(width + fore - (gap if joint == "french" else 0)),
            "board_thickness": tenth(
                chance.triangular(1.2, 9 if kind == "wooden boards" else 5, 2.5)
            ),
        }
    else:
        row |= {"side_height": tenth(height + head + tail), "side_width": tenth(width + fore)}
    across = around(spine, row) + chance.uniform(-0.3, 2.5)
    if chance.random() < 0.3:  # leaves were added since
        across *= chance.uniform(0.7, 0.98)
    row["spine_width"] = tenth(max(0.8, across))
    if chance.random() < 0.3:
        taper = chance.uniform(-1.0, 1.0)
        row["spine_width_head"] = tenth(max(0.6, across - taper))
        row["spine_width_tail"] = tenth(max(0.6, across + taper))
    if chance.random() < 0.5:
        row["square_tail_spine"] = tenth(tail * chance.uniform(0.85, 1.1))
        row["square_tail_fore_edge"] = tenth(tail * chance.uniform(1.0, 1.5))
    if chance.random() < 0.7:
        row["endband_head"] = row["endband_tail"] = chance.choice([0.0, 2.0, 2.5, 3.0])
    return row


def around(spine: Row, cover: Row) -> float:
    """Return how wide a cover's spine must be: round the block and over both its joints."""
    girth = max(figure(spine, "girth_head"), figure(spine, "girth_tail"))
    turned = pi * figure(cover, "thickness") / 2
    if "board_thickness" not in cover:
        return girth + turned
    gap, board = figure(cover, "joint_gap"), figure(cover, "board_thickness")
    shoulder = figure(spine, "shoulder")
    way = hypot(gap, board - shoulder)
    if cover["joint"] == "french":
        way = hypot(gap / 2, shoulder) + hypot(gap / 2, board)
    return girth + 2 * way + turned


def unequal_boards(chance: Random, cover: Row | list[Row]) -> Tables:
    """Return what one board has of its own, for a third of the books."""
    if isinstance(cover, list) or chance.random() < 0.65:
        return {}
    side: Row = {}
    if chance.random() < 0.7:
        side["board_thickness"] = tenth(figure(cover, "board_thickness") * chance.uniform(0.8, 1.3))
    if chance.random() < 0.3:
        side["board_width"] = tenth(figure(cover, "board_width") + chance.uniform(-2, 2))
    if chance.random() < 0.3:
        extra = chance.uniform(-1, 1.5)
        side["square_head"] = tenth(max(0, figure(cover, "square_head") + extra))
        side["board_height"] = tenth(figure(cover, "board_height") + extra)
    if chance.random() < 0.25:
        side["joint_gap"] = tenth(figure(cover, "joint_gap") + chance.uniform(0, 2))
    return {chance.choice(["cover.front", "cover.back"]): side} if side else {}
