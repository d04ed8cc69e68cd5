"""The command line: ``bedwright plan``, ``check``, ``season``, ``when``, ``light``,
``ground``, ``planting``, ``kinds``.

Exit codes: 0 done; 2 the brief is at fault; 130 stopped by Ctrl-C, 143 by the system, 129 by the
terminal that closes; 1 anything else.

A command imports what it needs when it runs, which can take a second.  A run stopped meanwhile ends
on the spot, and from then on in order (``console.faults``).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bedwright.cli import stopping

if TYPE_CHECKING:
    from bedwright.cli.commands import app as app


def __getattr__(name: str) -> Any:
    if name == "app":
        from bedwright.cli.commands import app

        return app
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def main() -> None:
    """Entry point."""
    stopping.end_at_once()
    with stopping.in_order():
        from bedwright.cli.commands import app
        from bedwright.cli.console import use_stand_ins

        use_stand_ins()
        app()
