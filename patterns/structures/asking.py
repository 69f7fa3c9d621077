"""Asking a structure whether it suits a book: one answer, for examining and for drafting alike.

To what the structure says itself come the fields that are missing, and what its template's traits
mean for this book.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import reduce
from typing import TYPE_CHECKING, Any

from patterns.book import boards, cover
from patterns.book.book import Book
from patterns.book.condition import met
from patterns.book.results import InlayResult, Result, SewnResult, SupportResult
from patterns.book.suits import Ruling, Suits
from patterns.errors import (
    MendfoldError,
    RecordError,
    SettingError,
    TemplateError,
    Unsuitable,
)
from patterns.model.traits import Traits
from patterns.record.needs import present
from patterns.record.record import Record
from patterns.stock.materials import Material
from patterns.structures import catalogue, stacking
from patterns.structures.shared import conditions, heeding
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


@dataclass(frozen=True, slots=True)
class Given:
    """What is set instead of the defaults, by structure and name: settings, and materials by role."""

    settings: Mapping[tuple[str, str], Any] = field(default_factory=dict)
    materials: Mapping[tuple[str, str], Material] = field(default_factory=dict)


AS_IT_COMES = Given()


def ask_as_it_comes(
    chosen: Sequence[Template], book: Book, given: Given = AS_IT_COMES, sewn: Sewn | None = None
) -> tuple[Suits, ...]:
    """Ask structures that are drafted together, with default settings and materials but for what is given.

    Each is asked over what those before it in working order add to the spine; `sewn` is their sewing, where
    it is worked out. What no default can help is a ruling like any other.
    """
    default = {
        one.name: {
            role: given.materials.get((one.name, role)) or book.stock.find(row.default, row.kind)
            for role, row in one.materials.items()
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
    together = _foretold(chosen, together, given)
    said: dict[str, Suits] = {}
    for one in sorted(chosen, key=lambda one: (one.order, one.name)):
        if together.shape is not None:
            together = stacking.met(one, chosen, together, together.lies_on_mm)
        said[one.name] = _by_default(one, together, given)
        together = _stacked(one, together, given, sewn)
    return tuple(said[one.name] for one in chosen)


def _stacked(one: Template, book: Book, given: Given, sewn: Sewn | None) -> Book:
    """Return the book as the next structure meets it: what this one adds over its spine, and its bars."""
    asked = catalogue.asked(one.name)
    try:
        adds = asked.adds(*_defaults(one, book, given)) if asked.adds else 0.0
    except MendfoldError:
        adds = 0.0  # told by what is missing
    book = replace(book, lies_on_mm=book.lies_on_mm + adds)
    if sewn is None or not one.swells or asked.gives is None:
        return book
    if not issubclass(asked.gives, SewnResult):
        return book
    swell, bars = sewn.swell, Book.diameter_mm(sewn.thread)
    return book.after(asked.gives(sewn.holes_mm, swell.least_mm, swell.most_mm, bars, sewn.thread))


def _foretold(chosen: Sequence[Template], book: Book, given: Given) -> Book:
    """Return the book with what structures let earlier ones know, as far as it can be told."""
    for one in chosen:
        if catalogue.asked(one.name).ahead is not None:
            try:
                book = book.after(ahead(one, *_defaults(one, book, given)))
            except MendfoldError:
                continue  # told by what is missing
    return book


def ahead(template: Template, book: Book, params: Any) -> Result | None:
    """Return what a structure with these settings and materials lets earlier ones know."""
    tells = catalogue.asked(template.name).ahead
    return None if tells is None else tells(book, params)


def _by_default(template: Template, book: Book, given: Given) -> Suits:
    try:
        return ask(template, *_defaults(template, book, given))
    except SettingError as error:
        return Suits(rulings=(Ruling(str(error)),))


def _defaults(template: Template, book: Book, given: Given = AS_IT_COMES) -> tuple[Book, Any]:
    """Return the book with a structure's default materials, and its default settings."""
    name = template.name
    rows = template.parameters.items()
    values = {key: given.settings.get((name, key), row.default) for key, row in rows}
    materials = {
        role: given.materials.get((name, role))
        or row.usual(
            book.stock,
            book.measured(row.fits) if row.fits else None,
            bears_heat=conditions.bears_heat(book.condition),
        )
        for role, row in template.materials.items()
    }
    return replace(book, materials=materials), catalogue.asked(name).params(**values)


Sewings = dict[object, "Sewn | MendfoldError | None"]
"""Sewings of one book that were worked out already, and those that find no room."""


def sewn_as_it_comes(
    chosen: Sequence[Template], book: Book, given: Given, known: Sewings
) -> Sewn | None:
    """Work out the scattered sewing of structures drafted together, as a draft by default would.

    None where none of them has one, or where a field is missing. Raises PlacementError or SettingError
    where there is no room for it. A sewing goes by what lies beneath it and by a support under the block,
    whatever else is drafted: what is in `known` is not worked out again.
    """
    carried = tuple(kind for kind in gives(chosen) if issubclass(kind, SupportResult))
    together = replace(book, gives=gives(chosen))
    for one in sorted(chosen, key=lambda one: (one.order, one.name)):
        sewing = catalogue.sewing(one.name)
        if sewing is None or lacking([one], book.record):
            together = _stacked(one, together, given, None)
            continue
        held, params = _defaults(one, replace(together, gives=carried), given)
        key = (one.name, carried, held.lies_on_mm, repr(params), repr(held.materials))
        if key not in known:
            known[key] = _worked(sewing, held, params)
        found = known[key]
        if isinstance(found, MendfoldError):
            raise found
        return found
    return None


def _worked(
    sewing: Callable[[Book, Any], Sewn], book: Book, params: Any
) -> Sewn | MendfoldError | None:
    try:
        return sewing(book, params)
    except RecordError:
        return None
    except MendfoldError as error:
        return error


def place_as_it_comes(chosen: Sequence[Template], book: Book, given: Given = AS_IT_COMES) -> None:
    """Raise PlacementError or SettingError where the holes of structures drafted together find no room."""
    for one in chosen:
        places = catalogue.places(one.name)
        if places is not None and not lacking([one], book.record):
            places(*_defaults(one, replace(book, gives=gives(chosen)), given))


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
    always = (one.traits for one in template.steps if not (one.when or one.sets))
    traits = reduce(Traits.__or__, always, Traits())
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
    usual = [
        step
        for step in template.steps
        if (step.suits(book.materials) if step.sets else not step.seldom)
    ]
    pasted = any(set(step.traits.wets) & set(step.traits.covers) for step in usual)
    brings = {
        "wets": "its paste brings moisture near" if pasted else "it brings moisture near",
        "solvent": "it brings a solvent near",
        "cuts": "it lifts or cuts",
        "heats": "it brings heat near",
    }
    titles = {one.key: one.title for one in met(book.condition)}
    for step in usual:
        found = heeding.heeded(book.condition, step)
        way = found.way
        for row in found.rows:
            near = f"{titles[row.condition][0].lower()}{titles[row.condition][1:]}"
            if row in found.judged:
                yield f"{brings[row.does[0]]} {near}"
            elif way in ("solvent", "sparing"):
                yield f"near {near} it sets with {conditions.rules().ways[way].bond}"
