"""The way in by the password: the log-in sheet, logging out, and the address to open on a phone."""

from __future__ import annotations

import logging
import math
import re
from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qs, quote

from fastapi import APIRouter, HTTPException, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse, RedirectResponse, Response
from markupsafe import Markup

from bedwright.web.guard import (
    SAFE_METHODS,
    Asked,
    Refusal,
    Visitor,
    cookie_of,
    token_of,
    visitor_of,
)
from bedwright.web.password import MOST
from bedwright.web.qr import svg_of
from bedwright.web.sessions import MOST_LIFE_S, Sessions
from bedwright.web.share import Share
from bedwright.web.sheets import render

LOG_IN, LOG_OUT = "/log-in", "/log-out"
OPEN = frozenset({"/static/page.css", "/static/icon.svg", "/static/login.js"})
"""What the log-in sheet is made of, for everyone."""

LOGGED_OUT = "You are logged out: load the page again and log in."
LOG_IN_HEADER = "x-bedwright-log-in"
"""By which a page learns that it is refused because nobody is logged in, and where that is done."""

MOST_FORM = 4_000
"""Bytes of a log-in form."""

said = logging.getLogger(__name__)


@dataclass(frozen=True)
class PasswordDoor:
    """The way in from the house's network, for those who logged in with the password."""

    sessions: Sessions
    hosts: frozenset[str]
    addresses: frozenset[str]

    def meet(self, asked: Asked) -> Visitor | Refusal:
        """Let in who has a session; others come as far as the log-in sheet."""
        if asked.path == LOG_IN or (asked.path in OPEN and asked.method in SAFE_METHODS):
            return Visitor(None)
        if asked.cookie and self.sessions.alive(asked.cookie):
            return Visitor(token_of(asked.cookie), logged_in=True)
        if asked.method == "GET" and "text/html" in asked.headers.get("accept", ""):
            return Refusal(303, "", {"location": f"{LOG_IN}?to={quote(asked.path)}"})
        return Refusal(403, LOGGED_OUT, {LOG_IN_HEADER: LOG_IN})


def door_of(share: Share) -> PasswordDoor:
    """The door of a shared page."""
    return PasswordDoor(share.sessions, share.hosts, frozenset(share.addresses))


_PAGE = re.compile(r"/(beds/[a-z0-9-]{1,60}(/[a-z]{1,20})?|phone)?")


def page_of(given: str) -> str:
    """The page of ours to go to after logging in: the one given, or the list of beds."""
    return given if _PAGE.fullmatch(given) else "/"


def sheet_of(to: str, words: str = "", status: int = 200, wait_s: float = 0.0) -> Response:
    """The log-in sheet.  Browsers are let name its address as the origin of what it sends."""
    answer = render("login.html", to=page_of(to), words=words, most=MOST)
    answer.status_code = status
    answer.headers["referrer-policy"] = "same-origin"
    if 0 < wait_s < math.inf:
        answer.headers["retry-after"] = str(math.ceil(wait_s))
    return answer


def words_of_wait(wait_s: float) -> str:
    """Why a password is not looked at, and until when."""
    if math.isinf(wait_s):
        return (
            "Too many wrong passwords: nobody can log in until bedwright page is started again on"
            " its own machine."
        )
    minutes, seconds = divmod(math.ceil(wait_s), 60)
    parts = [(minutes, "minute"), (0 if minutes > 4 else seconds, "second")]
    named = [f"{n} {unit}{'s' if n > 1 else ''}" for n, unit in parts if n]
    return f"Too many wrong passwords: try again in {' and '.join(named)}."


BUSY = "Another password is being checked: try again in a moment."
WRONG = "That is not the password. Capital and small letters count, and so do spaces."
TOO_LONG = f"A password has at most {MOST} characters."


def for_visitor(request: Request) -> dict[str, Any]:
    """What a page carries for the one who asked for it."""
    visitor = visitor_of(request)
    return {"token": visitor.token, "logged_in": visitor.logged_in}


def router_of(share: Share | None) -> APIRouter:
    """The sheet that shows the way in by phone and, where the page is shared, that way in."""
    router = APIRouter(include_in_schema=False)

    @router.get("/phone")
    def phone(request: Request) -> Response:
        urls = () if share is None else (share.url, *share.other_urls)
        code = Markup(svg_of(urls[0])) if urls else None  # ours, of an address without markup
        return render("phone.html", code=code, urls=urls, **for_visitor(request))

    if share is None:
        return router

    @router.get(LOG_IN)
    async def sheet(to: str = "/") -> Response:
        return sheet_of(to)

    @router.post(LOG_IN)
    async def log_in(request: Request) -> Response:
        body = await request.body()
        given, to = _form(body)
        if len(body) > MOST_FORM or len(given) > MOST:
            return sheet_of(to, TOO_LONG, 413)
        address = request.client.host if request.client else ""
        wait_s = share.lockout.wait_s(address)
        if wait_s > 0:
            return sheet_of(to, words_of_wait(wait_s), 429, wait_s)
        if share.checking.locked():
            return sheet_of(to, BUSY, 429, 1.0)
        async with share.checking:
            fits = await run_in_threadpool(share.password.fits, given)
        if fits:
            share.lockout.right(address)
            answer = RedirectResponse(page_of(to), 303)
            _set_cookie(answer, request, share.sessions.begin(), MOST_LIFE_S)
            return answer
        share.lockout.wrong(address)
        wait_s = share.lockout.wait_s(address)
        then = f" {words_of_wait(wait_s)}" if wait_s else ""
        said.warning("A wrong password from %s.%s", address, then)
        return sheet_of(to, f"{WRONG}{then}", 403, wait_s)

    @router.post(LOG_OUT)
    async def log_out(request: Request) -> Response:
        if not visitor_of(request).logged_in:
            raise HTTPException(409, "This page is opened by its key: nobody is logged in.")
        share.sessions.end(request.cookies.get(cookie_of(request.headers["host"]), ""))
        answer = JSONResponse({})
        _set_cookie(answer, request, "", 0)
        return answer

    return router


def _form(body: bytes) -> tuple[str, str]:
    """The password of a log-in form, and the page to go to."""
    if len(body) > MOST_FORM:
        return "", "/"
    form = parse_qs(body.decode("utf-8", "replace"))
    return form.get("password", [""])[-1], form.get("to", ["/"])[-1]


def _set_cookie(answer: Response, request: Request, secret: str, life_s: int) -> None:
    """Have a browser hold a session's secret, kept from scripts and from other sites' requests."""
    name = cookie_of(request.headers["host"])
    answer.set_cookie(name, secret, max_age=life_s, httponly=True, samesite="strict")
