"""``bedwright page``: the sheets themselves, in a browser on this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bedwright.cli import stopping
from bedwright.cli.console import escape, faults, out


def page(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Where your beds are kept; made if need be.")
    ] = Path("beds"),
    port: Annotated[
        int | None,
        typer.Option(
            min=0, max=65535, help="Port to listen on: 8137, or another where that is taken."
        ),
    ] = None,
    open_browser: Annotated[
        bool, typer.Option("--open/--no-open", help="Open the page in the browser.")
    ] = True,
) -> None:
    """Draw beds, plan them and change the plans in a browser, on this machine alone."""
    from bedwright.web.guard import Keys
    from bedwright.web.serve import address, bound, held, serve, usual

    with faults(folder), held(folder):
        keys, listening = Keys(), bound(port) if port is not None else usual()
        where = address(listening.getsockname()[1], keys.key)
        out.print(f"The page: {escape(where)}\nBeds are kept in {escape(str(folder.resolve()))}.")
        out.print("Ctrl-C ends it.")
        stopping.run.serves = True
        with listening:
            serve(folder, listening, keys, open_browser)
