"""Writes atmosphere.json beside itself: the standard atmosphere as the library fluids has it.

    /usr/bin/python3 packages/core/test/reference/atmosphere/generate.py

Needs Debian's python3-fluids (12, "bookworm"), which is under the MIT licence; the file holds numbers that it computed, none of its code.
Up to 32 km the U.S. Standard Atmosphere of 1976 is that of ISO 2533 and of ICAO.
"""
import json
from pathlib import Path

import fluids
from fluids.atmosphere import ATMOSPHERE_1976

HEIGHTS_M = [-300, 0, 120, 500, 1000, 1500, 2000, 3000, 4500, 6000]


def main() -> None:
    at = [(height, ATMOSPHERE_1976(height)) for height in HEIGHTS_M]
    answer = {
        "script": "packages/core/test/reference/atmosphere/generate.py",
        "versions": {"fluids": fluids.__version__},
        "licence": "MIT (fluids)",
        "atmosphere": [{"heightM": h, "temperatureK": a.T, "pressurePa": a.P, "densityKgM3": a.rho} for h, a in at],
    }
    Path(__file__).with_name("atmosphere.json").write_text(json.dumps(answer, indent=1) + "\n")


main()
