"""The command line: ``bedwright plan``, ``check``, ``season``, ``light``, ``ground``,
``planting``, ``kinds``.

Exit codes: 0 done; 2 the brief is at fault; 1 anything else.
"""

from __future__ import annotations

from typing import Annotated

import typer

import bedwright
from bedwright.cli.console import out
from bedwright.cli.ground import ground
from bedwright.cli.kinds import kinds
from bedwright.cli.light import light
from bedwright.cli.plan import check, plan
from bedwright.cli.planting import planting
from bedwright.cli.season import season

app = typer.Typer(
    name="bedwright",
    help="Reckons a bed of annual flowers: what to plant where and when, and how much of it all.",
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)
for command in (check, plan, light, ground, planting, kinds):
    app.command()(command)
# Southern latitudes begin with a minus, which is no option's.
app.command(context_settings={"ignore_unknown_options": True})(season)


def _version(asked: bool) -> None:
    if asked:
        out.print(f"bedwright {bedwright.__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    pass


def main() -> None:
    """Entry point."""
    app()
