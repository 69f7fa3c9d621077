"""What hangs on the stitches, what paper, thread and paste can bear, and how paper moves.

Figures are textbook statics on the book's own measurements. The factors that stand in for
unknown materials are arguments; none of them is a strength anyone measured for this book.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from patterns.errors import PlacementError

GRAVITY = 9.80665
"""Standard gravity in m/s² (ISO 80000-3)."""
SUDDEN = 2.0
"""A load applied at once strains twice as much as one let down gently (textbook)."""
FLAX_DENSITY = 0.90
"""Mass by volume of waxed linen thread, air included, in g/cm³; a practice value, ± 15 %."""
THREAD_OVER_PAPER = 5.0
"""A sewing thread should break at no less than this many times what the paper holds."""

Count = Literal["tex", "lea", "Ne", "Nm", "denier", "yd/lb"]

_PER_TEX = {"lea": 1653.5155, "Ne": 590.5412, "Nm": 1000.0, "yd/lb": 496054.65}


def leaves_mass_kg(leaves: float, grammage: float, width_mm: float, height_mm: float) -> float:
    """Return the mass in kg of so many leaves of `grammage` g/m² (ISO 536).

    >>> round(leaves_mass_kg(160, 80, 160, 240), 5)
    0.49152
    """
    return leaves * grammage * width_mm * height_mm * 1e-9


def thread_tex(count: float, system: Count, plies: int = 1) -> float:
    """Return the linear density in tex of `plies` yarns of one count (ASTM D2260, ISO 2947).

    >>> round(thread_tex(18, "lea", 3), 1)
    275.6
    """
    if system == "tex":
        return plies * count
    if system == "denier":
        return plies * count / 9
    return plies * _PER_TEX[system] / count


def thread_diameter_mm(tex: float, density: float = FLAX_DENSITY) -> float:
    """Return a thread's diameter in mm; `density` in g/cm³ counts the air between the fibres.

    >>> round(thread_diameter_mm(thread_tex(18, "lea", 3)), 4)
    0.6244
    """
    return math.sqrt(4e-3 * tex / (math.pi * density))


def swell_mm(
    passes: float, diameter_mm: float, soft: float = 0.5, hard: float = 1.0
) -> tuple[float, float]:
    """Return the least and most a block swells from thread along its folds, in mm.

    Soft paper takes up half the thread or more, hard paper none: always a range.
    """
    return passes * soft * diameter_mm, passes * hard * diameter_mm


def stitch_loads_n(
    mass_kg: float,
    width_mm: float,
    heights_mm: Sequence[float],
    opening_deg: float = 0.0,
    shares: Sequence[float] | None = None,
) -> tuple[float, ...]:
    """Return the force on each stitch, in N, of a block hanging by its spine edge clear of the shelf.

    Every stitch of the book counts, at its real height. The weight is shared evenly unless relative
    `shares` say otherwise; its moment about the spine, half the leaf's width out, is taken in proportion
    to share and distance from the stitches' mean height, and falls as cos(θ/2) when the book stands open.
    Raises PlacementError when all stitches are at one height and so cannot carry a moment.
    """
    count = len(heights_mm)
    parts = list(shares) if shares is not None else [1.0] * count
    whole = math.fsum(parts)
    mean = (
        math.fsum(w * y for w, y in zip(parts, heights_mm, strict=True)) / whole if count else 0.0
    )
    spread = math.fsum(w * (y - mean) ** 2 for w, y in zip(parts, heights_mm, strict=True))
    if spread == 0:
        raise PlacementError(
            f"{count} stitches, all at one height, cannot keep the block from tipping; "
            "sew at two heights or more"
        )
    weight = mass_kg * GRAVITY
    moment = weight * width_mm / 2 * math.cos(math.radians(opening_deg) / 2)
    return tuple(
        math.hypot(weight * w / whole, moment * w * (y - mean) / spread)
        for w, y in zip(parts, heights_mm, strict=True)
    )


def lifted_load_n(
    block_kg: float,
    board_kg: float,
    stitches_per_gathering: Sequence[int],
    pasted: bool,
    sudden: float = 1.0,
) -> float:
    """Return the force on each stitch, in N, when the book is lifted by one board alone.

    A lining pasted to the spine shares the load among all stitches; one that is not leaves it to
    the first two sewn gatherings beside that board (the weaker end counts).
    """
    counts = stitches_per_gathering
    sharing = sum(counts) if pasted else min(sum(counts[:2]), sum(counts[-2:]))
    return (block_kg + board_kg) * GRAVITY * sudden / sharing


def stitch_capacity_n(folios: int, tear_mn: float) -> float:
    """Return the pull at which a stitch, which has two holes, tears out of a fold of sheets, in N.

    `tear_mn` is one sheet's tearing force along the fold in mN (ISO 1974).
    """
    return 2 * folios * tear_mn / 1000


def needed_tear_mn(safety: float, force_n: float, folios: int) -> float:
    """Return the tearing force each sheet must have for a stitch to bear a force safely, in mN."""
    return 1000 * safety * force_n / (2 * folios)


def curl_per_mm(
    strain: float,
    thickness_mm: float,
    thickness_other_mm: float,
    stiffness_ratio: float = 1.0,
) -> float:
    """Return the curvature (1/radius) of two bonded layers, one of which grows by `strain` more.

    `stiffness_ratio` is the first layer's modulus over the other's. S. Timoshenko, Analysis of
    bi-metal thermostats, J. Opt. Soc. Am. 11 (1925).
    """
    m, n = thickness_mm / thickness_other_mm, stiffness_ratio
    whole = thickness_mm + thickness_other_mm
    stiff = 3 * (1 + m) ** 2 + (1 + m * n) * (m * m + 1 / (m * n))
    return 6 * strain * (1 + m) ** 2 / (whole * stiff)
