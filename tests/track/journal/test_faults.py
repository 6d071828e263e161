"""Whatever a medium does, and in whatever order, the log ends whole; a power cut costs a second."""

import errno
import os
from pathlib import Path

import numpy as np
import pytest

from farglide.track.journal.frame import Kind
from farglide.track.journal.journal import SYNC_S, Journal
from farglide.track.journal.opening import begin, resume
from farglide.track.journal.payload import payload_of
from farglide.track.journal.reader import survey

from .faulty import Faulty
from .made import HEAD, moment, read, seeded

CODES = (0, 0, 0, errno.ENOSPC, errno.EIO, errno.EROFS, errno.ENODEV)


def strain(journal: Journal, faulty: Faulty, rng: np.random.Generator, at_s: float) -> float:
    """Append through changing faults; return the time."""
    for _ in range(int(rng.integers(1, 8))):
        faulty.code = CODES[int(rng.integers(len(CODES)))]
        faulty.is_sync_only = bool(rng.random() < 0.3)
        faulty.room_bytes = int(rng.integers(0, 90))
        for _ in range(int(rng.integers(1, 12))):
            at_s += float(rng.exponential(0.4))
            payload = payload_of({"x": "x" * int(rng.integers(0, 60))})
            journal.append(Kind.NOTE, payload, moment(at_s))
    return at_s


@pytest.mark.parametrize("seed", range(60))
def test_all_is_there_in_the_end(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, rng = tmp_path / "ride.log", seeded(seed)
    journal = begin(path, HEAD, moment(0.0))
    faulty = Faulty(path, monkeypatch)
    at_s = strain(journal, faulty, rng, 0.0)
    faulty.code = 0
    for n in range(2):
        journal.append(Kind.NOTE, b"{}", moment(at_s + 2.0 * (n + 1)))
    assert journal.alarm is None
    journal.close()
    found = survey(path)
    assert found.last.number == journal.last.number
    assert (found.n_lost, found.n_left, journal.n_dropped) == (0, 0, 0)


@pytest.mark.parametrize("seed", range(60, 100))
def test_what_was_taken_without_an_alarm_outlives_the_program(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, rng = tmp_path / "ride.log", seeded(seed)
    journal = begin(path, HEAD, moment(0.0))
    faulty = Faulty(path, monkeypatch)
    at_s = 0.0
    for _ in range(4):
        at_s = strain(journal, faulty, rng, at_s)
        kept = journal.last.number if journal.alarm is None else -1
        faulty.code = 0
        journal._medium._close()  # as the end of the process would
        resumed = resume(path, HEAD)
        assert resumed.found.last.number >= kept
        assert resumed.found.n_lost == 0
        journal = resumed.journal
    journal.close()
    assert survey(path).n_left == 0


def test_a_power_cut_costs_a_second_at_most(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "ride.log"
    journal = begin(path, HEAD, moment(0.0))
    kept = path.read_bytes()

    def fsync(_: int) -> None:
        nonlocal kept
        kept = path.read_bytes()

    monkeypatch.setattr(os, "fsync", fsync)
    rng, at_s = seeded(7), 0.0
    for _ in range(300):
        at_s += float(rng.uniform(0.0, 0.3))
        journal.append(Kind.NOTE, payload_of({"at": at_s}), moment(at_s))
        (tmp_path / "cut.log").write_bytes(kept)
        last_s = read(tmp_path / "cut.log")[-1].monotonic_s
        assert at_s - last_s < SYNC_S
    journal.close()
