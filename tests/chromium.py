"""The browser of the tests: a Chromium that is there, or a failure that says how to get one."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--no-sandbox",  # as root, where the sandbox cannot be made
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
MISSING = (
    "No Chromium is found: run script/setup dev, or install Debian's package chromium (apt-get"
    " install chromium), or Playwright's own (.venv/bin/playwright install chromium), or name one"
    " in CHROMIUM."
)


class NoBrowserError(RuntimeError):
    """There is no Chromium on this machine."""


def chromium(own: str) -> str:
    """The program to start: CHROMIUM of the environment, else one on the PATH, else ``own``,
    Playwright's.  Raises NoBrowserError."""
    named = os.environ.get("CHROMIUM")
    if named and shutil.which(named):
        return named
    if not named:
        for name in NAMES:
            found = shutil.which(name)
            if found:
                return found
        if Path(own).exists():
            return own
    raise NoBrowserError(MISSING if not named else f"CHROMIUM={named} is no program. {MISSING}")
