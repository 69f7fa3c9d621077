"""`mendfold cutting-plan`: the pieces of patterns onto the studio's stock."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from patterns.commands.gallery_options import gallery_option, out_option
from patterns.errors import SettingError

if TYPE_CHECKING:
    from patterns.model.kept import KeptPattern


@click.command("cutting-plan")
@click.argument("patterns", nargs=-1, metavar="PATTERN...")
@click.option(
    "--stock",
    "stock_file",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The stock.toml that says what there is.",
)
@click.option("--stock-blank", is_flag=True, help="Write an example stock.toml to fill in.")
@click.option(
    "--cuts",
    type=click.Choice(["through", "free"]),
    default="through",
    show_default=True,
    help="Through, for board shears and long knives; or each piece by itself.",
)
@click.option("--gap", default=2.0, show_default=True, help="Between pieces, mm.")
@click.option("--margin", default=5.0, show_default=True, help="Kept off the edges of stock, mm.")
@click.option("--tries", default=300, show_default=True, help="How many layouts are tried.")
@click.option("--seed", default=1, show_default=True, help="Another number, another plan.")
@click.option("--paper", default="A4", show_default=True, help="Paper of the plan.")
@click.option("--keep-offcuts", is_flag=True, help="Write what is left into the stock.toml.")
@click.option("--force", is_flag=True, help="Set an earlier, different plan aside.")
@out_option
@gallery_option
def cutting_plan(
    patterns: tuple[str, ...],
    stock_file: Path | None,
    stock_blank: bool,
    cuts: str,
    gap: float,
    margin: float,
    tries: int,
    seed: int,
    paper: str,
    keep_offcuts: bool,
    force: bool,
    out: Path,
    place: Path,
) -> None:
    """Lay the pieces of PATTERNs on what the studio has: grain kept, little wasted.

    A PATTERN is a folder that `mendfold draft` wrote, or the name of one in the gallery.
    """
    from datetime import date

    from patterns.cutting import stock, writing
    from patterns.cutting.plan import Wish
    from patterns.files import write_folder, write_new_file
    from patterns.stock import materials
    from patterns.stock import paper as papers

    if stock_blank:
        target = out / "stock.toml"
        write_new_file(target, stock.BLANK.encode(), remedy="It may be filled in: look at it")
        click.echo(f"{target}: fill it in, then: mendfold cutting-plan PATTERN --stock {target}")
        return
    if not patterns or stock_file is None:
        raise SettingError(
            "cutting-plan: name one or more patterns and --stock; --stock-blank writes an example"
        )
    wish = Wish("through" if cuts == "through" else "free", gap, margin, tries, seed)
    rows = stock.load(stock_file)
    kept = [_pattern(name, place) for name in patterns]
    made, files = writing.make(kept, rows, wish, materials.load(), papers.parse(paper))
    state = write_folder(out / writing.FOLDER, files, force)
    for one in made.shopping:
        click.echo(f"to buy: {one.material}, {one.size}: {one.count} ({one.why})", err=True)
    count = sum(len(sheet.pieces) for sheet in made.sheets)
    click.echo(
        f"{out / writing.FOLDER}: {state}, {count} pieces on {len(made.sheets)} of stock, "
        f"{100 * made.waste_share:.1f} % waste"
    )
    if keep_offcuts:
        job = f"{', '.join(name for name, _ in kept)[:60]}, {date.today():%Y-%m-%d}"
        beside = writing.keep_offcuts(stock_file, rows, made, job)
        click.echo(f"{stock_file}: written anew with the offcuts; the old one is {beside}")


def _pattern(name: str, place: Path) -> tuple[str, KeptPattern]:
    """Return a pattern by its folder, or by its name in the gallery."""
    from patterns.commands.gallery_options import read_folder
    from patterns.gallery import store
    from patterns.gallery.summary import kept_of

    folder = Path(name)
    if folder.is_dir():
        return folder.resolve().name, kept_of(read_folder(folder), str(folder))
    found = store.find(place, name)
    return found, kept_of(store.newest(place / found).files(), found)
