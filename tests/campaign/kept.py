"""Files that people keep and pass on, each spoiled: treatments, patterns, manifests, zips, materials."""

from __future__ import annotations

import io
import json
import tempfile
import zipfile
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from random import Random

from patterns.gallery import manifest as manifests
from patterns.gallery import pack, store
from patterns.report import treatment
from tests import gallery_samples
from tests.books import DEMO, made
from tests.campaign.asking import Ask, Command, Looks
from tests.campaign.spoiling import misshapen, spoiled

KIND = "files"
GALLERY = "gallery"
Files = dict[str, bytes]


@cache
def _pattern(which: int) -> tuple[str, Mapping[str, bytes], bytes]:
    """Return a kept pattern's name, its revision's files and the zip that passes it on."""
    if which:
        draft = made("almanac", "tissue_hinge", formats=("svg",))
        name, files = draft.folder, dict(draft.files)
    else:
        name, files = "LOG-1-hollow_tube", gallery_samples.pattern_files()
    with tempfile.TemporaryDirectory() as folder:
        place = store.keep(Path(folder), name, files, kept="2026-11-25T09:00:00Z")
        held = {path.name: path.read_bytes() for path in place.iterdir()}
        return name, held, pack.export(Path(folder), name).data


def _at(name: str, files: Mapping[str, bytes]) -> Files:
    return {f"{GALLERY}/{name}/r0001/{key}": data for key, data in files.items()}


def draw(seed: int, number: int, looks: Looks) -> Ask:
    """Return the files of that number, their kind by turns."""
    chance = Random(f"{KIND}/{seed}/{number}")
    sort = list(SORTS)[number % len(SORTS)]
    odd, files, commands = SORTS[sort](chance)
    return Ask(KIND, sort, f"{KIND} {seed}/{number}", files, commands, odd, looks.sheets)


Drawn = tuple[str, Files, tuple[Command, ...]]


def _broken(chance: Random, data: bytes) -> bytes:
    return misshapen(chance, data) if chance.random() < 0.7 else spoiled(chance, data)


def _asked(chance: Random, name: str) -> tuple[Command, ...]:
    """Return what reads every pattern of a gallery, and some of what reads this one."""
    every: list[Command] = [
        ("gallery", "list"),
        ("gallery", "find", "harbour"),
        ("gallery", "similar", "book.toml"),
        ("gallery", "show", name),
        ("gallery", "reuse", name, "book.toml"),
        ("report", name, "--out", "told"),
        ("report", name, "--blank", "--out", "blank"),
        ("gallery", "export", name),
        ("cutting-plan", name, "--stock-blank"),
    ]
    both: list[Command] = [("gallery", "verify"), ("gallery", "page")]
    return (*chance.sample(every, 3), chance.choice(both))


def _book() -> bytes:
    return (DEMO / "almanac.toml").read_bytes()


def _document(chance: Random) -> Drawn:
    """A pattern.json that is listed as it is, so that whoever reads it must judge it."""
    name, files, _ = _pattern(chance.randrange(2))
    data = _broken(chance, files["pattern.json"])
    listed = json.loads(files["manifest.json"])
    row = manifests.row(data)
    listed["files"]["pattern.json"] = {"sha256": row.sha256, "bytes": row.bytes}
    held = {**files, "pattern.json": data, "manifest.json": json.dumps(listed).encode()}
    odd = f"{GALLERY}/{name}/r0001/pattern.json"
    return odd, {**_at(name, held), "book.toml": _book()}, _asked(chance, name)


def _folder(chance: Random) -> Drawn:
    """A draft's folder with a spoiled file, to be kept or cut from."""
    name, files, _ = _pattern(chance.randrange(2))
    key = chance.choice(["pattern.json", "pattern.json", "record.toml"])
    break_it = _broken if key.endswith("json") else spoiled
    held = {one: data for one, data in files.items() if one != "manifest.json"}
    held[key] = break_it(chance, held[key])
    laid = {f"{name}/{one}": data for one, data in held.items()}
    laid["stock.toml"] = (DEMO / "stock.toml").read_bytes()
    commands: tuple[Command, ...] = (
        ("gallery", "keep", name),
        ("cutting-plan", name, "--stock", "stock.toml", "--tries", "8"),
    )
    return f"{name}/{key}", laid, commands


def _manifest(chance: Random) -> Drawn:
    name, files, _ = _pattern(chance.randrange(2))
    data = _broken(chance, files["manifest.json"])
    held = _at(name, {**files, "manifest.json": data})
    odd = f"{GALLERY}/{name}/r0001/manifest.json"
    return odd, {**held, "book.toml": _book()}, _asked(chance, name)


def _zip(chance: Random) -> Drawn:
    _, _, packed = _pattern(chance.randrange(2))
    data = spoiled(chance, packed) if chance.random() < 0.5 else _repacked(chance, packed)
    return "x.zip", {"x.zip": data}, (("gallery", "import", "x.zip"), ("gallery", "list"))


def _repacked(chance: Random, packed: bytes) -> bytes:
    """Return a sound zip of which one file is another, another name, or there a second time."""
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        held = {info.filename: archive.read(info) for info in archive.infolist()}
    key = chance.choice(list(held))
    base = key.rpartition("/")[0]
    match chance.randrange(5):
        case 0:
            held[key] = _broken(chance, held[key]) if key.endswith("json") else held[key] * 40
        case 1:
            held[chance.choice(["../x", "/x", "x", f"{base}/CON", f"{base}/{'x' * 300}"])] = b"x"
        case 2:
            del held[key]
        case 3:
            held[key.replace("r0001", chance.choice(["r99999999", "r1", "r0000"]))] = held.pop(key)
        case _:
            held[key] = spoiled(chance, held[key])
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", chance.choice([0, 8, 12])) as archive:
        for name, data in held.items():
            archive.writestr(name, data)
    return out.getvalue()


@cache
def _blank_treatment() -> bytes:
    proposed = treatment.Proposed(
        "Harbour master's logbook", ("Cut the strip.", "Paste it."), (("kraft paper", "strip"),),
        ("wheat starch paste",), (("strip", 51.0, 194.0),), ("old linings",),
    )  # fmt: skip
    text = treatment.blank(proposed).replace('begun = ""', 'begun = "2026-11-25"')
    text = text.replace('weight_before = ""', 'weight_before = "1.25"')
    text = text.replace("cut_mm = []", 'cut_mm = [51.0, "19.4 cm"]')
    return text.replace('fate = ""', 'fate = "kept"').encode()


def _treatment(chance: Random) -> Drawn:
    name, files, _ = _pattern(chance.randrange(2))
    data = spoiled(chance, _blank_treatment())
    held = {**_at(name, files), "treatment.toml": data}
    commands: tuple[Command, ...] = (
        ("gallery", "add", name, "treatment.toml"),
        ("report", name, "--treatment", "treatment.toml", "--out", "told"),
        ("gallery", "find", "paste"),
    )
    return "treatment.toml", held, commands


MATERIALS = """\
[[material]]
name = "own paper"
kind = "paper"
thickness_mm = 0.14
grammage = { value = 95, source = "scales", confidence = "own" }
growth_across = 1.2
sheet_width_mm = 700
sheet_length_mm = 1000

[[material]]
name = "kraft lining paper"
kind = "paper"
thickness_mm = 0.11
strength_along = 50
"""


def _materials(chance: Random) -> Drawn:
    data = spoiled(chance, MATERIALS.encode())
    commands: tuple[Command, ...] = (
        ("draft", "book.toml", "tissue_hinge", "--formats", "svg"),
        ("examine", "book.toml"),
    )
    return "config/materials.toml", {"config/materials.toml": data, "book.toml": _book()}, commands


def _printers(chance: Random) -> Drawn:
    sound = '[studio]\nacross = "179.1/180"\ndown = "250.6/250"\n'
    data = spoiled(chance, sound.encode())
    commands: tuple[Command, ...] = (
        ("printer", "list"),
        ("printer", "set", "other", "--across", "179/180", "--down", "250/250"),
    )
    return "config/printers.toml", {"config/printers.toml": data}, commands


def _stock(chance: Random) -> Drawn:
    name, files, _ = _pattern(1)
    data = spoiled(chance, (DEMO / "stock.toml").read_bytes())
    laid = {f"{name}/{one}": held for one, held in files.items() if one != "manifest.json"}
    command = ("cutting-plan", name, "--stock", "stock.toml", "--tries", "8")
    return "stock.toml", {**laid, "stock.toml": data}, (command,)


SORTS: Mapping[str, Callable[[Random], Drawn]] = {
    "pattern.json, kept": _document,
    "pattern's folder": _folder,
    "manifest.json": _manifest,
    "zip": _zip,
    "treatment.toml": _treatment,
    "materials.toml": _materials,
    "printers.toml": _printers,
    "stock.toml": _stock,
}
