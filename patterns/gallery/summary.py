"""What the gallery says of a pattern at a glance, taken from its own files and nothing else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from patterns.errors import GalleryError, plain
from patterns.gallery import entered
from patterns.model.documents import Misshapen
from patterns.model.kept import KeptPattern
from patterns.reading import LARGEST_BYTES
from patterns.record import reading
from patterns.record.record import Record

NUMBERS = {
    "height": "text_block.height",
    "width": "text_block.width",
    "thickness": "text_block.thickness",
    "weight": "book.weight",
    "girth": "spine.girth_head",
    "round depth": "spine.round_depth",
    "shoulder": "spine.shoulder",
    "leaves": "text_block.leaves",
    "gatherings": "text_block.gatherings",
    "leaf thickness": "text_block.leaf_thickness",
    "board thickness": "cover.board_thickness",
    "cover spine width": "cover.spine_width",
    "joint gap": "cover.joint_gap",
}
"""Measured features by name, and where the record has them; mm, kg and counts."""

WORDS = {
    "format": "book.format",
    "profile": "spine.profile",
    "supports": "sewing.supports",
    "cover": "cover.kind",
    "joint": "cover.joint",
    "paper": "condition.paper",
}
"""Described features by name, and where the record has them."""

MOST_WORDS = 20_000
"""Characters of added notes that can be searched."""


@dataclass(frozen=True, slots=True)
class Summary:
    """What is kept with a revision so that it is listed and found without reading all of it."""

    id: str = ""
    title: str = ""
    note: str = ""
    date: str = ""
    structures: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    features: Mapping[str, float | str] = field(default_factory=dict)
    notes: str = ""
    """Words of added notes, of a treatment those that were filled in."""

    @property
    def sound(self) -> bool:
        """False where a feature that is measured is given in words."""
        return not any(isinstance(self.features.get(name), str) for name in NUMBERS)


def features(record: Record) -> dict[str, float | str]:
    """Return the features books are compared by; what the record lacks is left out."""
    found: dict[str, float | str] = {}
    for name, place in NUMBERS.items():
        if (value := record.get(place)) is not None:
            found[name] = float(value)
    for name, place in WORDS.items():
        if value := record.get(place):
            found[name] = plain(value)
    return found


def kept_of(files: Mapping[str, bytes], where: str) -> KeptPattern:
    """Read pattern.json of a pattern's files; raises GalleryError."""
    if "pattern.json" not in files:
        raise GalleryError.kind("no draft", f"{where}: there is no pattern.json")
    try:
        return KeptPattern.from_json(files["pattern.json"])
    except Misshapen as fault:
        raise GalleryError(
            f"{where}: pattern.json is not a pattern that mendfold wrote ({fault}); "
            "draft the record again"
        ) from None


def record_of(files: Mapping[str, bytes], where: str) -> Record:
    """Read record.toml of a pattern's files; raises GalleryError or RecordError."""
    if "record.toml" not in files:
        raise GalleryError.kind("no draft", f"{where}: there is no record.toml")
    if len(files["record.toml"]) > LARGEST_BYTES:
        raise GalleryError(
            f"{where}: record.toml is over {LARGEST_BYTES // 10**6} MB, far more than a record holds"
        )
    try:
        text = files["record.toml"].decode()
    except UnicodeDecodeError:
        raise GalleryError(
            f"{where}: record.toml is not UTF-8 text; draft the record again"
        ) from None
    return reading.parse(text, f"{where}/record.toml")


def pattern_name(files: Mapping[str, bytes], where: str) -> str:
    """Return the name of a pattern's folder: the book's id and the structures.

    Raises GalleryError or RecordError when the files are no pattern.
    """
    structures = kept_of(files, where).structures
    book_id = record_of(files, where).book.id
    if not book_id or not structures:
        raise GalleryError(
            f"{where}: the record has no id, or the pattern no structures; draft it again"
        )
    return f"{book_id}-{'+'.join(structures)}"


def summarise(files: Mapping[str, bytes], added: tuple[str, ...], where: str) -> Summary:
    """Return the summary of one revision's files; raises GalleryError when it is no pattern."""
    kept, record = kept_of(files, where), record_of(files, where)
    notes = " ".join(
        entered.words(files) if name == entered.TREATMENT else files[name].decode(errors="replace")
        for name in added
        if name.endswith((".txt", ".md", ".toml"))
    )
    return Summary(
        id=record.book.id or "",
        title=plain(record.book.title or ""),
        note=plain(record.book.note or ""),
        date=str(record.measuring.on or ""),
        structures=tuple(map(plain, kept.structures)),
        materials=tuple(sorted({plain(piece.material) for piece in kept.pieces if piece.material})),
        features=features(record),
        notes=plain(notes)[:MOST_WORDS],
    )
