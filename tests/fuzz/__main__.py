"""``script/fuzz [--minutes 1] [--start SEED] [--count SEEDS] [--only CASE]``."""

from __future__ import annotations

import argparse
import sys

from fuzz.cases import CASES
from fuzz.runner import run


def main() -> None:
    """Read the options and run."""
    options = argparse.ArgumentParser(prog="script/fuzz", description=run.__doc__)
    options.add_argument("--minutes", type=float, default=1.0)
    options.add_argument("--start", type=int, default=0, metavar="SEED", help="first seed")
    options.add_argument("--count", type=int, metavar="SEEDS", help="so many seeds, and no more")
    options.add_argument("--only", action="append", choices=sorted(CASES), metavar="CASE",
                         help=", ".join(CASES))  # fmt: skip
    options.add_argument("--workers", type=int, default=2, help="processes")
    given = options.parse_args()
    sys.exit(
        bool(run(given.minutes, given.start, given.only or list(CASES), given.count, given.workers))
    )


if __name__ == "__main__":
    main()
