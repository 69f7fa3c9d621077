"""The layers of all structures as one stack, and what the table of layers says of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patterns.model.part import Layer
from patterns.model.pattern import Pattern
from patterns.units import mm

TURNED_MM = 2.0
"""A layer reaching less far beyond the spine's edge than this does not lie on the side."""
JOINED = {
    "pasted": "pasted",
    "sewn": "sewn",
    "pasted and sewn": "pasted and sewn",
    "laced": "laced in",
    "free": "free",
}


@dataclass(frozen=True, slots=True)
class Seated:
    """A layer with its number and where it lies: over the spine, on the left, on the right."""

    number: int
    layer: Layer
    over: bool
    sides: tuple[bool, bool]

    @property
    def air(self) -> bool:
        """A layer of nothing: the hollow of a tube, the space under a cover.

        What is the book's own is there, whether its thickness was measured or not.
        """
        layer = self.layer
        return not layer.material and layer.thickness_mm == 0.0 and not layer.existing


def stack(pattern: Pattern) -> tuple[Layer, ...]:
    """Return the layers of all parts from the text block outwards, each physical layer once.

    A part's own layer goes in just before the next one that the stack holds already: outside
    everything that lies there so far. The text block is added where no part names it.
    """
    layers: list[Layer] = []
    for part in pattern.parts:
        for place, layer in enumerate(part.layers):
            if _at(layers, layer) is None:
                later = (_at(layers, other) for other in part.layers[place + 1 :])
                layers.insert(next((at for at in later if at is not None), len(layers)), layer)
    if layers and not any(layer.block for layer in layers):
        half = half_spine_mm(pattern, layers)
        block = Layer(
            "text block", "", 0.0, -half, half, "free", on_spine=False, existing=True, block=True
        )
        layers.insert(0, block)
    return tuple(layers)


def _at(layers: Sequence[Layer], wanted: Layer) -> int | None:
    """Return where the same physical layer is held."""
    for place, layer in enumerate(layers):
        alike = layer.existing or layer.material == wanted.material
        if layer.name == wanted.name and layer.existing == wanted.existing and alike:
            return place
    return None


def half_spine_mm(pattern: Pattern, layers: Sequence[Layer]) -> float:
    """Return half the width over which the layers bend, in mm.

    That is the text block's own where a part gives it, else half the girth, else the widest of
    the layers that end about where the narrowest does.
    """
    for layer in layers:
        if layer.block:
            return min(-layer.left_mm, layer.right_mm)
    for part in pattern.parts:
        if part.girth_mm is not None:
            return part.girth_mm / 2
    halves = [min(-one.left_mm, one.right_mm) for one in layers if one.left_mm < 0 < one.right_mm]
    least = min(halves, default=1.0)
    return max((half for half in halves if half <= 1.2 * least), default=1.0)


def seated(layers: Sequence[Layer], half_mm: float) -> tuple[Seated, ...]:
    """Number the layers from the text block outwards and say where each lies.

    What ends a little beyond the spine lies over it alone; what does not lie over it lies beside.
    """
    return tuple(
        Seated(
            number,
            layer,
            layer.left_mm < half_mm and layer.right_mm > -half_mm,
            (
                layer.left_mm < -half_mm - TURNED_MM or layer.right_mm <= -half_mm,
                layer.right_mm > half_mm + TURNED_MM or layer.left_mm >= half_mm,
            ),
        )
        for number, layer in enumerate(layers, start=1)
    )


BEYOND = {"inner face": "inside the cover", "slot": "in the slot", "outer face": "on the sides"}


def named(item: Seated, names: tuple[str, str]) -> str:
    """Return what stands beside a layer's number: what it is, how it is joined, where it ends."""
    layer = item.layer
    thick = f"{mm(layer.thickness_mm)}\u00a0mm" if layer.thickness_mm else ""
    stuff = layer.material.replace(" g/", "\u00a0g/")
    what = ", ".join(filter(None, (layer.name, stuff, thick)))
    if item.number == 1:
        return what
    ends = "" if layer.existing and not item.over else f"; {reach(layer, names)}"
    return f"{what}: {_joined(item)}{ends}"


def row(item: Seated, names: tuple[str, str]) -> tuple[str, ...]:
    """Return what the table says of a layer; `names` are the boards at left and right."""
    layer = item.layer
    what = ", ".join(filter(None, (layer.name, layer.material)))
    return (
        str(item.number),
        f"{what} (the book's own)" if layer.existing else what,
        mm(layer.thickness_mm) if layer.thickness_mm else "–",
        reach(layer, names),
        _joined(item) if item.number > 1 else "–",
    )


def reach(layer: Layer, names: tuple[str, str]) -> str:
    """Say where a layer ends, in mm from the middle of the spine.

    >>> reach(Layer("cloth", "", 0.3, -77.0, 76.5, "sewn"), ("back", "front"))
    '77.0 back, 76.5 front'
    >>> reach(Layer("tube", "", 0.1, -37.1, 37.1, "free"), ("back", "front"))
    '37.1 each side'
    >>> reach(Layer("board", "", 3.2, 27.0, 180.0, "free"), ("back", "front"))
    '27.0 to 180.0 front'
    """
    left, right = layer.left_mm, layer.right_mm
    if left >= 0:
        return f"{mm(left, 1)} to {mm(right, 1)} {names[1]}"
    if right <= 0:
        return f"{mm(-right, 1)} to {mm(-left, 1)} {names[0]}"
    if mm(-left, 1) == mm(right, 1):
        return f"{mm(right, 1)} each side"
    return f"{mm(-left, 1)} {names[0]}, {mm(right, 1)} {names[1]}"


def _joined(item: Seated) -> str:
    over, beyond = JOINED[item.layer.union], JOINED[item.layer.union_sides]
    if not any(item.sides):
        return over
    if not item.over:
        return beyond
    where = BEYOND.get(item.layer.beyond, "")
    return over if over == beyond else f"{over}, {beyond} {where}"


def total(layers: Sequence[Layer]) -> str:
    """Say how thick the added layers are together over the spine."""
    added = [one.thickness_mm for one in layers if one.on_spine and not one.existing]
    added = [thickness for thickness in added if thickness]
    if not added:
        return "Nothing is added over the spine."
    terms = " + ".join(mm(thickness) for thickness in added)
    whole = f"{mm(sum(added))} mm"
    return (
        f"Added over the spine: {terms} = {whole}."
        if len(added) > 1
        else (f"Added over the spine: {whole}.")
    )
