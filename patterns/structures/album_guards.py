"""album_guards: an album's leaves on folded guards, spine and leaves balanced."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Literal

from patterns.book.book import Book
from patterns.book.results import AlbumResult, Handed
from patterns.formulas.balance import Nest
from patterns.model.drawing import Drawing, Ring
from patterns.model.part import Layer, Part
from patterns.model.piece import Dimension, Fold, Hole, Label, Piece, Zone
from patterns.model.stitches import Proof, Sewing
from patterns.sewing import pricking
from patterns.structures.shared import album as albums
from patterns.structures.shared import album_advice, album_table, album_view, album_words, pictures
from patterns.structures.shared.album import Album
from patterns.structures.shared.album_view import runs
from patterns.structures.shared.album_widths import SHORT_MM, Cut
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
    parts = album_view.Parts(
        album.folios, album.stub_mm, album.hinge_mm, album.lap_mm, album.leaf_inside
    )
    spine = sum(row.spine_mm for row in listed)
    part = Part(
        structure=NAME,
        title="Album guards",
        figures=album_words.figures(book, album, listed, holes, params),
        others=album_words.others(book, album, listed),
        pieces=(
            *_guards(book, album),
            *_strips(book, album),
            *_single(book, album, holes),
            _pricking(album, holes, params),
        ),
        diagrams=(
            *album_view.plans(NAME, listed, parts, album.widths, book.left_to_right),
            *album_table.tables(NAME, listed, parts, album.widths),
        ),
        layers=_layers(book, album, spine),
        warnings=tuple(album_advice.warnings(book, album, listed)),
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


def _cut(rows: Iterable[Cut]) -> list[tuple[Cut, int]]:
    """Return every width with the number of its parts, the widest first."""
    return sorted(Counter(rows).items(), key=lambda pair: -pair[0].width_mm)


def _alike(kind: str, cuts: Sequence[tuple[Cut, int]], how: str) -> tuple[str, ...]:
    """Say which other widths go by the drawing of the first."""
    if len(cuts) < 2:
        return ()
    others = ", ".join(f"{cut.letter}\u00a0{tenth(cut.width_mm)}" for cut, _ in cuts[1:])
    return (f"drawn as {kind} {cuts[0][0].letter}; alike, but narrower: {others} mm. {how}",)


def _guards(book: Book, album: Album) -> list[Piece]:
    if album.folios:
        return []
    made: list[Piece] = []
    for face in (False, True):
        cuts = _cut(
            cut
            for row in album.widths.guards
            for cut, inside in zip(row, album.leaf_inside, strict=False)
            if inside is face
        )
        notes = _alike(
            "guard", cuts, "Fold each in its middle; hinge and lap from both edges as here"
        )
        for cut, count in cuts:
            drawn = f"guard {cuts[0][0].letter}" if cut is not cuts[0][0] else ""
            piece = _guard(book, album, cut, face)
            made.append(
                replace(piece, quantity=count, drawn_as=drawn, notes=(*piece.notes, *notes))
            )
    return made


def _guard(book: Book, album: Album, cut: Cut, leaf_inside: bool) -> Piece:
    stuff, height, width = book.material("guard"), album.height_mm, cut.width_mm
    lap, hinge = album.lap_mm, album.lap_mm + album.hinge_mm
    stops = [0.0, lap, hinge, width / 2, width - hinge, width - lap, width]
    face: Literal["up", "under"] = "up" if leaf_inside else "under"
    leaf_face = "outer" if leaf_inside else "inner"
    zones = [Zone("free", face, "in the stack and at the hinge", _band(lap, width - lap, height))]
    for a, b in ((0.0, lap), (width - lap, width)):
        zones.append(
            Zone(
                "pasted",
                face,
                f"{leaf_face} face of the leaf",
                _band(a, b, height),
                PASTE,
                on="leaf",
            )
        )
    zones.append(Zone("free", "under" if leaf_inside else "up", "", _band(0, width, height)))
    sides = ("first half", "second half") if book.left_to_right else ("second half", "first half")
    return Piece(
        name=f"guard {cut.letter}",
        structure=NAME,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=_band(0.0, width, height),
        grain="head-tail",
        grain_reason="grain head to tail: it folds and hinges along its grain (Roberts & Etherington)",
        folds=(_fold(width, height),),
        zones=tuple(zones),
        references=tuple(((x, 0.0), (x, height)) for x in (lap, hinge, width - hinge, width - lap)),
        dimensions=(
            *(Dimension((a, 0.0), (b, 0.0), "head", 0) for a, b in pairwise(stops)),
            Dimension((0.0, 0.0), (width, 0.0), "head", 1),
            Dimension((0.0, 0.0), (0.0, height), "left", 0, f"{tenth(height)} head to tail"),
        ),
        labels=(Label((width / 4, height * 0.45), f"guard {cut.letter}", "note", 90.0),),
        left=sides[0],
        right=sides[1],
        face_up="this face up: inside the fold",
        notes=(
            "its place in each section: see the plan",
            "thin lines: hinge; strips end short of it",
        ),
    )


def _fold(width: float, height: float) -> Fold:
    return Fold("valley", ((width / 2, 0.0), (width / 2, height)), "fold")


def _band(left: float, right: float, height: float) -> Ring:
    return ((left, 0.0), (right, 0.0), (right, height), (left, height))


def _strips(book: Book, album: Album) -> list[Piece]:
    cuts = _cut(cut for section in album.widths.strips for row in section for cut in row)
    notes = _alike("strip", cuts, "Fold each in its middle")
    return [
        replace(
            _strip(book, album, f"strip {cut.letter}", cut.width_mm),
            quantity=count,
            drawn_as=f"strip {cuts[0][0].letter}" if cut is not cuts[0][0] else "",
            folds=(_fold(cut.width_mm, album.height_mm),),
            dimensions=(
                Dimension((0.0, 0.0), (cut.width_mm / 2, 0.0), "head", 0),
                Dimension((0.0, 0.0), (cut.width_mm, 0.0), "head", 1),
                _height(album),
            ),
            face_up="this face up: inside the fold",
            notes=("its place in each section: see the plan", *notes),
        )
        for cut, count in cuts
    ]


def _height(album: Album) -> Dimension:
    words = f"{tenth(album.height_mm)} head to tail"
    return Dimension((0.0, 0.0), (0.0, album.height_mm), "left", 0, words)


def _strip(book: Book, album: Album, name: str, width: float) -> Piece:
    """Return a strip as it lies, nothing of it pasted."""
    stuff, height = book.material("strip"), album.height_mm
    free = _band(0.0, width, height)
    return Piece(
        name=name,
        structure=NAME,
        material=stuff.name,
        thickness_mm=stuff.thickness_mm,
        outline=free,
        grain="head-tail",
        grain_reason="grain head to tail, as the guards",
        zones=(
            Zone("free", "up", "the sewing holds it", free),
            Zone("free", "under", "the sewing holds it", free),
        ),
        labels=(Label((width / 4, height * 0.45), name, "note", 90.0),),
    )


def _single(book: Book, album: Album, holes: Sequence[float]) -> list[Piece]:
    held = [nest for nest in album.nests if nest.single]
    if not held:
        return []
    width, height = album.stub_mm - SHORT_MM, album.height_mm
    return [
        replace(
            _strip(book, album, "single strip", width),
            quantity=sum(nest.single for nest in held),
            holes=tuple(Hole((EDGE_HOLE_MM, y)) for y in holes),
            dimensions=(
                Dimension((0.0, 0.0), (width, 0.0), "head", 0),
                Dimension((0.0, height), (EDGE_HOLE_MM, height), "tail", 0),
                _height(album),
            ),
            labels=(Label((width * 0.6, height * 0.45), "single strip", "note", 90.0),),
            face_up="the edge with the holes lies in the innermost fold",
            notes=("at the centre of the nest, not folded", _of(album, held)),
        )
    ]


def _of(album: Album, held: Sequence[Nest]) -> str:
    numbers = [nest.number for nest in held]
    if len(numbers) == len(album.nests):
        return "in every section"
    return f"in section{'s' * (len(numbers) > 1)} {runs(numbers)}"


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
            -half - album_words.TAPE_ONTO_MM,
            half + album_words.TAPE_ONTO_MM,
            "sewn",
            "pasted",
            on_spine=False,
        ),
    )


def _nested(book: Book, params: Params, _part: Part) -> Drawing:
    """Show the guards of a section one within the other."""
    album = albums.reckoned(book, params)
    guards = max(row.nest.guards for row in album.listed())
    return pictures.nested(album.lap_mm, album.hinge_mm, album.stub_mm, guards)


PICTURES = {"nested": _nested}
