"""Revisions of beds in a folder: none is lost, each is there whole or not at all."""

from __future__ import annotations

import threading
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedwright.store import Bed, Beds, ChangedSinceError, FullError, NoSuchBedError, plain
from bedwright.store import beds as module
from conftest import examples
from page import TITLE


@pytest.fixture
def beds(tmp_path: Path, url: str | None) -> Iterator[Beds]:
    made = Beds(tmp_path / "new" / "beds", url)
    yield made
    made.close()


def titled(title: str) -> dict[str, Any]:
    return {"title": title}


def titles(bed: Bed) -> list[str]:
    return [bed.values(one.number)["title"] for one in bed.revisions]


def test_a_folder_is_made_and_begins_empty(beds: Beds) -> None:
    assert beds.folder.is_dir()
    assert beds.all() == []


@pytest.mark.parametrize(
    ("title", "begins"),
    [("Beet am Zaun", "beet-am-zaun-"), ("Übergröße", "ubergrosse-"), ("../../etc", "etc-"),
     (TITLE, "script-alert-1-script-"), ("花", "bed-"), ("", "bed-"), ("x" * 500, "x" * 40 + "-"),
     (".", "bed-"), ("a\0b\nc", "a-b-c-")],
)  # fmt: skip
def test_a_bed_lies_in_the_folder_whatever_it_is_called(
    beds: Beds, title: str, begins: str
) -> None:
    bed = beds.new(titled(title), "begun")
    assert bed.folder.parent == beds.folder
    assert bed.key.startswith(begins)
    assert beds.one(bed.key) == bed
    assert bed.values()["title"] == title


def test_a_bed_that_is_put_away_is_kept_whole_and_can_be_put_back(beds: Beds) -> None:
    bed, other = beds.new(titled("Lilac"), "begun"), beds.new(titled("Other"), "begun")
    bed.change(1, titled("Lilac bed"), "named")
    beds.put_away(bed.key)
    assert beds.all() == [other]
    assert [one.key for one in beds.away] == [bed.key]
    with pytest.raises(NoSuchBedError):
        beds.one(bed.key)
    with pytest.raises(NoSuchBedError):
        beds.put_away(bed.key)
    back = beds.put_back(bed.key)
    assert titles(back) == ["Lilac", "Lilac bed"]
    assert beds.away == []
    for key in (bed.key, "..", "../..", "none"):
        with pytest.raises(NoSuchBedError):
            beds.put_back(key)


def test_no_bed_is_put_back_where_there_is_no_room(
    beds: Beds, monkeypatch: pytest.MonkeyPatch
) -> None:
    bed = beds.new(titled("Lilac"), "begun")
    beds.put_away(bed.key)
    beds.new(titled("Other"), "begun")
    monkeypatch.setattr(module, "MOST_BEDS", 1)
    with pytest.raises(FullError):
        beds.put_back(bed.key)
    assert [one.key for one in beds.away] == [bed.key]


@pytest.mark.parametrize(
    "key", ["..", ".", "", "../beds", "/etc", "a/b", "a\0b", "A", "-a", "a-", "x" * 61, "a\n",
            "none", "%2e%2e", "..\\a"],
)  # fmt: skip
def test_no_key_leads_out_of_the_folder(beds: Beds, key: str) -> None:
    (beds.folder.parent / "now").write_text("1")
    with pytest.raises(NoSuchBedError):
        beds.one(key)


def test_what_is_no_bed_is_left_alone(beds: Beds) -> None:
    (beds.folder / "notes.txt").write_text("mine")
    (beds.folder / "half").mkdir()
    assert beds.all() == []


def test_the_bed_changed_last_is_the_first(beds: Beds, monkeypatch: pytest.MonkeyPatch) -> None:
    moments = (f"2027-01-01T00:00:{k:02}" for k in range(60))
    monkeypatch.setattr(module, "now", lambda: next(moments))
    one, two = beds.new(titled("one"), ""), beds.new(titled("two"), "")
    assert [bed.key for bed in beds.all()] == [two.key, one.key]
    one.change(1, titled("one again"), "")
    assert [bed.key for bed in beds.all()] == [one.key, two.key]


def test_no_more_beds_than_there_is_room_for(beds: Beds, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_BEDS", 2)
    for _ in range(2):
        beds.new(titled("a"), "")
    with pytest.raises(FullError):
        beds.new(titled("a"), "")
    assert len(beds.all()) == 2


def test_no_more_revisions_than_there_is_room_for(
    beds: Beds, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "MOST_REVISIONS", 2)
    bed = beds.new(titled("a"), "")
    bed.change(1, titled("b"), "")
    with pytest.raises(FullError):
        bed.change(2, titled("c"), "")
    assert (bed.now, titles(bed)) == (2, ["a", "b"])


def test_days_pass_through_as_texts(beds: Beds) -> None:
    given = {"dates": {"begin": date(2027, 3, 20), "more": [date(2027, 1, 2), (1, 2.5)]}}
    values = beds.new(plain(given), "").values()
    assert values == {"dates": {"begin": "2027-03-20", "more": ["2027-01-02", [1, 2.5]]}}


def test_undo_and_redo_walk_the_revisions_and_keep_every_one(beds: Beds) -> None:
    bed = beds.new(titled("1"), "first")
    assert bed.change(1, titled("2"), "second") == 2
    assert bed.undo(2) == 1
    assert bed.undo(1) == 1
    assert bed.change(1, titled("3"), "third") == 3
    assert bed.undo(3) == 1
    assert bed.redo(1) == 3
    assert bed.redo(3) == 3
    assert titles(bed) == ["1", "2", "3"]
    assert [(one.parent, one.said) for one in bed.revisions] == [
        (0, "first"), (1, "second"), (1, "third")]  # fmt: skip


def test_a_change_to_the_same_is_none(beds: Beds) -> None:
    bed = beds.new(titled("1"), "")
    assert bed.change(1, titled("1"), "") == 1
    assert len(bed.revisions) == 1


def test_a_change_of_what_is_no_longer_in_force_is_refused(beds: Beds) -> None:
    bed = beds.new(titled("1"), "")
    bed.change(1, titled("2"), "")
    for move in (lambda: bed.change(1, titled("3"), ""), lambda: bed.undo(1), lambda: bed.redo(1)):
        with pytest.raises(ChangedSinceError) as raised:
            move()
        assert raised.value.now == 2
    assert titles(bed) == ["1", "2"]


def test_of_changes_at_once_one_is_taken(beds: Beds) -> None:
    bed, got = beds.new(titled("0"), ""), []
    ready = threading.Barrier(8)

    def change(n: int) -> None:
        ready.wait()
        try:
            got.append(Bed(beds.store, bed.key).change(1, titled(str(n)), ""))
        except ChangedSinceError:
            got.append(0)

    threads = [threading.Thread(target=change, args=(n,)) for n in range(1, 9)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(got) == [0] * 7 + [2]
    assert bed.now == 2


@pytest.mark.parametrize("at", ["_add", "_put_in_force"])
def test_a_crash_leaves_the_state_as_it_was(
    beds: Beds, monkeypatch: pytest.MonkeyPatch, at: str
) -> None:
    bed = beds.new(titled("old"), "")
    real = getattr(module, at)

    def stops(*given: object) -> None:
        real(*given)
        raise OSError("the machine stopped")

    with monkeypatch.context() as patched:
        patched.setattr(module, at, stops)
        with pytest.raises(OSError, match="machine"):
            bed.change(1, titled("new"), "")
    assert (bed.now, bed.values(), titles(bed)) == (1, titled("old"), ["old"])
    number = bed.change(1, titled("newer"), "again")
    assert bed.values() == bed.values(number) == titled("newer")
    assert bed.revisions[-1].said == "again"
    assert bed.undo(number) == 1


@pytest.mark.parametrize("said", ["a\u2028b", "a\x85b\nc\r\nd", "\x00\x1c", '"}{', "x" * 400, "é"])
def test_whatever_is_said_of_a_change_is_kept(beds: Beds, said: str) -> None:
    bed = beds.new(titled("1"), said)
    bed.change(1, titled("2"), "after")
    assert [one.said for one in bed.revisions] == [said[:300].replace("\0", "\ufffd"), "after"]


def test_a_revision_that_is_none(beds: Beds) -> None:
    bed = beds.new(titled("1"), "")
    with pytest.raises(NoSuchBedError):
        bed.values(2)


def test_briefs_are_kept_as_toml(beds: Beds) -> None:
    bed = beds.new(titled("é"), "begun")
    assert tomllib.loads(bed.toml().decode()) == titled("é")


def in_files(folder: Path, title: str, lines: str, now: str = "2") -> Path:
    """A bed as it was kept before there was a store."""
    folder.mkdir(parents=True)
    for number, words in enumerate(("first", title), start=1):
        (folder / f"{number:04}.toml").write_text(f'title = "{words}"\n', encoding="utf-8")
    (folder / "log.jsonl").write_text(lines, encoding="utf-8")
    (folder / "now").write_text(now)
    return folder


LOG = """
{"number": 1, "parent": 0, "when": "2026-11-01T10:00:00+01:00", "said": "Begun as kidney"}

{"number": 2, "parent": 1, "when": "2026-11-02T10:00:00+01:00", "said": "Named"}

{"number": 3, "par"""


def test_beds_once_kept_in_files_are_taken_in_once_and_left_there(
    tmp_path: Path, url: str | None
) -> None:
    """With half a line, as where the program was killed while it wrote."""
    kept = in_files(tmp_path / "lilac-1a2b", "Lilac", LOG)
    in_files(tmp_path / "put-away/old-1a2b", "Old", LOG)
    in_files(tmp_path / "half-1a2b", "Half", LOG, now="3")
    elsewhere = in_files(tmp_path.parent / f"{tmp_path.name}-elsewhere", "Theirs", LOG)
    (tmp_path / "linked").symlink_to(elsewhere)
    before = {path: path.read_bytes() for path in tmp_path.rglob("*.toml")}
    for _ in range(2):
        beds = Beds(tmp_path, url)
        assert [bed.key for bed in beds.all()] == ["lilac-1a2b"]
        assert [bed.key for bed in beds.away] == ["old-1a2b"]
        bed = beds.one("lilac-1a2b")
        assert titles(bed) == ["first", "Lilac"]
        assert [(one.parent, one.said, one.when) for one in bed.revisions] == [
            (0, "Begun as kidney", "2026-11-01T09:00:00.000+00:00"),
            (1, "Named", "2026-11-02T09:00:00.000+00:00"),
        ]
        assert bed.now == 2
        beds.close()
    assert {path: path.read_bytes() for path in tmp_path.rglob("*.toml")} == before
    assert kept.is_dir()


@settings(max_examples=examples(25))
@given(moves=st.lists(st.sampled_from(["change", "undo", "redo", "stale"]), max_size=12))
def test_no_walk_loses_a_revision(
    tmp_path_factory: pytest.TempPathFactory, moves: list[str]
) -> None:
    """Against a tree kept in memory, whatever the order of moves."""
    bed = Beds(tmp_path_factory.mktemp("beds")).new(titled("1"), "")
    parents, texts, now = {1: 0}, {1: "1"}, 1
    for n, move in enumerate(moves, start=2):
        if move == "change":
            number = len(parents) + 1
            parents[number], texts[number] = now, f"text {n}"
            assert bed.change(now, titled(texts[number]), "") == number
            now = number
        elif move == "undo":
            now = parents[now] or now
            assert bed.undo(bed.now) == now
        elif move == "redo":
            now = max((k for k, parent in parents.items() if parent == now), default=now)
            assert bed.redo(bed.now) == now
        else:
            with pytest.raises(ChangedSinceError):
                bed.change(now + 1, titled("never"), "")
        assert bed.now == now
        assert bed.values() == titled(texts[now])
    assert {one.number: one.parent for one in bed.revisions} == parents
    assert {k: bed.values(k)["title"] for k in parents} == texts
