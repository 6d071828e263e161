"""Session: what each record does to a ride, what is advised then, and it all again from a log."""

from dataclasses import replace
from pathlib import Path

import pytest

from farglide.errors import SourceError
from farglide.live.resume import Replayed, begin_at, replay
from farglide.live.ride.phase import Phase, phase_of
from farglide.live.ride.slow import Maker
from farglide.live.ride.state import Ride
from farglide.live.running import moment_of
from farglide.live.session import Session
from farglide.outlook.advice import Level
from farglide.outlook.after import Stage
from farglide.outlook.freshness import Freshness
from farglide.sortie.spec import Sortie
from farglide.track.journal.frame import Kind, Record
from farglide.track.journal.journal import Moment
from farglide.track.journal.reader import open_log
from farglide.track.reports import Fix
from farglide.track.typed.entries import MarkKind

from .made import HEAD, SPECS, Crew, begun, gone_on, moved, near, no_tables


def replayed(path: Path, sortie: Sortie, make: Maker) -> list[Replayed]:
    """Return each advice of a log beside its replay."""
    return list(replay(sortie, SPECS, path, make))


def up_for(crew: Crew, climb: tuple[Fix, ...], minutes: float) -> None:
    """Launch on time and hear the climb for some minutes, a fix each ten seconds."""
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    for fix in climb[1 : int(6 * minutes) + 1]:
        crew.hears(fix)
    crew.sums()


@pytest.fixture
def crew(tmp_path: Path, sortie: Sortie, make: Maker) -> Crew:
    return begun(tmp_path / "ride.log", sortie, make)


def test_nothing_is_advised_on_the_hand(crew: Crew) -> None:
    crew.turn()
    assert crew.published == []
    assert phase_of(crew.running.ride, crew.running.session.sortie.launch, crew.t_s) is Phase.HAND
    assert not crew.running.beside.is_busy


def test_from_the_launch_on_there_is_advice_without_a_fix(crew: Crew) -> None:
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    found = crew.published[-1]
    assert found.after_launch_s == pytest.approx(0.0, abs=1e-6)
    assert found.release is not None
    assert found.place.amsl_m == pytest.approx(crew.running.session.sortie.launch.amsl_m, abs=1.0)


def test_each_fix_is_answered_at_once_where_it_is(crew: Crew, climb: tuple[Fix, ...]) -> None:
    up_for(crew, climb, 10.0)
    fix = climb[61]
    n = len(crew.published)
    crew.hears(fix)
    found = crew.published[n]
    assert found.place.lat_deg == pytest.approx(fix.lat_deg, abs=1e-6)
    assert found.place.amsl_m == pytest.approx(fix.height_m or 0.0, abs=0.1)
    assert found.data is Freshness.FRESH
    assert found.place.seen_after_launch_s == pytest.approx(610.0, abs=1e-3)


def test_silence_ages_and_the_draws_go_on(crew: Crew, climb: tuple[Fix, ...]) -> None:
    up_for(crew, climb, 10.0)
    told = {}
    for age_s in (10.0, 20.0, 70.0, 310.0):
        crew.at(600.0 + age_s)
        crew.turn()
        told[crew.published[-1].data] = crew.published[-1].place.amsl_m
    assert list(told) == list(Freshness)
    heights_m = list(told.values())
    assert heights_m == sorted(heights_m)
    assert heights_m[-1] - heights_m[0] == pytest.approx(300.0 * 5.0, rel=0.3)


def test_a_flood_is_answered_a_few_times_a_second(crew: Crew, climb: tuple[Fix, ...]) -> None:
    up_for(crew, climb, 2.0)
    n, last = len(crew.published), climb[13]
    for k in range(100):
        crew.hears(replace(last, t_s=(last.t_s or 0.0) + 0.01 * k))
    assert 5 <= len(crew.published) - n <= 10
    assert len(crew.running.ride.kept) <= 16


def test_the_replay_of_a_log_is_the_ride_bit_for_bit(
    tmp_path: Path, crew: Crew, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    up_for(crew, climb, 12.0)
    crew.types("q 3")
    crew.types("refused tansy")
    crew.types("u")
    crew.running.close()
    again = gone_on(tmp_path / "ride.log", sortie, make, crew.t_s + 40.0)
    again.sums()
    for fix in climb[80:86]:
        again.hears(fix)
    again.running.end(moment_of(again.clocks))
    again.running.close()
    found = replayed(tmp_path / "ride.log", sortie, make)
    assert len(found) > 80
    assert all(one.is_same for one in found)


def test_a_changed_fix_of_a_log_does_not_go_unnoticed(
    tmp_path: Path, crew: Crew, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    up_for(crew, climb, 2.0)
    crew.running.close()
    with open_log(tmp_path / "ride.log") as (_, scan):
        records = list(scan)
    other = tmp_path / "other.log"
    journal = begin_at(other, HEAD, Moment(0.0, records[0].utc_s)).journal
    for one in records[1:]:
        payload = one.payload.replace(b"-46.5", b"-46.6") if one.kind is Kind.FIX else one.payload
        journal.append(one.kind, payload, Moment(one.monotonic_s, one.utc_s))
    journal.close()
    assert all(one.is_same for one in replayed(tmp_path / "ride.log", sortie, make))
    assert not all(one.is_same for one in replayed(other, sortie, make))


def test_a_restart_brings_back_the_ride(
    tmp_path: Path, crew: Crew, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    up_for(crew, climb, 3.0)
    crew.types("back")
    crew.types("lost")
    before, last = crew.running.ride, crew.published[-1]
    crew.running.close()
    again = gone_on(tmp_path / "ride.log", sortie, make, crew.t_s + 5.0)
    after = again.running.ride
    assert (after.entries, after.kept, after.told) == (before.entries, before.kept, before.told)
    assert (after.newest, after.noted, after.ahead_s) == (
        before.newest,
        before.noted,
        before.ahead_s,
    )
    assert after.used is None
    found = again.running.advice
    assert found is not None
    assert found.document() == last.document()
    again.turn()
    again.sums()
    assert again.published[-1].level in Level
    again.running.close()


def test_an_undo_restores_exactly_what_was(crew: Crew, climb: tuple[Fix, ...]) -> None:
    up_for(crew, climb, 1.0)
    ride = crew.running.ride
    for line in ("burst", "refused tansy", "46.5 S 108.0 E 600 m", "q 2"):
        assert crew.types(line).startswith("Taken: "), line
        assert crew.types("u").startswith("Taken back: ")
        now = crew.running.ride
        assert (now.entries, now.kept, now.newest) == (ride.entries, ride.kept, ride.newest)
        assert crew.running.session.launch(now) == crew.running.session.launch(ride)


def test_the_launch_mark_moves_the_launch(crew: Crew) -> None:
    session, planned = crew.running.session, crew.running.session.sortie.launch
    crew.types("late 20")
    assert session.launch(crew.running.ride).t_s == planned.t_s + 1200.0
    crew.at(700.0)
    crew.types("launched")
    assert session.launch(crew.running.ride).t_s == planned.t_s + 700.0
    crew.types("u launched")
    crew.types("moved 46.51 S 108.02 E")
    moved_to = session.launch(crew.running.ride)
    assert (moved_to.lat_deg, moved_to.lon_deg) == (-46.51, 108.02)


def test_a_refused_field_is_gone_at_once(crew: Crew, climb: tuple[Fix, ...]) -> None:
    up_for(crew, climb, 2.0)
    names = [one.name for one in crew.published[-1].fields]
    n = len(crew.published)
    crew.types(f"refused {names[0]}")
    found = crew.published[n]
    assert [one.name for one in found.fields] == names[1:]
    assert found.release is None or found.release.field != names[0]
    assert found.changed == f"{names[0]} is refused"
    crew.at(125.0)
    crew.turn()
    crew.sums()
    assert crew.published[-1].release is not None
    assert crew.published[-1].release.field != names[0]


def test_a_release_that_did_not_follow_is_not_believed(crew: Crew, climb: tuple[Fix, ...]) -> None:
    up_for(crew, climb, 2.0)
    crew.types("sent")
    crew.types("stuck")
    n = len(crew.published)
    assert crew.running.ride.marks[-1] is MarkKind.STUCK
    crew.hears(climb[13])
    assert len(crew.published) > n
    crew.types("released")
    assert crew.published[-1].stage is Stage.DROPPED
    crew.hears(climb[14])
    assert crew.published[-1].stage is Stage.CARRIED  # it climbs on


def test_without_a_mark_the_clock_and_the_height_tell(crew: Crew, climb: tuple[Fix, ...]) -> None:
    ground = replace(near(climb, 0.0, crew.launch_t_s), t_s=crew.launch_t_s + 30.0)
    crew.hears(ground)
    assert not crew.running.beside.is_busy
    crew.hears(climb[10])
    assert crew.running.beside.is_busy
    crew.sums()
    assert crew.published


def test_what_is_read_off_the_picture_counts_where_no_feed_tells(
    crew: Crew, climb: tuple[Fix, ...]
) -> None:
    up_for(crew, climb, 2.0)
    one = climb[24]
    crew.at(240.0)
    place = f"{-one.lat_deg:.5f} S {one.lon_deg:.5f} E {one.height_m:.0f} m"
    assert crew.types(place).startswith("Taken: ")
    found = crew.published[-1]
    assert found.place.lat_deg == pytest.approx(one.lat_deg, abs=1e-4)
    assert found.place.seen_after_launch_s == pytest.approx(240.0, abs=0.5)


def test_a_fix_that_cannot_be_is_noted_and_not_obeyed(crew: Crew, climb: tuple[Fix, ...]) -> None:
    up_for(crew, climb, 2.0)
    before = crew.running.ride.newest
    crew.hears(moved(climb[13], north_deg=10.0))
    assert crew.running.ride.newest is before
    assert [one.oddity for one in crew.running.ride.noted] == ["elsewhere"]


def test_a_record_that_says_nothing_is_refused(sortie: Sortie) -> None:
    session = Session(sortie, SPECS, no_tables)
    for kind in (Kind.FIX, Kind.TYPED, Kind.UNDO, Kind.NOTE, Kind.ADVICE):
        record = Record(kind=kind, number=7, monotonic_s=0.0, utc_s=0.0, payload=b'{"a":1}')
        with pytest.raises(SourceError, match="record 7: "):
            session.step(Ride(), record)
