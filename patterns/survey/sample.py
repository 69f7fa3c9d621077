"""Samples of a collection: picking one at random, and how far a share in it may be from the whole's.

The interval is Wilson's (1927), on a sample size that is corrected for a finite population.
"""

from __future__ import annotations

import math
import random
from statistics import NormalDist

_Z = NormalDist().inv_cdf(0.975)


def pick(count: int, wanted: int, seed: int) -> frozenset[int]:
    """Return the rows of a simple random sample, without repetition, out of rows 1 to `count`."""
    return frozenset(random.Random(seed).sample(range(1, count + 1), min(wanted, count)))


def interval(found: int, sample: int, population: int) -> tuple[float, float]:
    """Return the 95 % interval of a share of which `found` in a sample of a population was seen.

    Wilson on (p, n′) with p = found ÷ sample and n′ = n·(N − 1) ÷ (N − n); a whole population gives
    the point itself.

    >>> [round(end, 4) for end in interval(38, 385, 50_000)], interval(5, 10, 10)
    ([0.0728, 0.1324], (0.5, 0.5))
    """
    share = found / sample
    if sample >= population:
        return share, share
    size = sample * (population - 1) / (population - sample)
    square = _Z * _Z / size
    middle = (share + square / 2) / (1 + square)
    half = _Z * math.sqrt(share * (1 - share) / size + square / (4 * size)) / (1 + square)
    return max(0.0, middle - half), min(1.0, middle + half)
