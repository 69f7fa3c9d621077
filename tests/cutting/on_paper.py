"""A second reader with paper: carries a plan out from the words of plan.pdf alone.

Tables are found by the heads of their columns, pictures by the lines drawn to the scale that is
stated; neither plan.json nor any module of the plan is looked at.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, field, replace
from math import dist

from pypdf import PdfReader

from tests.readers import pdf_labels, pdf_shapes
from tests.shapes import Label, Point, Shape

BODY_MM, TITLE_MM = 3.7, 4.4
"""Type sizes: a cell or a line of words is at least the first, a heading the second."""
A_ROLL_MM = 1e5
"""Longer than anything that is cut off."""
Row = dict[str, str]


@dataclass
class Table:
    """A table as it stands: each column's left edge and head, and its rows so far."""

    heads: dict[str, float]
    rows: list[Row] = field(default_factory=list)

    def take(self, label: Label) -> bool:
        """Take up what stands under one of the heads; False where it does not."""
        first = next(iter(self.heads))
        for head, left in self.heads.items():
            if abs(label.at[0] - left) < 0.2:
                if head == first:
                    if not re.fullmatch(r"\d+(–\d+)?", label.text):
                        return False
                    self.rows.append({})
                own = self.rows[-1]
                own[head] = f"{own[head]} {label.text}" if head in own else label.text
                return True
        return False


@dataclass
class Told:
    """What the pages say of one rectangle of stock."""

    title: str
    page: int
    tables: list[Table] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    shapes: tuple[Shape, ...] = ()

    @property
    def size(self) -> Point:
        """Width and length of the stock in mm, of a roll the length that is cut off."""
        if off := re.search(r": ([\d.]+) mm off the roll ([\d.]+) mm wide", self.title):
            return float(off[2]), float(off[1])
        width, length = _pair(self.title.rpartition(" of ")[2].partition(" mm")[0])
        return width, length

    @property
    def scale(self) -> float:
        """What a length on paper is multiplied by, as it is stated."""
        (told,) = (one.text for one in self.labels if one.text.startswith("Scale "))
        return float(told.removeprefix("Scale 1:").rstrip("."))

    @property
    def rolled(self) -> bool:
        """Whether it is cut off a roll, by its first cut."""
        return "mm off the roll" in self.title

    @property
    def cuts(self) -> list[Row]:
        """The list of cuts, in the order of their numbers."""
        rows = [row for one in self.tables for row in one.rows if "Cut" in one.heads]
        return sorted(rows, key=lambda row: int(row["Cut"]))

    @property
    def places(self) -> list[Row]:
        """The list of pieces that are cut out by themselves, as far as their sides are told."""
        return [row for one in self.tables for row in one.rows if "From the top edge" in row]

    @property
    def pieces(self) -> dict[int, tuple[str, Point]]:
        """What each number is, and its size."""
        found = {}
        for row in (row for one in self.tables for row in one.rows if "Piece" in one.heads):
            first, _, last = row["Piece"].partition("–")
            for number in range(int(first), int(last or first) + 1):
                found[number] = row["What it is"], _pair(row["Size"])
        return found

    @property
    def offcuts(self) -> dict[str, Point]:
        """Size of each offcut by its letter."""
        told = " ".join(self.words).partition("Offcuts to keep")[2].partition("Write")[0]
        return {
            name: _pair(size) for name, size in re.findall(r"([A-Z]+) (\d+\.\d × \d+\.\d)", told)
        }


def _pair(words: str) -> Point:
    one, two = words.split(" × ")
    return float(one), float(two)


def read(pdf: bytes) -> list[Told]:
    """Return what a plan tells, by stock, in its order."""
    found: list[Told] = []
    for page in range(len(PdfReader(io.BytesIO(pdf)).pages)):
        for label in pdf_labels(pdf, page):
            label = replace(label, text=label.text.replace("\N{NO-BREAK SPACE}", " "))
            if label.bold and label.size_mm > TITLE_MM and re.match(r"\d+\. ", label.text):
                found.append(Told(label.text, page, shapes=pdf_shapes(pdf, page)))
            elif found:
                _take(found[-1], label, page)
    return found


def _take(told: Told, label: Label, page: int) -> None:
    """Take up one more line of words of the stock that is told of."""
    if label.size_mm < BODY_MM or label.angle_deg:
        if page == told.page:
            told.labels.append(label)
    elif label.bold and label.size_mm > TITLE_MM:
        if not told.tables and label.size_mm < TITLE_MM + 0.4:
            told.title += f" {label.text}"
    elif label.bold and label.text in ("Cut", "Piece"):
        told.tables.insert(0, Table({label.text: label.at[0]}))
    elif label.bold:
        told.tables[0].heads[label.text] = label.at[0]
    elif not any(table.take(label) for table in told.tables):
        told.words.append(label.text)


@dataclass
class Part:
    """A rectangle on the bench: where it came from on the stock, its size, the cut that made it."""

    at: Point
    size: Point
    made_by: int
    name: str = ""


def cut_up(told: Told) -> tuple[list[Part], list[tuple[Point, Point]]]:
    """Carry out every cut in its order; return what lies on the bench then, and where each cut ran.

    Asserts that the part in hand can be found by what is told of it, and is of the size told.
    """
    width, length = told.size
    parts = [Part((0.0, 0.0), (width, A_ROLL_MM if told.rolled else length), 0)]
    ran: list[tuple[Point, Point]] = []
    for number, row in enumerate(told.cuts, 1):
        assert int(row["Cut"]) == number
        size, _, aside = row["Part in hand"].partition(" (")
        maker = int(aside.rstrip(")")) if aside else number - 1
        fitting = [
            one
            for one in parts
            if one.made_by == maker and not one.name and dist(one.size, _told(size, told)) < 0.15
        ]
        assert len(fitting) == 1, f"{told.title}, cut {number}: {len(fitting)} parts answer to it"
        halves, line = _halves(fitting[0], row["From its"], number)
        parts.remove(fitting[0])
        parts += halves
        ran.append(line)
        _name(halves, row.get("Comes free", ""), told)
    return parts, ran


def _told(words: str, told: Told) -> Point:
    return (told.size[0], A_ROLL_MM) if words == "the roll" else _pair(words)


def _halves(part: Part, told: str, number: int) -> tuple[list[Part], tuple[Point, Point]]:
    """Cut a part once, from top to bottom or from side to side."""
    (x, y), (width, length) = part.at, part.size
    edge, measure = told.split()
    far = float(measure)
    if edge == "left":
        assert 0 < far < width
        near, rest = (
            Part((x, y), (far, length), number),
            Part((x + far, y), (width - far, length), number),
        )
        return [near, rest], ((x + far, y), (x + far, y + length))
    assert edge == "top"
    assert 0 < far < length
    near, rest = (
        Part((x, y), (width, far), number),
        Part((x, y + far), (width, length - far), number),
    )
    return [near, rest], ((x, y + far), (x + width, y + far))


def _name(halves: list[Part], comes_free: str, told: Told) -> None:
    """Write on the parts what the list says that they are: both in their order, or the one that is."""
    names = comes_free.split(", ") if comes_free else []
    if len(names) == 2:
        for half, name in zip(halves, names, strict=True):
            half.name = name
    for name in names if len(names) == 1 else []:
        known = {f"piece {n}": size for n, (_, size) in told.pieces.items()}
        known |= {f"offcut {letter}": size for letter, size in told.offcuts.items()}
        if name in known:
            least = min(halves, key=lambda half: dist(half.size, known[name]))
        else:  # what a person throws away, or sets aside as the rest of the roll
            least = (
                halves[1]
                if name == "rest of roll"
                else min(halves, key=lambda half: half.size[0] * half.size[1])
            )
        least.name = name
