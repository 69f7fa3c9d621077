"""The spine of the text block, worked out once for every structure that lies on it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

from patterns.book.answer import Answer, certain, recorded
from patterns.book.boards import shoulder
from patterns.errors import RecordError
from patterns.formulas import geometry
from patterns.record.needs import needed
from patterns.record.record import Record
from patterns.units import tenth, told_apart

STRIP_MM = 0.1
"""Thickness of the paper strip a girth is read with (practice)."""
READING_MM = 0.5
"""± of one reading where the record gives none (practice)."""
CALIPER_MM = 0.1
"""± of calipers where the record gives none (practice)."""
FLAT_MM = 0.0
"""Round of a flat spine."""


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
    sewn: bool = False
    """The girths were read after a new sewing."""

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

    def swollen(self, swell_mm: float) -> Spine:
        """Return the spine as new thread may leave it, so much wider from head to tail."""
        head, tail = self.girth_head_mm + swell_mm, self.girth_tail_mm + swell_mm
        return replace(self, girth_head_mm=head, girth_tail_mm=tail)

    def read_again(self, head_mm: float, tail_mm: float, over_mm: float) -> Spine:
        """Return the spine by a strip read after a sewing, over so much on the bare spine."""
        return replace(
            self,
            girth_head_mm=head_mm,
            girth_tail_mm=tail_mm,
            by_strip=True,
            strip_over_mm=over_mm,
            strip_mm=STRIP_MM,
            shape_words="by paper strip after the sewing",
            sewn=True,
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


def sewn_girths(record: Record) -> tuple[float, float] | None:
    """Return the girths read after a new sewing at head and tail, one for both; None if not read."""
    spine = record.spine
    read = [girth for girth in (spine.girth_sewn_head, spine.girth_sewn_tail) if girth is not None]
    return (read[0], read[-1]) if read else None


def linings(record: Record) -> Answer:
    """Return the thickness of the linings that stay in place, in mm."""
    return recorded(record.spine.linings, 0.0, "none recorded: the spine is taken as bare")


def reading(record: Record) -> Answer:
    """Return the ± of one reading in mm; 0.5 unless the record gives another."""
    return recorded(record.measuring.error, READING_MM, "usual for a rule")


def caliper(record: Record) -> Answer:
    """Return the ± in mm of what calipers read: boards, cover, thread; 0.1 unless given (practice)."""
    return recorded(record.measuring.caliper_error, CALIPER_MM, "usual for calipers (practice)")


def fallen_in(record: Record) -> bool:
    """Tell whether the spine hangs forward out of its round, by its depth or as it was seen."""
    depth = record.spine.round_depth
    return record.spine.profile == "concave" or (depth is not None and depth < 0)


def measure(record: Record) -> Spine:
    """Work out the spine of a record: chord, round, girth, and how far each may be out.

    The girth is read with a paper strip, else reckoned along a circle through both tips and the
    crown. A RecordError says when a fallen-in spine has no girth strip.
    """
    block, spine = record.text_block, record.spine
    if block.height is None or block.thickness is None:
        lacking = [key for key in ("height", "thickness") if getattr(block, key) is None]
        raise RecordError(
            "text_block.height and text_block.thickness are needed for the spine",
            [needed(f"text_block.{key}") for key in lacking],
        )
    read = _Read(
        height_mm=block.height,
        chord_mm=chord_mm(record),
        depth_mm=FLAT_MM if spine.profile == "flat" else spine.round_depth,
        linings_mm=linings(record).value,
        error_mm=reading(record).value,
    )
    strips = [girth for girth in (spine.girth_head, spine.girth_tail) if girth is not None]
    if strips:
        return _by_strip(record, read, strips)
    if read.depth_mm is None:
        return _unknown(read)
    if read.depth_mm < 0:
        raise RecordError(
            "spine.girth_head: a fallen-in spine cannot be worked out from its depth; "
            "lay a paper strip over it, tip to tip, and give girth_head and girth_tail",
            [needed("spine.girth_head"), needed("spine.girth_tail")],
        )
    return _by_circle(read, read.depth_mm)


def rebuilt(old: Spine, chord: float) -> Spine:
    """Return the spine of a block built anew: flat, bare, so thick as its folds and guards add up to."""
    return replace(
        old,
        chord_mm=chord,
        depth_mm=FLAT_MM,
        girth_head_mm=chord,
        girth_tail_mm=chord,
        turn_deg=0.0,
        by_strip=False,
        strip_over_mm=0.0,
        strip_mm=0.0,
        linings_mm=0.0,
        shape_words="worked out from the guarded leaves",
        warnings=(),
    )


def chord_mm(record: Record) -> float:
    """Chord of the spine: over the shoulders when measured so, else thickness + both shoulders."""
    if record.spine.over_shoulders is not None:
        return record.spine.over_shoulders
    thickness = certain(record.text_block.thickness, "text_block.thickness")
    return thickness + shoulder(record, "front").value + shoulder(record, "back").value


class _Read(NamedTuple):
    """What is read off the spine without a girth strip, in mm; the round may be unknown."""

    height_mm: float
    chord_mm: float
    depth_mm: float | None
    linings_mm: float
    error_mm: float


def _unknown(read: _Read) -> Spine:
    """Take a spine of which neither girth nor round is known as flat, and say so."""
    return _reckoned(
        read, FLAT_MM, "taken as flat", ("spine.round_depth and girth not given: taken as flat",)
    )


def _by_circle(read: _Read, depth: float) -> Spine:
    if depth == 0:
        return _reckoned(read, depth, "flat: girth is the chord")
    spread = geometry.girth_spread(read.chord_mm, depth).values()
    least, most = tenth(min(spread)), tenth(max(spread))
    return _reckoned(
        read,
        depth,
        f"circle assumed; other curves give {least} to {most}",
        (
            f"no girth strip: a circular spine is assumed, and other curves of the same chord and "
            f"depth give {least} to {most} mm; read a paper strip, tip to tip",
        ),
    )


def _reckoned(read: _Read, depth: float, words: str, warnings: tuple[str, ...] = ()) -> Spine:
    arc = geometry.circle_arc(read.chord_mm, depth)
    return Spine(
        height_mm=read.height_mm,
        chord_mm=read.chord_mm,
        depth_mm=read.depth_mm,
        girth_head_mm=arc.length_mm,
        girth_tail_mm=arc.length_mm,
        turn_deg=arc.turn_deg,
        by_strip=False,
        strip_over_mm=0.0,
        strip_mm=0.0,
        linings_mm=read.linings_mm,
        error_mm=2 * geometry.girth_error_mm(read.chord_mm, depth, read.error_mm),
        shape_words=words,
        warnings=warnings,
    )


def _by_strip(record: Record, read: _Read, strips: list[float]) -> Spine:
    head, tail = strips[0], strips[-1]
    chord, depth = read.chord_mm, read.depth_mm
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
        strip, straight = told_apart(mean, chord)
        warnings.append(
            f"girth by strip {strip} mm is less than the chord {straight} mm: "
            "the spine is taken as flat; measure both again"
        )
    else:
        turn = geometry.turn_from_girth(mean, chord)
    return Spine(
        height_mm=read.height_mm,
        chord_mm=chord,
        depth_mm=depth,
        girth_head_mm=head,
        girth_tail_mm=tail,
        turn_deg=turn,
        by_strip=True,
        strip_over_mm=recorded(
            record.spine.strip_over, 0.0, "the strip lay on the bare spine"
        ).value,
        strip_mm=STRIP_MM,
        linings_mm=read.linings_mm,
        error_mm=read.error_mm,
        shape_words="by paper strip",
        warnings=tuple(warnings),
    )
