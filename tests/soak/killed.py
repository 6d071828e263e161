"""The log under soak: writers of one log killed at random, as often as asked for."""

import argparse
import tempfile
from pathlib import Path

from tests.track.journal.made import HEAD, moment
from tests.track.journal.test_killed import kill_often

from farglide.track.journal.opening import begin
from farglide.track.journal.reader import survey


def main() -> None:
    """Kill writers and tell what the log then holds; end with an error where something is lost."""
    parser = argparse.ArgumentParser(prog="python -m tests.soak.killed", description=__doc__)
    parser.add_argument("--times", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=4)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "ride.log"
        begin(path, HEAD, moment(0.0)).close()
        kill_often(path, asked.times, asked.seed)
        found = survey(path)
    print(f"killed {asked.times} times: {found.n_records} records, none lost of those told")


if __name__ == "__main__":
    main()
