"""tissue_hinge: a sewn cloth and two overlapping tissues that carry a limp cover."""

from __future__ import annotations

from dataclasses import dataclass, replace

from patterns.book.boards import SIDES, Which
from patterns.book.book import Book
from patterns.book.covering import NARROWER_MM
from patterns.book.results import Handed, SewnResult, WideningResult
from patterns.formulas.hinges import Tissue
from patterns.model.drawing import Drawing
from patterns.model.part import Check, Layer, Part, Quantity, Union
from patterns.sewing import lining, pricking
from patterns.sewing import plan as sewing_plan
from patterns.sewing import view as sewing_view
from patterns.sewing import words as sewing_words
from patterns.sewing.lining import Cloth
from patterns.sewing.words import SewingFigures
from patterns.structures.sewings import tissue_hinge as sewing
from patterns.structures.shared import conditions, hinge_pieces, hinge_view, pictures
from patterns.structures.suits import tissue_hinge as suits
from patterns.structures.suits.tissue_hinge import Params
from patterns.units import at_ends, tenth, told_apart

NAME = "tissue_hinge"
SIDES_OFF = "release the sides of the tissue from the cover with what undoes the adhesive{unheated}, tried first on a corner"
LEAST_OVERLAP_MM = 6.0
SETBACK_MM = (12.7, 8.0)
"""Published for linings (A. L. Bailey 1916); of blocks under 200 mm (practice)."""
THROUGH = ("back stub", "front stub", "lining cloth")


@dataclass(frozen=True, slots=True)
class _Hinge:
    """Both tissues and the cloth, and what they have in common."""

    tissues: dict[Which, Tissue]
    cloth: Cloth
    setback: float
    girths: tuple[float, float]
    """Of the laminate's outer face, at the block's head and tail."""
    overlap_mm: float
    """How far the two stubs lie on each other, where it is least."""


@dataclass(frozen=True, slots=True)
class Figures:
    """What the steps are filled in with."""

    sewing: SewingFigures
    cloth_words: str
    warp_words: str
    tissue_words: str
    stub_overlap_mm: float
    grown_words: str
    setback_mm: float


def draft(book: Book, params: Params) -> Handed:
    """Work out cloth, both tissues and the sewing that holds them; nothing is pasted to the folds.

    Raises SettingError for a setback that leaves nothing of the folds.
    """
    hinge = _hinge(book, params)
    wanted = sewing.wanted(book, params)
    sewn = sewing_plan.sew(book, wanted)
    guides = pricking.guide_holes(book, hinge.cloth, sewn, hinge.setback)
    tissues = tuple(hinge_pieces.tissue(book, NAME, hinge.tissues[side], side) for side in SIDES)
    part = Part(
        structure=NAME,
        title="Tissue hinge",
        figures=_figures(book, hinge, sewing_words.figures(book, sewn)),
        others=sewing_words.others(book, sewn) | _others(book, params, hinge),
        pieces=(
            replace(hinge.cloth.piece, holes=guides),
            *tissues,
            *pricking.pricking_strips(book, sewn, NAME),
        ),
        diagrams=(
            hinge_view.across_the_spine(
                NAME,
                book.edge_words,
                sum(hinge.girths) / 2,
                params.stub_end,
                params.keep,
                params.free,
            ),
            *sewing_view.diagrams(book, sewn, hinge.cloth, NAME, THROUGH),
        ),
        layers=_layers(book, hinge),
        warnings=_warnings(book, params, hinge) + sewing_words.warnings(book, wanted, sewn),
        boxes=sewing_words.boxes(wanted, sewn),
        checks=(
            *_spare(book, hinge),
            *sewing_plan.checks(sewn),
        ),
        sewing=sewing_plan.sewing(book, wanted, sewn),
        undo=sewing_words.undo(
            sewn, "free the tails outside", (SIDES_OFF, "cloth and tissues come off whole")
        ),
        girth_mm=book.spine.girth_head_mm,
    )
    swell = sewn.swell
    result = SewnResult(
        sewn.holes_mm, swell.least_mm, swell.most_mm, swell.diameter_mm, sewn.thread
    )
    return Handed(part, result)


def _spare(book: Book, hinge: _Hinge) -> tuple[Check, ...]:
    """Return how much wider than the laminate the cover's spine is, each end by itself."""
    pairs = zip(suits.cover_spine_mm(book), hinge.girths, strict=True)
    head, tail = (spine - girth for spine, girth in pairs)
    alike = tenth(head) == tenth(tail)
    rows = (("", head),) if alike else ((", at the head", head), (", at the tail", tail))
    return tuple(
        Check(
            f"spine of the cover, as measured, less the girth over the laminate{where}",
            spare,
            "mm",
            f"0 or more; lacking over {NARROWER_MM:g} mm on its whole way, the cover is widened first; a paper "
            "strip over the laminate shows it",
        )
        for where, spare in rows
    )


def _hinge(book: Book, params: Params) -> _Hinge:
    ends = suits.ends(book, params)
    tissues = {side: _flat(book, params, side, ends) for side in SIDES}
    widths = suits.cloth_mm(book, params)
    on = suits.cloth_on_mm(book)
    laid = hinge_pieces.cloth(book, NAME, tissues["front"], widths, on, ends, params.strong)
    return _Hinge(tissues, laid, ends[0], suits.laminate_mm(book), suits.overlap_mm(book, params))


def _flat(book: Book, params: Params, side: Which, ends: tuple[float, float]) -> Tissue:
    flat = suits.flat(book, params, side)
    top = flat.inset - book.limp_side(side).square_head.value
    return Tissue(
        stub_head=flat.head,
        stub_tail=flat.tail,
        stub_top=ends[0],
        stub_bottom=ends[1],
        reach=flat.reach,
        side_top=top,
        side_bottom=top + flat.height,
        keep=params.keep,
        free=params.free + params.ease,
        stub_end=params.stub_end,
        slack=params.ease,
    )


def _layers(book: Book, hinge: _Hinge) -> tuple[Layer, ...]:
    """List the laminate from the folds outwards, then air and the cover itself."""
    tissue, cloth = book.material("tissue"), book.material("cloth")
    half = book.spine.girth_mm(book.height_mm / 2) / 2
    thickness = book.cover_thickness.value

    def ends(side: Which, one: float, other: float) -> tuple[float, float]:
        """Turn distances from the middle towards a side into places from left to right."""
        sign = 1 if book.at_right(side) else -1
        low, high = sorted((sign * one, sign * other))
        return low, high

    layers = []
    unions: tuple[tuple[Which, Union], ...] = (("back", "sewn"), ("front", "pasted and sewn"))
    for side, union in unions:
        flat = hinge.tissues[side]
        stub = (flat.stub_head + flat.stub_tail) / 2
        left, right = ends(side, half - stub, half + flat.reach)
        layers.append(Layer(f"{side} stub", tissue.name, tissue.thickness_mm, left, right, union))
    inside = hinge.cloth.spine_mm / 2
    layers += [
        Layer("lining cloth", cloth.name, cloth.thickness_mm, -inside, inside, "pasted and sewn"),
        Layer("air", "", 0.0, -half, half, "free", on_spine=False),
    ]
    wide = min(suits.cover_spine_mm(book)) / 2
    widened = book.expects(WideningResult)  # then it is set back on the piece that is let in
    name: str = "original spine" if widened else "spine of the cover"
    held: Union = "pasted" if widened else "free"
    layers.append(Layer(name, "", thickness, -wide, wide, held, existing=True))
    for side in SIDES:
        width = book.limp_side(side).width_mm
        left, right = ends(side, half, half + width)
        layers.append(
            Layer(
                f"{side} side",
                "",
                thickness,
                left,
                right,
                "pasted",
                "pasted",
                on_spine=False,
                existing=True,
            )
        )
    return tuple(layers)


def _figures(book: Book, hinge: _Hinge, sewing: SewingFigures) -> Figures:
    cloth = hinge.cloth
    grown = hinge_pieces.growth(book, hinge.tissues["front"])
    return Figures(
        sewing=sewing,
        cloth_words=f"{tenth(cloth.piece.width_mm)} × {tenth(cloth.piece.height_mm)} mm",
        warp_words=lining.warp_words(cloth.piece.grain),
        tissue_words="; ".join(
            f"{side} {tenth(flat.width_mm)} wide, stub {at_ends((flat.stub_head, flat.stub_tail))} × {tenth(flat.stub_bottom - flat.stub_top)}, "
            f"side {tenth(flat.reach)} × {tenth(flat.side_bottom - flat.side_top)}"
            for side, flat in hinge.tissues.items()
        ),
        stub_overlap_mm=hinge.overlap_mm,
        grown_words=f"would grow {tenth(grown[0])} mm wide and {tenth(grown[1])} mm high"
        if grown
        else "grows, nobody knows how much",
        setback_mm=hinge.setback,
    )


def _others(book: Book, params: Params, hinge: _Hinge) -> dict[str, Quantity]:
    cloth = hinge.cloth
    grown = hinge_pieces.growth(book, hinge.tissues["front"])
    found: dict[str, Quantity] = {
        "cloth_width_mm": cloth.piece.width_mm,
        "cloth_height_mm": cloth.piece.height_mm,
        "laminate_mm": 2 * book.material("tissue").thickness_mm + cloth.piece.thickness_mm,
        "laminate_girth_mm": max(hinge.girths),
        "bond_from_mm": params.free,
        "widened": book.expects(WideningResult),
    }
    for side, flat in hinge.tissues.items():
        found |= {
            f"stub_{side}_mm": flat.stub_mm,
            f"stub_{side}_head_mm": flat.stub_head,
            f"stub_{side}_tail_mm": flat.stub_tail,
            f"tissue_{side}_width_mm": flat.width_mm,
            f"stub_{side}_height_mm": flat.stub_bottom - flat.stub_top,
            f"side_{side}_height_mm": flat.side_bottom - flat.side_top,
            f"bond_to_{side}_mm": flat.reach - params.ease,
        }
    if grown:
        found |= {"growth_wide_mm": grown[0], "growth_high_mm": grown[1]}
    return found


def _warnings(book: Book, params: Params, hinge: _Hinge) -> tuple[str, ...]:
    lines = []
    if hinge.overlap_mm < LEAST_OVERLAP_MM:
        overlap, least = told_apart(hinge.overlap_mm, LEAST_OVERLAP_MM)
        lines.append(
            f"the stubs overlap by {overlap} mm, less than {least}: the spine "
            "is too thin for two; use one tissue round the spine"
        )
    total, (first, last) = book.gatherings.total, suits.within(book, params)
    if first > 1 or last < total:
        lines.append(
            f"cloth and both stubs cover gatherings {first} to {last} of {total} with a hem of "
            f"{tenth(params.hem)} mm; only these are sewn"
        )
    adhesive, condition = book.materials["adhesive"], book.condition
    others = [way for way in ("solvent", "heat") if conditions.may_set(condition, way)]
    dry_set = "heat" in others
    if condition.soluble_media and adhesive.sets in ("solvent", "water"):
        lines.append(
            f"{adhesive.name} sets by {adhesive.sets} and this book has inks or dyes that run; spot-test"
            f"{', or take a dry-set adhesive' if dry_set else ''}"
        )
    if adhesive.sets == "water":
        grown = hinge_pieces.growth(book, hinge.tissues["front"])
        high = f" {tenth(grown[1])} mm high" if grown else ""
        kinds = " or ".join("dry-set" if way == "heat" else "solvent-set" for way in others)
        spared = f"; a {kinds} adhesive does not" if kinds else ""
        lines.append(f"{adhesive.name} wets the tissue, which then grows{high}{spared}")
    return tuple(lines)


def _closed(_book: Book, _params: Params, part: Part) -> Drawing:
    """Show one stitch sewn by itself."""
    assert part.sewing is not None
    one = part.sewing.stitches[0]
    return pictures.closed(one.to_mm - one.from_mm)


PICTURES = {"closed": _closed}
