"""Every structure at its defaults, at every limit, and on drawn settings: sound or refused."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from patterns.drafting.making import laid_out
from patterns.drafting.order import Drafted
from patterns.errors import MendfoldError
from patterns.structures import catalogue
from patterns.structures.parameter import Parameter
from patterns.writers.svg import svg_text
from tests.books import drafted

NAMES = tuple(catalogue.templates())


def rungs() -> Iterator[tuple[str, str, str]]:
    """Yield structure, parameter and value: every minimum, every maximum, every choice."""
    for name, one in catalogue.templates().items():
        for row in one.parameters.values():
            for value in _limits(row):
                yield name, row.name, value


def _limits(row: Parameter) -> list[str]:
    if row.choices:
        return list(row.choices)
    if row.kind == "flag":
        return ["yes", "no"]
    return [f"{value:g}" for value in (row.minimum, row.maximum) if value is not None]


def sound(found: Drafted) -> None:
    """Outlines are valid and simple; folds, holes, slits and zones lie within them."""
    for part in found.pattern.parts:
        assert part.pieces or part.diagrams or "not drawn yet" in part.warnings[0]
        assert not any(line.startswith((part.structure, part.title)) for line in part.warnings)
        for piece in part.pieces:
            shape = Polygon(piece.outline)
            assert shape.is_valid, piece.name
            assert shape.area > 0
            inside = shape.buffer(0.02)
            for fold in piece.folds:
                assert inside.covers(LineString(fold.line)), (piece.name, fold)
            for hole in piece.holes:
                assert inside.covers(Point(hole.at)), (piece.name, hole)
            for slit in piece.slits:
                assert inside.covers(LineString(slit)), (piece.name, slit)
            for zone in piece.zones:
                ring = Polygon(zone.outline)
                assert ring.is_valid, (piece.name, zone.to)
                assert inside.covers(ring), (piece.name, zone.to)
            if piece.rough:
                assert Polygon(piece.rough).buffer(0.02).covers(shape)


def sound_or_refused(name: str, values: dict[str, object]) -> None:
    """Draft the example with these settings: sound pieces, or one line that says what to do."""
    refusal = ""
    try:
        sound(drafted(catalogue.find(name).example, name, **values))
    except MendfoldError as error:
        refusal = str(error)
    assert "\n" not in refusal
    assert not refusal or len(refusal) > 30


@pytest.mark.parametrize("name", NAMES)
def test_defaults_give_sound_pieces_and_the_same_text_twice(name: str) -> None:
    """The example record drafts without a setting, soundly, and equally a second time."""
    example = catalogue.find(name).example
    first, second = drafted(example, name), drafted(example, name)
    sound(first)
    assert svg_text(laid_out(first.pattern), name) == svg_text(laid_out(second.pattern), name)


@pytest.mark.parametrize(("name", "parameter", "value"), list(rungs()))
def test_every_limit_is_sound_or_refused_in_one_line(name: str, parameter: str, value: str) -> None:
    """A parameter at its limit gives sound pieces, or a refusal that says what to do."""
    sound_or_refused(name, {f"{name}__{parameter}": value})


@pytest.mark.parametrize("name", NAMES)
@settings(max_examples=12, deadline=None, derandomize=True)
@given(data=st.data())
def test_drawn_settings_are_sound_or_refused(name: str, data: st.DataObject) -> None:
    """Settings drawn within their ranges give sound pieces or one line."""
    rows = [row for row in catalogue.find(name).parameters.values() if _limits(row)]
    chosen = data.draw(st.lists(st.sampled_from(rows), unique=True, max_size=4))
    values = {f"{name}__{row.name}": data.draw(_value(row), label=row.name) for row in chosen}
    sound_or_refused(name, values)


def _value(row: Parameter) -> st.SearchStrategy[object]:
    if row.choices:
        return st.sampled_from(row.choices)
    if row.kind == "flag":
        return st.sampled_from(["yes", "no"])
    assert row.minimum is not None
    assert row.maximum is not None
    if row.kind == "whole":
        return st.integers(int(row.minimum), int(row.maximum))
    steps = int((row.maximum - row.minimum) * 10)
    return st.integers(0, steps).map(lambda n: round((row.minimum or 0.0) + n / 10, 1))
