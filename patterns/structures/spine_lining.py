"""spine_lining: papers pasted to the spine between the sewing supports."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from patterns.book.book import Book
from patterns.book.old_sewing import OldSewing
from patterns.book.results import Handed, LiningResult
from patterns.formulas import geometry
from patterns.model.part import Check, Layer, Part, Quantity
from patterns.model.piece import Dimension, Label, Piece, Zone
from patterns.structures.shared.opened import covered
from patterns.structures.suits import spine_lining as suits
from patterns.structures.suits.spine_lining import Params
from patterns.units import at_ends, tenth

NAME = "spine_lining"
PASTE = "wheat starch paste"
STRIP_MM = 26.0


@dataclass(frozen=True, slots=True)
class _Panel:
    """One panel: its ends below the head of the block, and its width at both, in mm."""

    number: int
    top: float
    bottom: float
    head: float
    tail: float

    @property
    def height(self) -> float:
        return self.bottom - self.top

    @property
    def size(self) -> tuple[str, ...]:
        return tenth(self.head), tenth(self.tail), tenth(self.height)


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    covered: bool
    lies_on_words: str
    fallen_in: bool
    panel_count: int
    panel_words: str
    between_supports: bool
    grown_words: str


def draft(book: Book, params: Params) -> Handed:
    """Work out the panels: width a(u, t) − ease, height the gap less the support and both clears.

    Raises SettingError for one panel over raised supports.
    """
    paper = book.material("paper")
    old = book.old_sewing
    panels = tuple(
        _Panel(number, *ends, *suits.widths(book, params, *ends))
        for number, ends in enumerate(suits.spans(book, params), 1)
    )
    grown = _growth(book, panels)
    mean = sum(panel.head + panel.tail for panel in panels) / (2 * len(panels))
    part = Part(
        structure=NAME,
        title="Spine lining",
        figures=_figures(book, panels, grown),
        others=_others(book, panels, grown),
        pieces=(*_pieces(book, panels), _placing_strip(book, panels, old)),
        layers=(
            Layer("spine lining", paper.name, paper.thickness_mm, -mean / 2, mean / 2, "pasted"),
        ),
        warnings=_warnings(book, params, len(panels), grown),
        checks=(
            Check(
                "panels, supports and what stays clear of them, from end to end",
                panels[-1].bottom - panels[0].top,
                "mm",
                "a rule laid along the spine from the first panel's head to the last one's tail",
            ),
        ),
        girth_mm=book.spine.girth_head_mm,
    )
    return Handed(part, LiningResult())


def _figures(book: Book, panels: tuple[_Panel, ...], grown: float | None) -> Figures:
    return Figures(
        covered=covered(book),
        lies_on_words=f"{book.lies_on_mm:.2f} mm of linings that stay"
        if book.lies_on_mm
        else "the bare spine",
        fallen_in=book.spine.turn_deg < 0,
        panel_count=len(panels),
        panel_words="; ".join(_words(panel) for panel in panels),
        between_supports=len(panels) > 1,
        grown_words="how much is not known: wet a strip of it and see"
        if grown is None
        else f"about {tenth(grown)} mm across the grain",
    )


def _others(book: Book, panels: tuple[_Panel, ...], grown: float | None) -> dict[str, Quantity]:
    found: dict[str, Quantity] = {
        "girth_head_mm": book.spine.girth_head_mm,
        "girth_tail_mm": book.spine.girth_tail_mm,
        "lies_on_mm": book.lies_on_mm,
        "width_head_mm": panels[0].head,
        "width_tail_mm": panels[-1].tail,
    }
    if grown is not None:
        found["growth_across_mm"] = grown
    return found | {f"panel_{panel.number}_height_mm": panel.height for panel in panels}


def _growth(book: Book, panels: tuple[_Panel, ...]) -> float | None:
    """Return how much the widest panel grows across the grain when pasted, in mm, if it is known."""
    percent = book.materials["paper"].growth_across
    if percent is None:
        return None
    return percent / 100 * max(max(panel.head, panel.tail) for panel in panels)


def _words(panel: _Panel) -> str:
    return f"panel {panel.number}: {at_ends((panel.head, panel.tail))} × {tenth(panel.height)}"


def _pieces(book: Book, panels: tuple[_Panel, ...]) -> list[Piece]:
    """Return one piece a size, cut as often as that size occurs."""
    alike: dict[tuple[str, ...], list[_Panel]] = {}
    for panel in panels:
        alike.setdefault(panel.size, []).append(panel)
    return [_piece(book, group, len(panels)) for group in alike.values()]


def _piece(book: Book, group: list[_Panel], count: int) -> Piece:
    paper = book.material("paper")
    panel = group[0]
    half = max(panel.head, panel.tail) / 2
    outline = tuple(
        (x + half, y) for x, y in geometry.tapered_outline(panel.head, panel.tail, panel.height)
    )
    bottom = max(y for _, y in outline)
    named = ", ".join(str(one.number) for one in group)
    name = "lining" if count == 1 else f"panel{'s' if len(group) > 1 else ''} {named}"
    rows = [
        Dimension((half - panel.head / 2, 0.0), (half + panel.head / 2, 0.0), "head"),
        Dimension((0.0, 0.0), (0.0, panel.height), "left", text=f"{tenth(panel.height)} high"),
    ]
    if panel.size[0] != panel.size[1]:
        tail = panel.tail / 2
        rows.append(Dimension((half - tail, bottom), (half + tail, bottom), "tail"))
    left, right = book.edge_words
    places = "; ".join(f"{tenth(one.top)} to {tenth(one.bottom)}" for one in group)
    return Piece(
        name=name,
        title=f"spine lining, {name}" if count > 1 else "spine lining",
        titled_by_structure=True,
        structure=NAME,
        material=paper.name,
        thickness_mm=paper.thickness_mm,
        outline=outline,
        grain="head-tail",
        quantity=len(group),
        zones=(
            Zone("pasted", "under", "folds of the spine", outline, PASTE, on="spine"),
            Zone("free", "up", "dries before anything is laid on it", outline),
        ),
        dimensions=tuple(rows),
        labels=(Label((half, panel.height / 2), name, "note"),) if count > 1 else (),
        references=(((half, 0.0), (half, panel.height)),),
        left=left,
        right=right,
        lies_on_mm=book.lies_on_mm,
        grain_reason="grain head to tail, as linings lie (Roberts & Etherington)",
        tolerance_mm=book.spine.error_mm,
        notes=(f"lies {places} mm below the head", "thin line: middle of the spine"),
        spine_joint_free=True,
    )


def _placing_strip(book: Book, panels: tuple[_Panel, ...], old: OldSewing) -> Piece:
    """Draw the strip that carries the ends of all panels to the spine."""
    height = book.height_mm
    ends = [y for panel in panels for y in (panel.top, panel.bottom)]
    stops = [0.0, *ends, height]
    bands = tuple(
        (
            (0.0, y + sign * old.support_width_mm / 2),
            (STRIP_MM / 2, y + sign * old.support_width_mm / 2),
        )
        for y in old.supports_mm
        for sign in (-1, 1)
    )
    return Piece(
        name="placing strip",
        title="placing strip",
        structure=NAME,
        material="this printed sheet",
        thickness_mm=0.1,
        outline=((0.0, 0.0), (STRIP_MM, 0.0), (STRIP_MM, height), (0.0, height)),
        grain="any",
        slits=tuple(((STRIP_MM * 0.6, y), (STRIP_MM, y)) for y in ends),
        references=bands,
        dimensions=(
            *(
                Dimension((STRIP_MM, a), (STRIP_MM, b), "right")
                for a, b in pairwise(stops)
                if b - a >= 0.1
            ),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} block"),
        ),
        labels=tuple(
            Label((STRIP_MM * 0.72, (panel.top + panel.bottom) / 2), str(panel.number), "note")
            for panel in panels
        ),
        face_up="lay it along the spine, HEAD at the head of the block",
        notes=("thick lines: ends of the panels", "thin lines: edges of the supports"),
        stock=False,
    )


def _warnings(book: Book, params: Params, panels: int, grown: float | None) -> tuple[str, ...]:
    lines = []
    over = suits.over(book, params)
    supports = 0 if over else len(book.old_sewing.supports_mm)
    if supports + 1 > panels:
        lines.append(
            f"{supports + 1 - panels} of {supports + 1} panels would be lower than {suits.LEAST_MM:g} mm "
            "and is left out"
        )
    if not over and not supports:
        lines.append("no supports recorded (sewing.supports_at): one panel")
    if grown is not None and grown > params.ease + 0.5:
        lines.append(
            f"pasted, the widest panel grows about {tenth(grown)} mm across the grain and is only "
            f"{tenth(params.ease)} mm narrower than the spine; let it relax before it is laid, or set a larger ease"
        )
    if book.spine.turn_deg < 0:
        lines.append(
            "the spine has fallen in; a lining fixes the shape it dries in: bring the spine back first "
            "and hold it, or support the block (text_block_support) and do nothing else"
        )
    return tuple(lines)
