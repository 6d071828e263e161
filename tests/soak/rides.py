"""The ride under soak: rides of one log killed at random, as often as asked for."""

import argparse
import tempfile
from pathlib import Path

import numpy as np
from tests.live.killed import kill_rides
from tests.live.made import SPECS, begun, no_tables

from farglide.cli.plan import DEMO
from farglide.flightfile.flightfile import read_flight_file
from farglide.live.session import Session
from farglide.track.journal.reader import survey


def main() -> None:
    """Kill rides and tell what the log then holds; end with an error where something is lost."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak.rides", description=__doc__)
    parser.add_argument("--times", type=int, default=50)
    parser.add_argument("--seed", type=int, default=4)
    asked = parser.parse_args()
    sortie = read_flight_file(DEMO).sortie
    turns = np.random.default_rng(asked.seed).integers(4, 100, asked.times).tolist()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ride.log"
        begun(path, sortie, no_tables).running.close()
        kill_rides(path, Session(sortie, SPECS, no_tables), turns)
        found = survey(path)
    print(f"killed {asked.times} times: {found.n_records} records, none lost of those told")


if __name__ == "__main__":
    main()
