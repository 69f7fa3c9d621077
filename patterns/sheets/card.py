"""What is said beside a piece or a diagram: sizes, material, grain, notes, both faces, the form."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.model.capitals import BODY
from patterns.model.lettering import width_mm
from patterns.model.part import Diagram
from patterns.model.piece import WARPS, Grain, Piece
from patterns.sheets import ruler
from patterns.sheets.flow import close, stack
from patterns.sheets.furniture import boxed
from patterns.sheets.whereabouts import LIKEWISE
from patterns.sheets.zones import adhesives, beneath, letters, small_views, zones_alike
from patterns.sketch.marks import Block, moved

GRAINS: dict[Grain, str] = {
    "head-tail": "grain head–tail",
    "spine-fore edge": "grain spine–fore edge",
    "warp head-tail": "WARP head–tail",
    "warp spine-fore edge": "WARP spine–fore edge",
    "any": "grain: any way",
}
RUNS: dict[Grain, str] = {
    "head-tail": "head–tail",
    "spine-fore edge": "spine–fore edge",
    "warp head-tail": "WARP head–tail",
    "warp spine-fore edge": "WARP spine–fore edge",
    "any": "any way",
}
"""The same where a heading says already that grain or warp is meant."""
UNSCALED = ("not to scale", "a table")
"""What a diagram says instead of a scale."""
FACES = 42.0
"""Width of the two small views."""
NBSP = "\u00a0"
WHITE = Block(0.0, 1.5)
"""White before what is said of another drawing."""


def material(piece: Piece) -> str:
    """Return material and thickness as the sheets name them."""
    thick = f"{piece.thickness_mm:.2f}{NBSP}mm" if piece.thickness_mm else ""
    if not thick or thick.replace(NBSP, " ") in piece.material:
        return piece.material
    return f"{piece.material}, {thick}"


def size(piece: Piece) -> str:
    """Return the cut size in mm, the limits of the width with it."""
    limits = f" ± {piece.tolerance_mm:.1f}" if piece.tolerance_mm else ""
    return f"{piece.width_mm:.1f}{limits} × {piece.height_mm:.1f} mm".replace(" ", NBSP)


def first_size(piece: Piece) -> str:
    """Return the size that is cut first, along the outer line; "" where that is the finished one."""
    if not piece.rough:
        return ""
    wide, high = piece.first_cut_mm
    return f"first {wide:.1f} × {high:.1f} mm".replace(" ", NBSP)


def count(piece: Piece) -> str:
    """Return how many are wanted, and whether they are cut from stock or out of this sheet."""
    if piece.stock:
        return f"cut {piece.quantity}"
    return (
        f"cut {piece.quantity} out of this paper" if piece.quantity > 1 else "cut out of this paper"
    )


def title(subject: Piece | Diagram) -> str:
    """Return the title of a piece or a diagram, with a capital."""
    named = subject.title or subject.name
    return named[:1].upper() + named[1:]


def about(piece: Piece, width: float, like: Piece | None = None) -> Block:
    """Return the facts that belong to a piece, wrapped to a width.

    What was said in the same words of the piece that it is `like` is not said again, except how many
    are cut, and their size.
    """
    cut, *others = facts(piece)
    known = facts(like) if like else ()
    told = [cut, *(text for text in others if text not in known)]
    if like and len(told) <= len(others):
        told.append(f"all else as said of {title(like)} ({LIKEWISE})")
    named = close(title(piece), 3.0, width, bold=True)
    heeded = [boxed(piece.heed, width)] if piece.heed else []
    return stack((named, *heeded, *(close(text, BODY, width) for text in told)), gap=1.0)


def facts(piece: Piece) -> tuple[str, ...]:
    """Return the facts that belong to a piece, its notes last."""
    reason = piece.grain_reason or GRAINS[piece.grain]
    if piece.grain_reason and piece.grain in WARPS:
        reason = f"{GRAINS[piece.grain]}: {reason}"
    told = (
        f"{count(piece)}: {first_size(piece) or size(piece)}",
        f"dry-fit, then trim to the thin line, {size(piece)}" if piece.rough else "",
        material(piece) if piece.stock else "",
        reason if piece.stock or piece.grain != "any" else "",
        _lies_on(piece.lies_on_mm),
        piece.face_up,
        *piece.notes,
    )
    return tuple(text for text in told if text)


def _lies_on(under: float | None) -> str:
    """Say what a piece of the spine lies on; nothing of any other."""
    if under is None:
        return ""
    return f"lies on {under:.2f}{NBSP}mm" if under >= 0.005 else "lies on the bare spine"


def both_faces(piece: Piece, views: bool = True, like: Piece | None = None) -> Block | None:
    """Return the two small views of a piece that is pasted on its under face, None for others.

    Without `views`, only what is said beneath them: the adhesive of each zone. What was said in the
    same words of the piece that it is `like` is not said again, nor shown where their zones are alike.
    """
    if not any(letters(piece)) or (like and zones_alike(piece, like)):
        return None
    if views:
        return small_views(piece, FACES, beneath(like) if like else ())
    return stack([close(text, BODY, FACES) for text in adhesives(piece)], gap=1.0)


def asides(
    piece: Piece,
    key: Sequence[tuple[str, str]],
    faces: Block | None,
    width: float,
    serves: Sequence[Piece] = (),
    small: str = "",
    like: Piece | None = None,
) -> tuple[Block, ...]:
    """Return the blocks beside a piece, at most `width` mm wide, in reading order.

    `serves` are other pieces that its drawing stands for; `small` is the scale of one that is drawn
    small, to be measured off; `like` a piece of which the same was said before.
    """
    blocks = [about(piece, width, like)]
    if small:
        blocks.append(close(f"{ruler.how(piece)} Drawn {small}.", BODY, width, bold=True))
    if serves:
        told = [
            f"{'Turned over side to side, it' if one.mirrors else 'The same outline'} serves for "
            f"{title(one)}, {count(one)}: {size(one)}"
            for one in serves
        ]
        blocks.append(stack([close(text, BODY, width) for text in told], gap=1.0))
    if faces is not None:
        blocks.append(faces)
    if like and zones_alike(piece, like):
        key = [(sign, text) for sign, text in key if sign not in letters(piece)]
    if key:
        blocks.append(key_block(key, f"Key to {piece.title or piece.name}", width))
    return tuple(blocks)


def key_block(key: Sequence[tuple[str, str]], named: str, width: float) -> Block:
    """Return the key of the tags; those that stand for the same share its words."""
    tags: dict[str, list[str]] = {}
    for number, text in key:
        tags.setdefault(text, []).append(number)
    told = {", ".join(numbers): text for text, numbers in tags.items()}
    room = max([6.0, *(width_mm(each, BODY, bold=True) + 1.5 for each in told)])
    rows = []
    for each, text in told.items():
        words = close(text, BODY, width - room)
        head = close([each], BODY, room, bold=True)
        marks = (*head.marks, *moved(words.marks, room, 0.0))
        rows.append(Block(width, words.height, marks))
    return stack((close(named, BODY, width, bold=True), *rows), gap=0.3)


def about_diagram(diagram: Diagram, width: float, looks: Sequence[Diagram] = ()) -> Block:
    """Return title, scale and notes of a diagram; nothing for words, which bring their heading.

    Of each that looks the same its title, and what is not said of the first.
    """
    if diagram.page == "words":
        return Block(0.0, 0.0, ())
    scale = diagram.scale if diagram.scale in UNSCALED else f"scale {diagram.scale}"
    blocks = [close(title(diagram), 3.0, width, bold=True), close(scale, BODY, width)]
    blocks += [close(note, BODY, width) for note in diagram.notes]
    for one in looks:
        blocks += [WHITE, close(f"{title(one)}: drawn alike", BODY, width, bold=True)]
        others = [note for note in one.notes if note not in diagram.notes]
        blocks += [close(note, BODY, width) for note in others]
    return stack(blocks, gap=1.0)
