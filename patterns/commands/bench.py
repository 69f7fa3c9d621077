"""`mendfold bench`: the page in the browser, for whoever does not use a terminal."""

from __future__ import annotations

from pathlib import Path

import click

FOLDER = "mendfold-books"


@click.command()
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), required=False)
@click.option(
    "--port",
    type=click.IntRange(1, 65535),
    help="Listen on this port of this machine, not on a free one.",
)
@click.option("--no-open", is_flag=True, help="Print the address alone; open no browser.")
def bench(folder: Path | None, port: int | None, no_open: bool) -> None:
    """Open the bench in the browser: measure, see the sheets, print, keep and find patterns.

    The records and the gallery lie in FOLDER, by default mendfold-books in your home folder; nothing
    outside it is changed. Only this machine can open the page. Ctrl-C ends it, or “close the bench” on the page.
    """
    from patterns.bench import server

    server.run(
        folder or Path.home() / FOLDER,
        0 if port is None else port,
        click.echo,
        None if no_open else server.in_browser,
    )
