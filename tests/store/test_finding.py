"""Which bed a path means, and by which plan it was grown."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import pytest

from bedwright.store import Beds, NoSuchBedError, bed_at, grow, grown, planted_in


def test_a_brief_s_file_has_its_journal_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "My oval.toml"
    path.write_text('title = "Oval"', encoding="utf-8")
    first = bed_at(path)
    assert (first.key, first.now, first.values()) == ("my-oval", 1, {"title": "Oval"})
    assert bed_at(path).now == 1
    path.write_text('title = "Larger oval"', encoding="utf-8")
    again = bed_at(path)
    assert (again.key, again.now, again.values()) == ("my-oval", 2, {"title": "Larger oval"})
    assert [one.said for one in again.revisions] == ["From My oval.toml"] * 2


def test_a_bed_of_the_page_is_found_by_its_folder(tmp_path: Path) -> None:
    beds = Beds(tmp_path)
    one = beds.new({"title": "One"}, "begun")
    assert bed_at(tmp_path).key == bed_at(tmp_path / one.key).key == one.key
    two = beds.new({"title": "Two"}, "begun")
    with pytest.raises(NoSuchBedError, match=f"{two.key}.*{one.key}"):
        bed_at(tmp_path)
    with pytest.raises(NoSuchBedError, match=one.key):
        bed_at(tmp_path / "three")


def test_what_is_no_bed_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(NoSuchBedError, match="neither a brief's file nor"):
        bed_at(tmp_path / "nothing")
    with pytest.raises(FileNotFoundError):
        bed_at(tmp_path / "none.toml")
    (tmp_path / "bad.toml").write_text("[", encoding="utf-8")
    with pytest.raises(tomllib.TOMLDecodeError):
        bed_at(tmp_path / "bad.toml")
    assert not (tmp_path / "garden.db").exists()


def test_the_plan_by_which_a_bed_was_grown(tmp_path: Path) -> None:
    bed = Beds(tmp_path).new({"title": "One"}, "begun")
    assert (grown(bed), planted_in(bed)) == ({}, ())

    def plan(*kinds: str) -> str:
        items: list[dict[str, Any]] = [{"kind": kind} for kind in kinds]
        return json.dumps({"items": items})

    grow(bed, 2028, 1, plan("cosmos"))
    grow(bed, 2027, 1, plan("larkspur", "coleus", "larkspur"))
    assert planted_in(bed) == ("cosmos",)
    grow(bed, 2028, 1, plan("viola"))
    assert planted_in(bed) == ("viola",)
    assert list(grown(bed)) == [2027, 2028]
