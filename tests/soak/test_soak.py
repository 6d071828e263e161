"""A small slice of the soak: every reader with mutated files, and the soak itself finds faults."""

import os
import signal
from pathlib import Path

import pytest

from farglide.errors import FarglideError
from farglide.sortie.feeds import FORMATS

from . import soak
from .readers import READERS, Reader
from .soak import Fault, apart, data_of, slices, soaked

FEW = 60


@pytest.mark.parametrize("name", READERS)
def test_mutated_files_are_read_or_refused_by_name(name: str) -> None:
    came = soaked(name, range(FEW))
    assert came.faults == ()
    assert came.n_read + came.n_refused == FEW
    assert came.n_refused > 0


@pytest.mark.parametrize("name", READERS)
def test_whole_files_are_read(name: str, tmp_path: Path) -> None:
    reader = READERS[name]
    for k, whole in enumerate(reader.wholes()):
        path = tmp_path / f"{k}{reader.suffix}"
        path.write_bytes(whole)
        reader.ask(path)


def test_the_bars_are_those_that_were_set() -> None:
    asked = {name: reader.n_asked for name, reader in READERS.items()}
    assert {name for name, n in asked.items() if n == 5_000} == {"bufr", "grib"}
    logs = {name for name in READERS if name.startswith("log") or name.endswith("track")}
    feeds = {f"feed-{form}" for form in FORMATS}
    assert {name for name, n in asked.items() if n == 100_000} == logs | feeds | {"typed"}
    assert set(asked.values()) == {5_000, 20_000, 100_000}
    assert (soak.MOST_S, soak.MOST_BYTES) == (5.0, 1 << 30)


def test_one_number_is_one_file() -> None:
    files = [data_of("csv", n) for n in range(30)]
    assert files == [data_of("csv", n) for n in range(30)]
    assert len(set(files)) > 25
    assert data_of("igra", 3) != data_of("csv", 3)


def asking(ask: object) -> Reader:
    return Reader(n_asked=9, wholes=lambda: [b"1"], ask=ask, suffix=".x")  # type: ignore[arg-type]


def test_an_error_without_a_name_is_a_fault() -> None:
    def fails(path: Path) -> None:
        raise ValueError(path.name)

    (fault,) = soaked("made up", range(7, 8), asking(fails)).faults
    assert fault.n == 7
    assert fault.what.endswith("ValueError: a.x\n")


def test_a_refusal_without_words_is_a_fault() -> None:
    def refuses(_: Path) -> None:
        raise FarglideError

    assert soaked("made up", range(1), asking(refuses)).faults == (Fault(0, "no words"),)


def test_more_than_a_gigabyte_is_a_fault() -> None:
    came = soaked("made up", range(1), asking(lambda _: bytes(3 << 30)))
    assert came.faults[0].what.endswith("MemoryError\n")
    assert soaked("made up", range(1), asking(lambda _: bytes(1 << 20))).n_read == 1


def test_more_than_five_seconds_are_a_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    ticks = iter([0.0, 4.9, 10.0, 15.2])
    monkeypatch.setattr(soak.time, "process_time", lambda: next(ticks))
    came = soaked("made up", range(2), asking(lambda _: None))
    assert came.faults == (Fault(1, "read or refused after 5.2 s"),)
    assert came.slowest_s == pytest.approx(5.2)


@pytest.mark.slow
def test_a_process_that_ends_is_a_fault_and_the_next_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def ends(path: Path) -> None:
        if path.read_bytes() == data_of("made up", 2):
            os.kill(os.getpid(), signal.SIGKILL)

    monkeypatch.setitem(READERS, "made up", asking(ends))
    came = apart("made up", range(5))
    assert [fault.n for fault in came.faults] == [2]
    assert "ended with -9" in came.faults[0].what
    assert came.n_read == 4


def test_slices_go_on_where_they_ended() -> None:
    assert list(slices("bufr", 4_800, 10**9, 150)) == [range(4_800, 4_950), range(4_950, 5_000)]
    assert list(slices("csv", 0, 100, 250)) == [range(100)]
    assert list(slices("csv", 20_000, 10**9, 250)) == []
