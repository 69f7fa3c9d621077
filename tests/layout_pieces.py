"""Pieces for the tests of the cutting pages: some plain, some awkward, some drawn at random."""

from __future__ import annotations

import itertools
from typing import Literal

from hypothesis import strategies as st

from patterns.model.drawing import Point, Ring
from patterns.model.part import Diagram, Part
from patterns.model.pattern import Pattern
from patterns.model.piece import Dimension, Fold, Hole, Label, Piece, Zone
from patterns.model.stitches import Proof, Sewing


def band(left: float, right: float, height: float) -> Ring:
    """Return an upright band over a height."""
    return ((left, 0.0), (right, 0.0), (right, height), (left, height))


def tube(width: float = 51.2, height: float = 196.0) -> Piece:
    """Return the strip of a hollow tube, one on and two off, pasted on both faces."""
    edges = (0.0, width, 2 * width + 0.1, 3 * width + 0.3)
    panels = [band(a, b, height) for a, b in itertools.pairwise(edges)]
    return Piece(
        "strip",
        "hollow_tube",
        "kraft lining paper",
        0.12,
        band(0.0, edges[3], height),
        "head-tail",
        title="Tube strip",
        folds=tuple(
            Fold("valley", ((x, 0.0), (x, height)), f"{i} · fold over")
            for i, x in enumerate(edges[1:3], 1)
        ),
        zones=(
            Zone("free", "up", "", panels[0], words="inside of the tube: no paste"),
            Zone("free", "up", "", panels[1], words="inside of the tube: no paste"),
            Zone("pasted", "up", "off 1", panels[2], "wheat starch paste", "pasted over off 1"),
            Zone("pasted", "under", "off 2", panels[0], "wheat starch paste"),
            Zone("pasted", "under", "the spine", panels[1], "wheat starch paste"),
            Zone("pasted", "under", "the cover", panels[2], "wheat starch paste"),
        ),
        dimensions=tuple(
            Dimension((a, 0.0), (b, 0.0), "head") for a, b in itertools.pairwise(edges)
        ),
        labels=tuple(
            Label(((p[0][0] + p[1][0]) / 2, 70.0), name, "name", within=p)
            for p, name in zip(panels, ("off 1", "on 1", "off 2"), strict=True)
        ),
        tolerance_mm=1.5,
        lies_on_mm=0.3,
        notes=("Every crease folds the same way.",),
    )


def inlay() -> Piece:
    """Return a tapered spine inlay."""
    outline = ((2.5, 0.0), (52.5, 0.0), (55.0, 200.0), (0.0, 200.0))
    return Piece(
        "inlay",
        "spine_inlay",
        "spine card",
        0.4,
        outline,
        "head-tail",
        references=(((27.5, 0.0), (27.5, 200.0)),),
        left="BACK",
        right="FRONT",
        zones=(Zone("pasted", "under", "the cover only", outline, "wheat starch paste"),),
        dimensions=(Dimension((2.5, 0.0), (52.5, 0.0), "head"),),
        lies_on_mm=0.3,
        spine_joint_free=True,
    )


def long_lining() -> Piece:
    """Return a piece 400 mm long, its spine not to be divided."""
    return Piece(
        "lining",
        "secondary_sewing",
        "linen",
        0.3,
        band(0.0, 150.0, 400.0),
        "warp head-tail",
        left="BACK",
        right="FRONT",
        references=(((40.0, 0.0), (40.0, 400.0)), ((110.0, 0.0), (110.0, 400.0))),
        zones=(Zone("pasted", "under", "the first lining", band(40.0, 110.0, 400.0), "paste"),),
        holes=tuple(Hole((45.0 + 3 * i, 20.0 + 23 * i), f"g{i + 1}") for i in range(16)),
        spine_joint_free=True,
    )


def tiny_tag() -> Piece:
    """Return a tag hardly larger than its own words."""
    return Piece(
        "tag", "board_slot", "card", 0.5, band(0.0, 12.0, 18.0), "any", quantity=4, stock=False
    )


def pricking_strip(name: str = "A") -> Piece:
    """Return a strip 40 × 330 with 20 holes and the distances between them."""
    ys = [12.0 + 16.1 * i for i in range(20)]
    return Piece(
        f"pricking strip {name}",
        "secondary_sewing",
        "paper",
        0.1,
        ((0.0, 0.0), (40.0, 0.0), (40.0, 327.0), (37.0, 330.0), (0.0, 330.0)),
        "any",
        stock=False,
        face_up="fold in half, into the fold of the gathering",
        folds=(Fold("valley", ((20.0, 0.0), (20.0, 330.0)), "fold"),),
        left="BACK",
        right="FRONT",
        holes=tuple(Hole((20.0, y), f"{y:.1f}", old=i % 5 == 0) for i, y in enumerate(ys)),
        dimensions=tuple(
            Dimension((20.0, a), (20.0, b), "left") for a, b in itertools.pairwise(ys)
        ),
    )


def crowded_lining() -> Piece:
    """Return a lining 90 × 305 with 60 holes, more labels than it has room for."""
    ys = [14 + (i // 15) * 72 + (i % 2) * 15 + (i % 3) * 11.0 for i in range(60)]
    return Piece(
        "crowded lining",
        "secondary_sewing",
        "fine cotton",
        0.2,
        band(0.0, 90.0, 305.0),
        "warp head-tail",
        left="BACK",
        right="FRONT",
        holes=tuple(
            Hole((20 + (i % 15) * 3.6, y), f"gathering {i % 15 + 1} at {y:.1f}")
            for i, y in enumerate(ys)
        ),
        zones=(Zone("pasted", "up", "the tissue", band(18.0, 72.0, 305.0), "paste"),),
    )


EVERY = (tube(), inlay(), long_lining(), tiny_tag(), pricking_strip(), crowded_lining())


def pattern(*pieces: Piece, diagrams: tuple[Diagram, ...] = (), sewn: bool = False) -> Pattern:
    """Return a pattern of one part with these pieces."""
    part = Part(
        "test_structure",
        "Test structure",
        None,
        pieces,
        diagrams,
        boxes=("TOO WEAK: the paper bears 0.7 N, each stitch must hold 1.5 N.",),
        sewing=Sewing((), (), (), 0.0, Proof("")) if sewn else None,
    )
    return Pattern(
        "CHART-07", "Pilot’s chart book", ("test",), "2026-11-25", "0.1.0", (part,), (), ()
    )


WORDS = st.text("abcdefghijkl mnoprstuvwxyz 0123456789", min_size=1, max_size=24)


KINDS: st.SearchStrategy[Literal["pasted", "free"]] = st.sampled_from(("pasted", "free"))
FACES: st.SearchStrategy[Literal["up", "under"]] = st.sampled_from(("up", "under"))


@st.composite
def drawn_pieces(draw: st.DrawFn) -> Piece:
    """Draw a piece from a thumbnail to twice the page, with folds, holes, zones and labels."""
    width, height = draw(st.floats(8, 420)), draw(st.floats(10, 620))
    taper = draw(st.floats(-0.08, 0.08)) * width
    inside = st.tuples(st.floats(0.05, 0.95), st.floats(0.02, 0.98))

    def place(share: Point) -> Point:
        return (share[0] * width, share[1] * height)

    outline = (
        (max(taper, 0.0), 0.0),
        (width - max(taper, 0.0), 0.0),
        (width - max(-taper, 0.0), height),
        (max(-taper, 0.0), height),
    )
    edges = sorted({0.0, width, *draw(st.lists(st.floats(0.1, 0.9), max_size=4))})
    edges = [x if x in (0.0, width) else x * width for x in edges]
    edges.sort()
    panels = [band(a, b, height) for a, b in itertools.pairwise(edges) if b - a > 0.5]
    kinds = draw(st.lists(KINDS, min_size=8, max_size=8))
    faces = draw(st.lists(FACES, min_size=8, max_size=8))
    ranks: tuple[Literal["name", "note", "small"], ...] = ("name", "note", "small")
    holes = draw(st.lists(inside, max_size=25))
    return Piece(
        draw(WORDS),
        "test_structure",
        "linen cloth",
        0.3,
        outline,
        draw(st.sampled_from(("head-tail", "spine-fore edge", "warp head-tail", "any"))),
        quantity=draw(st.integers(1, 3)),
        folds=tuple(
            Fold("mountain", ((x, 0.0), (x, height)), f"fold {x:.1f}") for x in edges[1:-1]
        ),
        zones=tuple(
            Zone(kind, face, draw(WORDS), ring, "wheat starch paste")
            for kind, face, ring in zip(kinds, faces, panels, strict=False)
        ),
        holes=tuple(Hole(place(share), f"{share[1] * height:.1f}") for share in holes),
        dimensions=tuple(
            Dimension((a, 0.0), (b, 0.0), draw(st.sampled_from(("head", "tail"))))
            for a, b in itertools.pairwise(edges)
        ),
        labels=tuple(
            Label(place(share), draw(WORDS), rank)
            for share, rank in zip(draw(st.lists(inside, max_size=3)), ranks, strict=False)
        ),
        left=draw(st.sampled_from(("", "BACK"))),
        right=draw(st.sampled_from(("", "FRONT"))),
        lies_on_mm=draw(st.sampled_from((None, 0.0, 0.42))),
        notes=tuple(draw(st.lists(WORDS, max_size=2))),
        spine_joint_free=draw(st.booleans()),
        stock=draw(st.booleans()),
    )
