"""Compiling inner loops."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
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

    announce: Callable[[], None] | None = None

    def on_start(self, event: Any) -> None:
        """Compiling begins."""
        if self.announce is not None:
            announce, self.announce = self.announce, None
            announce()

    def on_end(self, event: Any) -> None:
        """Compiling ends."""


@cache
def _listener() -> _Once:
    """The one listener of this process."""
    listener = _Once()
    event.register("numba:compile", listener)  # type: ignore[no-untyped-call]
    return listener


def on_first_compiling(announce: Callable[[], None]) -> None:
    """Have ``announce`` called once, when a loop is next compiled in this process, in place of what
    was asked for before; never where all of them are kept from an earlier run."""
    _listener().announce = announce
