"""What hangs on the stitches, what paper, thread and paste can bear, and how paper moves.

Figures are textbook statics on the book's own measurements. The factors that stand in for
unknown materials are arguments; none of them is a strength anyone measured for this book.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
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
Vector = tuple[float, float]

_PER_TEX = {"lea": 1653.5155, "Ne": 590.5412, "Nm": 1000.0, "yd/lb": 496054.65}


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread one could sew with: its name, linear density in tex and breaking force in N."""

    name: str
    tex: float
    break_n: float


def leaves_mass_kg(leaves: float, grammage: float, width_mm: float, height_mm: float) -> float:
    """Return the mass in kg of so many leaves of `grammage` g/m² (ISO 536).

    >>> round(leaves_mass_kg(160, 80, 160, 240), 5)
    0.49152
    """
    return leaves * grammage * width_mm * height_mm * 1e-9


def caliper_mm(grammage: float, bulk: float) -> float:
    """Return the thickness in mm of paper of `grammage` g/m² and `bulk` cm³/g (ISO 534)."""
    return grammage * bulk / 1000


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


def tenacity_cn_tex(break_n: float, tex: float) -> float:
    """Return a thread's breaking force for its linear density, in cN/tex."""
    return 100 * break_n / tex


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


def even_pitch_load_n(
    mass_kg: float, width_mm: float, levels: int, span_mm: float, stitches: int
) -> float:
    """Return the greatest of stitch_loads_n when `levels` lie at even pitch over a span, in N."""
    return mass_kg * GRAVITY / stitches * _lever(width_mm, levels, span_mm)


def group_loads(
    points: Sequence[Vector],
    force: Vector,
    at: Vector,
    weights: Sequence[float] | None = None,
) -> tuple[Vector, ...]:
    """Return the force each fastener of a group in a plane takes of one force applied `at` a point.

    Any consistent units. `weights` are the fasteners' relative stiffness, equal if not given.
    Shigley, Mechanical Engineering Design, 9th ed., section 8-12.
    """
    stiff = list(weights) if weights is not None else [1.0] * len(points)
    total = math.fsum(stiff)
    cx = math.fsum(w * x for w, (x, _) in zip(stiff, points, strict=True)) / total
    cy = math.fsum(w * y for w, (_, y) in zip(stiff, points, strict=True)) / total
    moment = (at[0] - cx) * force[1] - (at[1] - cy) * force[0]
    polar = math.fsum(
        w * ((x - cx) ** 2 + (y - cy) ** 2) for w, (x, y) in zip(stiff, points, strict=True)
    )
    return tuple(
        (
            w * force[0] / total - moment * w * (y - cy) / polar,
            w * force[1] / total + moment * w * (x - cx) / polar,
        )
        for w, (x, y) in zip(stiff, points, strict=True)
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


def lifted_line_load(block_kg: float, board_kg: float, height_mm: float) -> float:
    """Return the pull along the joint when the book is lifted by one board, in N per mm."""
    return (block_kg + board_kg) * GRAVITY / height_mm


def hole_capacity_n(
    folios: int, tear_mn: float, tensile_n_mm: float | None = None, thread_mm: float = 0.0
) -> float:
    """Return the pull at which a thread tears out of one hole in a fold of `folios` sheets, in N.

    `tear_mn` is one sheet's tearing force along the fold in mN (ISO 1974); with its tensile
    strength in N/mm (ISO 1924-2) and the thread's diameter, the smaller of both governs.
    """
    sheet = tear_mn / 1000
    if tensile_n_mm is not None:
        sheet = min(sheet, tensile_n_mm * thread_mm)
    return folios * sheet


def stitch_capacity_n(folios: int, tear_mn: float) -> float:
    """Return the pull at which a stitch, which has two holes, tears out of its fold, in N."""
    return 2 * hole_capacity_n(folios, tear_mn)


def permanent_paper_tear_mn(grammage: float) -> float:
    """Return the least tearing force ISO 9706 asks of new permanent paper, in mN.

    A floor for new paper of 25 g/m² and more: never a figure for the paper of an old book.
    """
    return min(350.0, 6 * grammage - 70)


def stitches_needed(
    safety: float, mass_kg: float, hole_n: float, width_mm: float, levels: int, span_mm: float
) -> float:
    """Return how many stitches reach a safety factor at even pitch; round the answer up.

    For a first estimate; the sheet prints stitch_loads_n, with the real heights.
    """
    return safety * mass_kg * GRAVITY / (2 * hole_n) * _lever(width_mm, levels, span_mm)


def needed_tear_mn(safety: float, force_n: float, folios: int) -> float:
    """Return the tearing force each sheet must have for a stitch to bear a force safely, in mN."""
    return 1000 * safety * force_n / (2 * folios)


def thinnest_thread(
    threads: Iterable[Thread], paper_n: float, times: float = THREAD_OVER_PAPER
) -> Thread | None:
    """Return the thinnest thread that breaks at `times` what the paper holds, or None if none does.

    `paper_n` is the pull that tears a stitch out of its fold. Five times that leaves room for
    knots, wear and age; a thicker thread would only add swell.
    """
    strong = [thread for thread in threads if thread.break_n >= times * paper_n]
    return min(strong, key=lambda thread: (thread.tex, thread.name), default=None)


def growth_mm(length_mm: float, per_rh: float, rh_step: float) -> float:
    """Return how much paper grows in mm; `per_rh` in % per % of relative humidity."""
    return length_mm * per_rh / 100 * rh_step


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


def bond_decay_per_mm(cloth_n_mm: float, bond_n_mm3: float) -> float:
    """Return λ, how fast the stress dies away along cloth pasted on both faces, per mm.

    `cloth_n_mm` is the cloth's stiffness (force per width and strain), `bond_n_mm3` the paste's
    shear modulus over its thickness.
    """
    return math.sqrt(2 * bond_n_mm3 / cloth_n_mm)


def bond_stress_mpa(
    pull_n_mm: float, cloth_n_mm: float, bond_n_mm3: float, depth_mm: float
) -> float:
    """Return the greatest shear stress in a slot's paste under a pull per mm of joint, in MPa.

    O. Volkersen, Die Nietkraftverteilung, Luftfahrtforschung 15 (1938), cloth between rigid faces.
    """
    decay = bond_decay_per_mm(cloth_n_mm, bond_n_mm3)
    return pull_n_mm * decay / 2 / math.tanh(decay * depth_mm)


def useful_depth_mm(cloth_n_mm: float, bond_n_mm3: float) -> float:
    """Return the depth beyond which a deeper slot lowers the stress by less than 1 %, in mm."""
    return 2.65 / bond_decay_per_mm(cloth_n_mm, bond_n_mm3)


def _lever(width_mm: float, levels: int, span_mm: float) -> float:
    """How many times its share of the weight the outermost stitch bears, at even pitch."""
    return math.hypot(1, 3 * width_mm * (levels - 1) / (span_mm * (levels + 1)))
