"""Compiling inner loops."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba import njit
from numba.core import event


def compiled(**options: Any) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Compiled by numba, and kept for the next run wherever there is a place to keep it."""

    def wrap(function: Callable[..., Any]) -> Callable[..., Any]:
        loop: Callable[..., Any]
        try:
            loop = njit(cache=True, **options)(function)
        except RuntimeError:  # neither this folder nor the user's cache can be written
            loop = njit(**options)(function)
        return loop

    return wrap


class _Once(event.Listener):
    """Calls a function the first time that anything is compiled, not read from the cache."""

    def __init__(self, announce: Callable[[], None]) -> None:
        self.announce: Callable[[], None] | None = announce

    def on_start(self, event: Any) -> None:
        """Compiling begins."""
        if self.announce is not None:
            announce, self.announce = self.announce, None
            announce()

    def on_end(self, event: Any) -> None:
        """Compiling ends."""


def on_first_compiling(announce: Callable[[], None]) -> None:
    """Have ``announce`` called once, when a loop is first compiled in this process; never where all
    of them are kept from an earlier run."""
    event.register("numba:compile", _Once(announce))  # type: ignore[no-untyped-call]
