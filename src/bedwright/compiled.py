"""Compiling inner loops."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba import njit


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
