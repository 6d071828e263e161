"""When alarms of a leak and of a float come: `python -m bench.alarms [--out FILE]`."""

import argparse
import sys
from dataclasses import replace
from pathlib import Path

from bench.alarms.delays import AIRS, alarms_of, climbs, delay_rows, delays_in
from farglide.chances.ensemble import drawn_ensemble
from farglide.cli.plan import DEMO
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather
from farglide.sortie.grain import Grain


def main() -> None:
    """Print the table, and write it where asked for."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path)
    parser.add_argument("--flights", type=int, default=40)
    wanted = parser.parse_args()
    flight = read_flight_file(DEMO)
    assert flight.sortie.wind is not None
    pack = gather(flight.sortie, flight.path.parent / flight.sortie.wind.path, "")
    sortie = replace(flight.sortie, links=(), stands=(), terrain=None)
    before = drawn_ensemble(sortie, pack.sounding, Grain(n_draws=100, prices_mps=(8.0,), slab=5))
    found = []
    for air in AIRS:
        sound, leaking = (
            list(climbs(sortie, pack.sounding, wanted.flights, leaks, air))
            for leaks in (False, True)
        )
        found += [delays_in(alarm, air, sound, leaking) for alarm in alarms_of(before)]
    text = "\n".join(delay_rows(found, wanted.flights)) + "\n"
    sys.stdout.write(text)
    if wanted.out:
        wanted.out.write_text(text)


if __name__ == "__main__":
    main()
