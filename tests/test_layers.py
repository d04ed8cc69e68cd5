"""What a stage may do: it knows others by their front doors, touches nothing outside the program,
and makes no sentences (import-linter holds the direction of imports)."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from conftest import ROOT

SOURCE = ROOT / "src/bedwright"
PACKAGES = {path.name for path in SOURCE.iterdir() if (path / "__init__.py").exists()}
STAGES = ("climate", "growth", "light", "ground", "planting", "work", "plan.py", "geometry.py")


def modules(stage: str) -> Iterator[tuple[Path, ast.Module]]:
    """The modules of a stage with their syntax trees."""
    paths = [SOURCE / stage] if stage.endswith(".py") else sorted((SOURCE / stage).rglob("*.py"))
    for path in paths:
        yield path, ast.parse(path.read_text())


def imports(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Module and name of every import; an empty name for a module as a whole."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, "") for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from ((node.module or "", alias.name) for alias in node.names)


def test_no_module_reaches_past_a_front_door() -> None:
    reaching = []
    for path in SOURCE.rglob("*.py"):
        own = path.relative_to(SOURCE).parts[0]
        for module, _ in imports(ast.parse(path.read_text())):
            parts = module.split(".")
            inside = len(parts) > 2 and parts[0] == "bedwright" and parts[1] in PACKAGES
            if inside and parts[1] != own and own != "cli":
                reaching.append(f"{path.relative_to(SOURCE)}: {module}")
    assert reaching == []


OUTSIDE = {
    "glob", "io", "os", "pathlib", "random", "requests", "secrets", "shutil", "socket",
    "subprocess", "sys", "tempfile", "time", "urllib", "uuid",
}  # fmt: skip
"""Modules by which a function would know more than it is given."""

ASKS = {
    "now", "today", "utcnow", "monotonic", "perf_counter", "getenv", "environ", "open", "input",
    "read_text", "write_text", "write_bytes", "read_csv", "loadtxt", "genfromtxt", "fromfile",
    "default_rng()", "seed",
}  # fmt: skip

DATA_READERS = {
    "climate/normals.py", "climate/packed.py", "climate/towns.py", "climate/model.py",
    "ground/materials.py", "ground/rates.py", "growth/rates.py", "work/rates.py",
}  # fmt: skip
"""Modules that read the package's own data, once, through importlib.resources."""


def called(node: ast.Call) -> str:
    """Name of the function called; with (), of one that is called without arguments."""
    function = node.func
    name = function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")
    return f"{name}()" if name == "default_rng" and not node.args else name


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_knows_only_what_it_is_given(stage: str) -> None:
    """No clock, file, environment, network or dice of its own."""
    found = []
    for path, tree in modules(stage):
        name = str(path.relative_to(SOURCE))
        allowed = {"read_text", "read_bytes", "open"} if name in DATA_READERS else set()
        found += [f"{name}: {m}" for m, _ in imports(tree) if m.split(".")[0] in OUTSIDE]
        calls = {called(node) for node in ast.walk(tree) if isinstance(node, ast.Call)}
        attributes = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        asked = (calls & (ASKS | {"read_bytes"})) | (attributes & {"environ"})
        found += [f"{name}: {word}" for word in sorted(asked - allowed)]
        if "files" in calls and name not in DATA_READERS:
            found.append(f"{name}: importlib.resources")
    assert found == []


SENTENCE = re.compile(r"[^\W\d_]{2,}[,;:]? +[^\W\d_]+[,;:]? +[^\W\d_]{2,}")
"""Three words in a row."""


def texts(tree: ast.Module) -> Iterator[str]:
    """String constants but docstrings, and those of errors for whoever calls a function wrongly."""
    spared: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr):  # docstrings, of functions and of names
            spared.update(
                id(part) for part in ast.walk(node.value) if isinstance(node.value, ast.Constant)
            )
        misuse = ("ValueError", "TypeError", "AssertionError")
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") in misuse:
            spared.update(id(part) for part in ast.walk(node))
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in spared
        ):
            yield node.value


WORDED_ELSEWHERE = (
    "climate", "growth", "light", "ground", "geometry.py", "planting", "work", "plan.py",
)  # fmt: skip
"""Stages that state facts and no more."""


@pytest.mark.parametrize("stage", WORDED_ELSEWHERE)
def test_a_stage_makes_no_sentences(stage: str) -> None:
    """It states facts; ``report`` words them.  It uses no units but to read quantities."""
    found = [
        f"{path.relative_to(SOURCE)}: {text}"
        for path, tree in modules(stage)
        for text in texts(tree)
        if SENTENCE.search(text)
    ]
    found += [
        f"{path.relative_to(SOURCE)}: {name}"
        for path, tree in modules(stage)
        for module, name in imports(tree)
        if module == "bedwright.units" and (name.startswith("say") or name in ("System", "trim"))
    ]
    assert found == []
