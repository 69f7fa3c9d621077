"""Where an album lies outside what guards suit, and what would suit: every advice tried first.

An advice is given only where dealing the strips again by it makes what is complained of less.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.book.book import Book
from patterns.formulas.balance import Nest
from patterns.structures.shared.album import MANY_STRIPS, Album, most_strips, room
from patterns.structures.shared.album_view import ListedSection, runs
from patterns.units import tenth, told_apart, trimmed

LESS_MM = 0.05
"""An advice that wins no more than this is none."""


def warnings(book: Book, album: Album, listed: Sequence[ListedSection]) -> list[str]:
    """Say where the album lies outside what guards suit, and what would suit."""
    lines = []
    if not album.folios and book.album.old_stub_mm is None:
        lines.append(
            f"there is no old stub, so the leaves stand {tenth(album.stub_mm + album.hinge_mm)} mm further "
            "out than they did: try one guarded leaf between the boards first"
        )
    lines += _fit(book, album, listed)
    lines += _strips(album)
    if book.spine.tapered:
        lines.append(
            f"the old spine differs by {tenth(abs(book.spine.girth_tail_mm - book.spine.girth_head_mm))} mm from head to "
            "tail; strips of even thickness make the new one level"
        )
    if book.condition.paper == "brittle":
        lines.append(
            "brittle leaves break beside a lap; a box, or each leaf in a sleeve of its own, may suit better"
        )
    return lines


def _fit(book: Book, album: Album, listed: Sequence[ListedSection]) -> list[str]:
    lines = []
    reach, left, which = room(book, album, listed)
    if left is None:
        lines.append(
            "board_width and square_fore_edge are not recorded, so the fit between the old boards is "
            "not checked; try one guarded leaf between them first"
        )
    elif reach > left + 1e-9:
        out, room_for = told_apart(reach, left)
        lines.append(
            f"guarded leaves reach {out} mm and the {which} board leaves room for {room_for}: "
            f"{tenth(reach - left)} mm too wide. Make the stub that much narrower, or make new boards, or box the "
            "album as it is"
        )
    return lines


def _strips(album: Album) -> Iterator[str]:
    """Yield what is wrong with the strips dealt, and what would better it."""
    late = [nest.number for nest in album.nests if not nest.balanced and not nest.bare]
    if late:
        yield (
            f"section{'s' * (len(late) > 1)} {runs(late)} will be thicker at the spine than the leaves are "
            f"and take{'s' * (len(late) == 1)} no strips; {_thinner(album)}"
        )
    most = most_strips(album.nests)
    if most > MANY_STRIPS:
        thick = round(album.strip_mm * most / 4, 2)
        fewer = most_strips(album.dealt(strip_mm=thick))
        way = f"; strips of {trimmed(thick, 2)} mm would do it with {fewer}" * (fewer < most)
        yield f"{most} strips lie inside one guard{way}"
    uneven = [nest for nest in album.nests if _uneven(album, nest) and not nest.bare]
    if uneven:
        numbers = [nest.number for nest in uneven]
        yield (
            f"in section{'s' * (len(numbers) > 1)} {runs(numbers)} thick leaves face thin ones in the nest, "
            f"and leaves and spine differ by up to {_greatest(uneven):.2f} mm on the way; each section "
            f"still ends level. {_closer(album, _greatest(uneven))}"
        )
    yield from _bare(album)


def _uneven(album: Album, nest: Nest) -> bool:
    return nest.balanced and nest.greatest_mm > album.strip_mm + album.thread_mm / 2 + 1e-9


def _greatest(nests: Sequence[Nest]) -> float:
    return max((nest.greatest_mm for nest in nests if not nest.bare), default=0.0)


def _closer(album: Album, now: float) -> str:
    """Return the most guards to a section that follow the leaves more closely, if fewer do."""
    tried = [
        (n, _greatest(album.dealt(per_section=n))) for n in range(album.per_section - 1, 0, -1)
    ]
    enough = [one for one in tried if one[1] <= album.strip_mm + album.thread_mm / 2 + 1e-9]
    n, then = next(iter(enough), min(tried, key=lambda one: one[1], default=(0, now)))
    if then > now - LESS_MM:
        return "Fewer guards to a section would not follow them more closely"
    many = f"{n} {album.carrier}{'s' * (n > 1)} to a section"
    return f"With {many} (nest={n}) they differ by {then:.2f} mm at most"


def _thinner(album: Album) -> str:
    """Return what lets sections take strips again, or at least fewer of them go without."""

    def late(nests: Sequence[Nest]) -> int:
        return sum(not nest.balanced for nest in nests if not nest.bare)

    now, ways = late(album.nests), []
    if not album.folios and late(album.dealt(at_spine_mm=album.at_spine_mm / 2)) < now:
        ways.append("use thinner guards")
    if late(album.dealt(thread_mm=album.thread_mm / 2)) < now:
        ways.append(
            "use thinner thread, or sew two sections on, which halves the thread in the folds"
        )
    if ways:
        return "; or ".join(ways)
    return "neither thinner guards nor thinner thread would change that: the leaves are as thin as what holds them"


def _bare(album: Album) -> Iterator[str]:
    """Yield what the bare half of an odd leaf's guard does to its section."""
    last = album.nests[-1]
    if last.bare and (_uneven(album, last) or not last.balanced):
        yield (
            f"in section {last.number} the bare stub and the thread in its fold lie at the spine with no leaf over them: "
            f"leaves and spine differ by up to {last.greatest_mm:.2f} mm there"
            + (
                ""
                if last.balanced
                else f", and it ends {abs(last.differences_mm[-1]):.2f} mm thicker at the spine"
            )
        )
