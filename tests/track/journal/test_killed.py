"""A writer that is killed at any moment has lost nothing that it said was written."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from farglide.track.journal.opening import begin, resume
from farglide.track.journal.reader import survey

from .made import HEAD, moment, seeded

WRITES = """
import itertools, os, sys
from pathlib import Path
from farglide.track.journal.frame import Kind
from farglide.track.journal.journal import Moment
from farglide.track.journal.opening import resume
from farglide.track.journal.reader import survey

path = Path(sys.argv[1])
journal = resume(path, survey(path).head).journal
began_s = journal.last.monotonic_s
for n in itertools.count(1):
    when = Moment(began_s + 0.05 * n, 1.8e9 + n)
    number = journal.append(Kind.RAW, b"\\x04feed" + b"x" * (n * 37 % 700), when)
    os.write(1, number.to_bytes(8, "little"))
"""
"""Goes on with a log, tells each number once it is written, never ends by itself."""


def killed_at(path: Path, n_told: int, spins: int) -> int:
    """Run a writer, kill it some time after so many records; return the last number it told."""
    command = [sys.executable, "-c", WRITES, str(path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        told = writer.stdout.read(8 * n_told)
        for _ in range(spins):  # a part of a record further, whatever the machine
            os.getpid()
        writer.kill()
        told += writer.stdout.read()
    return int.from_bytes(told[-8 - len(told) % 8 :][:8], "little")


@pytest.mark.slow
def test_fifty_writers_killed_at_random_lose_nothing_they_told(tmp_path: Path) -> None:
    path = tmp_path / "ride.log"
    begin(path, HEAD, moment(0.0)).close()
    kill_often(path, 50, seed=3)


def kill_often(path: Path, n_times: int, seed: int) -> None:
    """Kill writers of one log; after each, it holds all that was told, and its numbers go on."""
    rng, last = seeded(seed), 0
    for _ in range(n_times):
        told = killed_at(path, int(rng.integers(1, 200)), int(rng.integers(0, 3000)))
        found = survey(path)
        assert found.last.number >= told > last
        assert found.n_lost == 0
        assert found.n_records == found.last.number + 1
        last = found.last.number
    resumed = resume(path, HEAD)
    assert resumed.found.last.number == last
    resumed.journal.close()
    assert survey(path).n_left == 0
