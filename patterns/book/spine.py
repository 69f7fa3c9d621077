"""The spine of the text block, worked out once for every structure that lies on it."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.errors import RecordError
from patterns.formulas import geometry
from patterns.record.record import Record
from patterns.units import tenth

STRIP_MM = 0.1
"""Thickness of the paper strip a girth is read with (practice)."""


@dataclass(frozen=True, slots=True)
class Spine:
    """Chord, round and girth of a text block's spine in mm; heights run from its head.

    `turn_deg` is the whole turning angle of the spine's curve: 0 flat, negative fallen in.
    """

    height_mm: float
    chord_mm: float
    depth_mm: float | None
    girth_head_mm: float
    girth_tail_mm: float
    turn_deg: float
    by_strip: bool
    strip_over_mm: float
    strip_mm: float
    linings_mm: float
    error_mm: float
    shape_words: str
    warnings: tuple[str, ...]

    def girth_mm(self, at_mm: float) -> float:
        """Girth at a height below the head; heights outside the block extrapolate."""
        share = at_mm / self.height_mm
        return self.girth_head_mm + (self.girth_tail_mm - self.girth_head_mm) * share

    def layer_mm(self, under_mm: float, thickness_mm: float, at_mm: float | None = None) -> float:
        """Width of a layer that lies on `under_mm`, at a height (default: the middle)."""
        at = self.height_mm / 2 if at_mm is None else at_mm
        return geometry.layer_mm(
            self.girth_mm(at),
            self.turn_deg,
            under_mm,
            thickness_mm,
            self.strip_over_mm,
            self.strip_mm,
        )

    @property
    def tapered(self) -> bool:
        """True when head and tail girths differ by more than a reading can show."""
        return abs(self.girth_tail_mm - self.girth_head_mm) >= 0.1

    @property
    def radius_mm(self) -> float | None:
        """Radius of the circle through tips and crown, for drawing only; None when flat."""
        if not self.depth_mm:
            return None
        return geometry.circle_arc(self.chord_mm, abs(self.depth_mm)).radius_mm


def measure(record: Record) -> Spine:
    """Work out the spine of a record: chord, round and girth, by the paper strip where one was read.

    A RecordError says when a fallen-in spine has no girth strip.
    """
    block, spine = record.text_block, record.spine
    if block.height is None or block.thickness is None:
        raise RecordError("text_block.height and text_block.thickness are needed for the spine")
    chord = chord_mm(record)
    depth = _depth(record)
    strips = [girth for girth in (spine.girth_head, spine.girth_tail) if girth is not None]
    reading = record.measuring.error if record.measuring.error is not None else 0.5
    if not strips:
        if depth is not None and depth < 0:
            raise RecordError(
                "spine.girth_head: a fallen-in spine cannot be worked out from its depth; "
                "lay a paper strip over it, tip to tip, and give girth_head and girth_tail"
            )
        return _by_circle(record, chord, depth, reading)
    return _by_strip(record, chord, depth, strips, reading)


def chord_mm(record: Record) -> float:
    """Chord of the spine: over the shoulders when measured so, else thickness + both shoulders."""
    spine = record.spine
    if spine.over_shoulders is not None:
        return spine.over_shoulders
    front, back = shoulder_mm(record, "front"), shoulder_mm(record, "back")
    return (record.text_block.thickness or 0.0) + front + back


def shoulder_mm(record: Record, side: str) -> float:
    """Height of one shoulder; `spine.shoulder` stands for both; none recorded is 0."""
    own = record.spine.shoulder_front if side == "front" else record.spine.shoulder_back
    return own if own is not None else (record.spine.shoulder or 0.0)


def _depth(record: Record) -> float | None:
    if record.spine.profile == "flat":
        return 0.0
    return record.spine.round_depth


def _by_circle(record: Record, chord: float, depth: float | None, reading: float) -> Spine:
    depth_known = depth if depth is not None else 0.0
    arc = geometry.circle_arc(chord, depth_known)
    warnings: tuple[str, ...]
    if depth is None:
        words, warnings = "taken as flat", ("spine.round_depth and girth not given: taken as flat",)
    elif depth == 0:
        words, warnings = "flat: girth is the chord", ()
    else:
        spread = geometry.girth_spread(chord, depth).values()
        words = f"circle assumed; other curves give {tenth(min(spread))} to {tenth(max(spread))}"
        warnings = (
            f"no girth strip: a circular spine is assumed, and other curves of the same chord and "
            f"depth give {tenth(min(spread))} to {tenth(max(spread))} mm; read a paper strip, tip to tip",
        )
    error = 2 * geometry.girth_error_mm(chord, depth_known, reading)
    return Spine(
        height_mm=record.text_block.height or 0.0,
        chord_mm=chord,
        depth_mm=depth,
        girth_head_mm=arc.length_mm,
        girth_tail_mm=arc.length_mm,
        turn_deg=arc.turn_deg,
        by_strip=False,
        strip_over_mm=0.0,
        strip_mm=0.0,
        linings_mm=record.spine.linings or 0.0,
        error_mm=error,
        shape_words=words,
        warnings=warnings,
    )


def _by_strip(
    record: Record, chord: float, depth: float | None, strips: list[float], reading: float
) -> Spine:
    head, tail = strips[0], strips[-1]
    warnings: list[str] = []
    if len(strips) == 1:
        missing = "girth_tail" if record.spine.girth_tail is None else "girth_head"
        warnings.append(f"spine.{missing} not given: {tenth(head)} mm is used at head and tail")
    mean = (head + tail) / 2
    if depth is not None:
        arc = geometry.circle_arc(chord, depth)
        turn = arc.turn_deg
        if abs(arc.length_mm - mean) > max(1.0, 0.03 * mean):
            warnings.append(
                f"girth by strip is {tenth(mean)} mm but chord {tenth(chord)} and round {tenth(depth)} give "
                f"{tenth(arc.length_mm)} mm: the strip is used; measure both again"
            )
    elif mean < chord:
        turn = 0.0
        warnings.append(
            f"girth by strip {tenth(mean)} mm is less than the chord {tenth(chord)} mm: "
            "the spine is taken as flat; measure both again"
        )
    else:
        turn = geometry.turn_from_girth(mean, chord)
    return Spine(
        height_mm=record.text_block.height or 0.0,
        chord_mm=chord,
        depth_mm=depth,
        girth_head_mm=head,
        girth_tail_mm=tail,
        turn_deg=turn,
        by_strip=True,
        strip_over_mm=record.spine.strip_over or 0.0,
        strip_mm=STRIP_MM,
        linings_mm=record.spine.linings or 0.0,
        error_mm=reading,
        shape_words="by paper strip",
        warnings=tuple(warnings),
    )
