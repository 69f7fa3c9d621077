"""Measure drafted folders with other people's readers: python -m tests.measured FOLDER.

Every page of every sheets.pdf has the size that its pattern.json says, and every page to cut by has both bars of
100 mm, across and down. Prints a line a folder; ends with 1 where one is wrong.
"""

from __future__ import annotations

import json
import sys
from math import dist
from pathlib import Path

from tests.readers import pdf_page_mm, pdf_shapes
from tests.shapes import bars

NEAR_MM = 0.005


def faults(folder: Path) -> list[str]:
    """Return what is wrong with the pages of one folder."""
    pdf = (folder / "sheets.pdf").read_bytes()
    found = []
    for number, sheet in enumerate(
        json.loads((folder / "pattern.json").read_text("utf-8"))["sheets"]
    ):
        said = (sheet["page_width_mm"], sheet["page_height_mm"])
        if dist(said, pdf_page_mm(pdf, number)) > NEAR_MM:
            found.append(f"page {number + 1} is {pdf_page_mm(pdf, number)} mm, not {said}")
        if sheet["group"] == "cutting":
            drawn = bars(pdf_shapes(pdf, number))
            for axis, name in enumerate(("down", "across")):
                straight = [dist(*bar) for bar in drawn if abs(bar[0][axis] - bar[1][axis]) < 0.001]
                if not any(abs(long - 100) < NEAR_MM for long in straight):
                    found.append(f"page {number + 1} has no bar of 100 mm {name}: {straight}")
    return found


def main(home: Path) -> int:
    """Measure every folder below `home` and print what was found."""
    folders = sorted(path.parent for path in home.rglob("sheets.pdf"))
    wrong = {folder: faults(folder) for folder in folders}
    for folder, found in wrong.items():
        print(f"{folder.name}: {'; '.join(found) or 'measured'}")
    return int(not folders or any(wrong.values()))


if __name__ == "__main__":
    raise SystemExit(main(Path(sys.argv[1])))
