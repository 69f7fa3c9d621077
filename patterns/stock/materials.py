"""Papers, tissues, cloths, boards, threads and adhesives as data, each figure with its source.

The library that comes with mendfold holds generic materials only. A studio keeps figures of its
own stock in `materials.toml`: a material of the same name has its figures replaced one by one,
a new name is added.
"""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Literal, NamedTuple, cast, get_args

import click

from patterns import reading
from patterns.errors import FileError, MaterialError, Problem, nearest
from patterns.formulas import mechanics
from patterns.units import two_figures

DATA = Path(__file__).parent / "data"
MaterialKind = Literal["paper", "tissue", "cloth", "leather", "board", "thread", "adhesive"]
Confidence = Literal["seen", "second-hand", "derived", "own", "practice", "memory"]
"""How sure a figure is: read in the source, read in a report of it, worked out from a seen figure,
measured by the studio, common workshop practice, recalled and not confirmed."""


class Limits(NamedTuple):
    """What a figure is called, its unit, and the range in which it can be believed."""

    words: str
    unit: str
    least: float
    most: float


FIGURES: dict[str, Limits] = {
    "thickness_mm": Limits("thickness", "mm", 0.005, 20.0),
    "grammage": Limits("grammage", "g/m²", 1.0, 20_000.0),
    "strength_along": Limits("tensile strength along the grain or warp", "N/cm", 0.1, 5_000.0),
    "strength_across": Limits("tensile strength across the grain or warp", "N/cm", 0.1, 5_000.0),
    "strength_n": Limits("breaking strength", "N", 0.1, 2_000.0),
    "growth_along": Limits("growth along the grain when wetted", "%", 0.0, 10.0),
    "growth_across": Limits("growth across the grain when wetted", "%", 0.0, 20.0),
    "humid_along": Limits("growth along the grain for 1 % RH", "%", 0.0, 0.1),
    "humid_across": Limits("growth across the grain for 1 % RH", "%", 0.0, 0.2),
    "lea": Limits("linen count of one ply", "lea", 1.0, 300.0),
    "plies": Limits("plies", "", 1.0, 16.0),
    "tex": Limits("count", "tex", 1.0, 5_000.0),
    "sheet_width_mm": Limits("width of a stock sheet or roll, across the grain", "mm", 3, 4_000),
    "sheet_length_mm": Limits("length of a stock sheet, along the grain", "mm", 50, 100_000),
}
"""Every figure a material may carry; the key is its name in the file and on `Material`."""

LONGEST_NAME = 60
THREAD_FIGURES = ("lea", "plies", "tex")
_WORDS = ("strong", "sets", "undone_with", "use")
STRONG = ("weft", "warp", "equal")
SETS = ("water", "solvent", "heat")


class Figure(NamedTuple):
    """One figure, where it comes from and how sure it is."""

    value: float
    source: str
    confidence: Confidence


@dataclass(frozen=True, slots=True)
class Material:
    """One material; a figure nobody has given is None. Units as in `FIGURES`."""

    name: str
    kind: MaterialKind
    use: str = ""
    """What it is for at the bench."""
    strong: str = ""
    """For a cloth, which thread is the stronger: "weft", "warp" or "equal"."""
    sets: str = ""
    """For an adhesive, what makes it set: loss of "water" or "solvent", or "heat"."""
    undone_with: str = ""
    """For an adhesive, what releases it again."""
    thickness_mm: float | None = None
    grammage: float | None = None
    strength_along: float | None = None
    strength_across: float | None = None
    strength_n: float | None = None
    growth_along: float | None = None
    growth_across: float | None = None
    humid_along: float | None = None
    humid_across: float | None = None
    lea: float | None = None
    plies: float | None = None
    tex: float | None = None
    """Mass of 1 km of thread in g."""
    sheet_width_mm: float | None = None
    sheet_length_mm: float | None = None
    figures: Mapping[str, Figure] = field(default_factory=dict, hash=False)
    """Source and confidence of every figure, by the names of `FIGURES`."""

    @property
    def diameter_mm(self) -> float | None:
        """Diameter of a thread in mm: as measured, else worked out from its tex (see `doubts`)."""
        if self.thickness_mm is not None or self.tex is None:
            return self.thickness_mm
        return mechanics.thread_diameter_mm(self.tex)

    def with_figure(self, key: str, figure: Figure) -> Material:
        """Return the material with one figure of `FIGURES` replaced, and the tex that follows."""
        figures = {**self.figures, key: figure}
        if key in ("lea", "plies"):
            figures |= _tex(figures)
        values: dict[str, Any] = {name: one.value for name, one in figures.items()}
        return replace(self, figures=figures, **values)

    def figure(self, key: str) -> Figure | None:
        """Return the figure `key` of `FIGURES` with its source, or None when nobody gave it."""
        return self.figures.get(key)

    def doubts(self, *keys: str) -> tuple[str, ...]:
        """Return one sentence for each of these figures that is missing or only worked out."""
        sentences = []
        for key in keys:
            limits, figure = FIGURES[key], self.figures.get(key)
            if key == "thickness_mm" and self.kind == "thread" and figure is None:
                size = f", {self.diameter_mm:.2f} mm," if self.diameter_mm is not None else ""
                sentences.append(
                    f"The diameter of {self.name}{size} is worked out "
                    "with a density from memory (± 15 %): measure ten turns wound on a rod."
                )
            elif figure is None:
                sentences.append(
                    f"No {limits.words} is known for {self.name}: give your own in materials.toml."
                )
        return tuple(sentences)

    def remembered(self, *keys: str) -> tuple[tuple[str, str], ...]:
        """Return each of these figures that is only from memory: what it is, and whose with its value."""
        held = [(FIGURES[key], self.figures.get(key)) for key in keys]
        return tuple(
            (limits.words, f"{self.name} {_told(figure.value, limits.unit)} {limits.unit}")
            for limits, figure in held
            if figure is not None and figure.confidence == "memory"
        )


def _told(value: float, unit: str) -> str:
    """Write a figure for the bench: a force to two figures.

    >>> _told(55.117, "N"), _told(0.125, "mm")
    ('55', '0.125')
    """
    return two_figures(value) if unit == "N" else f"{value:g}"


class Library(NamedTuple):
    """All materials that can be named, in the order of the files."""

    materials: tuple[Material, ...]

    def names(self, *kinds: MaterialKind) -> tuple[str, ...]:
        """Return the names of some kinds of material, or of all."""
        return tuple(m.name for m in self.materials if not kinds or m.kind in kinds)

    def find(self, name: str, *kinds: MaterialKind) -> Material:
        """Return the material of that name, capitals and spaces apart.

        Raises MaterialError with the nearest names when there is none, or when it is of
        another kind than those wanted.
        """
        wanted = folded(name)
        for material in self.materials:
            if folded(material.name) != wanted:
                continue
            if not kinds or material.kind in kinds:
                return material
            raise MaterialError(
                f"“{material.name}” is {_a(material.kind)}, and {' or '.join(map(_a, kinds))} is wanted "
                f"here: choose one of {_listed(self.names(*kinds))}."
            )
        known = {folded(each): each for each in self.names(*kinds)}
        near = [known[each] for each in nearest(wanted, known)]
        offer = f"nearest: {_listed(near)}" if near else f"known: {_listed(known.values())}"
        raise MaterialError(
            f"No {' or '.join(kinds) or 'material'} is called “{name}”; {offer}. "
            "Your own go into materials.toml in the settings folder."
        )


def studio_folder() -> Path:
    """Return the folder of the studio's own settings: MENDFOLD_CONFIG, else the usual place."""
    return Path(os.environ.get("MENDFOLD_CONFIG") or click.get_app_dir("mendfold"))


@cache
def built_in() -> Library:
    """Return the materials that come with mendfold, read once."""
    text = (DATA / "materials.toml").read_text("utf-8")
    return Library(tuple(_read(text, "materials.toml of mendfold", {})))


def load(studio: Path | None = None) -> Library:
    """Return the built-in materials with the studio's own over and beside them.

    `studio` is a materials.toml to read instead of the one in the settings folder. Raises
    MaterialError, naming file, material and figure, when a file cannot be used.
    """
    found = {folded(each.name): each for each in built_in().materials}
    own = studio or studio_folder() / "materials.toml"
    try:
        text = reading.read_text(own)
    except FileError as problem:
        if studio is None and problem.why == "missing":
            return Library(tuple(found.values()))
        raise MaterialError(
            f"{own} {problem.words}; mend it, or move it away to go by mendfold's own materials"
        ) from None
    found |= {folded(each.name): each for each in _read(text, str(own), found)}
    return Library(tuple(found.values()))


def _read(text: str, where: str, known: Mapping[str, Material]) -> Iterator[Material]:
    try:
        tables = reading.tables(text)
    except ValueError as problem:
        raise MaterialError(f"{where}: not valid TOML ({problem}).") from None
    stray = sorted(set(tables) - {"material"})
    rows = tables.get("material", [])
    if stray or not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        odd = f"“{stray[0]}” is not known" if stray else "“material” is not a list of tables"
        raise MaterialError(f"{where}: {odd}; each material is a [[material]] table.")
    seen: set[str] = set()
    for row in rows:
        material = _material(row, where, known)
        if folded(material.name) in seen:
            raise MaterialError(f"{where}: “{material.name}” stands there twice; keep one.")
        seen.add(folded(material.name))
        yield material


def _material(row: Mapping[str, Any], where: str, known: Mapping[str, Material]) -> Material:
    name = row.get("name")
    if not isinstance(name, str) or not name.strip():
        raise MaterialError(f'{where}: a [[material]] has no name; give name = "…".')
    if len(name) > LONGEST_NAME or not name.isprintable():
        raise MaterialError(
            f"{where}, “{name[:40]}”: a name has at most {LONGEST_NAME} visible characters, one line."
        )
    place = f"{where}, “{name}”"
    base = known.get(folded(name))
    kind = row.get("kind", base.kind if base else None)
    if kind not in get_args(MaterialKind) or (base and kind != base.kind):
        allowed = base.kind if base else ", ".join(get_args(MaterialKind))
        raise MaterialError(f"{place}: kind is {kind!r}; allowed: {allowed}.")
    base = base or Material(name, kind)
    figures, given = dict(base.figures), dict[str, Any]()
    for key, value in row.items():
        if key in FIGURES:
            figures[key] = _figure(value, key, place)
        elif key in _WORDS:
            given[key] = _word(value, key, place)
        elif key not in ("name", "kind"):
            near = nearest(key, (*FIGURES, *_WORDS, "kind"))
            hint = f"; nearest: {', '.join(near)}" if near else ""
            raise MaterialError(f"{place}: “{key}” is not known{hint}.")
    if "tex" not in row and {"lea", "plies"} & row.keys():
        figures |= _tex(figures)
    if kind == "thread" and "tex" not in figures:
        raise MaterialError(f"{place}: a thread needs tex, or lea and plies.")
    values: dict[str, Any] = {key: figure.value for key, figure in figures.items()}
    return replace(base, figures=figures, **values, **given)


def _tex(figures: Mapping[str, Figure]) -> dict[str, Figure]:
    """Return the tex that follows from lea and plies, when both are known."""
    if not {"lea", "plies"} <= figures.keys():
        return {}
    tex = mechanics.thread_tex(figures["lea"].value, "lea", round(figures["plies"].value))
    return {"tex": Figure(tex, "plies × 1653.5 / lea (ASTM D2260)", "derived")}


def out_of_range(key: str, value: float) -> Problem | None:
    """Return what is wrong with the value of a figure of `FIGURES`; None when nothing is."""
    limits = FIGURES[key]
    if limits.least <= value <= limits.most and (key != "plies" or value == int(value)):
        return None
    shown = f"{value:g} {limits.unit}".rstrip() if abs(value) < 1e15 else "no believable number"
    allowed = f"{limits.least:g} to {limits.most:g} {limits.unit}".rstrip()
    whole = ", whole" if key == "plies" else ""
    return Problem(key, f"is {shown}", f"{allowed}{whole}", "give one between them")


def belongs(key: str, kind: str) -> bool:
    """Say whether a figure of that name means something for that kind of material."""
    return key in FIGURES and (kind == "thread" or key not in THREAD_FIGURES)


def _figure(given: object, key: str, place: str) -> Figure:
    limits = FIGURES[key]
    table = given if isinstance(given, dict) else {"value": given}
    stray = sorted(set(table) - {"value", "source", "confidence"})
    if stray:
        raise MaterialError(
            f"{place}: {key} has “{stray[0]}”; a figure has value, source and confidence."
        )
    value = table.get("value")
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise MaterialError(
            f"{place}: {key} is {value!r}, not a number in {limits.unit or 'ones'}."
        )
    if outside := out_of_range(key, value):
        line = f"{place}: {key} {outside.found}; allowed: {outside.allowed}."
        raise MaterialError(line, [outside])
    confidence = table.get("confidence", "own")
    if confidence not in get_args(Confidence):
        raise MaterialError(
            f"{place}: the confidence of {key} is {confidence!r}; allowed: "
            f"{', '.join(get_args(Confidence))}."
        )
    source = table.get("source", "the studio's own figure")
    if not isinstance(source, str) or not source.strip() or not source.isprintable():
        raise MaterialError(f"{place}: the source of {key} is {source!r}; say it in words.")
    return Figure(float(value), source, cast(Confidence, confidence))


def _word(value: object, key: str, place: str) -> str:
    allowed = {"strong": STRONG, "sets": SETS}.get(key)
    if not isinstance(value, str) or (allowed and value not in allowed) or not value.isprintable():
        raise MaterialError(
            f"{place}: {key} is {value!r}; allowed: {', '.join(allowed) if allowed else 'words'}."
        )
    return value


@lru_cache(maxsize=4096)
def folded(name: str) -> str:
    """Return a name as it is compared: capitals, spaces and forms of a letter apart."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def _listed(names: Any) -> str:
    return ", ".join(f"“{name}”" for name in names)


def _a(kind: str) -> str:
    return f"an {kind}" if kind == "adhesive" else f"a {kind}"
