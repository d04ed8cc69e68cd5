"""Packages that load their modules on demand offer what they name, and nothing else."""

from __future__ import annotations

import importlib
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import bedwright
from bedwright.ondemand import offered

SOURCE = Path(bedwright.__file__).parent
DOORS = sorted(
    ".".join(("bedwright", *path.parent.relative_to(SOURCE).parts))
    for path in SOURCE.rglob("__init__.py")
    if "on_demand(__name__" in path.read_text(encoding="utf-8")
)


def source_of(package: str) -> str:
    """The text of a package's own file."""
    return Path(importlib.import_module(package).__file__).read_text(encoding="utf-8")


def test_there_are_such_packages() -> None:
    assert {"bedwright.catalogue", "bedwright.planting", "bedwright.report"} <= set(DOORS)


@pytest.mark.parametrize("package", DOORS)
def test_every_name_is_there(package: str) -> None:
    module = importlib.import_module(package)
    assert set(offered(source_of(package))) <= set(module.__all__)
    for name in module.__all__:
        assert getattr(module, name) is not None


@pytest.mark.parametrize("package", DOORS)
def test_no_name_on_demand_is_a_module_of_the_package(package: str) -> None:
    module = importlib.import_module(package)
    modules = {found.name for found in pkgutil.iter_modules(module.__path__)}
    assert not modules & set(offered(source_of(package)))


def test_a_name_that_is_not_there_is_answered_as_ever() -> None:
    with pytest.raises(AttributeError, match=r"module 'bedwright\.report' has no attribute 'no'"):
        importlib.import_module("bedwright.report").no  # noqa: B018


def test_the_names_of_a_source() -> None:
    source = (
        "from a import b\nif TYPE_CHECKING:\n    from c.d import e, f as g\nelse:\n    pass\n"
        "if other:\n    from h import i\n"
    )
    assert offered(source) == {"e": ("c.d", "e"), "g": ("c.d", "f")}


def test_a_module_is_loaded_when_something_of_its_own_is_asked_for() -> None:
    code = (
        "import sys, bedwright.planting as p;"
        "assert 'bedwright.planting.layout' not in sys.modules;"
        "p.COLOUR_WORDS; assert 'bedwright.planting.layout' not in sys.modules;"
        "p.make_planting; assert 'bedwright.planting.layout' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=120)
