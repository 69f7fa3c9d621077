"""One count of steps for all the searching of a draft.

What stops a search is never the clock: the same book gives the same layout on every machine. Every part
of the search pays here, about one step for 3 microseconds of work; when the steps are spent, what
was found so far stands.
"""

from __future__ import annotations

STEPS = 400_000
"""For a whole draft: a second or two of work."""


class Spent(Exception):
    """All steps are used up; never leaves the search."""


class Meter:
    """Steps that are left, and how many were taken."""

    def __init__(self, steps: int = STEPS) -> None:
        self.left, self.taken = steps, 0

    def take(self, steps: int = 1) -> None:
        """Pay for so much work; raises Spent when it is more than is left."""
        self.taken += min(steps, self.left)
        self.left -= steps
        if self.left < 0:
            self.left = 0
            raise Spent

    def lend(self, share: float, least: int = 0) -> Meter:
        """Return a meter with a share of what is left, `least` in any case; `settle` pays what it takes."""
        return Meter(max(int(self.left * share), least))

    def settle(self, lent: Meter) -> None:
        """Take what a lent meter has taken."""
        self.left = max(0, self.left - lent.taken)
        self.taken += lent.taken
