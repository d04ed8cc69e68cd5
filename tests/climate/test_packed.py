"""Packed data files, and what is read of the world's grid and the index of towns by their parts."""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bedwright.climate import find_town, normals, packed, towns
from bedwright.climate.packed import Packed
from conftest import ROOT

sys.path.insert(0, str(ROOT / "tools"))
from pack_normals import parts_of as normals_parts
from pack_towns import parts_of as towns_parts


def packed_file(folder: Path, parts: list[bytes], monkeypatch: pytest.MonkeyPatch) -> Packed:
    """A packed file in a folder, opened as one of the package."""
    (folder / "some.bin").write_bytes(packed.packed(parts))
    monkeypatch.setattr(packed, "files", lambda package: folder)
    return Packed("some.bin")


@given(st.lists(st.binary(max_size=300), max_size=8))
def test_every_part_comes_back_as_it_was_put_in(
    tmp_path_factory: pytest.TempPathFactory, parts: list[bytes]
) -> None:
    with pytest.MonkeyPatch.context() as patch:
        file = packed_file(tmp_path_factory.mktemp("packed"), parts, patch)
        assert [file.part(n) for n in reversed(range(len(file)))] == parts[::-1]


def test_another_file_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "other.bin").write_bytes(b"no such file at all")
    monkeypatch.setattr(packed, "files", lambda package: tmp_path)
    with pytest.raises(ValueError, match=r"other\.bin is no packed file"):
        Packed("other.bin")


def test_a_grid_is_read_as_it_was_packed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(1)
    shape = (normals.ROWS, normals.COLUMNS)
    land = rng.random(shape) < 0.3
    land[100:300, 200:500] = False
    layers = rng.integers(-32768, 32768, (normals.LAYERS, *shape), np.int16)
    file = packed_file(tmp_path, normals_parts(land, layers), monkeypatch)
    monkeypatch.setattr(normals, "_file", lambda: file)
    monkeypatch.setattr(normals, "_land", normals._land.__wrapped__)
    monkeypatch.setattr(normals, "_tile", normals._tile.__wrapped__)
    assert np.array_equal(normals._land(), land)
    rows = np.array([0, 0, 5, 31, 32, 90, 150, 719, 720])
    columns = np.arange(1430, 1475) % normals.COLUMNS
    wanted = np.where(land, layers, 0)[:, rows][:, :, columns]
    assert np.array_equal(normals._layers(rows, columns), wanted)


def test_towns_are_found_as_they_were_packed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def line(name: str, people: int, *others: str) -> str:
        cells = (name.lower(), name, "Land", "", "1", "2", "UTC", str(people), "12")
        return "\t".join((*cells, "|" + "".join(f"{other}|" for other in others)))

    lines = [line("Bo", 9, "old"), line("Ab", 8, "old"), line("Bo", 7), line("Ca", 6, "old", "bo"),
             line("Az", 5, "old")]  # fmt: skip
    file = packed_file(tmp_path, towns_parts(lines), monkeypatch)
    monkeypatch.setattr(towns, "_file", lambda: file)
    for name in ("_letters", "_under", "find_town"):
        monkeypatch.setattr(towns, name, getattr(towns, name).__wrapped__)
    assert [town.population for town in towns.find_town("bo")] == [9, 7]
    assert [town.population for town in towns.find_town("old")] == [9, 8, 6, 5]


def test_every_town_stands_under_its_letter() -> None:
    order = towns._file().part(1)
    counted = Counter(towns._letters()[number] for number in order)
    for letter in towns._letters():
        lines = towns._under(letter).split("\n")[1:-1]
        people = [int(line.split("\t")[7]) for line in lines]
        assert len(lines) == counted[letter]
        assert {line[0] for line in lines} == {letter}
        assert people == sorted(people, reverse=True)
    assert len(order) > 60_000


def test_other_names_are_answered_with_the_most_people_first() -> None:
    people = [town.population for town in find_town("Santa Rosa")]
    assert people == sorted(people, reverse=True)
    assert find_town("Londres")[0].name == "London"
