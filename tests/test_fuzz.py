"""The first seeds of random input; ``script/fuzz`` tries more of them."""

from __future__ import annotations

import subprocess

from conftest import ROOT


def test_the_first_random_inputs_break_nothing() -> None:
    command = [str(ROOT / "script/fuzz"), "--minutes", "10", "--count", "4", "--workers", "1"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert '"failed": 0' in done.stdout
