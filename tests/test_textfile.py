"""Text files as people save them."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from bedwright.textfile import TextFileError, read_text_file

TEXT = "town = 'Málaga'\nheight = \"5 ft\"\n"


@pytest.mark.parametrize(
    "coding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32"]
)
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_codings_and_line_ends_are_understood(tmp_path: Path, coding: str, end: str) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(TEXT.replace("\n", end).encode(coding))
    assert read_text_file(path, 1000) == TEXT


def test_one_byte_codings_only_where_they_are_allowed(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes("date,tmin (°F)\n".encode("cp1252"))
    assert read_text_file(path, 1000, "cp1252") == "date,tmin (°F)\n"
    with pytest.raises(TextFileError, match=r"line 1.*UTF-8"):
        read_text_file(path, 1000)


def test_a_picture_is_no_text_in_any_coding(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0")
    with pytest.raises(TextFileError, match="UTF-8"):
        read_text_file(path, 1000, "cp1252")


def test_a_file_at_the_limit_is_read_and_one_beyond_is_not(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_bytes(b"#" * 1000)
    assert len(read_text_file(path, 1000)) == 1000
    path.write_bytes(b"#" * 1001)
    with pytest.raises(TextFileError, match="1,001 bytes"):
        read_text_file(path, 1000)


def test_what_is_no_regular_file_is_refused_without_reading_it(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path, said in (
        (Path("/dev/zero"), "a device or a pipe"),
        (tmp_path / "pipe", "a device or a pipe"),
        (tmp_path, "a folder"),
        (tmp_path / "a\0b", "a name that no file can have"),
    ):
        with pytest.raises(TextFileError, match=said):
            read_text_file(path, 1000)
    with pytest.raises(FileNotFoundError):
        read_text_file(tmp_path / "none", 1000)
