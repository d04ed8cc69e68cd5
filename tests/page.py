"""The page without a network: beds to ask it for, one of them with its plan."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from bedwright.store import Bed, Beds
from bedwright.web.app import create_app
from bedwright.web.guard import TOKEN_HEADER, Keys, cookie_of
from bedwright.web.lockout import Lockout
from bedwright.web.password import Password, keep_password
from bedwright.web.sessions import Sessions
from bedwright.web.share import Share
from bedwright.web.worker import Bench, Task
from shared import made_once

PORT = 8137
HOST = f"127.0.0.1:{PORT}"
SCRIPT = "<script>alert(1)</script>"
TITLE = f'{SCRIPT} {{{{7*7}}}} & "javascript:alert(2)"'
"""A title that would run, were it not taken for the text it is."""

SMALL: dict[str, Any] = {
    "title": TITLE,
    "place": {"town": "Galway, Ireland"},
    "season": {"year": 2027},
    "bed": {"shape": "rectangle", "length": "2 m", "width": "1 m"},
    "surroundings": [
        {"kind": "tree", "name": f"<b>{SCRIPT}", "bearing": "N", "distance": "9 m",
         "spread": "4 m", "height": "6 m"}
    ],
}  # fmt: skip
"""A bed that is soon planned."""


@dataclass(frozen=True)
class Page:
    """A page to ask, as a browser that holds the key; its beds, and what it is asked with."""

    ask: TestClient
    beds: Beds
    keys: Keys

    def new(self, **tables: Any) -> Bed:
        """A bed of the small brief, unless ``tables`` say otherwise."""
        return self.beds.new({**SMALL, **tables}, "begun")

    def change(self, bed: Bed, on: int, path: str, **given: Any) -> Any:
        """Ask for the change of one field."""
        body = {"on": on, "settings": [{"path": path, **given}]}
        return self.ask.post(f"/api/beds/{bed.key}/changes", json=body)


def page_in(folder: Path) -> Page:
    """A page of a folder's beds.  No plan is worked out, unless its ``ask`` is entered."""
    keys = Keys()
    app = create_app(folder, keys, frozenset({HOST}))
    client = TestClient(
        app, base_url=f"http://{HOST}", cookies={cookie_of(HOST): keys.key},
        headers={TOKEN_HEADER: keys.token}, raise_server_exceptions=False, follow_redirects=False,
    )  # fmt: skip
    return Page(client, app.state.beds, keys)


LAN = "192.168.1.20"
LAN_HOST = f"{LAN}:{PORT}"
PHONE = "192.168.1.31"
PASSWORD = "four slow wet snails"


class Clock:
    """A clock that goes on when it is told to."""

    def __init__(self) -> None:
        self.at = 1_800_000_000.0

    def __call__(self) -> float:
        return self.at


@dataclass(frozen=True)
class SharedPage:
    """A page that is shared, its clock, and browsers to ask it with."""

    share: Share
    beds: Beds
    keys: Keys
    clock: Clock
    app: FastAPI

    def phone(self, address: str = PHONE, host: str = LAN_HOST) -> TestClient:
        """A browser in the house's network that is not logged in."""
        return TestClient(
            self.app, base_url=f"http://{host}", client=(address, 50_000),
            raise_server_exceptions=False, follow_redirects=False,
        )  # fmt: skip

    def here(self) -> TestClient:
        """A browser on the page's own machine, which has the key."""
        return TestClient(
            self.app, base_url=f"http://{HOST}", cookies={cookie_of(HOST): self.keys.key},
            raise_server_exceptions=False, follow_redirects=False,
        )  # fmt: skip


def shared_page_in(folder: Path, password: Password) -> SharedPage:
    """A page of a folder's beds that is shared at one address."""
    keys, clock = Keys(), Clock()
    share = Share((LAN,), ("shed.local", "shed"), PORT, password, Sessions(folder, clock),
                  Lockout(clock))  # fmt: skip
    app = create_app(folder, keys, frozenset({HOST}), share)
    return SharedPage(share, app.state.beds, keys, clock, app)


@pytest.fixture(scope="session")
def password(tmp_path_factory: pytest.TempPathFactory) -> Password:
    """The hash of PASSWORD, which takes some tenths of a second to make."""
    return keep_password(tmp_path_factory.mktemp("password"), PASSWORD)


@pytest.fixture
def shared(tmp_path: Path, password: Password) -> SharedPage:
    """A page that is shared, with an empty shelf."""
    return shared_page_in(tmp_path / "beds", password)


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    """A page with an empty shelf."""
    made = page_in(tmp_path / "beds")
    yield made
    made.ask.close()


@pytest.fixture(scope="session")
def small_plan(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The folder of what is kept of the small bed's plan; made once, for all workers of a run."""
    folder = tmp_path_factory.getbasetemp()
    folder = (folder if worker_id == "master" else folder.parent) / "small-plan"

    def make() -> Path:
        told: list[Any] = []
        task = Task("small", 1, SMALL, folder.parent, folder)
        Bench().carry_out(task, lambda what, detail=None: told.append((what, detail)))
        assert told[-1] == ("done", None), told
        return folder

    return made_once(folder.with_suffix(".made"), make)


@pytest.fixture
def planned(page: Page, small_plan: Path) -> Bed:
    """The small bed on the page's shelf, its first revision's plan worked out."""
    return with_plan(page.beds, small_plan)


def with_plan(beds: Beds, plan: Path, **tables: Any) -> Bed:
    """A new bed that has the small bed's plan."""
    bed = beds.new({**SMALL, **tables}, "begun")
    shutil.copytree(plan, bed.plan_folder(1))
    return bed
