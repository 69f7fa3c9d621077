"""Asking a structure whether it suits a book: one answer, for examining and for drafting alike.

To what the structure says itself come the fields that are missing, and what its template's traits
mean for this book.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import reduce
from typing import TYPE_CHECKING, Any

from patterns.book import boards, cover
from patterns.book.book import Book
from patterns.book.condition import met
from patterns.book.results import InlayResult, Result, SupportResult
from patterns.book.suits import Ruling, Suits
from patterns.errors import MendfoldError, SettingError, TemplateError, Unsuitable
from patterns.model.part import Traits
from patterns.record.needs import present
from patterns.record.record import Record
from patterns.stock.materials import Material
from patterns.structures import catalogue
from patterns.structures.shared import conditions
from patterns.structures.template import Template

if TYPE_CHECKING:
    from patterns.sewing.sewn import Sewn

SHAPE = frozenset({"spine.girth_head", "spine.girth_tail", "spine.round_depth"})
"""A flat spine needs none of these."""
JOINT = frozenset({"cover.board_thickness", "cover.joint_over"})
"""A limp cover has no boards to cross."""
COVER_SPINE = frozenset(
    f"cover.{key}" for key in ("spine_width", "spine_width_head", "spine_width_tail", "spine_strip")
)
"""Of boards still laced to their block, nobody can read the cover's spine laid flat."""


def ask(template: Template, book: Book, params: Any) -> Suits:
    """Return everything a structure says to a book, drafted with these settings and materials.

    Raises TemplateError for a reason that answers what its template does not: nobody would ask it.
    """
    own = catalogue.asked(template.name).suits(book, params)
    for reason in own.reasons:
        if reason.need not in template.answers:
            line = f"it answers {reason.need!r}, which is not among the answers of its template"
            raise TemplateError(f"{template.name}: {line}")
    return replace(
        own,
        rulings=(*own.rulings, *_refused(template, book)),
        against=tuple(dict.fromkeys((*_sewn(template, book), *own.against, *_wet(template, book)))),
        missing=tuple(
            dict.fromkeys(
                " or ".join(need.split("|"))
                for need in (*lacking([template], book.record), *own.missing)
            )
        ),
    )


def ask_as_it_comes(chosen: Sequence[Template], book: Book) -> tuple[Suits, ...]:
    """Ask structures that are drafted together, each with default settings and materials.

    What no default can help is a ruling like any other.
    """
    default = {
        one.name: {
            role: book.stock.find(row.default, row.kind) for role, row in one.materials.items()
        }
        for one in chosen
    }
    crossing = joint_lining_mm(chosen, default)
    together = replace(
        book,
        gives=gives(chosen),
        joint_lining_mm=crossing,
        inlay_mm=inlay_mm(chosen, default),
    )
    return tuple(_by_default(one, together) for one in chosen)


def _by_default(template: Template, book: Book) -> Suits:
    try:
        return ask(template, *_defaults(template, book))
    except SettingError as error:
        return Suits(rulings=(Ruling(str(error)),))


def _defaults(template: Template, book: Book) -> tuple[Book, Any]:
    """Return the book with a structure's default materials, and its default settings."""
    rows = template.parameters.items()
    params = catalogue.asked(template.name).params(**{name: row.default for name, row in rows})
    materials = {
        role: row.usual(
            book.stock,
            book.measured(row.fits) if row.fits else None,
            bears_heat=conditions.bears_heat(book.condition),
        )
        for role, row in template.materials.items()
    }
    return replace(book, materials=materials), params


Worked = dict[tuple[str, bool], "Sewn | None"]
"""Scattered sewings of one book worked out so far, by structure and whether a support carries the block."""


def sewn_as_it_comes(chosen: Sequence[Template], book: Book, worked: Worked) -> Sewn | None:
    """Work out the scattered sewing of structures drafted together, as a draft by default would.

    None where none of them has one, where it cannot be worked out, or where a field is missing. Of
    what is drafted beside it a sewing heeds nothing but a support, so each is worked out once and
    kept in `worked`.
    """
    carried = tuple(kind for kind in gives(chosen) if issubclass(kind, SupportResult))
    for one in chosen:
        if catalogue.sewing(one.name) is None or lacking([one], book.record):
            continue
        key = one.name, bool(carried)
        if key not in worked:
            worked[key] = _sewing(one, replace(book, gives=carried))
        return worked[key]
    return None


def _sewing(template: Template, book: Book) -> Sewn | None:
    sewing = catalogue.sewing(template.name)
    try:
        return sewing(*_defaults(template, book)) if sewing else None
    except MendfoldError:
        return None


def gives(chosen: Sequence[Template]) -> tuple[type[Result], ...]:
    """Return what structures drafted together hand to each other."""
    kinds = (catalogue.asked(one.name).gives for one in chosen)
    return tuple(kind for kind in kinds if kind is not None)


def joint_lining_mm(
    chosen: Sequence[Template], materials: Mapping[str, Mapping[str, Material]]
) -> float:
    """Return how thick the new cloth is that crosses the joints, of structures drafted together."""
    cloths = (
        materials[one.name]["cloth"].thickness_mm
        for one in chosen
        if (kind := catalogue.asked(one.name).gives) is not None and kind.CROSSES_JOINTS
    )
    return max((mm for mm in cloths if mm is not None), default=0.0)


def inlay_mm(chosen: Sequence[Template], materials: Mapping[str, Mapping[str, Material]]) -> float:
    """Return how thick the stiffener is that a widened cover goes round; 0 without one."""
    cards = (
        materials[one.name]["inlay"].thickness_mm
        for one in chosen
        if catalogue.asked(one.name).gives is InlayResult
    )
    return max((mm for mm in cards if mm is not None), default=0.0)


def refuse(template: Template, book: Book, params: Any) -> None:
    """Raise Unsuitable, in the words of its first ruling, for a structure that is ruled out."""
    rulings = ask(template, book, params).rulings
    if rulings:
        raise Unsuitable(f"{template.name}: {rulings[0].words}")


def refuse_kind(chosen: Sequence[Template], book: Book) -> None:
    """Raise Unsuitable for a structure that is for another kind of book, before anything is asked for."""
    for one in chosen:
        kind = catalogue.asked(one.name).kind
        for ruling in kind(book) if kind is not None else ():
            raise Unsuitable(f"{one.name}: {ruling.words}")


def lacking(chosen: Sequence[Template], record: Record) -> tuple[str, ...]:
    """Return the needs of some templates that a record does not meet, as the templates write them."""
    spared = {
        need
        for need, holds in (
            (SHAPE, record.spine.profile == "flat"),
            (JOINT, boards.limp(record)),
            (COVER_SPINE, cover.laced(record)),
        )
        if holds
    }
    needs = dict.fromkeys(need for one in chosen for need in one.needs)
    return tuple(
        need
        for need in needs
        if not any(present(record, name) for name in need.split("|"))
        and frozenset(need.split("|")) not in spared
    )


def _refused(template: Template, book: Book) -> Iterator[Ruling]:
    """Refuse what does to the book, whatever the settings, what its condition does not bear."""
    traits = reduce(Traits.__or__, (one.traits for one in template.steps if not one.when), Traits())
    yield from conditions.refusals(book.condition, traits)
    isolated = [one for one in met(book.condition) if one.isolates]
    if template.encloses and isolated:
        yield Ruling(
            f"a book with {isolated[0].title.lower()} is isolated and treated before it is wrapped: "
            "a wrapper would shut them in with it"
        )


def _sewn(template: Template, book: Book) -> Iterator[str]:
    """Yield what speaks against sewing through the folds of this book."""
    if template.sewn != "old folds":
        return
    if book.leaves_unsewn:
        yield "there is no fold to sew through until the leaves hang on guards"
    if book.weak_folds:
        yield "the paper at the folds is too weak to sew through without guards"
    if book.tear_mn is None and book.tired:
        yield "the paper's tear strength is not measured: what the folds bear is unknown"


def _wet(template: Template, book: Book) -> Iterator[str]:
    """Yield what on this book a structure would wet, dissolve or lift that does not bear it."""
    usual = [step for step in template.steps if not step.seldom]
    pasted = any(set(step.traits.wets) & set(step.traits.covers) for step in usual)
    brings = {
        "wets": "its paste brings moisture near" if pasted else "it brings moisture near",
        "solvent": "it brings a solvent near",
        "cuts": "it lifts or cuts",
    }
    titles = {one.key: one.title for one in met(book.condition)}
    for step in usual:
        found = conditions.changes(book.condition, step.traits)
        way = conditions.chosen(found, step.offers)
        for row in found:
            near = f"{titles[row.condition][0].lower()}{titles[row.condition][1:]}"
            if not conditions.satisfied(row, way):
                yield f"{brings[row.does[0]]} {near}"
            elif way in ("solvent", "sparing"):
                yield f"near {near} it sets with {conditions.rules().ways[way].bond}"
