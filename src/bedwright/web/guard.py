"""Who may ask: this machine's browser, from the page itself, in small messages.

The page is served on the loopback address, but other programs and other people's browsers on the
machine can reach that, and pages of other sites can send requests to it.  So every request must
name the server as its host, and carry the key that the command printed (as a cookie); a request
that changes something must also come from the page itself and carry its token.

That is the door by the key, ``KeyDoor``.  A page that is shared has another beside it, at other
addresses (``login.PasswordDoor``).  What holds at every door is here.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Awaitable, Callable, Mapping, MutableMapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol
from urllib.parse import parse_qs

from fastapi import HTTPException, Request
from starlette.requests import cookie_parser

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]
Larger = Mapping[re.Pattern[str], int]


def cookie_of(host: str) -> str:
    """What a door's cookie is called: browsers part cookies by host alone, not by port, so that two
    pages would overwrite each other's."""
    found = re.search(r":(\d+)$", host)
    return f"bedwright-{found[1] if found else 80}"


def hosts_of(names: Sequence[str], port: int) -> frozenset[str]:
    """What a browser calls a server in its header Host, for each of its names and addresses; IPv6
    addresses stand in brackets, and of port 80 nothing is said."""
    known = [f"[{name}]" if ":" in name else name for name in names]
    return frozenset(known if port == 80 else (f"{name}:{port}" for name in known))


HOST = "127.0.0.1"
"""The address at which the page is served by its key."""

TOKEN_HEADER = "x-bedwright-token"
SAFE_METHODS = frozenset({"GET", "HEAD"})

MOST_BODY = 400_000
"""Bytes of a request, at most: a brief of 250 kB and what it is sent in; addresses of files have a
limit of their own."""

HEADERS = {
    "content-security-policy": "default-src 'none'; script-src 'self'; style-src 'self';"
    " img-src 'self' data: blob:; font-src 'self'; connect-src 'self'; form-action 'self';"
    " base-uri 'none'; frame-ancestors 'none'",
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "cache-control": "no-store",
}
"""Sent with every answer, unless it has its own: nothing from elsewhere is loaded, nothing inline
runs."""


def _new_key() -> str:
    return secrets.token_urlsafe(24)


@dataclass(frozen=True)
class Keys:
    """The key of this run of the server, and the token that its pages send with changes.

    ``once``: keys that open the page one time each, for addresses that other users of the machine
    may see, such as those that a browser is started with.
    """

    key: str = field(default_factory=_new_key, repr=False)
    once: set[str] = field(default_factory=set, repr=False)

    def new_once(self) -> str:
        """A key that opens the page one time."""
        made = _new_key()
        self.once.add(made)
        return made

    def opens(self, given: str) -> bool:
        """Whether a key opens the page; one that does so once is used up by it."""
        if given in self.once:
            self.once.discard(given)
            return True
        return hmac.compare_digest(given.encode(), self.key.encode())

    @property
    def token(self) -> str:
        """Known to a page that was served to a holder of the key, and to no other."""
        return token_of(self.key)


@dataclass(frozen=True)
class Asked:
    """What a door lets a request in by, or not."""

    method: str
    path: str
    query: Mapping[str, list[str]]
    headers: Mapping[str, str]

    @property
    def cookie(self) -> str:
        """What the door's cookie holds; empty where there is none."""
        host = self.headers.get("host", "")
        return cookie_parser(self.headers.get("cookie", "")).get(cookie_of(host), "")


@dataclass(frozen=True)
class Visitor:
    """Who was let in: ``token`` is what their pages send with changes, None for those who may only
    log in; ``logged_in``: by the password, not by the key."""

    token: str | None
    logged_in: bool = False


@dataclass(frozen=True)
class Refusal:
    """An answer in place of the page's."""

    status: int
    words: str
    headers: Mapping[str, str] = field(default_factory=dict)


class Door(Protocol):
    """A way in: who may take it."""

    @property
    def addresses(self) -> frozenset[str]:
        """Those of this machine at which the door is."""
        ...

    @property
    def hosts(self) -> frozenset[str]:
        """Names with port under which the server may be asked there, ``127.0.0.1:8137``."""
        ...

    def meet(self, asked: Asked) -> Visitor | Refusal:
        """Let someone in, or not."""
        ...


@dataclass(frozen=True)
class KeyDoor:
    """The way in from this machine, by the key that the command printed."""

    keys: Keys
    hosts: frozenset[str]
    addresses: frozenset[str] = frozenset({HOST})

    def meet(self, asked: Asked) -> Visitor | Refusal:
        """Let in who has the key; whoever brings it in the address gets it as a cookie."""
        given = asked.query.get("key", [])
        if asked.method == "GET" and asked.path == "/" and given:
            if not self.keys.opens(given[-1]):
                return Refusal(403, WRONG_KEY)
            name = cookie_of(asked.headers["host"])
            cookie = f"{name}={self.keys.key}; Path=/; HttpOnly; SameSite=Strict"
            return Refusal(303, "", {"location": "/", "set-cookie": cookie})
        if not _same(asked.cookie, self.keys.key):
            return Refusal(403, WRONG_KEY)
        return Visitor(self.keys.token)


class Guard:
    """Lets through what the module's docstring says, and answers the rest itself."""

    def __init__(self, app: App, doors: Sequence[Door], larger: Larger | None = None) -> None:
        """``larger``: addresses to which more than MOST_BODY may be sent."""
        self.app, self.doors, self.larger = app, doors, larger or {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1"): value.decode("latin-1")
                   for name, value in scope["headers"]}  # fmt: skip
        query = parse_qs(scope.get("query_string", b"").decode("latin-1"))
        met = self._meet(scope, Asked(scope["method"], scope["path"], query, headers))
        if isinstance(met, Refusal):
            await _answer(send, met)
            return
        sent = _Sent(send)
        try:
            bounded = _bounded(receive, self._most(scope["path"]))
            await self.app({**scope, _VISITOR: met}, bounded, sent)
        except Exception:
            if not sent.begun:
                words = "A fault of the program; what you gave is kept."
                await _answer(send, Refusal(500, words))
            raise

    def _meet(self, scope: Scope, asked: Asked) -> Visitor | Refusal:
        """Who asks, if the request may pass."""
        at, host = (scope.get("server") or ("",))[0], asked.headers.get("host", "")
        door = next((one for one in self.doors if at in one.addresses), None)
        if door is None or host not in door.hosts:
            return Refusal(421, "This server answers only to its own addresses.")
        met = door.meet(asked)
        if isinstance(met, Refusal):
            return met
        if asked.method not in SAFE_METHODS:
            origin = asked.headers.get("origin")
            if origin is not None and origin not in {f"http://{host}" for host in door.hosts}:
                return Refusal(403, "A change can be asked for by the page itself only.")
            token = asked.headers.get(TOKEN_HEADER, "")
            if met.token is not None and not _same(token, met.token):
                return Refusal(403, "The page is of an earlier run of the server: load it again.")
        length = asked.headers.get("content-length", "0")
        most = self._most(asked.path)
        if not length.isdecimal() or len(length) > 12 or int(length) > most:
            return Refusal(413, f"At most {most / 1e6:g} MB can be sent at once.")
        return met

    def _most(self, path: str) -> int:
        """Bytes that may be sent to an address."""
        found = (most for pattern, most in self.larger.items() if pattern.fullmatch(path))
        return next(found, MOST_BODY)


_VISITOR = "bedwright.visitor"


def visitor_of(request: Request) -> Visitor:
    """Who sent a request that the guard let through."""
    found: Visitor = request.scope[_VISITOR]
    return found


def token_of(secret: str) -> str:
    """What a page sends with changes: known to one that was served to a holder of the secret, and
    to no other."""
    return hmac.new(secret.encode(), b"page token", hashlib.sha256).hexdigest()


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode(), other.encode())


WRONG_KEY = (
    "Open the address that bedwright page printed, with its key: this one is of an earlier run, or"
    " has none."
)


class TooMuchError(HTTPException):
    """A request's body is longer than may be: one of HTTP's, so that whoever reads the body lets it
    pass."""

    def __init__(self) -> None:
        super().__init__(413, "That is more than can be sent at once.")


def _bounded(receive: Receive, most: int) -> Receive:
    """Receive no more than so many bytes, whatever length was announced."""
    had = 0

    async def bounded() -> Message:
        nonlocal had
        message = await receive()
        if message["type"] == "http.request":
            had += len(message.get("body", b""))
            if had > most:
                raise TooMuchError
        return message

    return bounded


class _Sent:
    """Sends with HEADERS beside those of the answer, and knows whether one was begun."""

    def __init__(self, send: Send) -> None:
        self._send, self.begun = send, False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self.begun = True
            had = {name.lower() for name, _ in message["headers"]}
            more = [(name.encode(), value.encode()) for name, value in HEADERS.items()
                    if name.encode() not in had]  # fmt: skip
            message = {**message, "headers": [*message["headers"], *more]}
        await self._send(message)


async def _answer(send: Send, said: Refusal) -> None:
    """An answer of plain words."""
    headers = {"content-type": "text/plain; charset=utf-8", **HEADERS, **said.headers}
    await send(
        {
            "type": "http.response.start",
            "status": said.status,
            "headers": [(name.encode(), value.encode()) for name, value in headers.items()],
        }
    )
    await send({"type": "http.response.body", "body": said.words.encode()})
