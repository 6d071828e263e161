"""Running: each byte in the log before it counts; ticks, tables and advice in their turn."""

from dataclasses import replace
from pathlib import Path

import pytest

from farglide.live.feeds.inbox import Inbox
from farglide.live.ride.slow import Maker
from farglide.live.running import SUMMED_EVERY_S, moment_of
from farglide.sortie.spec import Sortie
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.payload import raw_of
from farglide.track.journal.reader import open_log, survey
from farglide.track.reports import Fix, Raw

from .made import Crew, begun, gone_on, nmea, no_tables


def records(path: Path) -> list[Record]:
    with open_log(path) as (_, scan):
        return list(scan)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return tmp_path / "ride.log"


@pytest.fixture
def crew(log: Path, sortie: Sortie) -> Crew:
    return begun(log, sortie, no_tables)


def test_bytes_are_logged_as_they_came_and_each_fix_behind_them(
    crew: Crew, log: Path, climb: tuple[Fix, ...]
) -> None:
    said = b"".join(nmea(one) for one in climb[:4])
    crew.at(31.0)
    crew.running.take(raw(crew, said), crew.clocks)
    found = records(log)
    kinds = [one.kind for one in found if one.kind not in (Kind.HEAD, Kind.TICK)]
    assert kinds[0] is Kind.RAW
    assert raw_of(next(one for one in found if one.kind is Kind.RAW)).data == said
    assert kinds.count(Kind.FIX) >= 2


def raw(crew: Crew, data: bytes) -> Raw:
    return Raw(feed="tracker", monotonic_s=crew.at_s, utc_s=crew.t_s, data=data)


def test_time_passes_each_second_and_not_more_often(crew: Crew, log: Path) -> None:
    for tenth in range(50):
        crew.at(-500.0 + 0.1 * tenth)
        crew.turn()
    assert sum(one.kind is Kind.TICK for one in records(log)) == pytest.approx(5, abs=1)


def test_what_an_inbox_holds_is_taken_in_its_order(
    crew: Crew, log: Path, climb: tuple[Fix, ...]
) -> None:
    inbox = Inbox(["tracker", "second"])
    for k, feed in enumerate(("tracker", "second", "tracker")):
        crew.at(10.0 * k)
        inbox.put(Raw(feed=feed, monotonic_s=crew.at_s, utc_s=crew.t_s, data=nmea(climb[k])))
    crew.running.turn(inbox, crew.clocks, 0.0)
    told = [raw_of(one).feed for one in records(log) if one.kind is Kind.RAW]
    assert told == ["tracker", "second", "tracker"]


def test_an_advice_stands_in_the_log_before_it_is_published(
    log: Path, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    crew = begun(log, sortie, make)
    seen: list[Kind] = []
    crew.running._publish = lambda _: seen.append(records(log)[-1].kind)
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    for fix in climb[1:6]:
        crew.hears(fix)
    assert len(seen) >= 5
    assert set(seen) == {Kind.ADVICE}


def test_tables_are_summed_anew_in_their_time_and_what_is_begun_is_told(
    log: Path, sortie: Sortie, make: Maker
) -> None:
    crew = begun(log, sortie, make)
    crew.at(0.0)
    crew.types("launched")
    for second in range(0, 45, 5):
        crew.at(float(second))
        crew.sums()
    learnt = [one.payload for one in records(log) if one.kind is Kind.LEARNT]
    begins = [one for one in learnt if b"begun_t_s" in one]
    assert len(begins) == 1 + int(40.0 / SUMMED_EVERY_S)
    assert learnt.count(b'{"used":true}') == len(begins)


def test_a_flight_that_is_over_sums_nothing(crew: Crew, log: Path) -> None:
    crew.at(0.0)
    crew.types("launched")
    crew.types("landed")
    crew.turn()
    assert not crew.running.beside.is_busy


def test_an_end_finishes_the_log_and_without_one_it_goes_on(
    crew: Crew, log: Path, sortie: Sortie
) -> None:
    crew.types("q 3")
    crew.running.close()
    assert not survey(log).is_finished
    again = gone_on(log, sortie, no_tables, crew.t_s + 60.0)
    assert again.at_s >= crew.at_s
    again.running.end(moment_of(again.clocks))
    again.running.close()
    assert survey(log).is_finished
    assert again.running.ride.is_over


def test_a_tracker_that_tells_feet_is_shown_and_its_heights_do_not_count(
    crew: Crew, climb: tuple[Fix, ...]
) -> None:
    for one in climb[:40]:
        crew.hears(replace(one, height_m=(one.height_m or 0.0) / 0.3048))
    ride = crew.running.ride
    assert "does it tell feet?" in ride.noted[0].text
    assert ride.kept == ()
    believed = ride.feed("tracker").believed
    assert believed is not None
    assert believed.fix.height_m is None


def test_a_late_launch_that_nobody_marks_is_told_by_the_climb(
    crew: Crew, climb: tuple[Fix, ...]
) -> None:
    late_s = 420.0
    for one in climb[:12]:
        crew.hears(replace(one, t_s=(one.t_s or 0.0) + late_s))
    launch = crew.running.session.launch(crew.running.ride)
    assert launch.t_s == pytest.approx(crew.launch_t_s + late_s, abs=4.0)


def test_however_much_has_come_one_turn_brings_one_advice(
    log: Path, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    crew = begun(log, sortie, make)
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    inbox, n_before = Inbox(["tracker"]), len(crew.published)
    for fix in climb[1:9]:
        crew.at((fix.t_s or 0.0) - crew.launch_t_s + 0.1)
        inbox.put(raw(crew, nmea(fix)))
    assert inbox.oldest_s() == pytest.approx(crew.at_s - 70.0)
    crew.running.turn(inbox, crew.clocks, 0.0)
    assert len(crew.published) == n_before + 1
    assert crew.running.ride.newest is not None
    assert crew.running.ride.newest.t_s == climb[8].t_s
    assert inbox.oldest_s() is None
    assert crew.running.taking_s is None


def test_a_long_sum_is_followed_by_a_rest(log: Path, sortie: Sortie) -> None:
    crew = begun(log, sortie, no_tables)
    crew.at(0.0)
    crew.types("launched")
    crew.turn()
    crew.at(30.0)  # so long it took
    crew.sums()
    assert crew.running.trouble.startswith("none of ")
    began_s = crew.running.begun_s
    crew.at(55.0)
    crew.turn()
    assert crew.running.begun_s == began_s
    crew.at(61.0)
    crew.sums()
    assert crew.running.begun_s > began_s
