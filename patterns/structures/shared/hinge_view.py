"""The tissue hinge across the spine, enlarged: what lies on what, what is bonded, what stays free."""

from __future__ import annotations

from patterns.model.capitals import BODY
from patterns.model.drawing import Line, LineKind, Mark, Words
from patterns.model.part import Diagram
from patterns.sketch.hatching import paste
from patterns.sketch.scales import ENLARGED, REDUCED, largest
from patterns.units import tenth

NAMES_MM = 36.0
ROW_MM = 8.0
TOP_MM = 9.0
ROOM_MM = 134.0
BOND_PITCH_MM = 2.0


def across_the_spine(
    structure: str,
    edges: tuple[str, str],
    girth_mm: float,
    stub_end_mm: float,
    keep_mm: float,
    free_mm: float,
) -> Diagram:
    """Draw the laminate as layers drawn apart, `edges` at left and right, bonds hatched between."""
    beyond = free_mm + 2.0
    fitting = largest([(girth_mm + 2 * beyond, ROOM_MM)], ENLARGED[0]) or REDUCED[-1]
    scale = fitting.factor
    front_right = edges[1] == "FRONT"

    def x(from_front: float) -> float:
        """Return the drawn place of a distance from the front joint, inwards."""
        along = girth_mm - from_front if front_right else from_front
        return NAMES_MM + (beyond + along) * scale

    rows = {
        "folds": (0.0, girth_mm),
        "back stub": (stub_end_mm, girth_mm + beyond),
        "front stub": (-beyond, girth_mm - stub_end_mm),
        "cloth": (0.5, girth_mm - 0.5),
        "cover": (-beyond, girth_mm + beyond),
    }
    near = max(keep_mm, stub_end_mm)
    bonds = [
        ("back stub", "front stub", stub_end_mm, girth_mm - near),
        ("front stub", "cloth", keep_mm, girth_mm - stub_end_mm),
        ("front stub", "cover", -beyond, -free_mm),
        ("back stub", "cover", girth_mm + free_mm, girth_mm + beyond),
    ]
    if stub_end_mm > keep_mm:
        bonds.append(("back stub", "cloth", girth_mm - stub_end_mm, girth_mm - keep_mm))
    at = {name: TOP_MM + ROW_MM * k for k, name in enumerate(rows)}
    bottom = TOP_MM + ROW_MM * len(rows)
    marks: list[Mark] = []
    for name, (start, end) in rows.items():
        kind = LineKind.CUT if name in ("back stub", "front stub", "cloth") else LineKind.OUTLINE
        marks.append(Line(kind, ((x(start), at[name]), (x(end), at[name]))))
        marks.append(Words((NAMES_MM - 3, at[name] + BODY / 2), name, BODY, anchor="end"))
    for inner, outer, start, end in bonds:
        left, right = sorted((x(start), x(end)))
        marks += paste(left, right, at[inner] + 0.6, at[outer] - 0.6, BOND_PITCH_MM)
    for joint in (0.0, girth_mm):
        marks.append(Line(LineKind.REFERENCE, ((x(joint), TOP_MM - 4), (x(joint), bottom - 4))))
    left, right = sorted((x(0.0), x(girth_mm)))
    marks += [
        Words((left, TOP_MM - 5), edges[0], BODY, True, "middle"),
        Words((right, TOP_MM - 5), edges[1], BODY, True, "middle"),
    ]
    return Diagram(
        name="hinge across the spine",
        structure=structure,
        title="The hinge across the spine, its layers drawn apart",
        scale=f"widths {fitting}, thicknesses not to scale",
        width_mm=NAMES_MM + 2 * beyond * scale + girth_mm * scale + 2,
        height_mm=bottom,
        marks=tuple(marks),
        notes=(
            "upright thin lines: the joint edges of the block; hatched between two layers: bonded",
            f"from the joint {tenth(keep_mm)} mm on the stub and {tenth(free_mm)} mm on the side stay unbonded",
            f"each stub ends {tenth(stub_end_mm)} mm short of the far joint; between cloth and cover is air",
            "folds and stubs are joined by the thread alone",
        ),
    )
