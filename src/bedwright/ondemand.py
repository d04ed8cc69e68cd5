"""Packages whose modules are loaded when something of theirs is first asked for.

A package's ``__init__.py`` names under ``if TYPE_CHECKING:`` what it offers, for type checkers and
readers, and hands its own path over::

    if TYPE_CHECKING:
        from package.part import One, Two
    else:
        __getattr__ = on_demand(__name__, __file__)

A name that is a module of the package, too, has to be imported above that instead: importing the
module would put it in the name's place.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any


def on_demand(package: str, file: str) -> Callable[[str], Any]:
    """The ``__getattr__`` (PEP 562) of a package, by what its file imports where types are
    checked."""
    where = offered(Path(file).read_text(encoding="utf-8"))

    def load(name: str) -> Any:
        if name not in where:
            raise AttributeError(f"module {package!r} has no attribute {name!r}")
        module, original = where[name]
        value = getattr(import_module(module), original)
        setattr(sys.modules[package], name, value)  # asked for once
        return value

    return load


def offered(source: str) -> dict[str, tuple[str, str]]:
    """What a source imports under ``if TYPE_CHECKING:``: each name with its module, and what it is
    called there."""
    return {
        alias.asname or alias.name: (line.module or "", alias.name)
        for block in ast.parse(source).body
        if isinstance(block, ast.If) and getattr(block.test, "id", "") == "TYPE_CHECKING"
        for line in block.body
        if isinstance(line, ast.ImportFrom)
        for alias in line.names
    }
