"""The family of structures: every template beside the module of the same stem."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING, Any, NamedTuple

from patterns.book.book import Book
from patterns.book.results import Handed, Result
from patterns.book.suits import Ruling, Suits
from patterns.errors import Problem, SettingError, TemplateError, nearest
from patterns.structures import comparing, template
from patterns.structures.template import Template

if TYPE_CHECKING:
    from patterns.model.drawing import Drawing
    from patterns.model.part import Diagram, Part
    from patterns.model.piece import Piece
    from patterns.sewing.sewn import Sewn

StepPicture = Callable[[Book, Any, "Part"], "Drawing"]
"""Draws the picture of a step from the book, the structure's parameters and its part."""
PACKAGE = Path(__file__).parent.parent


@dataclass(frozen=True, slots=True)
class Structure:
    """A template with the module that works it out."""

    template: Template
    draft: Callable[[Book, Any], Part | Handed]
    figures: type[Any] | None
    """What its steps are filled in with; None where they name nothing of its own."""
    gives: type[Result] | None
    pictures: Mapping[str, StepPicture]
    """What draws the picture of a step, by the name the template gives it."""

    def worked(self, book: Book, params: Any) -> tuple[Part, Result | None]:
        """Return its part and what it hands on. Raises TemplateError for what it did not declare."""
        drafted = self.draft(book, params)
        part, result = (
            (drafted.part, drafted.result) if isinstance(drafted, Handed) else (drafted, None)
        )
        self._is(result, self.gives, "hands on", "GIVES says")
        self._is(part.figures, self.figures, "fills its steps with", "the module declares")
        self._named(part)
        return part, result

    def _named(self, part: Part) -> None:
        """Refuse what says it is of another structure: pages and plans find it by that name."""
        held: tuple[Part | Piece | Diagram, ...] = (part, *part.pieces, *part.diagrams)
        for one in held:
            if one.structure != self.template.name:
                kind = type(one).__name__.lower()
                line = f"a {kind} says it is of the structure {one.structure!r}"
                raise TemplateError(f"{self.template.name}: {line}")

    def _is(self, given: object, declared: type[Any] | None, does: str, says: str) -> None:
        kind = None if given is None else type(given)
        if kind is not declared:
            found, wanted = (one.__name__ if one else "nothing" for one in (kind, declared))
            raise TemplateError(f"{self.template.name}: it {does} {found} where {says} {wanted}")


class Asked(NamedTuple):
    """What a structure is asked before it is drafted: its settings' types, and whether it suits."""

    params: type[Any]
    suits: Callable[[Book, Any], Suits]
    gives: type[Result] | None
    """What it hands to the next; None where nothing goes by it."""
    kind: Callable[[Book], Iterator[Ruling]] | None
    """What rules it out by the kind of the book alone, whatever is measured; None: nothing does."""
    tells: type[Result] | None = None
    """What it lets earlier ones know; None for nothing."""
    ahead: Callable[[Book, Any], Result] | None = None
    """What that is, by the book and its settings alone."""
    adds: Callable[[Book, Any], float] | None = None
    """What it adds over the spine, in mm; None where that is nothing."""


def folder() -> Path:
    """Return the folder of the templates: inside the package when installed, else beside it."""
    inside = PACKAGE / "templates"
    return inside if inside.is_dir() else PACKAGE.parent / "templates"


@cache
def _template(name: str) -> Template:
    return template.load(folder() / f"{name}.toml")


@cache
def names() -> tuple[str, ...]:
    """Return the names of all templates in the order of the alphabet; none is read for it."""
    return tuple(sorted(path.stem for path in folder().glob("*.toml")))


@cache
def templates() -> Mapping[str, Template]:
    """Return every template by name, in working order."""
    loaded = map(_template, names())
    return {one.name: one for one in sorted(loaded, key=lambda one: (one.order, one.name))}


def find(name: str) -> Template:
    """Return one template; a SettingError offers the nearest names."""
    known = names()
    if name in known:
        return _template(name)
    close = nearest(name, known)
    every = ", ".join(known)
    hint = f"did you mean {' or '.join(close)}?" if close else f"known: {every}"
    problem = Problem("structure", f"{name!r} is unknown", every, hint, "unknown structure")
    raise SettingError(f"structure {problem.found}; {hint}", [problem])


@cache
def structure(name: str) -> Structure:
    """Return a structure ready to draft, its template compared with its module and with the others."""
    found, own, module = find(name), asked(name), _module(name)
    figures = getattr(module, "Figures", None)
    comparing.params(found, own.params)
    comparing.words(found, figures, names())
    comparing.others(found, names())
    pictures: Mapping[str, StepPicture] = getattr(module, "PICTURES", {})
    comparing.pictures(found, pictures)
    return Structure(found, _held(module, "draft"), figures, own.gives, pictures)


@cache
def asked(name: str) -> Asked:
    """Return what a structure is asked, its settings compared by name; nothing that draws is loaded for it.

    `Params`, `suits`, `GIVES`, `TELLS` with `ahead`, and `adds_mm` stand in `structures.suits`, or, of a structure that is little to
    load, in its own module beside `draft`.
    """
    light = f"patterns.structures.suits.{name}"
    module = importlib.import_module(light) if importlib.util.find_spec(light) else _module(name)
    params = _held(module, "Params")
    comparing.names(find(name), params)
    return Asked(
        params,
        _held(module, "suits"),
        getattr(module, "GIVES", None),
        getattr(module, "kind", None),
        getattr(module, "TELLS", None),
        getattr(module, "ahead", None),
        getattr(module, "adds_mm", None),
    )


@cache
def sewing(name: str) -> Callable[[Book, Any], Sewn] | None:
    """Return what works out a structure's scattered sewing alone; None for one that has none."""
    light = f"patterns.structures.sewings.{name}"
    if not find(name).swells or importlib.util.find_spec(light) is None:
        return None
    found: Callable[[Book, Any], Sewn] = importlib.import_module(light).sewn
    return found


@cache
def places(name: str) -> Callable[[Book, Any], tuple[float, ...]] | None:
    """Return what finds the places of a structure's single holes; None for one that has none."""
    light = f"patterns.structures.sewings.{name}"
    if find(name).swells or importlib.util.find_spec(light) is None:
        return None
    found: Callable[[Book, Any], tuple[float, ...]] = importlib.import_module(light).places
    return found


def _module(name: str) -> ModuleType:
    try:
        return importlib.import_module(f"patterns.structures.{name}")
    except ModuleNotFoundError as error:
        raise TemplateError(f"{name}: no module for this template ({error.name})") from None


def _held(module: ModuleType, name: str) -> Any:
    """Return what every structure must have. Raises TemplateError where its module has none."""
    found = getattr(module, name, None)
    if found is None:
        raise TemplateError(f"{module.__name__} has no {name}: every structure has one")
    return found
