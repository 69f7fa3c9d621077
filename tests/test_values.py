"""A quickly made frozen value behaves as the standard library's frozen dataclass does."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import field

import pytest

from patterns.values import dataclass


@dataclass(frozen=True, slots=True)
class Ours:
    """A value set up by this project."""

    name: str
    size: float = 1.0
    parts: dict[str, int] = field(default_factory=dict, hash=False)
    note: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Wider(Ours):
    """One field more than its parent."""

    depth: float = 2.0


@dataclasses.dataclass(frozen=True, slots=True)
class Theirs:
    """The same value set up by the standard library."""

    name: str
    size: float = 1.0
    parts: dict[str, int] = field(default_factory=dict, hash=False)
    note: str = field(default="", compare=False, repr=False)


CASES = [
    {"name": "a"},
    {"name": "a", "note": "not compared"},
    {"name": "a", "parts": {"x": 1}},
    {"name": "b", "size": -0.5},
]


def test_equality_hash_and_words_are_those_of_the_standard_library() -> None:
    """Every pair of values is equal here exactly where it is equal there."""
    for one in CASES:
        assert repr(Ours(**one)) == repr(Theirs(**one)).replace("Theirs", "Ours")  # type: ignore[arg-type]
        for other in CASES:
            ours = Ours(**one) == Ours(**other)  # type: ignore[arg-type]
            assert ours == (Theirs(**one) == Theirs(**other))  # type: ignore[arg-type]
            if ours:
                assert hash(Ours(**one)) == hash(Ours(**other))  # type: ignore[arg-type]
    others: tuple[object, ...] = (Theirs("a"), Wider("a"))
    assert Ours("a") not in others


def test_nothing_can_be_changed_or_hung_on() -> None:
    """Setting, deleting and adding are refused with the standard library's error."""
    value = Ours("a")
    for name in ("name", "other"):
        with pytest.raises(dataclasses.FrozenInstanceError, match=name):
            setattr(value, name, 1)
    with pytest.raises(dataclasses.FrozenInstanceError):
        del value.name
    assert not hasattr(value, "__dict__")


def test_fields_replace_matching_and_defaults() -> None:
    """What the standard library does with dataclasses it does with these."""
    wider = dataclasses.replace(Wider("a"), depth=3.0)
    assert [one.name for one in dataclasses.fields(wider)] == [
        "name", "size", "parts", "note", "depth",
    ]  # fmt: skip
    assert dataclasses.astuple(wider) == ("a", 1.0, {}, "", 3.0)
    assert Ours("a").parts is not Ours("a").parts
    match wider:
        case Wider(name, size, depth=depth):
            assert (name, size, depth) == ("a", 1.0, 3.0)
    with pytest.raises(TypeError, match="name"):
        Ours()  # type: ignore[call-arg]


def test_copies_and_processes() -> None:
    """A value survives copying and the way to another process."""
    value = Wider("a", 2.0, {"x": 1}, "kept")
    for twin in (copy.deepcopy(value), pickle.loads(pickle.dumps(value))):
        assert twin == value
        assert twin.note == "kept"


def test_anything_else_is_left_to_the_standard_library() -> None:
    """Only what is both frozen and slotted is made here."""

    @dataclass(slots=True)
    class Open:
        size: float

    value = Open(1.0)
    value.size = 2.0
    assert value == Open(2.0)
