"""Patterns drawn at random, as long-winded and as many-layered as a pattern may ever be."""

from __future__ import annotations

from hypothesis import strategies as st

from patterns.model.drawing import Line, LineKind
from patterns.model.part import Check, Diagram, Layer, Part, Step
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.stock import cautions

LETTERS = "abcdefghiklmnoprstuvwyzäéßÅλЖ–·½0123456789"
WORD = st.text(LETTERS, min_size=1, max_size=14)
LONG_WORD = st.text(LETTERS, min_size=1, max_size=90)
TEXT = st.lists(st.one_of(WORD, WORD, WORD, LONG_WORD), min_size=1, max_size=40).map(" ".join)
NAME = st.lists(WORD, min_size=1, max_size=4).map(" ".join)
SIZE = st.floats(1, 2000)


def rectangle(width: float, height: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))


PIECES = st.builds(
    Piece,
    name=NAME,
    structure=NAME,
    material=NAME,
    thickness_mm=st.floats(0.01, 40),
    outline=st.builds(rectangle, SIZE, SIZE),
    grain=st.sampled_from(["head-tail", "warp spine-fore edge", "any"]),
    quantity=st.integers(1, 5),
    title=st.one_of(st.just(""), NAME),
    stock=st.booleans(),
)
LAYERS = st.builds(
    Layer,
    name=NAME,
    material=st.one_of(st.just(""), NAME),
    thickness_mm=st.one_of(st.just(0.0), st.floats(0.01, 20)),
    left_mm=st.floats(-400, -1),
    right_mm=st.floats(1, 400),
    union=st.sampled_from(["pasted", "sewn", "free", "laced"]),
    union_sides=st.sampled_from(["pasted", "sewn", "free", "laced"]),
    on_spine=st.booleans(),
    existing=st.booleans(),
)
ONE_SIDED = st.builds(
    lambda layer, near, far, front: Layer(
        layer.name,
        layer.material,
        layer.thickness_mm,
        near if front else -near - far,
        near + far if front else -near,
        layer.union,
        layer.union_sides,
        False,
        layer.existing,
    ),
    LAYERS,
    st.floats(0, 60),
    st.floats(1, 300),
    st.booleans(),
)
DIAGRAMS = st.builds(
    lambda title, scale, width, height, notes: Diagram(
        title,
        "any",
        title,
        scale,
        width,
        height,
        (Line(LineKind.OUTLINE, rectangle(width, height), closed=True),),
        tuple(notes),
    ),
    NAME,
    st.sampled_from(["5:1", "not to scale", "1:1"]),
    st.floats(10, 500),
    st.floats(10, 500),
    st.lists(TEXT, max_size=2),
)
STEPS = st.builds(
    Step,
    phase=st.sampled_from(["record", "prepare", "sew", "finish"]),
    text=TEXT,
    cautions=st.lists(st.sampled_from(list(cautions.load())), max_size=3).map(tuple),
)
PARTS = st.builds(
    Part,
    structure=NAME,
    title=NAME,
    figures=st.none(),
    girth_mm=st.one_of(st.none(), st.floats(2, 200)),
    pieces=st.lists(PIECES, max_size=3).map(tuple),
    diagrams=st.lists(DIAGRAMS, max_size=2).map(tuple),
    layers=st.lists(st.one_of(LAYERS, LAYERS, ONE_SIDED), max_size=9).map(tuple),
    boxes=st.lists(TEXT, max_size=1).map(tuple),
    checks=st.lists(
        st.builds(Check, name=NAME, value=st.floats(-1e6, 1e6), unit=WORD, against=TEXT), max_size=2
    ).map(tuple),
)
PAIRS = st.lists(st.tuples(NAME, TEXT), max_size=4).map(tuple)
PATTERNS = st.builds(
    Pattern,
    book_id=st.text("ABCabc019-_", min_size=1, max_size=64),
    book_title=st.one_of(st.just(""), TEXT),
    structures=st.just(("any",)),
    record_date=st.sampled_from(["", "2026-11-25"]),
    version=st.just("0.1.0"),
    parts=st.lists(PARTS, min_size=1, max_size=3).map(tuple),
    steps=st.lists(STEPS, max_size=12).map(tuple),
    warnings=st.lists(TEXT, max_size=4).map(tuple),
    measurements=PAIRS,
    materials=PAIRS,
    tools=st.lists(NAME, max_size=10).map(tuple),
    undo=st.lists(TEXT, max_size=3).map(tuple),
    front_on_right=st.booleans(),
)
