"""Published puzzles that fill a rectangle without waste, and the share of it that a search fills."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from patterns.cutting.search import Rectangle, search
from patterns.cutting.shapes import Fill, Kind

FILE = Path(__file__).with_name("zero_waste.json")
"""C1 to C7 of Hopper and Turton; the file names its source."""


@dataclass(frozen=True)
class Puzzle:
    """Pieces that fill `width` × `height` exactly, none turned."""

    name: str
    width: int
    height: int
    pieces: tuple[tuple[int, int], ...]

    def share(self, fill: Fill, tries: int, seed: int = 1) -> float:
        """Return the known height over the height that a search needs."""
        counted = Counter(self.pieces)
        kinds = [Kind(across, along, count) for (across, along), count in counted.items()]
        laid = search(fill, kinds, [Rectangle(self.width, 10**6, roll=True)], tries, seed)
        assert not any(laid.left), f"{self.name}: pieces are missing"
        return self.height / laid.filled[0].used_length


def puzzles() -> tuple[Puzzle, ...]:
    """Return all of them."""
    rows = json.loads(FILE.read_text("utf-8"))["puzzles"]
    return tuple(
        Puzzle(row["name"], row["width"], row["height"], tuple(map(tuple, row["pieces"])))
        for row in rows
    )
