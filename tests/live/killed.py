"""A ride in a process of its own that is killed: it tells what it took notice of as it goes."""

import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

from farglide.live.resume import behind
from farglide.live.session import Session
from farglide.track.journal.reader import survey

RIDES = """
import itertools, os, sys
from pathlib import Path
from farglide.flightfile.flightfile import read_flight_file
from farglide.cli.plan import DEMO
from tests.live.made import gone_on, no_tables
from farglide.track.reports import Fix

sortie = read_flight_file(DEMO).sortie
crew = gone_on(Path(sys.argv[1]), sortie, no_tables, sortie.launch.t_s + float(sys.argv[2]))
print("ready", flush=True)
for n in itertools.count(1):
    t_s = crew.t_s + 1.0
    up_s = t_s - sortie.launch.t_s
    crew.hears(Fix(feed="tracker", lat_deg=-46.5, lon_deg=108.0, t_s=t_s - 0.1,
                   height_m=240.0 + 5.0 * up_s))
    if n % 5 == 0:
        crew.types(f"q {n % 6}")
    ride = crew.running.ride
    print(crew.running.journal.last.number, len(ride.entries), len(ride.kept), flush=True)
"""


def killed_ride(path: Path, after_s: float, n_turns: int) -> tuple[int, int, int]:
    """Go on with a ride, kill it after some turns; return what it had told last.

    Of the log the last number; then how many entries and fixes the ride held.
    """
    command = [sys.executable, "-c", RIDES, str(path), str(after_s)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as rider:
        assert rider.stdout is not None
        assert rider.stdout.readline() == "ready\n"
        said = "".join(rider.stdout.readline() for _ in range(n_turns))
        rider.kill()
        said += rider.stdout.read()
    number, n_entries, n_kept = said.split("\n")[:-1][-1].split()  # the last whole line
    return int(number), int(n_entries), int(n_kept)


def kill_rides(path: Path, session: Session, turns: Iterable[int]) -> None:
    """Kill rides of one log after so many turns each; what they took notice of is there again."""
    for k, n_turns in enumerate(turns):
        number, n_entries, n_kept = killed_ride(path, 100.0 * (k + 1), n_turns)
        ride, _ = behind(session, path)
        assert survey(path).last.number >= number > 0
        assert len(ride.entries) >= n_entries
        assert len(ride.kept) >= n_kept > 0
