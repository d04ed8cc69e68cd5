"""``bedwright page``: the sheets themselves, in a browser on this machine and, if wished, on phones
in the house's network."""

from __future__ import annotations

import getpass
import os
import socket
import sys
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from bedwright.cli import stopping
from bedwright.cli.console import FAILED, FAULT, err, escape, faults, out

if TYPE_CHECKING:
    from bedwright.web.password import Password
    from bedwright.web.sessions import Sessions
    from bedwright.web.share import Share

VARIABLE = "BEDWRIGHT_PASSWORD"

NOT_ASKED = (
    "--share needs a password, and there is no terminal to ask for it. Run bedwright page --share"
    f" in a terminal once to choose one, or set {VARIABLE}."
)
TRUST = (
    "Who is not logged in sees nothing of the page. But what is sent is not encrypted: whoever can"
    " listen in on this network can read it, the password too. Use it only in a network that you"
    " trust, keep guests on a guest network, and do not forward it to the internet."
)


def page(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="Where your beds are kept; made if need be.")
    ] = Path("beds"),
    port: Annotated[
        int | None,
        typer.Option(
            min=0, max=65535, help="Port to listen on: 8137, or another where that is taken."
        ),
    ] = None,
    open_browser: Annotated[
        bool, typer.Option("--open/--no-open", help="Open the page in the browser.")
    ] = True,
    share: Annotated[
        bool,
        typer.Option(
            "--share", help="Also for phones in the house's own network, behind a password."
        ),
    ] = False,
    address: Annotated[
        str | None,
        typer.Option(
            metavar="ADDRESS", help="With --share: this machine's address to share it at."
        ),
    ] = None,
    new_password: Annotated[
        bool,
        typer.Option(
            "--new-password", help="With --share: choose the password again; all are logged out."
        ),
    ] = False,
) -> None:
    """Draw beds, plan them and change the plans in a browser, on this machine alone unless you
    share it."""
    from bedwright.web.guard import Keys
    from bedwright.web.serve import USUAL_PORT, bound, held, serve, usual
    from bedwright.web.serve import address as address_of
    from bedwright.web.sessions import Sessions
    from bedwright.web.share import Share, addresses_for, own_addresses, own_names

    if not share and (new_password or address is not None):
        _end(f"{'--new-password' if new_password else '--address'} goes with --share.", FAULT)
    with faults(folder), held(folder), ExitStack() as open_until_the_end:

        def listen(found: socket.socket) -> socket.socket:
            return open_until_the_end.enter_context(found)

        # Phones keep the address with its port: where they are to come, no other will do.
        any_port = port is None and not share
        sockets = [listen(usual() if any_port else bound(USUAL_PORT if port is None else port))]
        number = sockets[0].getsockname()[1]
        shared = None
        if share:
            addresses = addresses_for(address, own_addresses())
            sockets += [listen(bound(number, at)) for at in addresses]
            sessions = Sessions(folder)
            password = _password(folder, sessions, new_password)
            shared = Share(addresses, own_names(), number, password, sessions)
        keys = Keys()
        where = escape(address_of(number, keys.key))
        out.print(f"The page: {where}\nBeds are kept in {escape(str(folder.resolve()))}.")
        if shared:
            _tell(shared)
        out.print("Ctrl-C ends it.")
        stopping.run.serves = True
        serve(folder, sockets, keys, open_browser, shared)


def _password(folder: Path, sessions: Sessions, new: bool) -> Password:
    """The password that is kept or, where there is none or another is wished, one that is chosen
    now, by which everyone is logged out."""
    from bedwright.web.password import NotAPasswordError, keep_password, kept_password

    kept, given = None if new else kept_password(folder), os.environ.get(VARIABLE, "")
    if kept and (not given or kept.fits(given)):
        return kept
    if not given:
        if not sys.stdin.isatty():
            _end(NOT_ASKED)
        given = _asked()
    try:
        made = keep_password(folder, given)
    except NotAPasswordError as error:
        _end(f"{VARIABLE}: {error}", FAULT)
    sessions.end_all()
    return made


def _asked() -> str:
    """A password typed twice, unseen."""
    from bedwright.web.password import ADVISED, LEAST, NotAPasswordError, accepted

    out.print(
        f"A password for the page: {LEAST} characters or more, better {ADVISED}, such as four words"
        " that have nothing to do with each other. It is asked for on each phone once a month."
    )
    try:
        while True:
            given = getpass.getpass("Password: ")
            try:
                accepted(given)
            except NotAPasswordError as error:
                err.print(escape(str(error)))
                continue
            if getpass.getpass("The same again: ") == given:
                return given
            err.print("The two are not the same.")
    except EOFError:
        _end("No password was given; nothing is shared.")


def _tell(share: Share) -> None:
    """Where a phone finds the page, in words and as a QR code, and what to beware of."""
    from bedwright.web.qr import lines_of

    out.print(f"On a phone in the same network: {escape(share.url)}")
    if share.other_urls:
        out.print(f"  or, where the phone knows that name: {escape(' '.join(share.other_urls))}")
    if out.is_terminal and _can_print("▀▄█"):
        for line in lines_of(share.url):
            out.print(f"  [#000000 on #ffffff]{line}[/]")
    out.print(TRUST)


def _can_print(characters: str) -> bool:
    try:
        characters.encode(out.encoding)
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _end(words: str, code: int = FAILED) -> NoReturn:
    err.print(escape(words))
    raise typer.Exit(code)
