"""The one way to draft: from an order to one pattern, every structure worked out in working order."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import patterns
from patterns.book import block
from patterns.book.book import Book
from patterns.book.condition import in_words
from patterns.book.profile import profile
from patterns.book.results import SewnResult
from patterns.book.spine import Spine
from patterns.drafting import after_sewing, closing, combining, hazards
from patterns.drafting.closing import Closing
from patterns.drafting.order import Drafted, Order
from patterns.drafting.settings import Values, settle
from patterns.errors import MendfoldError, Problem, RecordError, SettingError
from patterns.model import lettering
from patterns.model.drawing import Drawing
from patterns.model.part import Part, Step, by_name
from patterns.model.pattern import Pattern
from patterns.record.needs import require
from patterns.record.record import ConditionTable, Record
from patterns.structures import asking, catalogue, comparing, stacking, whole
from patterns.structures.shared.opened import cover_first
from patterns.structures.steps import StepTemplate, wanted, working_order
from patterns.structures.template import Template
from patterns.units import tenth, trimmed

COMMON_STEPS = (
    Step("record", "Photograph the book as it is, inside and out, and complete the record."),
    Step(
        "record",
        "Spot-test every liquid on every ink, dye, leather and gilding it may reach.",
        ("solvents_on_object",),
    ),
    Step("record", "Measure twice; the sheets repeat what was measured."),
    Step(
        "prepare",
        "Print at 100 % and check both 100 mm bars on every cutting page (99.7 to 100.3).",
    ),
    Step(
        "prepare",
        "Cut nothing before its own step. Lay the paper piece on the book before cutting; "
        "cut one, dry-fit it, then cut the rest.",
        ("knife",),
    ),
    Step(
        "finish",
        "Keep every removed part in a labelled envelope with the book; note the as-cut sizes.",
    ),
)


def draft(order: Order) -> Drafted:
    """Work out every structure of an order in working order; nothing is laid out or written.

    Raises RecordError for missing measurements and for words that no sheet can print, SettingError
    for settings, Unsuitable when a structure does not suit the book or two do not go together.
    """
    _check_letters(order)
    chosen = _in_order(order.structures)
    combining.refuse_conflicts(chosen)
    bare = Book.of(order.record, order.stock)
    asking.refuse_kind(chosen, bare)
    require(order.record, asking.lacking(chosen, order.record))
    values = settle(chosen, order.settings, order.stock, order.record)
    combining.refuse_disagreement(
        chosen, {name: {**one.parameters, **one.materials} for name, one in values.items()}
    )
    materials = {name: one.materials for name, one in values.items()}
    book = replace(
        bare,
        gives=asking.gives(chosen),
        joint_lining_mm=asking.joint_lining_mm(chosen, materials),
        inlay_mm=asking.inlay_mm(chosen, materials),
    )
    book = _foretold(chosen, values, book)
    names = tuple(one.name for one in chosen)
    parts: list[Part] = []
    swelled = after_sewing.NOTHING_WAITS
    for one in chosen:
        own = values[one.name]
        lies_on = book.spine.linings_mm + sum(map(closing.added_mm, parts))
        book = stacking.met(one, chosen, book, lies_on)
        book = replace(
            book, lies_on_mm=lies_on, materials=own.materials, by_hand=frozenset(own.by_hand)
        )
        params = catalogue.asked(one.name).params(**own.parameters)
        asking.refuse(one, book, params)
        part, result = catalogue.structure(one.name).worked(book, params)
        if isinstance(result, SewnResult):
            own.choose("thread", result.thread)
        draw = partial(_drawn, book, params, part)
        steps = part.steps or _steps(one, part, own, names, book.condition, draw)
        part = replace(part, steps=steps)
        part, swelled = after_sewing.waiting(
            catalogue.structure(one.name), part, book, params, swelled
        )
        parts.append(hazards.repasted(part))
        book = book.after(result)
    if book.result(SewnResult) is not None:
        book = stacking.read_again(book, book.lies_on_mm + closing.added_mm(parts[-1]))
    hazards.refuse(book.condition, tuple(parts))
    fits = closing.closing(book, parts)
    pattern = replace(
        _pattern(order, chosen, bare, tuple(parts), values, fits, book),
        unfinished=whole.unfinished(chosen, bare, catalogue.templates),
    )
    return Drafted(
        order,
        pattern,
        {name: value.shown for name, value in values.items()},
        {name: value.materials for name, value in values.items()},
    )


def _foretold(chosen: Sequence[Template], values: Mapping[str, Values], book: Book) -> Book:
    """Return the book with what structures let earlier ones know before any is worked out."""
    told = book
    for one in chosen:
        own = values[one.name]
        params = catalogue.asked(one.name).params(**own.parameters)
        told = told.after(asking.ahead(one, replace(book, materials=own.materials), params))
    return told


def _check_letters(order: Order) -> None:
    """Refuse a title or owner in letters that the sheets cannot print, naming the field."""
    record = order.record
    for name in ("book.title", "book.owner") if order.with_owner else ("book.title",):
        try:
            lettering.check_glyphs(record.get(name) or "")
        except MendfoldError as error:
            (unknown,) = error.problems
            raise RecordError(f"{record.source}: {name} is {error}", [unknown.at(name)]) from None


def _in_order(names: Sequence[str]) -> tuple[Template, ...]:
    if not names:
        problem = Problem(
            "structure", "no structure named", "one or more", "name one", "no structure"
        )
        raise SettingError(problem.found, [problem])
    wanted = {name: catalogue.find(name) for name in names}
    return tuple(sorted(wanted.values(), key=lambda one: (one.order, one.name)))


def _steps(
    one: Template,
    part: Part,
    values: Values,
    names: Sequence[str],
    condition: ConditionTable,
    draw: Callable[[StepTemplate], Drawing | None],
) -> tuple[Step, ...]:
    """Fill in a structure's steps; `with_NAME` holds where that structure is drafted as well."""
    figures: dict[str, object] = {**values.parameters, **dict(by_name(part.figures))}
    figures |= {f"with_{name}": name in names for name in catalogue.names()}
    figures |= {role: material.name for role, material in values.materials.items()}
    angles = [name for name, row in one.parameters.items() if row.kind == "angle"]
    return tuple(
        replace(
            hazards.told(condition, step, figures, angles, one.name),
            picture=draw(step),
            sees=comparing.seen(part, step),
        )
        for step in one.steps
        if wanted(step, figures) and step.suits(values.materials)
    )


def _drawn(book: Book, params: Any, part: Part, step: StepTemplate) -> Drawing | None:
    """Return the picture of a step, drawn by its structure; None where it has none."""
    if not step.picture:
        return None
    return catalogue.structure(part.structure).pictures[step.picture](book, params, part)


def merge_steps(
    parts: Sequence[Part], condition: ConditionTable, phases: Sequence[str]
) -> tuple[Step, ...]:
    """Return the steps of all parts in the order of phases, what the condition puts before among them.

    Each has the keys of the cautions that this book asks for.
    """
    first, last = (
        [step for step in COMMON_STEPS if (step.phase == "finish") == late]
        for late in (False, True)
    )
    merged = [*first, *(step for part in parts for step in part.steps), *last]
    ordered = sorted(merged, key=lambda step: phases.index(step.phase))
    every = hazards.with_what_comes_before(condition, ordered)
    return hazards.warned_together([hazards.warned(condition, step) for step in every])


def _pattern(
    order: Order,
    chosen: Sequence[Template],
    bare: Book,
    parts: tuple[Part, ...],
    values: Mapping[str, Values],
    fits: Closing | None,
    book: Book,
) -> Pattern:
    record, shape = order.record, bare.spine
    doubt = block.leaves_doubt(record)
    counted = [doubt] if doubt and any(one.sewn == "old folds" for one in chosen) else []
    warnings = [
        *counted,
        *shape.warnings,
        *combining.told_once(parts),
    ]
    if fits and not fits.closes:
        warnings.append(fits.sentence())
    condition = record.condition
    phases = working_order(cover_first(book))
    steps = merge_steps(parts, condition, phases)
    warnings += hazards.weaker(bare, steps)
    warnings += combining.memory_warnings(
        chosen, {name: one.materials for name, one in values.items()}
    )
    return Pattern(
        book_id=record.book.id or "book",
        book_title=record.book.title or "",
        structures=tuple(one.name for one in chosen),
        record_date=str(record.measuring.on or ""),
        version=patterns.__version__,
        parts=parts,
        steps=steps,
        stops=(*hazards.stops(condition), *hazards.boxes(condition, steps)),
        condition=in_words(condition),
        warnings=tuple(dict.fromkeys(warnings)),
        measurements=_measurements(record, shape),
        materials=(
            *combining.material_list(parts, {name: one.materials for name, one in values.items()}),
            *hazards.needed(steps),
        ),
        tools=tuple(dict.fromkeys(_tools(chosen, parts))),
        undo=tuple(_undo(chosen, parts, condition, steps, phases)),
        front_on_right=record.book.reading != "right-to-left",
        closing=fits.sentence() if fits else "",
        figures={**_girths(shape), **(fits.figures() if fits else {})},
        profile=profile(book),
    )


def _tools(chosen: Sequence[Template], parts: Sequence[Part]) -> Iterator[str]:
    """Yield what each structure takes: of what only some steps take, that of the steps that are told."""
    for one, part in zip(chosen, parts, strict=True):
        yield from (tool for step in part.steps for tool in step.tools)
        yield from one.tools


def _undo(
    chosen: Sequence[Template],
    parts: Sequence[Part],
    condition: ConditionTable,
    steps: Sequence[Step],
    phases: Sequence[str],
) -> Iterator[str]:
    """Yield how each structure is undone: what was fastened last comes off first.

    What still waits for a reading is not made yet, and tells its undoing when it is.
    """
    made = [pair for pair in zip(chosen, parts, strict=True) if not pair[1].waits][::-1]
    for one, part in sorted(made, key=lambda pair: -_fastened(pair[1], phases)):
        for line in hazards.undone(condition, part.undo or one.undo, part.steps, steps):
            yield f"{one.title}: {line}"


def _fastened(part: Part, phases: Sequence[str]) -> int:
    """Return when on the bench a structure is fastened: in its last phase, what is only told at the end apart."""
    reached = [phases.index(step.phase) for step in part.steps]
    last = phases.index("finish")
    return max((phase for phase in reached if phase != last), default=last)


def _girths(shape: Spine) -> dict[str, float]:
    return {"girth_head_mm": shape.girth_head_mm, "girth_tail_mm": shape.girth_tail_mm}


def _measurements(record: Record, shape: Spine) -> tuple[tuple[str, str], ...]:
    rows = [
        ("text block height", f"{tenth(shape.height_mm)} mm"),
        ("chord of the spine", f"{tenth(shape.chord_mm)} mm"),
        ("girth at head", f"{tenth(shape.girth_head_mm)} mm {shape.shape_words}"),
        ("girth at tail", f"{tenth(shape.girth_tail_mm)} mm"),
    ]
    for end in ("head", "tail"):
        if (read := record.get(f"spine.girth_sewn_{end}")) is not None:
            rows.append((f"girth at {end}, sewn", f"{tenth(read)} mm by paper strip"))
    if shape.linings_mm:
        rows.append(("linings left in place", f"{trimmed(shape.linings_mm)} mm"))
    if record.book.weight is not None:
        rows.append(("weight of the book", f"{record.book.weight:g} kg"))
    return (*rows, *_leaves_measured(record))


def _leaves_measured(record: Record) -> Iterator[tuple[str, str]]:
    """Yield what the record says of the leaves: an album's with their contents, else by gatherings."""
    block, album = record.text_block, record.album
    if album.kind is None:
        if block.gatherings is not None:
            yield "gatherings", str(block.gatherings)
        if block.leaf_thickness is not None:
            yield "leaf", f"{trimmed(block.leaf_thickness, 3)} mm"
        return
    if album.leaves is not None and album.leaf_thickness is not None:
        yield "leaves", f"{album.leaves} of {trimmed(album.leaf_thickness, 3)} mm"
    if (read := album.contents_thickness) is not None:
        each = read if isinstance(read, tuple) else (read,)
        ends = " to ".join(dict.fromkeys((trimmed(min(each)), trimmed(max(each)))))
        yield "contents of a leaf", f"{ends} mm"
    for name, found in (("old stub", album.old_stub), ("clear margin", album.inner_margin)):
        if found is not None:
            yield name, f"{tenth(found)} mm"
