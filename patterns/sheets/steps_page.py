"""The pages that lie beside the work: the steps in order, their cautions, and what was done.

Every caution stands once in full before the steps; beside a step stand its sign and a few words.
After the steps stand how each union is undone, the section of everything in its layers, what can
be checked, boxes for the sizes as they were cut, and the signatures.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Words
from patterns.model.lettering import width_mm
from patterns.model.part import Step
from patterns.model.pattern import Pattern
from patterns.model.piece import Piece
from patterns.sheets import assembly, caution
from patterns.sheets.flow import (
    BASE,
    LEAD,
    Strip,
    Strips,
    beside,
    gap,
    heading,
    height_mm,
    paragraph,
    solid,
    stopped,
    table,
    together,
)
from patterns.sheets.overview import checks, size_words, tick
from patterns.sheets.whereabouts import ELSEWHERE, Displayed
from patterns.sketch.marks import Block, Box, moved

NUMBER_MM = 12.0
"""Room for a step's tick box and number."""
SHARE = 0.66
"""Share of the rest that the words of a step take; the cautions have what is left."""
BESIDE_MM = 130.0
"""Narrower rooms than this have the cautions beneath the step."""
ASIDE_MM = 6.0
BETWEEN_MM = 2.2
"""White between two steps."""
MOST_COPIES = 2
"""More copies of one piece than this are noted down together."""
SHORT_MM = 100.0
"""A table of sizes up to this high stays whole, on the page of the signatures."""
ABREAST_MM = 160.0
"""From this width on the sizes and the signatures stand side by side."""
SIGNED_MM = 70.0
"""Width of the signatures there."""
SIZES_MM = 80.0
"""Width of the columns of sizes beside the names."""
SIGNERS = ("Cut by", "Carried out by", "Checked by")
WHO_MM, DATE_MM, NOTE_MM = 25.0, 17.0, 7.6
"""Where the line for a name begins, how long that for a date is, and how high a line to write on."""
LAST_ROWS = 6
"""So many rows of a longer one stand there."""
BLANK_SIZE = Strip(
    6.5,
    (
        Line(LineKind.REFERENCE, ((0.0, 6.0), (12.0, 6.0))),
        Words((14.0, 5.0), "×", BODY, anchor="middle"),
        Line(LineKind.REFERENCE, ((16.0, 6.0), (28.0, 6.0))),
    ),
)
"""Two lines to write a width and a height on."""


def steps_strips(pattern: Pattern, column: Box) -> Strips:
    """Return the steps and all that follows them as strips of a column."""
    width = column.width
    keys = [key for step in pattern.steps for key in step.cautions]
    return (
        *caution.in_full(keys, width),
        *_steps(_naming_pages(pattern), width),
        *_undo(pattern.undo, width),
    )


def _naming_pages(pattern: Pattern) -> list[Step]:
    """Return the steps, those that are done by a sheet with a place for its page at their end."""
    found = zip(pattern.steps, _seen(pattern), strict=True)
    return [
        replace(s, text=f"{s.text} See\u00a0{ELSEWHERE}.") if names else s for s, names in found
    ]


def _seen(pattern: Pattern) -> Iterator[tuple[Displayed, ...]]:
    """Yield what each step is done by, as far as it has a sheet: what waits for a reading has none."""
    drawn = {(part.structure, name) for part in pattern.parts for name in part.drawn}
    for step in pattern.steps:
        names = ((step.structure, name) for name in step.sees)
        yield tuple(name for name in names if name in drawn)


def awaited(pattern: Pattern) -> Iterator[tuple[Displayed, ...]]:
    """Yield what each of the words on the steps' pages that wait for pages is about, in order."""
    return filter(None, _seen(pattern))


Loose = tuple[str, Sequence[Block]]
"""Words that may stand anywhere: their name, and their forms, the best first."""


@dataclass(frozen=True, slots=True)
class End:
    """What follows the steps and need not stand on their pages: a heading and its content."""

    name: str
    strips: Strips
    make: Callable[[float], Strips]
    loose_mm: tuple[float, ...]
    """Widths of the columns in which it may stand elsewhere, that of the steps first."""

    def loose(self) -> Loose:
        """Return it as words that are set where pieces leave room."""
        best, *others = self.loose_mm
        forms = [self.strips, *map(self.make, others)]
        return self.name, [
            solid(strips[1:], width) for strips, width in zip(forms, (best, *others), strict=True)
        ]


def ends(pattern: Pattern, column: Box) -> list[End]:
    """Return the section of all layers, the checks, and the sizes as cut with the signatures."""
    pieces = [piece for part in pattern.parts for piece in part.pieces]

    def section(width: float) -> Strips:
        return assembly.strips(pattern, column._replace(right=width))

    def checked(width: float) -> Strips:
        return checks(pattern, width)

    def closing(width: float) -> Strips:
        return _closing(pieces, width)

    made = [
        End(
            name,
            make(column.width),
            make,
            (column.width, *(one for one in widths if one < column.width)),
        )
        for name, make, widths in (
            ("as cut", closing, (165.0, 100.0)),
            ("section", section, ()),
            ("checks", checked, (150.0, 110.0)),
        )
    ]
    return [one for one in made if one.strips]


def _closing(pieces: Sequence[Piece], width: float) -> Strips:
    """Return the sizes as cut and the signatures, which never stand on a page alone.

    Beside each other where there is the width, else below.
    """
    wide = width >= ABREAST_MM and _named_mm(pieces) <= width - SIGNED_MM - ASIDE_MM
    sizes = _as_cut(pieces, width - SIGNED_MM - ASIDE_MM if wide else width)
    if wide and height_mm(sizes) <= SHORT_MM:
        return _abreast(sizes, _signatures(SIGNED_MM), width - SIGNED_MM)
    if height_mm(sizes) <= SHORT_MM:
        return together((*sizes, *_signatures(width)))
    return (*sizes[:-LAST_ROWS], *together((*sizes[-LAST_ROWS:], *_signatures(width))))


def _named_mm(pieces: Sequence[Piece]) -> float:
    """Return the width in which the table of sizes has every name on two lines at most."""
    words = [width_mm(name, BODY) for one in pieces if one.stock for name in _copies(one)]
    return SIZES_MM + max(words, default=0.0) * 0.6


def _abreast(left: Strips, right: Strips, at: float) -> Strips:
    """Return two headed runs of lines side by side, as one strip under the white of a section."""
    if not left:
        return right
    one, other = solid(left[1:], at), solid(right[1:], at)
    marks = (*one.marks, *moved(other.marks, at, 0.0))
    return (left[0], Strip(max(one.height, other.height), marks))


def _steps(steps: Sequence[Step], width: float) -> Strips:
    strips: list[Strip] = []
    numbered = enumerate(steps, start=1)
    for phase, group in groupby(numbered, key=lambda pair: pair[1].phase):
        strips += heading(phase.capitalize(), width)
        left = list(group)
        while left:
            shown, used = _shown(left, width)
            strips += (*shown, *gap(BETWEEN_MM))
            left = left[used:]
    return tuple(strips)


def _shown(left: Sequence[tuple[int, Step]], width: float) -> tuple[Strips, int]:
    """Return the first step, with its picture beside it, and how many steps that are.

    The picture hangs down beside those after it that have nothing there. In a narrow column it
    stands beneath the step.
    """
    told, (_, step), room = _step(*left[0], width), left[0], width - NUMBER_MM
    picture = step.picture
    if picture is None:
        return told, 1
    if room < BESIDE_MM:
        return together((*told, Strip(picture.height_mm, moved(picture.marks, NUMBER_MM, 0.5)))), 1
    top = height_mm(caution.few_words(step.cautions, _aside(room))) + 0.5
    low, used = top + picture.height_mm, 1
    for number, other in left[1:]:
        if height_mm(told) >= low or other.cautions or other.picture:
            break
        told = (*told, *gap(BETWEEN_MM), *_step(number, other, width))
        used += 1
    marks = moved(picture.marks, NUMBER_MM + room * SHARE + ASIDE_MM, top)
    first = replace(told[0], marks=(*told[0].marks, *marks))
    shown = (first, *told[1:], *gap(max(0.0, low - height_mm(told))))
    return tuple(replace(strip, firm=True) for strip in together(shown)), used


def _aside(room: float) -> float:
    """Return the width of what stands beside a step."""
    return room * (1 - SHARE) - ASIDE_MM


def _step(number: int, step: Step, width: float) -> Strips:
    """Return a step, its cautions beside it, or beneath it in a narrow column."""
    room = width - NUMBER_MM
    wide = room >= BESIDE_MM
    words = room * SHARE if wide else room
    numeral = Words((NUMBER_MM - 2.4, BODY * BASE), str(number), BODY, bold=True, anchor="end")
    marker = (Strip(BODY * LEAD, (*tick().marks, numeral)),)
    text = paragraph(step.text, words)
    if not wide:
        told = (*text, *caution.few_words(step.cautions, room))
        return beside((marker, told), (0.0, NUMBER_MM))
    told = caution.few_words(step.cautions, _aside(room))
    return beside((marker, text, told), (0.0, NUMBER_MM, NUMBER_MM + words + ASIDE_MM))


def _undo(lines: Sequence[str], width: float) -> Strips:
    if not lines:
        return ()
    told = (
        strip for line in lines for strip in (*together(paragraph(stopped(line), width)), *gap(1.0))
    )
    return (*heading("To undo it", width), *told)


def _as_cut(pieces: Sequence[Piece], width: float) -> Strips:
    """Return a table of wanted sizes with a blank for each size as it was cut."""
    rows = [
        (
            name,
            size_words(piece),
            BLANK_SIZE,
            tick(BLANK_SIZE.height_mm),
        )
        for piece in pieces
        if piece.stock
        for name in _copies(piece)
    ]
    head = ("Piece", "Wanted", "As cut", "Laid\u00a0on")
    return (*heading("As cut, in mm", width), *table(head, rows, width)) if rows else ()


def _copies(piece: Piece) -> list[str]:
    """Name each copy that has a blank of its own; many alike have one between them."""
    name, count = piece.title or piece.name, piece.quantity
    if count == 1:
        return [name]
    if count > MOST_COPIES:
        return [f"{name}: {count}\u00a0alike"]
    return [f"{name}, {copy}\u00a0of\u00a0{count}" for copy in range(1, count + 1)]


def _signatures(width: float) -> Strips:
    lines = [strip for who in SIGNERS for strip in _signed(who, width)]
    notes = (Strip(NOTE_MM, (_blank(0.0, width, NOTE_MM - 1.0),)),) * 2
    return (
        *heading("Signed and dated", width),
        *together((*lines, *_note_title(), *notes)),
    )


def _note_title() -> Strips:
    return (*gap(1.5), *paragraph("What was done otherwise, and why", 200.0))


def _signed(who: str, width: float) -> Strips:
    """Return a line for a name behind what was done, and a shorter one for the date."""
    base = NOTE_MM - 1.6
    last = width - DATE_MM
    marks = (
        Words((0.0, base), who, BODY),
        _blank(WHO_MM, last - 4.0, base + 0.6),
        _blank(last, width, base + 0.6),
    )
    return (Strip(NOTE_MM, marks),)


def _blank(left: float, right: float, y: float) -> Line:
    return Line(LineKind.REFERENCE, ((left, y), (right, y)))
