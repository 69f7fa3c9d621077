"""Leaves, gatherings and thickness, held against each other."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.book.block import leaves_spare
from patterns.examine.doubt import SHARE, doubt
from patterns.examine.facts import Facts
from patterns.examine.finding import Finding
from patterns.formulas import mechanics
from patterns.record.record import AlbumTable
from patterns.units import trimmed

EXTRA_LEAVES = 0.5
"""Most leaves beyond the gatherings, as a share of those in them, that are taken as guarded in."""
BULK = (0.8, 2.2)
"""Believable bulk of paper in cm³/g; 1.36 is usual (Georgia Tech IPST notes)."""
SHAPES = (0.5, 2.5)
"""Believable height for one of width."""
THREAD = "linen thread 25/3"
"""A usual thread, for what old ones may add at the folds."""
FORE_EDGE = (-0.1, 0.5)
"""Believable difference of the fore edge from the spine, as a share of the thickness."""


def find(facts: Facts) -> Iterator[Finding]:
    """Yield every pair of figures that does not agree."""
    for check in (_shape, _leaf_count, _leaves_make_thickness, _fore_edge, _bulk, _album):
        yield from check(facts)


def _shape(facts: Facts) -> Iterator[Finding]:
    height, width = facts.record.text_block.height, facts.record.text_block.width
    if height is None or width is None or SHAPES[0] <= height / width <= SHAPES[1]:
        return
    yield doubt(
        "odd_shape",
        "Height and width make an unusual shape",
        f"The block is {trimmed(height, 1)} mm high and {trimmed(width, 1)} mm wide.",
        ("text_block.height", "text_block.width"),
        height / width,
        SHAPES[0] if height < width else SHAPES[1],
        "× the width",
    )


def _leaf_count(facts: Facts) -> Iterator[Finding]:
    """Compare leaves counted with leaves in gatherings; some more may be tipped or guarded in."""
    block, sewn = facts.record.text_block, facts.leaves_by_gatherings
    if block.leaves is None or sewn is None or block.leaves_per_gathering is None:
        return
    more = block.leaves - sewn
    spare = leaves_spare(sewn, block.leaves_per_gathering)
    fields = ("text_block.leaves", "text_block.gatherings", "text_block.leaves_per_gathering")
    if more > spare and more <= EXTRA_LEAVES * sewn:
        yield Finding(
            key="leaves_beyond_gatherings",
            topic="measurements",
            call="note",
            title="More leaves than the gatherings hold",
            words=f"{block.leaves} leaves, {sewn} of them in gatherings: {more} are tipped in or "
            "guarded, or one of the counts is wrong.",
            fields=fields,
            figure=more,
            unit="leaves",
            limit=spare,
            limit_source="mendfold's own threshold: one gathering, or 5 %",
            status="own",
            sureness="counted",
        )
    elif abs(more) > spare:
        yield doubt(
            "leaf_count_disagrees",
            "Leaves and gatherings do not agree",
            f"{block.leaves} leaves were counted, the gatherings make {sewn}.",
            fields,
            abs(more),
            spare,
            "leaves",
            "mendfold's own threshold: one gathering, or 5 %",
        )


def _leaves_make_thickness(facts: Facts) -> Iterator[Finding]:
    block, leaves = facts.record.text_block, facts.leaves
    if block.thickness is None or block.leaf_thickness is None or leaves is None:
        return
    if facts.book.is_album:
        yield from _album_leaves(facts, leaves, block.leaf_thickness)
        return
    computed = leaves * block.leaf_thickness
    share = block.thickness / computed - 1
    if abs(share) <= SHARE:
        return
    swell = ""
    thread = facts.stock.find(THREAD).diameter_mm
    if share > 0 and block.gatherings is not None and thread is not None:
        low, high = mechanics.swell_mm(block.gatherings, thread)
        swell = f" Thread along the folds may add {low:.0f} to {high:.0f} mm at the spine."
    yield doubt(
        "thickness_disagrees",
        "Thickness and leaves do not agree",
        f"{leaves} leaves of {trimmed(block.leaf_thickness, 3)} mm make {trimmed(computed, 1)} mm, "
        f"the block measures {trimmed(block.thickness, 1)} mm.{swell}",
        ("text_block.thickness", "text_block.leaf_thickness", "text_block.leaves")
        + (("text_block.gatherings",) if block.leaves is None else ()),
        100 * abs(share),
        100 * SHARE,
        "%",
    )


def _album_leaves(facts: Facts, leaves: int, leaf_mm: float) -> Iterator[Finding]:
    """Compare leaves with what is mounted on them with the thickest the block was read.

    Stubs may make the spine thinner or thicker than the leaves, so the fore edge is the one to ask
    where it was read; what the album's own table tells is compared there.
    """
    block, held = facts.record.text_block, facts.record.album
    contents = held.contents_thickness
    if contents is None or block.thickness is None:
        return
    if held.leaves and held.leaf_thickness and block.thickness_fore_edge is not None:
        return
    each = _mean(contents)
    made = leaves * (leaf_mm + each)
    edge = block.thickness_fore_edge
    measured = block.thickness if edge is None else edge
    field = "text_block.thickness" if edge is None else "text_block.thickness_fore_edge"
    share = measured / made - 1
    if abs(share) > SHARE:
        yield doubt(
            "thickness_disagrees",
            "Thickness and leaves do not agree",
            f"{leaves} leaves of {trimmed(leaf_mm, 3)} mm with {trimmed(each)} mm of contents on each make "
            f"{trimmed(made, 1)} mm, the block measures {trimmed(measured, 1)} mm.",
            (field, "text_block.leaf_thickness", "text_block.leaves", "album.contents_thickness"),
            100 * abs(share),
            100 * SHARE,
            "%",
        )


def _mean(contents: float | tuple[float, ...]) -> float:
    return sum(contents) / len(contents) if isinstance(contents, tuple) else contents


def _to_the_fold(album: AlbumTable) -> float | None:
    """Return an album leaf's width with its old stub, where it has one."""
    if album.leaf_width is None or album.old_stub is None:
        return album.leaf_width
    return album.leaf_width + album.old_stub


def _fore_edge(facts: Facts) -> Iterator[Finding]:
    block = facts.record.text_block
    if block.thickness is None or block.thickness_fore_edge is None:
        return
    share = block.thickness_fore_edge / block.thickness - 1
    low, high = FORE_EDGE
    if not low <= share <= high:
        yield doubt(
            "fore_edge_disagrees",
            "Thickness at spine and fore edge are far apart",
            f"{trimmed(block.thickness, 1)} mm at the spine, "
            f"{trimmed(block.thickness_fore_edge, 1)} mm at the fore edge.",
            ("text_block.thickness", "text_block.thickness_fore_edge"),
            100 * share,
            100 * (low if share < low else high),
            "%",
        )


def _bulk(facts: Facts) -> Iterator[Finding]:
    block = facts.record.text_block
    if block.leaf_thickness is None or block.grammage is None:
        return
    bulk = 1000 * block.leaf_thickness / block.grammage
    if not BULK[0] <= bulk <= BULK[1]:
        yield doubt(
            "bulk_disagrees",
            "Leaf thickness and grammage do not agree",
            f"{trimmed(block.leaf_thickness, 3)} mm at {trimmed(block.grammage)} g/m² is a bulk of "
            f"{trimmed(bulk)} cm³/g; paper has about 1.36.",
            ("text_block.leaf_thickness", "text_block.grammage"),
            bulk,
            BULK[0] if bulk < BULK[0] else BULK[1],
            "cm³/g",
            "mendfold's own range about 1.36 (Georgia Tech IPST notes)",
        )


def _album(facts: Facts) -> Iterator[Finding]:
    """Compare an album's leaves with the block they make."""
    album, block = facts.record.album, facts.record.text_block
    contents = album.contents_thickness
    if album.leaves and album.leaf_thickness and contents is not None:
        each = _mean(contents)
        made = album.leaves * (album.leaf_thickness + each)
        edge = block.thickness_fore_edge
        if edge is not None and abs(edge / made - 1) > SHARE:
            yield doubt(
                "album_thickness_disagrees",
                "The album's leaves and its fore edge do not agree",
                f"Leaves with what is on them make {trimmed(made, 1)} mm, the fore edge measures "
                f"{trimmed(edge, 1)} mm.",
                ("album.leaf_thickness", "album.contents_thickness", "album.leaves",
                 "text_block.thickness_fore_edge"),
                100 * abs(edge / made - 1),
                100 * SHARE,
                "%",
            )  # fmt: skip
    for name, leaf, whole in (
        ("width", _to_the_fold(album), block.width),
        ("height", album.leaf_height, block.height),
    ):
        if leaf is not None and whole is not None and abs(leaf / whole - 1) > 0.05:
            yield doubt(
                f"album_{name}_disagrees",
                f"The album's leaf {name} and the block's do not agree",
                f"{trimmed(leaf, 1)} mm by the leaf{' and its stub' if name == 'width' else ''}, "
                f"{trimmed(whole, 1)} mm by the block.",
                (f"album.leaf_{name}", f"text_block.{name}"),
                100 * abs(leaf / whole - 1),
                5.0,
                "%",
            )
