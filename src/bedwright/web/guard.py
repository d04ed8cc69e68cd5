"""Who may ask: this machine's browser, from the page itself, in small messages.

The page is served on the loopback address alone, but other programs and other people's browsers on
the machine can reach that, and pages of other sites can send requests to it.  So every request must
name the server as its host, and carry the key that the command printed (as a cookie); a request
that changes something must also come from the page itself and carry its token.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs

from fastapi import HTTPException
from starlette.requests import cookie_parser

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]
Larger = Mapping[re.Pattern[str], int]


def cookie_of(host: str) -> str:
    """What the key's cookie is called: browsers part cookies by host alone, not by port, so that
    two pages would overwrite each other's."""
    return f"bedwright-{host.rpartition(':')[2]}"


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
        return hmac.new(self.key.encode(), b"page token", hashlib.sha256).hexdigest()


class Guard:
    """Lets through what the module's docstring says, and answers the rest itself."""

    def __init__(
        self, app: App, keys: Keys, hosts: frozenset[str], larger: Larger | None = None
    ) -> None:
        """``hosts``: names with port under which the server may be asked, ``127.0.0.1:8137``;
        ``larger``: addresses to which more than MOST_BODY may be sent."""
        self.app, self.keys, self.hosts = app, keys, hosts
        self.larger = larger or {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = {name.decode("latin-1"): value.decode("latin-1")
                   for name, value in scope["headers"]}  # fmt: skip
        refusal = self._refusal(scope, headers)
        if refusal is not None:
            await _answer(send, *refusal)
            return
        sent = _Sent(send)
        try:
            await self.app(scope, _bounded(receive, self._most(scope["path"])), sent)
        except Exception:
            if not sent.begun:
                await _answer(send, 500, "A fault of the program; what you gave is kept.", {})
            raise

    def _refusal(
        self, scope: Scope, headers: Mapping[str, str]
    ) -> tuple[int, str, dict[str, str]] | None:
        """Status, words and headers of a refusal; None where the request may pass."""
        method, path = scope["method"], scope["path"]
        if headers.get("host", "") not in self.hosts:
            return 421, "This server answers only to its own address on this machine.", {}
        given = parse_qs(scope.get("query_string", b"").decode("latin-1")).get("key", [])
        if method == "GET" and path == "/" and given:
            if not self.keys.opens(given[-1]):
                return 403, WRONG_KEY, {}
            cookie = (
                f"{cookie_of(headers['host'])}={self.keys.key}; Path=/; HttpOnly; SameSite=Strict"
            )
            return 303, "", {"location": "/", "set-cookie": cookie}
        held = cookie_parser(headers.get("cookie", "")).get(cookie_of(headers["host"]), "")
        if not self._same(held, self.keys.key):
            return 403, WRONG_KEY, {}
        if method not in SAFE_METHODS:
            origin = headers.get("origin")
            if origin is not None and origin not in {f"http://{host}" for host in self.hosts}:
                return 403, "A change can be asked for by the page itself only.", {}
            if not self._same(headers.get(TOKEN_HEADER, ""), self.keys.token):
                return 403, "The page is of an earlier run of the server: load it again.", {}
        length = headers.get("content-length", "0")
        most = self._most(path)
        if not length.isdecimal() or len(length) > 12 or int(length) > most:
            return 413, f"At most {most / 1e6:g} MB can be sent at once.", {}
        return None

    def _most(self, path: str) -> int:
        """Bytes that may be sent to an address."""
        found = (most for pattern, most in self.larger.items() if pattern.fullmatch(path))
        return next(found, MOST_BODY)

    @staticmethod
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


async def _answer(send: Send, status: int, words: str, more: dict[str, str]) -> None:
    """An answer of plain words."""
    headers = {"content-type": "text/plain; charset=utf-8", **HEADERS, **more}
    await send(
        {
            "type": "http.response.start",
            "status": status,
            "headers": [(name.encode(), value.encode()) for name, value in headers.items()],
        }
    )
    await send({"type": "http.response.body", "body": words.encode()})
