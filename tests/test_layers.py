"""A stage knows another only by its front door (import-linter holds the direction)."""

from __future__ import annotations

import ast

from conftest import ROOT

SOURCE = ROOT / "src/bedwright"
PACKAGES = {path.name for path in SOURCE.iterdir() if (path / "__init__.py").exists()}


def test_no_module_reaches_past_a_front_door() -> None:
    reaching = []
    for path in SOURCE.rglob("*.py"):
        own = path.relative_to(SOURCE).parts[0]
        for node in ast.walk(ast.parse(path.read_text())):
            if not isinstance(node, ast.ImportFrom) or node.module is None:
                continue
            parts = node.module.split(".")
            inside = len(parts) > 2 and parts[0] == "bedwright" and parts[1] in PACKAGES
            if inside and parts[1] != own and own != "cli":
                reaching.append(f"{path.relative_to(SOURCE)}: {node.module}")
    assert reaching == []


def test_stages_read_no_clock_file_or_network() -> None:
    """The edge alone opens files of the user's, asks the time, or draws a page."""
    forbidden = {"datetime.now", "date.today", "time.time", "open(", "requests", "urllib", "socket"}
    stages = ("climate", "growth", "light", "ground", "planting", "work")
    found = []
    for stage in (*stages, "plan.py", "geometry.py"):
        paths = [SOURCE / stage] if stage.endswith(".py") else (SOURCE / stage).rglob("*.py")
        for path in paths:
            text = path.read_text()
            found += [f"{path.name}: {word}" for word in sorted(forbidden) if word in text]
    assert found == []
