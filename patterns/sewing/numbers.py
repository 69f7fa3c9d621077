"""Numbers of gatherings in words."""

from __future__ import annotations

from collections.abc import Sequence


def numbers(found: Sequence[int]) -> str:
    """Write gathering numbers, runs of three and more drawn together.

    >>> numbers([1, 2, 3, 7, 9])
    '1–3, 7, 9'
    """
    runs: list[list[int]] = []
    for number in found:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = [f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(parts)
