"""The invented collection of the harbour office: whole, or with the slips and gaps of real spreadsheets.

`python -m tests.survey.harbour` writes the one that is shipped, `patterns/demo/harbour_office.csv`.
"""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Iterator, Mapping
from pathlib import Path

SHIPPED = Path(__file__).parents[2] / "patterns" / "demo" / "harbour_office.csv"
COUNT, SEED = 400, 1893
HEADINGS = (
    "book.id", "book.title", "value [1 to 4]", "use [1 to 4]",
    "text_block.height [mm]", "text_block.width [mm]", "text_block.thickness [mm]",
    "text_block.leaves", "text_block.gatherings", "book.weight [kg]",
    "spine.profile", "spine.round_depth [mm]", "spine.shoulder [mm]",
    "cover.kind", "cover.joint", "cover.board_thickness [mm]", "cover.thickness [mm]", "cover.spine_width [mm]",
    "sewing.supports", "condition.leather", "condition.paper", "condition.mould",
    "union[text block + boards].moves", "union[text block + boards].made", "union[text block + boards].state",
    "text_block.leaves_per_gathering", "text_block.grain", "spine.linings [mm]",
    "cover.board_height [mm]", "cover.board_width [mm]",
    "cover.square_head [mm]", "cover.square_tail [mm]", "cover.square_fore_edge [mm]",
    "sewing.stations [mm]", "sewing.support_width [mm]",
    "measuring.on",
)  # fmt: skip
_KINDS = {
    "Logbook": (290, 400, 35, 90),
    "Pilot register": (220, 320, 20, 60),
    "Tide tables": (180, 250, 8, 30),
    "Wage ledger": (320, 460, 40, 110),
    "Chart list": (200, 300, 10, 40),
    "Crew letters": (210, 280, 15, 70),
    "Almanac": (140, 200, 10, 35),
}
"""Least and most of height and thickness in mm, by what is written on the spine."""


def books(
    count: int = COUNT, seed: int = SEED, at_the_bench: float = 0.12
) -> Iterator[dict[str, object]]:
    """Yield whole rows, figures as numbers, every one of which stands as it is.

    `at_the_bench` is the share of books of which more was taken than a shelf allows.
    """
    chance = random.Random(seed)
    for number in range(1, count + 1):
        yield _book(chance, number, at_the_bench)


def _book(chance: random.Random, number: int, at_the_bench: float) -> dict[str, object]:
    kind = chance.choice(list(_KINDS))
    low, high, thin, thick = _KINDS[kind]
    height = round(chance.uniform(low, high), 1)
    width = round(height * chance.uniform(0.62, 0.78), 1)
    thickness = round(chance.triangular(thin, thick), 1)
    gatherings = max(3, round(thickness / chance.uniform(1.4, 2.6)))
    rounded = chance.random() < 0.6
    depth = round(thickness * chance.uniform(0.08, 0.22), 1) if rounded else 0
    shoulder = round(chance.uniform(1.5, 4), 1)
    cover = chance.choices(("case", "in-boards", "limp"), (5, 4, 1))[0]
    flat = thickness + 2 * shoulder + 0.9 * depth * depth / thickness + chance.gauss(5, 4)
    limp = cover == "limp"
    row = {
        "book.id": f"HO-{number:04d}",
        "book.title": f"{kind} {1850 + number % 90}",
        "value [1 to 4]": chance.choices((1, 2, 3, 4), (3, 4, 2, 1))[0],
        "use [1 to 4]": chance.choices((1, 2, 3, 4), (4, 3, 2, 1))[0],
        "text_block.height [mm]": height,
        "text_block.width [mm]": width,
        "text_block.thickness [mm]": thickness,
        "text_block.leaves": gatherings * 8,
        "text_block.gatherings": gatherings,
        "book.weight [kg]": round(
            height * width * thickness * 0.85e-6 * chance.uniform(1.0, 1.25) + 0.05, 2
        ),
        "spine.profile": "rounded" if rounded else "flat",
        "spine.round_depth [mm]": depth,
        "spine.shoulder [mm]": "" if limp else shoulder,
        "cover.kind": cover,
        "cover.joint": "" if limp else chance.choice(("tight", "french")),
        "cover.board_thickness [mm]": "" if limp else round(chance.uniform(1.8, 4.2), 1),
        "cover.thickness [mm]": round(chance.uniform(0.4, 1.2), 1),
        "cover.spine_width [mm]": "" if limp else round(flat, 1),
        "sewing.supports": chance.choice(("raised", "recessed", "tapes", "none")),
        "condition.leather": chance.choices(("sound", "red-rot"), (5, 1))[0],
        "condition.paper": chance.choices(("strong", "fair", "weak", "brittle"), (3, 4, 2, 1))[0],
        "condition.mould": chance.choices(("none", "inactive", "active"), (40, 3, 1))[0],
        "union[text block + boards].moves": "yes",
        "union[text block + boards].made": chance.choice(("sewn", "pasted")),
        "union[text block + boards].state": chance.choices(("sound", "weak", "failed"), (4, 3, 2))[
            0
        ],
        "measuring.on": f"2026-0{chance.randint(3, 9)}-{chance.randint(10, 28)}",
    }
    return row | _at_the_bench(chance, row, at_the_bench)


_BENCH = HEADINGS[HEADINGS.index("text_block.leaves_per_gathering") : -1]


def _at_the_bench(
    chance: random.Random, row: Mapping[str, object], share: float
) -> dict[str, object]:
    """Return what is taken at a bench alone: of every third book or so, else empty cells."""
    if chance.random() > share:
        return dict.fromkeys(_BENCH, "")
    height, width = (float(str(row[f"text_block.{one} [mm]"])) for one in ("height", "width"))
    head, tail, fore = (round(chance.uniform(2.5, 5), 1) for _ in range(3))
    limp = row["cover.kind"] == "limp"
    stations = [
        round(height * place + chance.uniform(-2, 2), 1) for place in (0.06, 0.27, 0.5, 0.73, 0.94)
    ]
    cells = (
        8, chance.choice(("head-tail", "head-tail", "spine-fore edge")), round(chance.choice((0, 0, 0.2)), 1),
        "" if limp else round(height + head + tail, 1), "" if limp else round(width + fore - 5, 1),
        "" if limp else head, "" if limp else tail, "" if limp else fore,
        stations, "" if row["sewing.supports"] == "none" else round(chance.uniform(4, 12), 1),
    )  # fmt: skip
    return dict(zip(_BENCH, cells, strict=True))


def with_slips(rows: Iterator[dict[str, object]], seed: int = SEED) -> Iterator[dict[str, object]]:
    """Yield the rows as people type them: gaps, “ca.”, “–”, thousands, other units, swapped digits."""
    chance = random.Random(seed + 1)
    for row in rows:
        slip = chance.random()
        if slip < 0.10:
            row[
                chance.choice(
                    ("cover.spine_width [mm]", "book.weight [kg]", "spine.round_depth [mm]")
                )
            ] = ""
        elif slip < 0.18:
            row[
                chance.choice(
                    ("cover.board_thickness [mm]", "cover.spine_width [mm]", "text_block.leaves")
                )
            ] = chance.choice("–?")
        elif slip < 0.24:
            row["text_block.thickness [mm]"] = f"ca. {row['text_block.thickness [mm]']}"
        elif slip < 0.27:
            row["text_block.height [mm]"] = (
                f"{round(float(str(row['text_block.height [mm]'])) / 10, 1)} cm"
            )
        elif slip < 0.29:  # two digits changed places, or the decimal sign was lost
            row["text_block.thickness [mm]"] = round(
                float(str(row["text_block.thickness [mm]"])) * 10
            )
        elif slip < 0.31:
            row["spine.profile"] = chance.choice(("round", "flat?", "rounded "))
        elif slip < 0.32:
            row["book.id"] = "HO-0001"
        elif slip < 0.33:
            row["value [1 to 4]"] = 5
        yield row


def as_csv(rows: Iterator[Mapping[str, object]], separator: str = ",", decimal: str = ".") -> bytes:
    """Return a table as a spreadsheet saves it."""
    text = io.StringIO()
    writer = csv.writer(text, delimiter=separator, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    writer.writerows([_typed(row[one], decimal) for one in HEADINGS] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def _typed(cell: object, decimal: str) -> str:
    if isinstance(cell, list):
        return "; ".join(_typed(one, decimal) for one in cell)
    text = str(cell)
    figure = isinstance(cell, float) or (text[:2] in ("ca", "– ") or text.endswith(" cm"))
    return text.replace("ca.", "ca\0").replace(".", decimal).replace("\0", ".") if figure else text


if __name__ == "__main__":
    SHIPPED.write_bytes(as_csv(with_slips(books()), ";", ","))
    print(f"{SHIPPED.name}: {COUNT} books")
