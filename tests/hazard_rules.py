"""What a book's condition asks of the steps that touch it: this table is the tests' own, not the program's.

Ways and traits are read from the TOML files as they stand.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from patterns.drafting.order import Drafted
from patterns.model.part import Step
from patterns.model.pattern import Pattern
from patterns.record.record import ConditionTable
from patterns.structures import catalogue
from tests.books import demo, drafted

LEAVES, SKIN = frozenset({"leaf", "spine"}), frozenset({"leather", "cover"})
EVERYWHERE = frozenset({*LEAVES, *SKIN, "board"})
DRIEST = ("dry", "solvent", "sparing")


@dataclass(frozen=True)
class Asked:
    """What one condition asks of steps that wet these parts: which ways, which is always possible."""

    box: str
    on: frozenset[str]
    ways: tuple[str, ...]
    otherwise: str = ""
    judged: str = ""
    does: str = "wets"


BOOKS: dict[str, dict[str, Any]] = {
    "red rot": {"leather": "red-rot"},
    "parchment leaves": {"parchment": ("leaves",)},
    "parchment cover": {"parchment": ("cover",)},
    "parchment": {"parchment": ("leaves", "cover")},
    "photographs": {"photographs": True},
    "iron gall": {"iron_gall": True},
    "soluble": {"soluble_media": True},
    "inactive mould": {"mould": "inactive"},
    "green": {"green_cloth": True},
    "ink and photographs": {"iron_gall": True, "photographs": True},
    "red rot and photographs": {"leather": "red-rot", "photographs": True},
    "red rot and ink": {"leather": "red-rot", "iron_gall": True},
}
INK = "judgement of this very ink"
AWAY = "Every photograph out of reach"
"""What a step begins with that brings heat or a solvent to a book with photographs."""
ASKED: dict[str, tuple[Asked, ...]] = {
    "red rot": (Asked("Red-rotted", SKIN, ("dry", "solvent"), "solvent"),),
    "parchment leaves": (Asked("Parchment (leaves)", LEAVES, ("dry", "sparing"), "sparing"),),
    "parchment cover": (
        Asked("Parchment (cover)", SKIN, ("dry", "sparing"), "sparing"),
        Asked("Parchment (cover)", SKIN, (), judged="until it has aired out", does="solvent"),
    ),
    "parchment": (
        Asked("Parchment (leaves and cover)", LEAVES | SKIN, ("dry", "sparing"), "sparing"),
        Asked(
            "Parchment (leaves and cover)",
            LEAVES | SKIN,
            (),
            judged="until it has aired out",
            does="solvent",
        ),
    ),
    "photographs": (
        Asked("Photographs", LEAVES, ("dry", "sparing"), "sparing"),
        Asked("Photographs", EVERYWHERE, (), judged="out of reach of the solvent", does="solvent"),
        Asked("Photographs", EVERYWHERE, (), judged="far from the heat", does="heats"),
    ),
    "iron gall": (Asked("Iron-gall ink", LEAVES, ("dry", "solvent"), judged=INK),),
    "soluble": (
        Asked("Inks, dyes", LEAVES, ("dry", "solvent"), judged=INK),
        Asked("Inks, dyes", SKIN, ("dry", "solvent"), judged="every liquid is tested"),
    ),
    "inactive mould": (Asked("Inactive mould", EVERYWHERE, (), judged="as dry and as short"),),
    "green": (Asked("Green", SKIN, (), judged="judgement of this very green", does="cuts"),),
    "ink and photographs": (
        Asked("Photographs", LEAVES, ("dry", "sparing"), "sparing"),
        Asked("Iron-gall ink", LEAVES, ("dry", "solvent"), judged=INK),
        Asked("Photographs", EVERYWHERE, (), judged="out of reach of the solvent", does="solvent"),
        Asked("Photographs", EVERYWHERE, (), judged="far from the heat", does="heats"),
    ),
    "red rot and photographs": (
        Asked("Red-rotted", SKIN, ("dry", "solvent"), "solvent"),
        Asked("Photographs", LEAVES, ("dry", "sparing"), "sparing"),
        Asked("Photographs", EVERYWHERE, (), judged="out of reach of the solvent", does="solvent"),
    ),
    "red rot and ink": (
        Asked("Red-rotted", SKIN, ("dry", "solvent"), "solvent"),
        Asked("Iron-gall ink", LEAVES, ("dry", "solvent"), judged=INK),
    ),
}
"""Where two ask for ways that do not go together, the first wins and the other is judged."""
_BARELY = "dry, or barely damp, tested first, the parts under restraint"
_ROTTED = dict.fromkeys(
    {*SKIN, "board"}, "dry, with a thin spatula (no poultice: its water would reach the leather)"
)
_PICTURES = dict.fromkeys(LEAVES, "dry, with a thin spatula (no poultice near photographs)")
_INKED = dict.fromkeys(
    LEAVES,
    "dry, with a thin spatula (a poultice only by a conservator's judgement of this very ink)",
)
UNPASTED: dict[str, dict[str, str]] = {
    "red rot": _ROTTED,
    "parchment leaves": dict.fromkeys(LEAVES, _BARELY),
    "parchment cover": dict.fromkeys({*SKIN, "board"}, _BARELY),
    "parchment": dict.fromkeys(EVERYWHERE, _BARELY),
    "photographs": _PICTURES,
    "iron gall": _INKED,
    "soluble": dict.fromkeys(
        LEAVES | SKIN,
        "dry, with a thin spatula (a poultice only where every ink and dye was tested)",
    ),
    "inactive mould": dict.fromkeys(EVERYWHERE, "with a poultice, as dry and as short as can be"),
    "green": {},
    "ink and photographs": _PICTURES,
    "red rot and photographs": {**_ROTTED, **_PICTURES},
    "red rot and ink": {**_ROTTED, **_INKED},
}
"""How what stays pasted on such a book comes off; by a poultice where water does no harm."""
BOX_ALWAYS = {
    "photographs", "inactive mould", "green", "ink and photographs", "red rot and photographs",
}  # fmt: skip
STOPS: dict[str, dict[str, Any]] = {
    "active mould": {"mould": "active"},
    "pests": {"active_pests": True},
    "brittle": {"paper": "brittle"},
}
WRAPPING = {"flap_wrapper"} | {n for n, t in catalogue.templates().items() if t.encloses}
"""What lives in a book would be shut in with it."""
UNSEWN = {"joint_tacket", "secondary_sewing", "sewn_cloth_joint", "tissue_hinge"} | {
    name for name, template in catalogue.templates().items() if template.sewn == "old folds"
}
"""Brittle paper is not sewn through."""
OTHER_SETTINGS: dict[str, tuple[dict[str, str], ...]] = {
    "secondary_sewing": (
        {"line_folds": "yes"},
        {"pasted": "no"},
        {"path": "continuous", "stitches": "6"},
    ),
    "sewn_cloth_joint": ({"line_folds": "yes"},),
    "tissue_hinge": (
        {"adhesive": "wheat starch paste"},
        {"adhesive": "dry-set acrylic film"},
        {"adhesive": "solvent-set acrylic film", "line_folds": "yes"},
    ),
    "board_paper": ({"start": "board"}, {"adhesive": "solvent-set acrylic film"}),
}
"""Settings that bring steps which the example does without."""
OWN_WORDS = {"loss_infill", "tissue_hinge"}
"""These say more of the book's condition in warnings of their own."""
CASES: list[tuple[str, dict[str, str]]] = [(name, {}) for name in catalogue.names()]
CASES += [(name, given) for name, every in OTHER_SETTINGS.items() for given in every]


def in_condition(structure: str, settings: Mapping[str, str], **condition: object) -> Drafted:
    """Draft a structure's own example, its record in another condition."""
    template = catalogue.find(structure)
    book = replace(demo(template.example), condition=ConditionTable(**condition))  # type: ignore[arg-type]
    given = {key: str(value) for key, value in template.example_settings.items()}
    return drafted(book, structure, **given, **settings)


@cache
def _sound(structure: str, settings: tuple[tuple[str, str], ...]) -> Pattern:
    return in_condition(structure, dict(settings)).pattern


def sound(structure: str, settings: Mapping[str, str]) -> Pattern:
    return _sound(structure, tuple(settings.items()))


@cache
def declared(structure: str) -> tuple[dict[str, Any], ...]:
    """Return the rows of a template's steps, as they are written."""
    path = catalogue.folder() / f"{structure}.toml"
    return tuple(tomllib.loads(path.read_text(encoding="utf-8"))["steps"])


def says(text: str, printed: str) -> bool:
    """Tell whether words on a sheet are a template's text with figures filled in."""
    parts = re.split(r"\{\w+\}", text)
    return re.fullmatch(".*".join(map(re.escape, parts)), printed) is not None


def row_of(step: Step) -> dict[str, Any]:
    """Return the row that a step of a sound book was declared by; an empty one for every draft's own."""
    if not step.structure:
        return {}
    rows = [row for row in declared(step.structure) if says(row["text"], step.text)]
    if len(rows) > 1:  # told alike of a leaf and of a board
        rows = [row for row in rows if tuple(row.get("wets", ())) == step.traits.wets]
    assert len({f"{row.get('wets')}{row.get('instead')}" for row in rows}) == 1, step.text
    return rows[0]


def expected_way(row: Mapping[str, Any], asked: tuple[Asked, ...]) -> str:
    """Return how a step is done: by what all allow alike, the driest first, else by the first; "" as it is."""
    can = {*row.get("instead", ()), *(("solvent", "sparing") if "{bond}" in row["text"] else ())}
    allowed = []
    for one in asked:
        own = [way for way in one.ways if way in can] or [one.otherwise]
        allowed += [own] if one.ways else []
    alike = [way for way in DRIEST if allowed and all(way in own for own in allowed)]
    return next((way for way in (*alike, *(way for own in allowed for way in own)) if way), "")


def reached(row: Mapping[str, Any], asked: tuple[Asked, ...]) -> tuple[Asked, ...]:
    return tuple(one for one in asked if one.on & set(row.get(one.does, ())))


def brought(way: str, row: Mapping[str, Any], asked: tuple[Asked, ...]) -> tuple[Asked, ...]:
    """Return what is asked of a step besides, since it now reaches by a solvent what it wetted."""
    turned = (
        {"solvent": (*row.get("wets", ()), *row.get("solvent", ()))} if way == "solvent" else {}
    )
    return reached(turned, tuple(one for one in asked if one.does == "solvent"))


def check_step(
    now: Step, was: Step, way: str, row: Mapping[str, Any], asked: tuple[Asked, ...]
) -> None:
    """Check one step of a book that asks for a way against that of the sound book."""
    instead = row.get("instead", {}).get(way)
    away = any(one.box == "Photographs" and one.does != "wets" for one in asked)
    assert now.text.startswith(AWAY) == away
    now = replace(now, text=now.text.partition(". ")[2]) if away else now
    if way == "":
        assert (now.text, now.traits) == (was.text, was.traits)
        assert set(was.cautions) <= set(now.cautions)
        return
    assert now.text != was.text
    if instead:
        assert says(instead["text"], now.text)
    if way == "dry":
        assert instead
        assert not now.traits.wets
        assert not now.traits.solvent
    elif way == "solvent":
        assert "cellulose ether in ethanol" in now.text
        assert not now.traits.wets
        assert set(row["wets"]) <= set(now.traits.solvent)
        assert "ethanol" in now.cautions
    else:
        assert "nearly dry" in now.text.lower()
        assert "under restraint" in now.text
    if way != "dry":
        assert "tested first" in now.text


def numbers(words: str) -> set[int]:
    return set(map(int, re.findall(r"\d+", words)))


def numbers_told(box: str, told: str) -> set[int]:
    """Return the numbers of the steps that a box tells so."""
    return {n for part in box.rstrip(".").split("; ") if told in part for n in numbers(part)}


TOLD = {"dry": "dry, by hand", "solvent": "ethanol", "sparing": "nearly dry"}
