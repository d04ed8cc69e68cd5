"""Compiling inner loops, by numba, which is imported when the first of them is called."""

from __future__ import annotations

from collections.abc import Callable
from functools import update_wrapper
from threading import RLock
from typing import Any

_LOCK = RLock()

prange = range
"""What a loop counts with where its rounds may run side by side: numba's own once compiled."""


def compiled(**options: Any) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Compiled by numba at its first call, with these options of ``numba.njit``, and kept for the
    next run wherever there is a place to keep it."""
    return lambda function: _Loop(function, options)


class _Loop:
    """A function that is compiled when it is first called, or first called by one that is."""

    def __init__(self, function: Callable[..., Any], options: dict[str, Any]) -> None:
        self.py_func = function
        self._options = options
        self._compiled: Callable[..., Any] | None = None
        update_wrapper(self, function)

    def __call__(self, *args: Any) -> Any:
        """Run it; arguments by position alone, as numba caches them."""
        return (self._compiled or self._compile())(*args)

    @property
    def _numba_type_(self) -> Any:
        """How numba takes it where another loop calls it: as it takes its own loops."""
        loop: Any = self._compiled or self._compile()
        return loop._numba_type_

    def _compile(self) -> Callable[..., Any]:
        with _LOCK:
            if self._compiled is None:
                self._compiled = _njit(self.py_func, self._options)
        return self._compiled


def _njit(function: Callable[..., Any], options: dict[str, Any]) -> Callable[..., Any]:
    """Hand a function to numba, which compiles it for the arguments of each call."""
    import numba

    _listen()
    names: dict[str, Any] = getattr(function, "__globals__", {})
    if names.get("prange") is prange:
        names["prange"] = numba.prange  # numba looks for this very object
    loop: Callable[..., Any]
    try:
        loop = numba.njit(cache=True, **options)(function)
    except RuntimeError:  # neither this folder nor the user's cache can be written
        loop = numba.njit(**options)(function)
    return loop


class _Announcement:
    """What to call before the first compiling of this process."""

    call: Callable[[], None] | None = None
    listening = False


def _listen() -> None:
    """Call the announcement when numba first compiles anything, not when it reads its cache."""
    if _Announcement.listening:
        return
    from numba.core import event

    class Once(event.Listener):
        def on_start(self, event: Any) -> None:
            call, _Announcement.call = _Announcement.call, None
            if call is not None:
                call()

        def on_end(self, event: Any) -> None:
            pass

    event.register("numba:compile", Once())  # type: ignore[no-untyped-call]
    _Announcement.listening = True


def on_first_compiling(announce: Callable[[], None]) -> None:
    """Have ``announce`` called once, when a loop is next compiled in this process, in place of what
    was asked for before; never where all of them are kept from an earlier run."""
    _Announcement.call = announce
