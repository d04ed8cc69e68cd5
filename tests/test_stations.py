"""How the tools read stations and their days."""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest

from stations import read_table, records, series_of

DAYS = "date,tmin_c,tmax_c\n" + "\n".join(
    f"20{year:02d}-{month:02d}-{day:02d},{month}.5,{month + 9}"
    for year in (1, 2)
    for month in range(1, 13)
    for day in range(1, 29)
)


def test_records_are_read_plain_or_packed_at_their_heights(tmp_path: Path) -> None:
    (tmp_path / "stations.csv").write_text(
        "# from a service\nstation,lat,lon,elev_m\nA,53.27,-9.05,40\nAB,53.27,-9.05,\n"
    )
    (tmp_path / "A.csv").write_text(DAYS)
    (tmp_path / "AB.csv.gz").write_bytes(gzip.compress(DAYS.encode()))
    (low, one, here), (_, two, there) = records(tmp_path)
    assert low == "A"
    assert one.name == "A.csv"
    assert two.name == "AB.csv.gz"
    assert one.tmin_c[:28].tolist() == [1.5] * 28
    assert (one.tmin_c[:28] == two.tmin_c[:28]).all()
    assert here.site.altitude_m == 40.0
    assert there.site.altitude_m == there.normals.altitude_m


def test_comments_are_no_rows_and_a_missing_series_is_named(tmp_path: Path) -> None:
    (tmp_path / "t.csv").write_text("# one\na,b\n1,2\n# two\n3,4\n")
    assert read_table(tmp_path / "t.csv") == [{"a": "1", "b": "2"}, {"a": "3", "b": "4"}]
    with pytest.raises(FileNotFoundError, match=r"no C\.csv or C\.csv\.gz"):
        series_of(tmp_path, "C")
