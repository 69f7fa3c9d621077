"""The document mendfold-pattern/1: it reads back what it wrote, and refuses what is not of its shape."""

from __future__ import annotations

import json
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import patterns
from patterns.commands.demo import orders
from patterns.drafting.job import draft
from patterns.drafting.making import make
from patterns.drafting.order import Order
from patterns.model import values as model_values
from patterns.model.documents import DEEPEST, LARGEST_BYTES, LARGEST_NUMBER, Misshapen
from patterns.model.kept import (
    FORMAT,
    PAPER,
    PRINTER,
    Factors,
    KeptCheck,
    KeptFigure,
    KeptFold,
    KeptMaterial,
    KeptPattern,
    KeptPiece,
    KeptSheet,
    KeptStep,
    KeptZone,
)
from patterns.model.stitches import Pass, Proof, Stitch

GALLERY = Path(patterns.__file__).parent.parent / "gallery"
KEPT = sorted(GALLERY.glob("*/r0001/pattern.json"))

numbers = st.floats(-LARGEST_NUMBER, LARGEST_NUMBER).map(model_values.rounded)
words = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
points = st.tuples(numbers, numbers)
rings = st.lists(points, max_size=5).map(tuple)
scalars = words | numbers | st.booleans() | st.none() | st.integers(-1000, 1000)


def some(one: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    """Draw a few of one kind."""
    return st.lists(one, max_size=3).map(tuple)


def by_word(one: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Draw a few of one kind, each by a word."""
    return st.dictionaries(words, one, max_size=3)


values = st.recursive(scalars, lambda one: some(one) | by_word(one), max_leaves=6)
holding = st.builds(
    KeptPiece,
    name=words, structures=some(words), material=words, quantity=st.integers(1, 900), grain=words,
    stock=st.booleans(), width_mm=numbers, height_mm=numbers, thickness_mm=numbers,
    outline_mm=rings, cut_first_mm=rings, openings_mm=some(rings), holes_mm=rings,
    old_holes_mm=rings,
    folds=some(st.builds(KeptFold, st.sampled_from(["valley", "mountain"]), st.tuples(points, points))),
    slits=some(st.tuples(points, points)),
    zones=some(
        st.builds(
            KeptZone, st.sampled_from(["pasted", "free"]), st.sampled_from(["up", "under"]), words,
            words, rings,
        )
    ),
)  # fmt: skip
moves = st.tuples(words) | st.tuples(words, numbers)
kept_patterns = st.builds(
    KeptPattern,
    format=st.just(FORMAT), mendfold=words, structures=some(words), record=by_word(values),
    parameters=by_word(by_word(values)),
    materials=by_word(
        by_word(
            st.builds(
                KeptMaterial, words, words, by_word(st.builds(KeptFigure, numbers, words, words))
            )
        )
    ),
    paper=words, printer=words, correction=st.builds(Factors, numbers, numbers),
    quantities=by_word(scalars), pieces=some(holding), stations_mm=some(numbers),
    stitches=some(st.builds(Stitch, st.integers(1, 99), numbers, numbers, numbers | st.none())),
    path=some(st.builds(Pass, st.integers(1, 99), some(moves))), thread_mm=numbers,
    proof=st.none() | st.builds(Proof, words, numbers | st.none()),
    sewing=st.none() | by_word(values),
    sheets=some(st.builds(KeptSheet, words, st.integers(1, 99), numbers, numbers, words, words, some(words))),
    warnings=some(words), boxes=some(words),
    steps=some(st.builds(KeptStep, words, words, words, some(words))),
    checks=some(st.builds(KeptCheck, words, words, numbers, words, words)),
)  # fmt: skip


@given(kept_patterns)
def test_a_pattern_reads_back(kept: KeptPattern) -> None:
    """What was written is read as the very same value, and written again as the same bytes."""
    written = kept.to_json()
    again = KeptPattern.from_json(written)
    assert again == kept
    assert again.to_json() == written


@pytest.mark.parametrize("order", orders(), ids=lambda order: order.structures[0])
def test_a_draft_s_own_document_reads_back(order: Order) -> None:
    """The bytes of pattern.json are those of the value it reads as."""
    data = make(draft(order)).files["pattern.json"]
    assert KeptPattern.from_json(data).to_json() == data


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.parts[-3])
def test_the_gallery_s_patterns_are_read_whole(path: Path) -> None:
    """Every key on the disk is a field, and every figure comes back as it stands there."""
    data = path.read_bytes()
    kept = KeptPattern.from_json(data)
    assert json.loads(kept.to_json()) == json.loads(data)
    assert kept.to_json() == data


def test_there_is_one_for_every_order_of_the_demonstration() -> None:
    assert len(KEPT) == len(orders())


OPTIONAL = {
    "record": {}, "parameters": {}, "materials": {}, "paper": PAPER, "printer": PRINTER,
    "correction": Factors(1.0, 1.0), "quantities": {}, "pieces": (), "stations_mm": (),
    "stitches": (), "path": (), "thread_mm": 0.0, "proof": None, "sewing": None, "sheets": (),
    "warnings": (), "boxes": (), "steps": (), "checks": (),
}  # fmt: skip
"""What a pattern says that lacks the key."""


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.parts[-3])
@pytest.mark.parametrize("name", OPTIONAL)
def test_a_key_that_an_older_gallery_lacks_has_a_default(path: Path, name: str) -> None:
    tree = json.loads(path.read_bytes())
    tree.pop(name, None)
    kept = KeptPattern.from_json(json.dumps(tree).encode())
    assert getattr(kept, name) == OPTIONAL[name]


def test_a_piece_of_an_older_gallery_is_cut_from_stock_once_and_has_no_holes() -> None:
    piece = {"name": "strip", "outline_mm": [[0, 0], [51, 0], [51, 190], [0, 190]]}
    (read,) = KeptPattern.from_json(document(pieces=[piece])).pieces
    assert (read.stock, read.quantity, read.grain) == (True, 1, "any")
    assert (len(read.holes_mm), len(read.openings_mm), len(read.zones)) == (0, 0, 0)
    assert read.outline_mm == ((0, 0), (51, 0), (51, 190), (0, 190))


def test_keys_of_a_later_version_are_passed_over() -> None:
    kept = KeptPattern.from_json(
        document(mood="calm", pieces=[{"name": "strip", "smell": "of glue"}])
    )
    assert kept == KeptPattern(FORMAT, "0.1.0", ("hollow_tube",), pieces=(KeptPiece("strip"),))


def document(**keys: object) -> bytes:
    """Return a small document with some keys put in or replaced."""
    tree = {"format": FORMAT, "mendfold": "0.1.0", "structures": ["hollow_tube"], **keys}
    return json.dumps(tree).encode()


WRONG: tuple[tuple[dict[str, object], str, str], ...] = (
    ({"sheets": 5}, "sheets", "a list in [ ]"),
    ({"structures": [1, 2]}, "structures[1]", "words in quotes"),
    ({"structures": "hollow_tube"}, "structures", "a list in [ ]"),
    ({"format": 1}, "format", "words in quotes"),
    ({"format": "mendfold-treatment/1"}, "format", '"mendfold-pattern/1"'),
    ({"pieces": [{"name": "a"}, {"name": "b", "width_mm": "wide"}]}, "pieces[2].width_mm", "a number"),
    ({"pieces": [{"name": "a", "width_mm": True}]}, "pieces[1].width_mm", "a number"),
    ({"pieces": [{"name": "a", "quantity": 1.5}]}, "pieces[1].quantity", "a whole number"),
    ({"pieces": [{"name": "a", "stock": 1}]}, "pieces[1].stock", "true or false"),
    ({"pieces": [{"width_mm": 3}]}, "pieces[1].name", "only a document that has it"),
    ({"pieces": [["a"]]}, "pieces[1]", "a table in { }"),
    ({"pieces": [{"name": "a", "outline_mm": [[0, 0], [1]]}]}, "pieces[1].outline_mm[2]", "a list of 2"),
    ({"pieces": [{"name": "a", "outline_mm": [[0, 0], [1, "x"]]}]}, "pieces[1].outline_mm[2][2]", "a number"),
    ({"pieces": [{"name": "a", "height_mm": 10**30}]}, "pieces[1].height_mm", "a number from"),
    ({"pieces": [{"name": "a", "zones": [{"kind": "glued", "face": "up", "to": ""}]}]},
     "pieces[1].zones[1].kind", '"pasted" or "free"'),
    ({"parameters": {"hollow_tube": 3}}, "parameters.hollow_tube", "a table in { }"),
    ({"record": {"book": {"height": float("inf")}}}, "record.book.height", "a number from"),
    ({"quantities": {"strip_mm": float("nan")}}, "quantities.strip_mm", "a number from"),
    ({"quantities": {"strip_mm": [1]}}, "quantities.strip_mm", "words in quotes"),
    ({"correction": [1.0, 1.0]}, "correction", "a table in { }"),
    ({"materials": {"a": {"b": {"name": "c", "kind": "paper", "figures": {"d": {}}}}}},
     "materials.a.b.figures.d.value", "only a document that has it"),
    ({"steps": [{"phase": "prepare", "text": "\ud800"}]}, "steps[1].text", "words in quotes"),
    ({"record": {"\udfff": 1}}, "record", "words in quotes"),
)  # fmt: skip


@pytest.mark.parametrize(("keys", "where", "allowed"), WRONG, ids=lambda one: str(one)[:40])
def test_a_wrong_shape_is_named_by_its_key(
    keys: dict[str, object], where: str, allowed: str
) -> None:
    """One plain line: the key, what stands there, what may."""
    with pytest.raises(Misshapen) as refusal:
        KeptPattern.from_json(document(**keys))
    assert refusal.value.key.startswith(where)
    assert allowed in refusal.value.allowed
    line = str(refusal.value)
    assert line == line.strip()
    assert "\n" not in line
    assert len(line) < 400


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"", "no JSON"),
        (b"\xff\xfe", "no JSON"),
        (b"[1, 2", "no JSON"),
        (b"5", "5"),
        (b"[]", "a list of 0"),
        (b'{"format": ' + b"7" * 5000 + b"}", "no JSON"),
        (b"{" + b" " * LARGEST_BYTES + b"}", "20 MB"),
        (b"[" * 100_000, "brackets in brackets"),
        (b"[" * 900 + b"]" * 900, "brackets in brackets"),
        (b"[" + b"[]," * 600_000 + b"[]]", "too many values"),
    ],
    ids=lambda one: str(one[:12]),
)
def test_what_is_no_document_at_all_is_said(data: bytes, found: str) -> None:
    with pytest.raises(Misshapen) as refusal:
        KeptPattern.from_json(data)
    assert refusal.value.found.startswith(found)


@pytest.mark.parametrize("deep", [DEEPEST - 1, DEEPEST])
def test_brackets_may_be_nested_fifty_deep(deep: int) -> None:
    """A value of the record, `deep` lists in two tables."""
    inner = "[" * (deep - 2) + "]" * (deep - 2)
    data = document(record=0).replace(b'"record": 0', b'"record": {"a": %s}' % inner.encode())
    if deep < DEEPEST:
        assert KeptPattern.from_json(data).record
    else:
        with pytest.raises(Misshapen, match="at most 50 deep"):
            KeptPattern.from_json(data)


FLOODS: dict[str, Callable[[], bytes]] = {
    "empty lists": lambda: b"[" + b"[]," * 6_000_000 + b"[]]",
    "short tables": lambda: document(record={"a": [{"b": 1}] * 400_000}),
    "short words": lambda: document(warnings=["ab"] * 900_000),
}


@pytest.mark.parametrize("name", FLOODS)
def test_a_flood_of_small_values_costs_little_memory(name: str) -> None:
    """Twenty megabytes of `[],` would take more than 400 as Python has them."""
    data = FLOODS[name]()
    assert len(data) <= LARGEST_BYTES
    tracemalloc.start()
    try:
        KeptPattern.from_json(data)
    except Misshapen:
        pass
    finally:
        most = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
    assert most < 300e6


def pieces_of(tree: object) -> Iterator[tuple[str | int, ...]]:
    """Yield the way to every value of a tree."""
    yield ()
    if isinstance(tree, dict | list):
        for key, held in tree.items() if isinstance(tree, dict) else enumerate(tree):
            yield from ((key, *way) for way in pieces_of(held))


SMALL = json.loads(min(KEPT, key=lambda path: path.stat().st_size).read_bytes())
WAYS = sorted(pieces_of(SMALL), key=str)


@given(
    st.sampled_from(WAYS),
    st.none() | st.booleans() | numbers | words | st.just([[]]) | st.just({"a": {}}),
)
def test_any_value_put_in_another_s_place_is_read_or_refused(
    way: tuple[str | int, ...], put: object
) -> None:
    """Nothing but Misshapen comes out of a document with one value of another kind."""
    tree = json.loads(json.dumps(SMALL))
    if way:
        inner = tree
        for step in way[:-1]:
            inner = inner[step]
        inner[way[-1]] = put
    else:
        tree = put
    try:
        kept = KeptPattern.from_json(json.dumps(tree).encode())
    except Misshapen:
        return
    assert KeptPattern.from_json(kept.to_json()) == kept
