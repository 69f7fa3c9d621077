"""What one structure hands to the next: typed, kept out of the pattern, and never a string."""

from __future__ import annotations

import ast
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import patterns
from patterns.book import results
from patterns.book.book import Book
from patterns.book.results import AlbumResult, Result, SewnLiningResult, SewnResult, SlotResult
from patterns.drafting.order import Drafted
from patterns.errors import TemplateError
from patterns.model.part import Part
from patterns.stock import materials
from patterns.structures import board_slot, catalogue, cover_widening
from patterns.structures.catalogue import Structure
from tests.books import changed, demo, drafted

PACKAGE = Path(patterns.__file__).parent
READS_QUANTITIES = {"drafting/document.py"}
"""The writer of pattern.json."""


def quantities(found: Drafted, structure: str) -> dict[str, float | str | bool]:
    part = next(one for one in found.pattern.parts if one.structure == structure)
    return dict(part.quantities)


def renamed(
    original: Callable[..., dict[str, float | str | bool]], start: str
) -> Callable[..., dict[str, float | str | bool]]:
    """Return figures as a careless hand would leave them: every name with that start is another."""

    def figures(*given: Any) -> dict[str, float | str | bool]:
        found = original(*given)
        return {
            f"renamed_{name}" if name.startswith(start) else name: value
            for name, value in found.items()
        }

    return figures


def test_a_flange_does_not_hang_on_the_name_of_a_figure(monkeypatch: pytest.MonkeyPatch) -> None:
    """With a key of board_slot renamed, secondary_sewing once cut 59.9 mm instead of 21.7."""
    both = ("board_slot", "secondary_sewing")
    before = quantities(drafted("logbook", *both), "secondary_sewing")
    original = board_slot._others
    for start in ("flange_front", "flange_back", "slot_depth", "setback", "trim", "cutter"):
        monkeypatch.setattr(board_slot, "_others", renamed(original, start))
        assert quantities(drafted("logbook", *both), "secondary_sewing") == before
    assert before["flange_front_mm"] == pytest.approx(
        quantities(drafted("logbook", "board_slot"), "board_slot")["flange_front_mm"]
    )


def test_what_the_cover_needs_does_not_hang_on_the_name_of_a_figure(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The inlay keeps within the widened spine, and the cover closes, whatever the steps are told."""
    record = changed("almanac", cover={"spine_width": 9.0})
    both = ("cover_widening", "spine_inlay")
    before = drafted(record, *both)
    original = cover_widening._figures

    def wrong(*given: Any) -> cover_widening.Figures:
        return replace(original(*given), needed_head_mm=3.0, needed_tail_mm=3.0)

    monkeypatch.setattr(cover_widening, "_figures", wrong)
    after = drafted(record, *both)
    assert quantities(after, "spine_inlay") == quantities(before, "spine_inlay")
    assert after.pattern.closing == before.pattern.closing


def every_structure() -> list[Structure]:
    return [catalogue.structure(name) for name in catalogue.names()]


@pytest.mark.parametrize("one", every_structure(), ids=lambda one: one.template.name)
def test_a_structure_hands_on_what_it_declares_and_only_that(one: Structure) -> None:
    """`GIVES` is known before anything is drafted: others ask whether it will be there."""
    assert one.gives is None or issubclass(one.gives, Result)
    drafted(one.template.example, one.template.name)  # a difference would be refused


def test_what_was_not_declared_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A result that nobody can expect would be found by some structures and missed by others."""
    plain = catalogue.structure("spine_lining")
    other = replace(plain, gives=SlotResult)
    monkeypatch.setattr(catalogue, "structure", lambda _: other)
    with pytest.raises(TemplateError, match="LiningResult where GIVES says SlotResult"):
        drafted("logbook", "spine_lining")


def test_figures_that_were_not_declared_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the template was compared with is what the steps are filled in with."""
    other = replace(catalogue.structure("spine_lining"), figures=board_slot.Figures)
    monkeypatch.setattr(catalogue, "structure", lambda _: other)
    with pytest.raises(TemplateError, match="spine_lining: it fills its steps with Figures"):
        drafted("logbook", "spine_lining")


@pytest.mark.parametrize("kind", ["part", "piece", "diagram"])
def test_what_says_it_is_of_another_structure_is_refused(
    monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    """Pages, overview and cutting plan find a structure's own things by its name."""
    plain = catalogue.structure("flap_wrapper")

    def draft(book: Book, params: Any) -> Part:
        part, _ = plain.worked(book, params)
        if kind == "part":
            return replace(part, structure="wrapper")
        if kind == "piece":
            return replace(part, pieces=(replace(part.pieces[0], structure="wrapper"),))
        return replace(part, diagrams=(replace(part.diagrams[0], structure="wrapper"),))

    monkeypatch.setattr(catalogue, "structure", lambda _: replace(plain, draft=draft))
    with pytest.raises(TemplateError, match=f"flap_wrapper: a {kind} says .* 'wrapper'"):
        drafted("pay_book", "flap_wrapper")


def test_every_result_is_given_and_read() -> None:
    """A result that no structure gives, or that no other goes by, is not kept."""
    kinds = {
        name: kind
        for name, kind in vars(results).items()
        if isinstance(kind, type) and issubclass(kind, Result) and kind is not Result
    }
    asked = [catalogue.asked(name) for name in catalogue.names()]
    assert set(kinds.values()) == {kind for one in asked for kind in (one.gives, one.tells)} - {
        None
    }
    readers: dict[str, set[str]] = {name: set() for name in kinds}
    for path in PACKAGE.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        named = [node for node in ast.walk(tree) if isinstance(node, ast.Name)]
        for name in {node.id for node in named} & set(kinds):
            gives = catalogue.structure(path.stem).gives if path.stem in catalogue.names() else None
            if gives is not kinds[name] and path.stem != "results":
                readers[name].add(path.stem)
    by_what_it_does = {
        name for name, kind in kinds.items() if kind.HANGS_BOARDS or kind.COVERS_FOLDS
    }
    assert {name for name, found in readers.items() if not found} <= by_what_it_does


def test_results_are_not_kept_in_the_pattern() -> None:
    """They live while a pattern is drafted: the pattern is what is shown and written."""
    found = drafted("logbook", "spine_lining", "board_slot", "secondary_sewing")
    assert all("Result(" not in repr(part) for part in found.pattern.parts)
    assert "Handed(" not in repr(found.pattern)


def test_figures_are_read_by_the_writer_alone() -> None:
    """Whoever goes by a figure of another structure asks for its result."""
    readers = set()
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute) and node.attr == "quantities":
                readers.add(path.relative_to(PACKAGE).as_posix())
    kept = ("gallery/", "report/")  # they show the figures of the document they keep
    assert {n for n in readers if n not in READS_QUANTITIES and not n.startswith(kept)} == set()


THREAD = materials.built_in().find("linen thread 35/3", "thread")


def test_a_result_is_found_by_its_kind() -> None:
    """A book answers with what was handed on of that kind, or None; a narrower kind counts."""
    book = Book.of(demo("logbook"), materials.built_in())
    assert book.result(SewnResult) is None
    sewn = SewnLiningResult((20.0, 35.0), 1.0, 2.0, 0.5, THREAD)
    assert book.after(sewn).result(SewnResult) is sewn
    assert book.after(SewnResult((), 0.0, 0.0, 0.0, THREAD)).result(SewnLiningResult) is None


def test_a_block_built_anew_is_what_the_next_meets() -> None:
    """Guarded leaves of 30 mm at the spine and 31 at the fore edge: flat, bare, 30 wide."""
    book = Book.of(demo("logbook"), materials.built_in()).after(AlbumResult(30.0, 31.0))
    assert (book.thickness_mm, book.fore_edge_mm, book.spine.chord_mm) == (30.0, 31.0, 30.0)
    assert book.spine.layer_mm(2.0, 0.3) == pytest.approx(30.0)
    assert book.spine.linings_mm == 0
