"""A minute of random input; ``script/fuzz`` runs longer, and from other seeds."""

from __future__ import annotations

import subprocess

from conftest import ROOT


def test_a_minute_of_random_input_breaks_nothing() -> None:
    command = [str(ROOT / "script/fuzz"), "--minutes", "1", "--workers", "1"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert '"failed": 0' in done.stdout
