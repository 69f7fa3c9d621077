"""album_guards: an album's leaves on folded guards, spine and leaves balanced."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal

from patterns.book.book import Book
from patterns.book.results import AlbumResult, Handed
from patterns.model.drawing import Ring
from patterns.model.part import Layer, Part, Proof, Sewing
from patterns.model.piece import Dimension, Fold, Hole, Label, Piece, Zone
from patterns.sewing import pricking
from patterns.structures.shared import album as albums
from patterns.structures.shared import album_view, album_words
from patterns.structures.shared.album import SHORT_MM, Album
from patterns.structures.shared.album_view import runs
from patterns.structures.suits.album_guards import Params
from patterns.units import tenth

NAME = "album_guards"
PASTE = "wheat starch paste"
EDGE_HOLE_MM = 3.0
"""How far from its spine edge a single strip is pierced (practice)."""
PRICKING_MM = 40.0
Figures = album_words.AlbumFigures


def draft(book: Book, params: Params) -> Handed:
    """Work out guards, strips and stations, the spine kept level with the leaves.

    Raises RecordError for an odd leaf among folded pairs, SettingError for strips that cannot be
    nested and stations that do not fit.
    """
    album = albums.reckoned(book, params)
    listed = album.listed()
    holes = albums.stations(album.height_mm, params)
    inside = _leaf_inside(params, album.per_section)
    parts = album_view.Parts(album.folios, album.stub_mm, album.hinge_mm, album.lap_mm, inside)
    spine = sum(row.spine_mm for row in listed)
    part = Part(
        structure=NAME,
        title="Album guards",
        figures=album_words.figures(book, album, listed, holes, params),
        others=album_words.others(book, album, listed),
        pieces=(
            *_guards(book, album, inside),
            *_strips(book, album),
            *_single(book, album, holes),
            _pricking(album, holes, params),
        ),
        diagrams=album_view.diagrams(NAME, listed, parts, book.left_to_right),
        layers=_layers(book, album, spine),
        warnings=tuple(album_words.warnings(book, album, listed)),
        checks=album_words.checks(book, album, listed),
        sewing=Sewing(
            stations_mm=holes,
            stitches=(),
            path=(),
            thread_mm=album_words.thread_mm(album, spine, params),
            proof=Proof("even stations"),
        ),
    )
    return Handed(part, AlbumResult(spine, sum(album.leaves_mm)))


def _leaf_inside(params: Params, guards: int) -> tuple[bool, ...]:
    """Say for each guard whether its leaves lie on its inner face (it is pasted to their outer)."""
    if params.face != "by place":
        return (params.face == "outer",) * guards
    return tuple(q == guards - 1 and guards > 1 for q in range(guards))


def _guards(book: Book, album: Album, inside: Sequence[bool]) -> list[Piece]:
    if album.folios:
        return []
    fixed = 2 * (album.stub_mm + album.hinge_mm + album.lap_mm)
    made: dict[tuple[int, float], list[int]] = {}
    for nest in album.nests:
        for q, more in enumerate(albums.creep_of(album, nest).guards, 1):
            made.setdefault((q, round(fixed + more, 2)), []).append(nest.number)
    return [
        _guard(book, album, q, width, sections, inside[q - 1])
        for (q, width), sections in sorted(made.items())
    ]


def _of(album: Album, sections: Sequence[int]) -> str:
    if len(sections) == len(album.nests):
        return "all sections" if len(sections) > 1 else "the section"
    return f"section{'s' * (len(sections) > 1)} {runs(sections)}"


def _guard(
    book: Book, album: Album, q: int, width: float, sections: Sequence[int], leaf_inside: bool
) -> Piece:
    stuff, height = book.material("guard"), album.height_mm
    lap, hinge = album.lap_mm, album.lap_mm + album.hinge_mm
    stops = [0.0, lap, hinge, width / 2, width - hinge, width - lap, width]
    face: Literal["up", "under"] = "up" if leaf_inside else "under"
    leaf_face = "outer" if leaf_inside else "inner"
    zones = [Zone("free", face, "in the stack and at the hinge", _band(lap, width - lap, height))]
    for a, b in ((0.0, lap), (width - lap, width)):
        zones.append(
            Zone("pasted", face, f"{leaf_face} face of the leaf", _band(a, b, height), PASTE)
        )
    zones.append(Zone("free", "under" if leaf_inside else "up", "", _band(0, width, height)))
    sides = ("first half", "second half") if book.left_to_right else ("second half", "first half")
    where = _of(album, sections)
    return Piece(
        name=f"guard {q}, {where}",
        title=f"guard {q}, {where}",
        structure=NAME,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=_band(0.0, width, height),
        grain="head-tail",
        grain_reason="grain head to tail: it folds and hinges along its grain (Roberts & Etherington)",
        quantity=len(sections),
        folds=(Fold("valley", ((width / 2, 0.0), (width / 2, height)), "fold"),),
        zones=tuple(zones),
        references=tuple(((x, 0.0), (x, height)) for x in (lap, hinge, width - hinge, width - lap)),
        dimensions=(
            *(Dimension((a, 0.0), (b, 0.0), "head", 0) for a, b in pairwise(stops)),
            Dimension((0.0, 0.0), (width, 0.0), "head", 1),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
        ),
        labels=(Label((width / 4, height * 0.45), f"guard {q} · {where}", "note", 90.0),),
        left=sides[0],
        right=sides[1],
        face_up="this face up: inside the fold",
        notes=(
            f"place {q} of {album.per_section} in the nest, 1 outermost: {where}",
            f"carries leaf {q} and leaf {2 * album.per_section + 1 - q} of a full section",
            "thin lines: hinge; strips end 1 mm short of it",
        ),
        tolerance_mm=0.0,
    )


def _band(left: float, right: float, height: float) -> Ring:
    return ((left, 0.0), (right, 0.0), (right, height), (left, height))


def _strips(book: Book, album: Album) -> list[Piece]:
    fixed = 2 * (album.stub_mm - SHORT_MM)
    made: dict[tuple[int, int, float], list[int]] = {}
    for nest in album.nests:
        for q, row in enumerate(albums.creep_of(album, nest).strips, 1):
            for i, more in enumerate(row, 1):
                made.setdefault((q, i, round(fixed + more, 2)), []).append(nest.number)
    return [
        _strip(book, album, f"strip {q}.{i}", width, sections, _deep(album, q, i))
        for (q, i, width), sections in sorted(made.items())
    ]


def _deep(album: Album, q: int, i: int) -> str:
    return f"inside {album.carrier} {q}, number {i} from the outside"


def _strip(
    book: Book, album: Album, name: str, width: float, sections: Sequence[int], place: str
) -> Piece:
    stuff, height, where = book.material("strip"), album.height_mm, _of(album, sections)
    return Piece(
        name=f"{name}, {where}",
        title=f"{name}, {where}",
        structure=NAME,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=_band(0.0, width, height),
        grain="head-tail",
        grain_reason="grain head to tail, as the guards",
        quantity=len(sections),
        folds=(Fold("valley", ((width / 2, 0.0), (width / 2, height)), "fold"),),
        zones=(
            Zone("free", "up", "the sewing holds it", _band(0.0, width, height)),
            Zone("free", "under", "the sewing holds it", _band(0.0, width, height)),
        ),
        dimensions=(
            Dimension((0.0, 0.0), (width / 2, 0.0), "head", 0),
            Dimension((0.0, 0.0), (width, 0.0), "head", 1),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
        ),
        labels=(Label((width / 4, height * 0.45), f"{name} · {where}", "note", 90.0),),
        face_up="this face up: inside the fold",
        notes=(place, where),
    )


def _single(book: Book, album: Album, holes: Sequence[float]) -> list[Piece]:
    sections = [nest.number for nest in album.nests if nest.single]
    if not sections:
        return []
    stuff, height, where = book.material("strip"), album.height_mm, _of(album, sections)
    width = album.stub_mm - SHORT_MM
    return [
        Piece(
            name="single strip",
            title=f"single strip, {where}",
            structure=NAME,
            material=stuff.name,
            thickness_mm=stuff.thickness_mm,
            outline=_band(0.0, width, height),
            grain="head-tail",
            grain_reason="grain head to tail, as the guards",
            quantity=len(sections),
            holes=tuple(Hole((EDGE_HOLE_MM, y)) for y in holes),
            zones=(
                Zone("free", "up", "the thread holds it", _band(0.0, width, height)),
                Zone("free", "under", "the thread holds it", _band(0.0, width, height)),
            ),
            dimensions=(
                Dimension((0.0, 0.0), (width, 0.0), "head", 0),
                Dimension((0.0, height), (EDGE_HOLE_MM, height), "tail", 0),
                Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
            ),
            labels=(Label((width * 0.6, height * 0.45), f"single · {where}", "note", 90.0),),
            face_up="this edge, with the holes, lies in the innermost fold",
            notes=("at the centre of the nest, not folded", where),
        )
    ]


def _pricking(album: Album, holes: Sequence[float], params: Params) -> Piece:
    height, fold = album.height_mm, PRICKING_MM / 2
    stops = [0.0, *holes, height]
    return Piece(
        name="pricking strip",
        structure=NAME,
        material="card or stiff paper, folded",
        thickness_mm=0.2,
        outline=_band(0.0, PRICKING_MM, height),
        grain="head-tail",
        grain_reason="grain head to tail, so that the strip folds true",
        folds=(Fold("valley", ((fold, 0.0), (fold, height)), "fold"),),
        holes=tuple(Hole((fold, y)) for y in holes),
        marks=tuple(
            words
            for y in holes
            for words in pricking.beside(
                fold, y, "kettle" if y in (holes[0], holes[-1]) else "tape"
            )
        ),
        dimensions=(
            *(
                Dimension((PRICKING_MM, a), (PRICKING_MM, b), "right", 0)
                for a, b in pairwise(stops)
            ),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
        ),
        labels=(Label((fold / 2, height / 2), "every section", "note", 90.0),),
        face_up="seen from inside the innermost fold",
        notes=(
            f"{(len(holes) - 2) // 2} tapes {tenth(params.tape_width)} mm wide, a hole each side; kettles at both ends",
        ),
        stock=False,
    )


def _layers(book: Book, album: Album, spine: float) -> tuple[Layer, ...]:
    half = spine / 2
    folds = (
        "folds of the folios and strips"
        if album.folios
        else f"folds of the guards ({book.materials['guard'].name}) and strips"
    )
    return (
        Layer(
            "text block of guarded leaves",
            "",
            0.0,
            -half,
            half,
            "free",
            on_spine=False,
            existing=True,
            block=True,
        ),
        Layer(folds, book.materials["strip"].name, 0.0, -half, half, "sewn", on_spine=False),
        Layer(
            "sewing tapes",
            "linen tape",
            0.35,
            -half - 32.0,
            half + 32.0,
            "sewn",
            "pasted",
            on_spine=False,
        ),
    )
