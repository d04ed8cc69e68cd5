"""The command line: ``bedwright plan``, ``check``, ``page``, ``season``, ``when``, ``light``,
``ground``, ``planting``, ``kinds``, ``note``, ``journal`` and what keeps them.

Exit codes: 0 done; 2 the brief is at fault; 130 stopped by Ctrl-C, 143 by the system, 129 by the
terminal that closes; 1 anything else.

A command imports what it needs when it runs, which can take a second.  A run stopped meanwhile ends
on the spot, and from then on in order (``console.faults``).
"""

from __future__ import annotations

import gc
import os
from typing import TYPE_CHECKING, Any

from bedwright.cli import stopping

if TYPE_CHECKING:
    from bedwright.cli.commands import app as app


def __getattr__(name: str) -> Any:
    if name == "app":
        from bedwright.cli.commands import app

        return app
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


RARELY = 100_000
"""New objects after which those no longer wanted are looked for: most of what a command makes lasts
to its end, and to look for the others at Python's usual 700 takes a tenth of a short command."""


def main() -> None:
    """Entry point."""
    stopping.end_at_once()
    gc.set_threshold(RARELY)
    # No plugin of pydantic's is wanted: to find one it reads what every installed package offers.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    with stopping.in_order():
        from bedwright.cli.commands import app
        from bedwright.cli.console import use_stand_ins

        use_stand_ins()
        app()
