"""The examination on one page: the book in outline with its measurements, the findings beside it.

A page holds what it holds: findings are told in full as long as they fit, then the lesser ones
with their figure alone, then all of them so; what still has no room is counted, never dropped
in silence.
"""

from __future__ import annotations

from collections.abc import Iterator

import patterns
from patterns.book.boards import SIDES
from patterns.examine.finding import NOTHING, Choice, Examination, Finding
from patterns.examine.outline import outline_strip
from patterns.examine.wording import CALLS, figure_words
from patterns.model.capitals import BODY, SMALL
from patterns.model.drawing import Drawing, Mark
from patterns.record.fields import BY_NAME
from patterns.record.record import Record
from patterns.sheets.flow import Strip, Strips, barred, gap, heading, paragraph, pour, together
from patterns.sheets.furniture import Heading, frame
from patterns.sketch.marks import moved
from patterns.stock import cautions
from patterns.stock.paper import Paper
from patterns.units import trimmed

LEFT_SHARE = 0.42
BETWEEN_MM = 7.0
ROLL_PAGE_MM = 420.0

MEASURED: dict[str, tuple[tuple[str, str], ...]] = {
    "Block": (
        ("text_block.height", "{} high"),
        ("text_block.width", "{} wide"),
        ("text_block.thickness", "{} thick"),
        ("text_block.thickness_fore_edge", "{} at the fore edge"),
        ("text_block.gatherings", "{} gatherings"),
        ("text_block.leaves", "{} leaves"),
        ("text_block.leaf_thickness", "leaf {}"),
        ("text_block.weight", "{} kg"),
    ),
    "Spine": (
        ("spine.girth_head", "girth {} at head"),
        ("spine.girth_tail", "{} at tail"),
        ("spine.round_depth", "round {}"),
        ("spine.over_shoulders", "{} over the shoulders"),
        ("spine.shoulder", "shoulder {}"),
        ("spine.linings", "linings {}"),
    ),
    "Cover": (
        ("cover.board_height", "boards {} high"),
        ("cover.board_width", "{} wide"),
        ("cover.board_thickness", "{} thick"),
        ("cover.side_height", "sides {} high"),
        ("cover.side_width", "{} wide"),
        ("cover.spine_width", "spine {}"),
        ("cover.joint_gap", "gap {}"),
        ("cover.square_tail", "tail square {}"),
    ),
    "Book": (("book.weight", "{} kg"),),
}
"""What the sheet repeats of the record, part by part, in mm."""


def examination_page(record: Record, examination: Examination, paper: Paper) -> Drawing:
    """Return the one-page examination sheet on a paper, upright."""
    width, height = paper.width_mm, ROLL_PAGE_MM if paper.roll else paper.height_mm
    title = Heading(
        title="Examination",
        subtitle="",
        book_id=examination.book_id,
        book_title=examination.book_title,
        fields=(
            ("Found", str(len(examination.findings))),
            ("Stop", ", ".join(examination.stops) or "nothing stops the work"),
        ),
        page=1,
        pages=1,
        paper=paper.name,
        scale="not for cutting",
        correction="none",
        record_date=str(record.measuring.on or ""),
        version=patterns.__version__,
    )
    made = frame(title, width, height, bars=False)
    box = made.box
    left = (box.width - BETWEEN_MM) * LEFT_SHARE
    right = box.width - BETWEEN_MM - left
    marks: list[Mark] = [*made.marks]
    marks += moved(_first(_book(record, examination, left), box.height), box.left, box.top)
    beside = _findings(examination, right, box.height)
    marks += moved(beside, box.left + left + BETWEEN_MM, box.top)
    return Drawing(width, height, tuple(marks))


def _first(candidates: Iterator[Strips], height: float) -> tuple[Mark, ...]:
    """Return the fullest of the candidates that fits into one column."""
    filled: list[tuple[Mark, ...]] = [()]
    for strips in candidates:
        filled = pour(strips, height) or [()]
        if len(filled) == 1:
            break
    return filled[0]


def _book(record: Record, examination: Examination, width: float) -> Iterator[Strips]:
    """Yield the left column, fullest first: outline, measurements, ways to go on."""
    outline, measured = outline_strip(record, width), _measured(record, width)
    every = len(examination.choices)
    for reasons in (BODY, SMALL, None):
        yield (*outline, *measured, *_ways(examination, width, reasons, every))
    for small in (False, True):
        yield (*outline, *_ways(examination, width, None, every, small))
    for count in range(every, 0, -1):
        yield _ways(examination, width, None, count)


def _measured(record: Record, width: float) -> Strips:
    strips: list[Strip] = [*heading("Measured, in mm", width)]
    for part, rows in MEASURED.items():
        known = [(_figures(record, name), words) for name, words in rows]
        said = [words.format(figures) for figures, words in known if figures]
        if said:
            strips += paragraph(f"{part}: {', '.join(said)}", width)
    return tuple(strips)


def _figures(record: Record, name: str) -> str:
    """Return what was measured of a field; of what the two sides have unlike, both figures; "" for nothing."""
    key = name.rpartition(".")[2]
    if name.startswith("cover.") and hasattr(record.cover.front, key):
        read = [getattr(record.cover.side(side), key) for side in SIDES]
    else:
        pair = [record.get(one) for one in (f"{name}_{side}" for side in SIDES) if one in BY_NAME]
        read = [record.get(name) if mm is None else mm for mm in pair or [None]]
    told = [None if mm is None else trimmed(mm, 3) for mm in read]
    if len(set(told)) == 1:
        return told[0] or ""
    sides = zip(told, SIDES, strict=True)
    return " and ".join(f"{mm} ({side})" for mm, side in sides if mm is not None)


def _ways(
    examination: Examination, width: float, reasons: float | None, count: int, small: bool = False
) -> Strips:
    strips: list[Strip] = [*heading("Ways to go on", width)]
    for number, choice in enumerate(examination.choices[:count], 1):
        title = SMALL if small and number > 1 else BODY
        strips += together(_way(number, choice, width, reasons if number == 1 else None, title))
        strips += gap(1.2)
    if count < len(examination.choices):
        strips += paragraph(f"{len(examination.choices) - count} more: “mendfold examine”.", width)
    return tuple(strips)


def _way(number: int, choice: Choice, width: float, cap: float | None, title: float) -> Strips:
    strips = [*paragraph(f"{number}. {choice.title}", width, bold=number == 1, cap=title)]
    if cap is not None:
        strips += paragraph(f"for: {'; '.join(choice.pros)}", width, cap=cap)
        strips += paragraph(f"against: {'; '.join(choice.cons) or 'nothing found'}", width, cap=cap)
    if choice.leaves and cap is not None:
        strips += paragraph(f"leaves: {'; '.join(choice.leaves)}", width, cap=cap)
    if choice.missing:
        strips += paragraph(f"first measure: {', '.join(choice.missing)}", width, cap=SMALL)
    if choice.command and number == 1:  # the terminal gives each; one page has room for the first
        strips += paragraph(choice.command, width, cap=SMALL)
    return tuple(strips)


def _findings(examination: Examination, width: float, height: float) -> tuple[Mark, ...]:
    """Return the right column at the fullest telling that fits."""
    rows = [each for call in CALLS for each in examination.findings if each.call == call]
    foot = _cautions(examination, width)

    def tellings() -> Iterator[Strips]:
        for full in (
            set(CALLS),
            {"stop", "measure", "mend"},
            {"stop", "mend"},
            {"stop"},
            set[str](),
        ):
            told = (strip for each in rows for strip in _finding(each, width, each.call in full))
            yield (*heading("Findings", width), *told, *foot)
        for count in range(len(rows) - 1, -1, -1):
            told = (strip for each in rows[:count] for strip in _finding(each, width, False))
            rest = f"{len(rows) - count} more: “mendfold examine” tells them all."
            yield (*heading("Findings", width), *told, *paragraph(rest, width, bold=True), *foot)

    if not rows:
        calm = paragraph("Nothing found that is out of order.", width)
        return _first(iter([(*heading("Findings", width), *calm, *foot)]), height)
    return _first(tellings(), height)


def _finding(finding: Finding, width: float, full: bool) -> Strips:
    strips = [*paragraph(finding.title, width - 4, bold=True)]
    if full:
        strips += paragraph(finding.words, width - 4)
    strips += paragraph(figure_words(finding), width - 4, cap=SMALL)
    names = [suit.structure.replace("+", " + ").replace("_", " ") for suit in finding.suits
             if suit.structure != NOTHING]  # fmt: skip
    if names and full:
        strips += paragraph(f"would suit: {', '.join(names)}", width - 4, cap=SMALL)
    grave = finding.call in ("stop", "measure")
    told = barred(strips) if grave else tuple(strips)
    return (*together(told), *gap(BODY))


def _cautions(examination: Examination, width: float) -> Strips:
    """Name the works that call for caution; the ending that every caution has stands once."""
    if not examination.cautions:
        return ()
    known = cautions.load()
    works = "; ".join(known[key].work for key in examination.cautions)
    ending = (
        "Each caution in full: “mendfold examine”. Follow your institution's and local safety "
        "rules; ask a qualified person where in doubt."
    )
    words = (*paragraph(works, width, bold=True), *paragraph(ending, width, cap=SMALL))
    return (*heading("Cautions", width), *words)
