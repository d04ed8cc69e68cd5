"""How soon the page answers: a server in a process of its own, asked over the loopback address as a
browser asks it, one request after the other.

The figures are of the answer alone; what a browser then takes to draw it is not in them.  Usage:
``python benchmarks/page.py``
"""

from __future__ import annotations

import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import httpx2

from bedwright.store import Beds
from bedwright.web.guard import TOKEN_HEADER
from bedwright.web.sheets import SHEETS
from timing import SHORT, Row, seconds, show

TIMES = 1 if SHORT else 100
TOWN = "Galway, Ireland"
SMALL = {"shape": "circle", "diameter": "1 m"}
OVAL = {"shape": "ellipse", "length": "4 m", "width": "2.4 m"}
BORDER = {"shape": "rectangle", "length": "6 m", "width": "2.5 m"}
AROUND = [
    {"kind": "building", "bearing": "N", "distance": "6 m", "width": "10 m", "depth": "7 m",
     "height": "3 m"},
    {"kind": "tree", "bearing": "W", "distance": "7 m", "spread": "5 m", "height": "8 m"},
]  # fmt: skip
PATIENCE_S = 300.0


@contextmanager
def served(folder: Path) -> Iterator[tuple[str, float]]:
    """The address of a page, with its key, and the seconds until it answered."""
    command = [sys.executable, "-m", "bedwright.cli", "page", str(folder), "--port", "0",
               "--no-open"]  # fmt: skip
    known = {**os.environ, "COLUMNS": "300"}
    begun = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=known) as process:
        try:
            assert process.stdout is not None
            found = re.search(r"http://\S+", process.stdout.readline())
            assert found is not None
            httpx2.get(found[0]).read()
            yield found[0], time.perf_counter() - begun
        finally:
            process.terminate()


def opened(address: str) -> httpx2.Client:
    """What asks the server as its page would."""
    client = httpx2.Client(base_url=address.partition("/?")[0], timeout=PATIENCE_S)
    client.get(address)
    shown = client.get("/")
    shown.raise_for_status()
    token = re.search(r'name="token" content="(\w+)"', shown.text)
    assert token is not None
    client.headers[TOKEN_HEADER] = token[1]
    return client


def middle(ask: Callable[[], httpx2.Response]) -> float:
    """Milliseconds of the middle answer of many, after one to warm up; of one in short form."""

    def once() -> None:
        ask().raise_for_status()

    if not SHORT:
        once()
    return 1000 * statistics.median(seconds(once) for _ in range(TIMES))


def planned(client: httpx2.Client, bed: str) -> float:
    """Seconds until a plan that is asked for is there."""
    return until_planned(client, bed, lambda: client.post(f"/api/beds/{bed}/plan", json={"on": 1}))


def until_planned(client: httpx2.Client, bed: str, ask: Callable[[], httpx2.Response]) -> float:
    """Seconds from a request until the plan of the revision in force is there."""
    begun = time.perf_counter()
    ask().raise_for_status()
    while not client.get(f"/api/beds/{bed}").json()["planned"]:
        if time.perf_counter() - begun > PATIENCE_S:
            raise TimeoutError("no plan")
        time.sleep(0.02)
    return time.perf_counter() - begun


def changes(client: httpx2.Client, bed: str) -> Callable[[], httpx2.Response]:
    """Asks for a change of the depth of digging, another each time."""
    on = client.get(f"/api/beds/{bed}").json()["on"]

    def change() -> httpx2.Response:
        nonlocal on
        depth = f"{20 + on % 2} cm"
        body = {"on": on, "settings": [{"path": "ground.dig_depth", "text": depth}]}
        answer = client.post(f"/api/beds/{bed}/changes", json=body)
        on = answer.json()["on"]
        return answer

    return change


def exchanged(client: httpx2.Client, beds: Beds, bed: str, most: int) -> float:
    """Seconds until the sheets show another kind in a drift: the middle of several drifts."""
    drifts = json.loads((beds.one(bed).plan_folder(1) / "drifts.json").read_text("utf-8"))
    spent = []
    for drift in [one for one in drifts if one["spot"]][:most]:
        rival = drift["rivals"][0]
        on = client.get(f"/api/beds/{bed}").json()["on"]
        wish = {"on": on, "act": "plant", "kind": rival["kind"], "colour": rival["colour"]}
        address = f"/api/beds/{bed}/drifts/{drift['number']}"
        spent.append(until_planned(client, bed, lambda a=address, w=wish: client.post(a, json=w)))  # type: ignore[misc]
    return statistics.median(spent)


def changed(client: httpx2.Client, bed: str, size: str) -> Iterator[Row]:
    """A bed's brief changed, without a plan."""
    yield Row("a change", size, middle(changes(client, bed)), "ms")
    yield Row("undo and redo", size, middle(both_ways(client, bed)), "ms")


def moved(client: httpx2.Client, bed: str, size: str) -> Iterator[Row]:
    """A tree by a bed moved."""
    nearer = [{"path": "surroundings.1.distance", "text": "6.5 m"}]
    sun = middle(lambda: client.post(f"/api/beds/{bed}/sun", json={"settings": nearer}))
    yield Row("the sun on a bed while a tree is moved", size, sun, "ms")


def exchange(client: httpx2.Client, beds: Beds, bed: str, size: str) -> Iterator[Row]:
    """What grows in drifts of a planned bed exchanged."""
    spent = exchanged(client, beds, bed, 1 if SHORT else 7)
    yield Row("a drift exchanged, until its sheets are there", size, spent, "s")


def rows() -> Iterator[Row]:
    """In short form of one small bed, which is planned once and exchanged in before it changes."""
    size, told = "an oval of 4 by 2.4 m", "15 m², a house and a tree by it"
    first = {"place": {"town": TOWN}, "bed": OVAL}
    second = {"place": {"town": TOWN}, "bed": BORDER, "surroundings": AROUND}
    if SHORT:
        size = told = "a round bed of 1 m, a house and a tree by it"
        first = second = {**second, "bed": SMALL}
    with tempfile.TemporaryDirectory() as folder:
        beds = Beds(Path(folder) / "beds")
        bed = beds.new(first, "begun").key
        with served(beds.folder) as (address, started), closing(opened(address)) as client:
            yield Row("from the command to the first answer", "cold", started, "s")
            site = f"/beds/{bed}/site"
            yield Row("the first sheet", "no plan yet", middle(lambda: client.get(site)), "ms")
            yield Row("a plan asked for, until it is there", size, planned(client, bed), "s")
            for name in SHEETS:
                sheet = f"/beds/{bed}/{name}"
                spent = middle(lambda sheet=sheet: client.get(sheet))  # type: ignore[misc]
                yield Row(f"the sheet {name}", f"planned, {size}", spent, "ms")
            other = beds.new(second, "begun").key
            if SHORT:
                yield from exchange(client, beds, bed, told)
            yield from changed(client, bed, size)
            yield from moved(client, other, told)
            if not SHORT:
                planned(client, other)
                yield from exchange(client, beds, other, told)
            shelf = middle(lambda: client.get("/"))
            yield Row("the list of beds", "2 beds", shelf, "ms")


def both_ways(client: httpx2.Client, bed: str) -> Callable[[], httpx2.Response]:
    """Asks to go back a revision and on again."""

    def there_and_back() -> httpx2.Response:
        on = client.get(f"/api/beds/{bed}").json()["on"]
        back = client.post(f"/api/beds/{bed}/undo", json={"on": on}).json()["on"]
        return client.post(f"/api/beds/{bed}/redo", json={"on": back})

    return there_and_back


if __name__ == "__main__":
    show(rows())
