"""The measuring form, to fill in by pencil beside the book.

The book is drawn from its spine, its tail, its front and open, with a box for each measurement
at the place where it is taken; what cannot be drawn stands in lines. Numbers follow the order in
which the book is handled, which is the order of the record's fields.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from patterns.errors import PaperError
from patterns.model.capitals import BODY, TITLE
from patterns.model.drawing import Circle, Drawing, Line, LineKind, Mark, Point, Words
from patterns.model.lettering import width_mm, wrap
from patterns.record.field import Field
from patterns.record.fields import FIELDS
from patterns.sheets.flow import flowed
from patterns.sheets.form_more import more_pages
from patterns.sheets.form_views import FormView, Take, views
from patterns.sketch.arrows import measured
from patterns.sketch.marks import Block, Box, moved, rectangle, stretched
from patterns.stock.paper import Paper

MARGIN = 10.0
WIDEST_MM = 200.0
HEAD_MM = 13.0
LINE_MM = 4.3
"""Height of a line to write on."""
LEAST_VIEW_MM, MOST_VIEW_MM = 70.0, 92.0
APART_MM = 7.0
"""White between two views side by side."""
REACH_MM = 7.0
"""Room for the leaders between the boxes and the picture."""
BOX_MM = 5.6
NAME_MM = 3.7
TICK_MM = 2.8
LEFT_OUT = ("cover.front", "cover.back")
"""These repeat [cover] where the two boards differ; the form says to write both figures."""
LATER = tuple(field.name for field in FIELDS if "first" not in field.visits)
"""What is not asked at the first visit: the girths of a new sewing, and which readings were right."""
BEFORE = ("book", "condition")
TABLES = {
    "book": "Book",
    "condition": "Condition",
    "text_block": "Text block",
    "spine": "Spine",
    "cover": "Cover",
    "sewing": "Sewing",
    "sewing.fold": "Irregular gathering",
    "album": "Album",
    "union": "A join",
    "measuring": "Measured",
}
BLANKS = {
    "text": 22.0,
    "id": 22.0,
    "lengths": 34.0,
    "three lengths": 24.0,
    "two names": 30.0,
    "date": 20.0,
    "fields": 34.0,
}
"""Lengths of the lines to write on, in mm; figures have the shortest."""
FIGURE_MM = 11.0
NAMES = {"cover.thickness": "cover thickness", "spine.linings": "linings left"}
FORM = "Measuring form"
RULES = (
    "In mm, in the order of handling; where they differ write both: front / back. Spine width: "
    "limp, fold to fold; boards, edge to edge, cover off and flat; else spine strip."
)


def form_pages(paper: Paper, names: Collection[str] | None = None) -> tuple[Drawing, ...]:
    """Return the measuring form, its first page drawn, the others in lines and words.

    `names` are the fields to ask for, all of them without. Raises PaperError as `form_page` does.
    """
    fields = {field.name: (n, field) for n, field in enumerate(_fields(names), start=1)}
    return (form_page(paper, names), *more_pages(paper, fields, MARGIN))


def form_page(paper: Paper, names: Collection[str] | None = None) -> Drawing:
    """Return the first page of the measuring form; PaperError for a paper too small for it."""
    width, height = paper.width_mm, 297.0 if paper.roll else paper.height_mm
    wide = min(width - 2 * MARGIN, WIDEST_MM)
    numbers = {field.name: number for number, field in enumerate(_fields(names), start=1)}
    drawn = [_asked(view, numbers) for view in views()]
    taken = {take.field for view in drawn for take in (*view.left, *view.right)}
    before, after = (_lines(numbers, taken, wide, first) for first in (True, False))
    room = (height - 2 * MARGIN - HEAD_MM - before.height - after.height - 4.0) / 2
    if wide < 185.0 or room < LEAST_VIEW_MM:
        raise PaperError(
            f"the measuring form does not fit {paper.name}; give A4, letter or a larger paper."
        )
    high = min(room, MOST_VIEW_MM)
    marks = [*_title(wide), *moved(before.marks, 0.0, HEAD_MM)]
    top = HEAD_MM + before.height + 2.0
    for place, view in enumerate(drawn):
        if not (view.left or view.right or view.tags):
            continue
        share = view.share * (wide - APART_MM)
        left = 0.0 if place % 2 == 0 else wide - share
        box = Box(left, top + high * (place // 2), left + share, top + high * (place // 2 + 1))
        marks += _view(view, box, numbers)
    marks += moved(after.marks, 0.0, top + 2 * high + 2.0)
    return Drawing(width, height, moved(marks, (width - wide) / 2, MARGIN))


def _fields(names: Collection[str] | None = None) -> list[Field]:
    return [
        field
        for field in FIELDS
        if field.table not in LEFT_OUT
        and field.name not in LATER
        and (names is None or field.name in names)
    ]


def _asked(view: FormView, numbers: Collection[str]) -> FormView:
    """Return a view with the measurements that are asked for."""
    left, right = (
        tuple(take for take in side if take.field in numbers) for side in (view.left, view.right)
    )
    tags = tuple(tag for tag in view.tags if tag[0] in numbers)
    return replace(view, left=left, right=right, tags=tags)


def _title(wide: float) -> tuple[Mark, ...]:
    rules = wrap(RULES, BODY, wide - 58.0)
    return (
        Words((0.0, 6.0), FORM, TITLE, bold=True),
        *(Words((58.0, 3.2 + i * 4.2), line, BODY) for i, line in enumerate(rules)),
        Line(LineKind.FRAME, ((0.0, HEAD_MM - 2.0), (wide, HEAD_MM - 2.0))),
    )


def _lines(numbers: dict[str, int], taken: set[str], wide: float, first: bool) -> Block:
    """Return the fields that no view shows as lines to write on, each table begun by its name."""
    items: list[Block] = []
    for table, title in TABLES.items():
        if (table in BEFORE) is first:
            fields = [f for f in _fields(numbers) if f.table == table and f.name not in taken]
            if not fields:
                continue
            one, *others = [_item(field, numbers[field.name]) for field in fields]
            items += [_begun(title, one), *others]
    return flowed(items, wide, gap=3.6)


def _begun(title: str, item: Block) -> Block:
    """Return a table's name and its first field as one."""
    start = width_mm(title, BODY, bold=True) + 2.5
    words = Words((0.0, 3.6), title, BODY, bold=True)
    return Block(start + item.width, item.height, (words, *moved(item.marks, start, 0.0)))


def _item(field: Field, number: int) -> Block:
    """Return a field with a line to write on, a square to tick, or a choice of squares."""
    name = f"{number} {_name(field)}"
    marks: list[Mark] = []
    if field.kind == "yes or no":
        return Block(_ticked(marks, 0.0, name), LINE_MM, tuple(marks))
    marks.append(Words((0.0, 3.6), name, BODY))
    x = width_mm(name, BODY) + 1.5
    if field.kind in ("choice", "choices"):
        for word in field.words:
            x = _ticked(marks, x + 0.5, word) + 2.0
        return Block(x - 2.0, LINE_MM, tuple(marks))
    long = BLANKS.get(field.kind, FIGURE_MM)
    marks.append(Line(LineKind.DIMENSION, ((x, 4.2), (x + long, 4.2))))
    x += long
    if field.unit not in ("", "mm"):
        marks.append(Words((x + 1.0, 3.6), field.unit, BODY))
        x += 1.0 + width_mm(field.unit, BODY)
    return Block(x, LINE_MM, tuple(marks))


def _ticked(marks: list[Mark], x: float, word: str) -> float:
    """Add a square to tick and its word at x; return where it ends."""
    box = Box(x, 3.9 - TICK_MM, x + TICK_MM, 3.9)
    marks.append(rectangle(LineKind.DIMENSION, box))
    marks.append(Words((box.right + 1.0, 3.6), word, BODY))
    return box.right + 1.0 + width_mm(word, BODY)


def _name(field: Field) -> str:
    return NAMES.get(field.name, field.key.replace("_", " "))


def _view(view: FormView, box: Box, numbers: dict[str, int]) -> Iterator[Mark]:
    """Draw a view in its box, the boxes to write in at both sides, a leader from each."""
    yield Words((box.left, box.top + 3.6), view.title, 3.0, bold=True)
    rows = Box(box.left, box.top + 5.4, box.right, box.bottom - 2.0)
    inner = _picture(view, rows)

    def to(point: Point) -> Point:
        return (
            inner.left + point[0] * inner.width / 100,
            inner.top + point[1] * inner.height / 100,
        )

    yield from stretched(view.marks, inner.width / 100, inner.height / 100, inner.left, inner.top)
    for name, place in view.tags:
        yield Words(to(place), str(numbers[name]), BODY, bold=True, anchor="middle")
    right = rows.right - view.cell_mm
    for takes, left, edge in (
        (view.left, rows.left, rows.left + view.cell_mm),
        (view.right, right, right),
    ):
        wanted = [to(_middle(take))[1] for take in takes]
        cells = _cells(
            view.cell_mm,
            [_lettered(take, numbers, view.cell_mm) for take in takes],
            wanted,
            left,
            rows,
        )
        for take, (marks, y) in zip(takes, cells, strict=True):
            yield from marks
            yield from _leader((edge, y), to(take.start), to(take.end))


def _picture(view: FormView, rows: Box) -> Box:
    """Return the room of the picture between the boxes, no taller than its aspect allows."""
    left = rows.left + (view.cell_mm + REACH_MM if view.left else 0.0)
    right = rows.right - (view.cell_mm + REACH_MM if view.right else REACH_MM)
    spare = max(0.0, rows.height - (right - left) * view.aspect) / 2
    return Box(left, rows.top + spare, right, rows.bottom - spare)


def _middle(take: Take) -> Point:
    return (take.start[0] + take.end[0]) / 2, (take.start[1] + take.end[1]) / 2


def _lettered(take: Take, numbers: dict[str, int], width: float) -> tuple[str, ...]:
    return wrap(f"{numbers[take.field]} {_label(take.field)}", BODY, width)


def _cells(
    width: float, names: Sequence[Sequence[str]], wanted: Sequence[float], left: float, rows: Box
) -> list[tuple[tuple[Mark, ...], float]]:
    """Return the boxes of one side, each near the height it wants, and where its leader starts."""
    highs = [NAME_MM * len(lines) + BOX_MM + 0.6 for lines in names]
    tops: list[float] = []
    for high, at in zip(highs, wanted, strict=True):
        before = tops[-1] + highs[len(tops) - 1] if tops else rows.top
        tops.append(max(before, at - high + BOX_MM / 2))
    limit = rows.bottom
    for place in reversed(range(len(tops))):
        tops[place] = min(tops[place], limit - highs[place])
        limit = tops[place]
    cells: list[tuple[tuple[Mark, ...], float]] = []
    for lines, high, top in zip(names, highs, tops, strict=True):
        words = [Words((left, top + 2.8 + i * NAME_MM), line, BODY) for i, line in enumerate(lines)]
        box = Box(left, top + high - BOX_MM - 0.3, left + width, top + high - 0.3)
        cells.append(((*words, rectangle(LineKind.OUTLINE, box)), box.middle[1]))
    return cells


def _label(name: str) -> str:
    return NAMES.get(name, name.rpartition(".")[2].replace("_", " "))


def _leader(start: Point, one: Point, other: Point) -> Iterator[Mark]:
    """Draw the distance that is measured, and a thin line to it from its box."""
    middle = ((one[0] + other[0]) / 2, (one[1] + other[1]) / 2)
    yield Line(LineKind.REFERENCE, (start, middle))
    yield Circle(LineKind.DIMENSION, middle, 0.5)
    if one != other:
        long = abs(one[0] - other[0]) + abs(one[1] - other[1])
        yield from measured(one, other, min(2.0, long / 2))
