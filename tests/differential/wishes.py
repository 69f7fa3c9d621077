"""What both versions are asked: the demonstration's orders, and drawn books with structures."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from tests.differential import books, covers, slips, suiting
from tests.differential.rows import toml
from tests.differential.settings import Structure, drawn

RECORD = "book.toml"
PRINTER = ("studio", "179.1/180", "250.6/250")
"""A printer that draws unlike across and down."""
SORTS: Mapping[str, tuple[str, ...]] = {
    "board_slot": ("in-boards", "in-boards", "in-boards", "case"),
    "secondary_sewing": ("in-boards", "in-boards", "case", "limp"),
    "joint_tacket": ("in-boards", "in-boards", "wooden boards"),
    "sewn_cloth_joint": ("case", "case", "in-boards"),
    "board_paper": ("case", "in-boards"),
    "text_block_support": ("case", "in-boards"),
    "tissue_hinge": ("wrapper", "limp", "limp"),
    "cover_widening": ("limp", "wrapper", "case", "in-boards"),
    "hollow_tube": ("in-boards", "in-boards", "limp", "wrapper"),
    "album_guards": ("case", "case", "in-boards"),
    "casing_in": ("case",),
}
"""The covers that people meet with a structure; any cover for one not named here."""
TOGETHER: Mapping[str, tuple[str, ...]] = {
    "board_slot": ("secondary_sewing", "hollow_tube", "spine_inlay", "spine_lining", "board_paper"),
    "secondary_sewing": ("board_slot", "hollow_tube", "spine_inlay", "spine_lining", "cover_widening"),
    "joint_tacket": ("board_paper", "spine_lining", "hollow_tube"),
    "sewn_cloth_joint": ("board_paper", "spine_lining", "hollow_tube", "spine_inlay"),
    "board_paper": ("sewn_cloth_joint", "spine_inlay", "loss_infill"),
    "text_block_support": ("loss_infill", "spine_lining", "hollow_tube"),
    "cover_widening": ("hollow_tube", "spine_inlay", "secondary_sewing", "spine_lining"),
    "hollow_tube": ("cover_widening", "spine_inlay", "spine_lining"),
    "album_guards": ("cover_widening", "board_paper"),
    "tissue_hinge": ("loss_infill", "cover_widening"),
    "spine_lining": ("hollow_tube", "spine_inlay"),
    "casing_in": ("spine_lining", "loss_infill"),
    "reback": ("joint_tacket", "board_slot", "hollow_tube", "spine_lining"),
    "flap_wrapper": ("loss_infill", "spine_lining", "tissue_hinge"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Wish:
    """One record with what is asked of it; `sheets` asks for the drawings as well."""

    name: str
    record: str
    structures: tuple[str, ...]
    settings: tuple[tuple[str, str], ...] = ()
    options: tuple[str, ...] = ()
    sheets: bool = False
    formats: str = "svg"

    @property
    def draft(self) -> list[str]:
        """The words of the command that drafts it."""
        pairs = [word for key, value in self.settings for word in ("--set", f"{key}={value}")]
        return ["draft", RECORD, *self.structures, *pairs, *self.options]

    @property
    def task(self) -> dict[str, object]:
        """What a worker is to run."""
        commands = [
            [*self.draft, "--json", "--formats", self.formats, "--out", "out"],
            ["examine", RECORD, "--json"],
        ]
        if "--printer" in self.options:
            name, across, down = PRINTER
            commands.insert(0, ["printer", "set", name, "--across", across, "--down", down])
        read = ["out/*/sheet*", "out/*/*.dxf"] if self.sheets else []
        return {
            "name": self.name,
            "files": {RECORD: self.record},
            "commands": commands,
            "read": read,
            "sheets": self.sheets,
        }


@dataclass(frozen=True, slots=True)
class Common:
    """What both versions know: structures with their settings, and fields of a record."""

    structures: Sequence[Structure]
    fields: frozenset[str]
    only: Sequence[str] = field(default=())
    """Structures that books are drawn for; all of them when it is empty."""

    def names(self) -> list[str]:
        """Return the structures that books are drawn for."""
        known = [one.name for one in self.structures]
        return [name for name in known if not self.only or name in self.only]


def demonstration(root: Path, formats: str = "svg") -> Iterator[Wish]:
    """Yield the demonstration's orders as the tree at `root` has them."""
    for orders in sorted((root / "patterns").rglob("orders.toml")):
        for row in tomllib.loads(orders.read_text(encoding="utf-8"))["order"]:
            text = (orders.parent / f"{row['record']}.toml").read_text(encoding="utf-8")
            yield Wish(
                f"demo {row['record']}",
                text,
                tuple(row["structures"]),
                tuple(row.get("settings", {}).items()),
                sheets=True,
                formats=formats,
            )


def draw(seed: int, number: int, common: Common, sheets: bool = False) -> Wish:
    """Return the drawn wish of that number; the same one for the same seed, however many are drawn."""
    chance = Random(f"{seed}/{number}")
    names = common.names()
    main = names[number % len(names)]
    cover = chance.choice(SORTS.get(main, covers.COVERS))
    if chance.random() < 0.08:  # asked for all the same
        cover = chance.choice(covers.COVERS)
    tables = books.book(chance, number, cover, album=main == "album_guards")
    chosen = [main, *_companions(chance, main, cover, [one.name for one in common.structures])]
    tables = slips.only_known(suiting.suited(chance, chosen, tables), common.fields)
    by_name = {one.name: one for one in common.structures}
    pairs = drawn(chance, [by_name[name] for name in chosen], tables)
    record = toml(slips.slipped(chance, tables))
    options = _options(chance)
    return Wish(f"{seed}-{number:04d}", record, tuple(chosen), pairs, options, sheets)


def _companions(chance: Random, main: str, cover: str, every: Sequence[str]) -> list[str]:
    """Return what is drafted beside a structure: often nothing, mostly what goes with it."""
    if chance.random() < 0.65:
        return []
    likely = [name for name in TOGETHER.get(main, every) if name in every]
    others = likely if likely and chance.random() < 0.9 else list(every)
    if cover == "case" and chance.random() < 0.9:  # it has a hollow of its own
        others = [name for name in others if name != "hollow_tube"]
    others = [name for name in others if name != main]
    return chance.sample(others, min(len(others), chance.choice([1, 1, 2, 3])))


def _options(chance: Random) -> tuple[str, ...]:
    paper = chance.choices(["A4", "letter", "A3", "roll:610", "148x210"], [70, 14, 8, 5, 3])[0]
    options: tuple[str, ...] = () if paper == "A4" else ("--paper", paper)
    if chance.random() < 0.12:
        options += ("--printer", PRINTER[0])
    if chance.random() < 0.04:
        options += ("--with-owner",)
    return options
