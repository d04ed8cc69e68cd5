"""The page without a network: beds to ask it for, one of them with its plan."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from bedwright.store import Bed, Beds
from bedwright.web.app import create_app
from bedwright.web.guard import TOKEN_HEADER, Keys, cookie_of
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
