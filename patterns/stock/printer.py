"""What a printer really does to a length, and the factors that answer it.

Printers stretch the two directions of a sheet independently. A calibration page is printed and
its bars are read with a steel rule; the factor of a direction is what the bar should be, divided
by what it is. Factors touch the geometry of sheets only, never line widths, words or records.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from patterns.errors import FileError, PrinterError, WriteError, nearest
from patterns.files import make_folder, write_file
from patterns.locks import alone
from patterns.reading import read_text, tables

LEAST, MOST = 0.95, 1.05
"""Factors outside these are a misread rule, not a printer (the worst are off by some 2 %)."""

SKEW_MM = 0.3
"""Leaning over the length of the down bar that is worth a warning: the bars' own tolerance."""

DIAGONAL_SLACK_MM = 1.5
"""Two sides and two diagonals, each read to half a millimetre, may disagree by this much."""

ACHIEVABLE = "± 0.9 mm at 300 mm, the reading of the book included"
"""What a corrected sheet can reach (coverage factor 2)."""

AGAIN = "mend it, or move it away and set the printers again"
PATIENCE_S = 10.0
"""Storing takes some thousandths of a second; who has not ended by then does not store."""
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
_NUMBER = re.compile(r"\d{1,4}(?:[.,]\d{1,2})?")


@dataclass(frozen=True, slots=True)
class Correction:
    """Factors by which a sheet's geometry is multiplied before printing.

    `across` belongs to the paper's short side and `down` to its long side, as on the calibration
    page, which stands upright.
    """

    across: float = 1.0
    down: float = 1.0
    name: str = "none"

    def for_page(self, width_mm: float, height_mm: float) -> Correction:
        """Return the factors for a page as it lies: a page lying down has its sides exchanged.

        >>> Correction(1.01, 0.99, "desk").for_page(297, 210)
        Correction(across=0.99, down=1.01, name='desk')
        """
        if width_mm <= height_mm:
            return self
        return Correction(across=self.down, down=self.across, name=self.name)

    @property
    def words(self) -> str:
        """What the title block says.

        >>> Correction().words
        'none'
        >>> Correction(1.0050251, 0.997009, "desk").words
        'desk, across × 1.0050, down × 0.9970'
        """
        if self == UNCORRECTED:
            return "none"
        return f"{self.name}, across × {self.across:.4f}, down × {self.down:.4f}"


UNCORRECTED = Correction()


@dataclass(frozen=True, slots=True)
class Reading:
    """A bar as it was read with the rule, and as it says it is, in mm."""

    measured_mm: float
    nominal_mm: float

    @property
    def factor(self) -> float:
        """Factor that makes the bar true, to eight places: as a pattern keeps it.

        >>> round(Reading(199.0, 200).factor, 7), round(Reading(200.6, 200).factor, 7)
        (1.0050251, 0.997009)
        """
        return round(self.nominal_mm / self.measured_mm, 8)

    def __str__(self) -> str:
        return f"{self.measured_mm:g}/{self.nominal_mm:g}"


@dataclass(frozen=True, slots=True)
class Profile:
    """One printer's readings under the name they are stored by."""

    name: str
    across: Reading
    down: Reading
    diagonals_mm: tuple[float, float] | None = None

    @property
    def correction(self) -> Correction:
        """The factors that follow from the readings."""
        return Correction(self.across.factor, self.down.factor, self.name)

    @property
    def skew_mm(self) -> float:
        """How far the down bar leans over its own length; 0 when no diagonals were read.

        For a parallelogram with sides a, b and diagonals p, q: p² − q² = 4·a·b·sin(lean).
        """
        if self.diagonals_mm is None:
            return 0.0
        first, second = self.diagonals_mm
        return (first**2 - second**2) / (4 * self.across.measured_mm)

    @property
    def warnings(self) -> tuple[str, ...]:
        """What must be said of this printer although it can be used."""
        if abs(self.skew_mm) <= SKEW_MM:
            return ()
        return (
            f"printer {self.name} prints askew: {abs(self.skew_mm):.1f} mm over "
            f"{self.down.nominal_mm:g} mm; factors cannot mend that: check how the paper is fed, "
            "print the page again and measure both diagonals",
        )


def read_bar(text: str, which: str) -> Reading:
    """Read "measured/nominal" in mm, as in "199.0/200"; `which` names the bar in refusals.

    Raises PrinterError for anything but two lengths, for a nominal length that no bar has, and
    for a factor outside 0.95–1.05.
    """
    parts = [part.strip() for part in text.split("/")]
    if len(parts) != 2 or not all(_NUMBER.fullmatch(part) for part in parts):
        raise PrinterError(
            f"{which}: {text!r} is not a reading: give what the rule shows, a slash and what the "
            "bar says, in mm, as in 199.0/200"
        )
    measured, nominal = (float(part.replace(",", ".")) for part in parts)
    if nominal % 10 or not 50 <= nominal <= 1500:
        raise PrinterError(
            f"{which}: no bar is {nominal:g} mm long: bars are whole tens from 50 to 1500 mm; give "
            f"what the rule shows first, then what the bar says, as in 199.0/200 (not {text!r})"
        )
    if not measured or not LEAST <= nominal / measured <= MOST:
        raise PrinterError(
            f"{which}: {measured:g} mm read on a bar of {nominal:g} mm is a misread: a printer is "
            f"at most 5 % out ({nominal / MOST:.1f} to {nominal / LEAST:.1f} mm); measure again"
        )
    return Reading(measured, nominal)


def profile(
    name: str, across: str, down: str, diagonals_mm: tuple[float, float] | None = None
) -> Profile:
    """Return the profile of a printer from its readings.

    The diagonals are those of the rectangle whose sides are the two bars: from upper left to lower
    right first. Raises PrinterError for a bad name, a misread bar, or diagonals that no
    parallelogram with these sides has (p² + q² = 2a² + 2b²).
    """
    if not _NAME.fullmatch(name) or name == "none":
        raise PrinterError(
            f"printer name {name!r}: use 1 to 64 letters, digits, - and _, beginning with a letter "
            'or digit, and not "none"'
        )
    made = Profile(
        name, read_bar(across, "bar across"), read_bar(down, "bar down"), diagonals_mm or None
    )
    if made.diagonals_mm is not None:
        wanted = math.hypot(made.across.measured_mm, made.down.measured_mm)
        found = math.hypot(*made.diagonals_mm) / math.sqrt(2)
        one, other = made.diagonals_mm
        if min(one, other) <= 0 or not abs(found - wanted) <= DIAGONAL_SLACK_MM:
            raise PrinterError(
                f"diagonals {one:g} and {other:g} mm do not belong to bars of "
                f"{made.across.measured_mm:g} and {made.down.measured_mm:g} mm: about "
                f"{wanted:.1f} mm each is expected; measure both from corner to corner again"
            )
    return made


def profiles(folder: Path) -> dict[str, Profile]:
    """Read the stored printers by name, in the order of the file; none when there is no file.

    Raises PrinterError for a file that cannot be read or holds anything but readings.
    """
    path = folder / "printers.toml"
    try:
        stored = tables(read_text(path))
    except FileError as problem:
        if problem.why == "missing":
            return {}
        raise PrinterError.kind("printer file", f"{path} {problem.words}; {AGAIN}") from problem
    except ValueError as problem:
        raise PrinterError.kind(
            "printer file", f"{path}: not valid TOML ({problem}); {AGAIN}"
        ) from problem
    return {name: _stored(path, name, entry) for name, entry in stored.items()}


def _stored(path: Path, name: str, entry: object) -> Profile:
    """Check one table of the file."""

    def broken(words: str) -> PrinterError:
        line = f"{path}: [{name}] {words}; mend or remove [{name}] there, then set it again"
        return PrinterError.kind("printer file", line, name)

    match entry:
        case {"across": str(across), "down": str(down), **rest} if not set(rest) - {"diagonals"}:
            pass
        case _:
            raise broken(
                'needs across and down as texts like "199.0/200", and nothing else but diagonals'
            )
    match rest.get("diagonals", []):
        case []:
            diagonals = None
        case [int() | float() as one, int() | float() as other]:
            diagonals = (_length(one), _length(other))
        case _:
            raise broken("diagonals are two lengths in mm")
    try:
        return profile(name, across, down, diagonals)
    except PrinterError as problem:
        raise broken(str(problem)) from problem


def _length(given: float) -> float:
    return float(given) if abs(given) < 1e6 else math.inf  # whole numbers may be of any length


def store(folder: Path, made: Profile) -> Path:
    """Write the profile among the others, the file whole or not at all; return its path.

    Several writers wait for each other, so that none loses what another stores. Raises PrinterError
    when the file there cannot be read, WriteError when it cannot be written.
    """
    path = folder / "printers.toml"
    profiles(folder)  # what cannot be read is refused before anything is made
    with _alone(folder):
        write_file(path, _toml(profiles(folder) | {made.name: made}).encode())
    return path


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Let one process at a time read and write the printers of a folder; raises WriteError."""
    lock = folder / ".printers.lock"
    failed = "nothing was stored. Check your rights to that folder, or set MENDFOLD_CONFIG to one on a disk of your own"
    busy = (
        f"{lock}: somebody else has been storing a printer for {PATIENCE_S:g} s; wait for it to "
        "end, then store yours again"
    )
    try:
        make_folder(folder)
    except OSError as error:
        reason = error.strerror or error
        raise WriteError(f"{lock}: could not be locked ({reason}); {failed}") from error
    with alone(lock, PATIENCE_S, busy, failed):
        yield


def _toml(known: Mapping[str, Profile]) -> str:
    """Return the file's text."""
    lines = ["# Printers as measured: what the rule shows / what the bar says, in mm."]
    for name, one in known.items():
        lines += ["", f"[{name}]", f'across = "{one.across}"', f'down = "{one.down}"']
        if one.diagonals_mm is not None:
            lines.append("diagonals = [{:g}, {:g}]".format(*one.diagonals_mm))
    return "\n".join(lines) + "\n"


def correction(folder: Path, name: str) -> Correction:
    """Return a stored printer's factors; the name "none" stands for no correction.

    Raises PrinterError for an unknown name, with the nearest known ones.
    """
    if name == "none":
        return UNCORRECTED
    known = profiles(folder)
    if name in known:
        return known[name].correction
    near = nearest(name, known) or list(known)
    known_words = f"known are {', '.join(near)}" if near else "none is"
    line = f"printer {name!r} is not stored: {known_words}; measure it"
    raise PrinterError.kind("no printer", line, name)
