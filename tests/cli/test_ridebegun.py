"""A ride begun: the log holds the flight, and goes on where it stood."""

from pathlib import Path

import pytest

from farglide.cli.inputs import Wanted
from farglide.cli.plan import DEMO
from farglide.cli.ridebegun import Typed, begun
from farglide.errors import InputError
from farglide.live.feeds.reader import Clocks
from farglide.live.ride.state import Ride
from farglide.sortie.grain import Grain

T_S = 1_800_697_200.0


def typed(tmp_path: Path, *feeds: str, speed: float | None = None) -> Typed:
    return Typed(log=tmp_path / "ride.log", feeds=feeds, grain=Grain(n_draws=60), speed=speed)


def wanted() -> Wanted:
    return Wanted(file=DEMO, winds=None, pack=None, out=None)


def test_a_new_log_is_begun_and_gone_on_with(tmp_path: Path) -> None:
    clocks = Clocks(lambda: 5.0, lambda: T_S)
    first = begun(wanted(), typed(tmp_path, "tracker=udp://:5005"), clocks, lambda: None)
    assert [one.name for one in first.specs] == ["tracker"]
    assert first.notes == ()
    assert first.terrain is not None
    assert isinstance(first.running.ride, Ride)
    first.running.close()
    again = begun(wanted(), typed(tmp_path), clocks, lambda: None)
    again.running.close()
    assert again.notes[0].startswith("Gone on with after")


def test_a_feed_that_is_none_is_refused(tmp_path: Path) -> None:
    clocks = Clocks(lambda: 5.0, lambda: T_S)
    with pytest.raises(InputError, match="feed is 'udp'"):
        begun(wanted(), typed(tmp_path, "udp"), clocks, lambda: None)


def test_a_rehearsal_s_clock_runs_faster(tmp_path: Path) -> None:
    now = [5.0]
    clocks = Clocks(lambda: now[0], lambda: T_S)
    found = begun(wanted(), typed(tmp_path, speed=10.0), clocks, lambda: None)
    found.running.close()
    before = found.clocks.monotonic_s()
    now[0] += 1.0
    assert found.clocks.monotonic_s() - before == pytest.approx(10.0)
