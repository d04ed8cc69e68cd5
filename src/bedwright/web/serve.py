"""The server of the page: on the loopback address and, where it is shared, in the house's network,
for as long as the command runs."""

from __future__ import annotations

import errno
import socket
import webbrowser
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import uvicorn

from bedwright.web.app import create_app
from bedwright.web.guard import HOST, Keys, hosts_of
from bedwright.web.share import Share


class PortTakenError(OSError):
    """Another program listens on the port."""


class FolderInUseError(OSError):
    """Another page serves the folder: two would overwrite each other's revisions."""


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """Hold a folder of beds, which is made where it is not there, for this process alone; the
    system lets go of it when the process ends, however that ends.  Raises FolderInUseError.

    Where the system knows no such locks the folder is not held.
    """
    try:
        import fcntl
    except ImportError:  # not a Unix system
        yield
        return
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / ".in-use").open("a") as mark:
        try:
            fcntl.flock(mark, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            words = "another bedwright page has this folder open: use that one, or end it"
            raise FolderInUseError(error.errno, words, str(folder)) from None
        yield


def bound(port: int, address: str = HOST) -> socket.socket:
    """A socket on an address, the loopback one unless another is named; ``port`` 0: any that is
    free.  Raises PortTakenError."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    # Named as TCP, or asyncio would leave Nagle's delay in place: 40 ms with every answer.
    found = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        found.bind((address, port))
        found.listen()  # who opens the printed address at once waits, and is not turned away
    except OSError as error:
        found.close()
        words = f"port {port} cannot be had: {error.strerror}"
        if error.errno == errno.EADDRNOTAVAIL:
            words = f"{address} is no address of this machine"
        raise PortTakenError(error.errno, words) from None
    return found


USUAL_PORT = 8137


def usual() -> socket.socket:
    """A socket on the usual port, or on another where that is taken."""
    try:
        return bound(USUAL_PORT)
    except PortTakenError:
        return bound(0)


MOST_CONNECTIONS = 300
"""At once, where the page is shared; more are refused.  Common practice, no source."""


def serve(
    folder: Path,
    listening: Sequence[socket.socket],
    keys: Keys,
    open_browser: bool,
    share: Share | None = None,
) -> None:
    """Serve the beds of a folder until the process is told to end.  ``listening``: on the loopback
    address and, where the page is shared, on its addresses."""
    port = listening[0].getsockname()[1]
    app = create_app(folder, keys, hosts_of((HOST, "localhost"), port), share)
    # No proxy stands before it: whatever a request says of where it comes from is not believed.
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        timeout_graceful_shutdown=2,
        proxy_headers=False,
        limit_concurrency=MOST_CONNECTIONS if share else None,
    )
    if open_browser:
        webbrowser.open(address(port, keys.new_once()))
    uvicorn.Server(config).run(sockets=list(listening))


def address(port: int, key: str) -> str:
    """What to open in a browser of this machine."""
    return f"http://{HOST}:{port}/?key={key}"
