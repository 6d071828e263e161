"""Reading: typed directions and heights reach the draws; a ride of nothing else works."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from farglide.chances.advising import advice_now
from farglide.chances.onward import Seen
from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place, place_deg, place_of
from farglide.live.asking import as_planned
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import truth_of
from farglide.live.resume import replay
from farglide.live.ride.reading import (
    TYPED_SD_M,
    graded_of,
    read_of,
    seen_alone,
    stand_of,
    with_point,
)
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.state import Ride
from farglide.live.ride.tables import Tables
from farglide.live.ride.task import Entered, Task
from farglide.live.running import moment_of
from farglide.outlook.freshness import Freshness
from farglide.sim.core.workers import in_one_go
from farglide.sortie.spec import Sortie, StandSpec
from farglide.track.drift import Been
from farglide.track.reports import Fix
from farglide.track.typed.entries import AtStand, Bearing, Entry, Grade, Overlay
from farglide.track.typed.known import Known
from farglide.track.typed.pointing import bearing_of

from ..made import GRAIN, SPECS, Crew, begun


def entered(launch_t_s: float, *told: tuple[float, Entry]) -> tuple[Entered, ...]:
    return tuple(
        Entered(number=k, t_s=launch_t_s + t_s, entry=one) for k, (t_s, one) in enumerate(told)
    )


def task_of(sortie: Sortie, *told: tuple[float, Entry], fixes: tuple[Fix, ...] = ()) -> Task:
    launch = sortie.launch
    entries = entered(launch.t_s, *told)
    return Task(number=1, launch=launch, refused=(), fixes=fixes, now_t_s=launch.t_s + 900.0,
                entries=entries)  # fmt: skip


KNAP = StandSpec(name="Knap", lat_deg=-46.6, lon_deg=108.2, amsl_m=470.0, mast_m=3.0)


def test_what_was_typed_is_read_after_the_launch(sortie: Sortie) -> None:
    stand, sortie = KNAP, replace(sortie, stands=(KNAP,))
    found = read_of(
        task_of(
            sortie,
            (-60.0, Overlay(amsl_m=240.0)),
            (60.0, Overlay(amsl_m=500.0)),
            (70.0, Bearing(azimuth_deg=80.0, elevation_deg=60.0)),
            (80.0, AtStand(stand=stand.name)),
            (90.0, Bearing(azimuth_deg=81.0, sd_deg=0.5)),
        ),
        sortie,
        10.0,
    )
    np.testing.assert_allclose(found.heights.t_s, [60.0])
    np.testing.assert_allclose(found.heights.sd_m, [TYPED_SD_M])
    first, second = found.directions
    assert (first.t_s, first.stand, first.sd_deg) == (70.0, place_of(sortie.launch), 5.0)
    assert (second.elevation_deg, second.sd_deg) == (None, 0.5)
    assert (second.stand.lat_deg, second.stand.lon_deg) == (stand.lat_deg, stand.lon_deg)


def test_grades_are_of_the_stand_where_the_crew_is(sortie: Sortie, climb: tuple[Fix, ...]) -> None:
    near = replace(KNAP, name="Strip", lat_deg=sortie.launch.lat_deg, lon_deg=sortie.launch.lon_deg)
    sortie = replace(sortie, stands=(KNAP, near))
    task = task_of(
        sortie,
        (60.0, Grade(grade=4)),
        (120.0, AtStand(stand="Knap")),
        (150.0, Grade(grade=2)),
        (900.0, Grade(grade=1)),  # nobody knows where it was
        fixes=climb[:20],
    )
    been = Been(*(np.linspace(0.0, one, 20) for one in (190.0, 1000.0, 1e-3, 2e-3)))
    first, second = graded_of(task, sortie, been)
    assert (first.stand, first.grade, first.t_s) == (1, 4, 60.0)
    assert (second.stand, second.grade) == (0, 2)
    assert second.amsl_m == pytest.approx(1000.0 * 150.0 / 190.0)
    car = Fix(feed="car", lat_deg=-45.0, lon_deg=108.3, height_m=310.0)
    away = replace(task, entries=(replace(task.entries[0], car=car),))
    assert graded_of(away, sortie, been) == []


def test_a_direction_beside_a_fix_says_nothing_more(sortie: Sortie, climb: tuple[Fix, ...]) -> None:
    told = tuple((t_s, Bearing(azimuth_deg=80.0)) for t_s in (30.0, 600.0))
    found = read_of(task_of(sortie, *told, fixes=climb[:3]), sortie, 10.0)
    assert [one.t_s for one in found.directions] == [600.0]


def test_places_alone_are_told_each_minute_and_the_last(
    sortie: Sortie, climb: tuple[Fix, ...]
) -> None:
    bare = tuple(replace(one, height_m=None) for one in climb[1:24])
    found = read_of(replace(task_of(sortie), points=bare), sortie, 10.0).points
    np.testing.assert_allclose(found.t_s, [10.0, 70.0, 130.0, 190.0, 230.0])
    east = np.radians(climb[23].lon_deg - sortie.launch.lon_deg)
    assert found.east_rad[-1] == pytest.approx(east)


def test_a_place_that_was_typed_without_a_height_is_one(sortie: Sortie) -> None:
    typed = (600.0, Overlay(lat_deg=sortie.launch.lat_deg + 0.1, lon_deg=sortie.launch.lon_deg))
    found = read_of(task_of(sortie, typed), sortie, 10.0).points
    np.testing.assert_allclose(found.t_s, [600.0])
    assert found.north_rad[0] == pytest.approx(np.radians(0.1))


def test_the_car_is_where_it_was_heard(sortie: Sortie) -> None:
    car = Fix(feed="car", lat_deg=-46.4, lon_deg=108.3, height_m=310.0)
    one = replace(entered(0.0, (5.0, Bearing(azimuth_deg=80.0)))[0], car=car)
    found = stand_of(sortie, "", one, sortie.launch)
    assert (found.lat_deg, found.lon_deg, found.amsl_m) == (-46.4, 108.3, 310.0)


def test_a_height_alone_counts_at_once(sortie: Sortie) -> None:
    seen, launch = Seen(600.0, 3200.0, 0.001, 0.002), sortie.launch
    ride = Ride(entries=entered(launch.t_s, (900.0, Overlay(amsl_m=4700.0))))
    found = seen_alone(seen, ride, launch)
    assert (found.after_launch_s, found.amsl_m) == (900.0, 4700.0)
    assert np.isnan(found.north_rad)
    assert found.told_s == (600.0, 900.0)


def test_a_place_alone_counts_at_once(sortie: Sortie) -> None:
    launch = sortie.launch
    bare = Fix(feed="tracker", lat_deg=launch.lat_deg + 0.1, lon_deg=launch.lon_deg,
               t_s=launch.t_s + 900.0)  # fmt: skip
    ride = with_point(Ride(), bare)
    assert with_point(ride, replace(bare, t_s=launch.t_s + 900.5)) is ride
    found = seen_alone(Seen(600.0, 3200.0, 0.0, 0.0), ride, launch)
    assert found.north_rad == pytest.approx(np.radians(0.1), rel=1e-6)
    assert np.isnan(found.amsl_m)
    assert found.told_s == (900.0, 600.0)


@pytest.fixture
def crew(tmp_path: Path, sortie: Sortie, make: Maker) -> Crew:
    return begun(tmp_path / "ride.log", sortie, make)


def pointed(stand: Place, fix: Fix, rng: np.random.Generator, sd_deg: float) -> str:
    """Return what is typed of a direction, off by some degrees."""
    there = Place(lat_deg=fix.lat_deg, lon_deg=fix.lon_deg, amsl_m=fix.height_m or 0.0)
    seen = look(stand, there)
    turned, up = sd_deg * rng.standard_normal(2)
    flat = max(np.cos(np.radians(seen.elevation_deg)), 0.05)
    azimuth_deg = (seen.azimuth_deg + turned / flat) % 360.0
    return f"a {azimuth_deg:.1f} {min(seen.elevation_deg + up, 90.0):.1f}"


def test_a_ride_of_typed_directions_alone_brings_advice_where_it_is(
    crew: Crew, sortie: Sortie, climb: tuple[Fix, ...]
) -> None:
    """A direction each minute by hand, no feed at all: half an hour of it."""
    rng, launch = np.random.default_rng(3), sortie.launch
    crew.at(0.0)
    crew.types("launched")
    for minute in range(1, 31):
        crew.at(60.0 * minute)
        said = crew.types(pointed(place_of(launch), climb[6 * minute], rng, 5.0))
        assert said.startswith("Taken: antenna to"), said
    crew.at(1815.0)
    crew.sums()
    crew.turn()
    found, true = crew.published[-1], climb[181]
    assert found.release is not None
    assert found.data is Freshness.AGEING
    assert found.place.seen_after_launch_s == pytest.approx(1800.0, abs=1.0)
    off = look(
        Place(lat_deg=found.place.lat_deg, lon_deg=found.place.lon_deg, amsl_m=0.0),
        Place(lat_deg=true.lat_deg, lon_deg=true.lon_deg, amsl_m=0.0),
    )
    assert off.range_m < 1.5 * found.place.most_within_m
    assert found.place.most_within_m < 3500.0
    assert found.air.measured_ratio > 0.05


def test_a_height_typed_in_silence_moves_the_answer_at_once(
    crew: Crew, sortie: Sortie, climb: tuple[Fix, ...]
) -> None:
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    for fix in climb[1:31]:
        crew.hears(fix)
    crew.sums()
    crew.at(720.0)
    crew.turn()
    before = crew.published[-1].place
    crew.types(f"{before.amsl_m + 400.0:.0f}")
    after = crew.published[-1].place
    assert after.amsl_m == pytest.approx(before.amsl_m + 400.0, abs=15.0)
    assert after.height_seen_after_launch_s == pytest.approx(720.0, abs=0.5)
    assert after.seen_after_launch_s == before.seen_after_launch_s
    crew.at(750.0)
    crew.sums()
    crew.turn()
    later = crew.published[-1].place
    assert later.amsl_m == pytest.approx(after.amsl_m + 30.0 * 5.5, abs=60.0)
    assert later.seen_after_launch_s == before.seen_after_launch_s
    crew.types("u")
    crew.at(780.0)
    crew.sums()
    crew.turn()
    assert crew.published[-1].place.amsl_m < later.amsl_m


def test_a_receiver_without_heights_still_tells_the_place(
    crew: Crew, sortie: Sortie, climb: tuple[Fix, ...]
) -> None:
    """Above where its height ends the place alone counts, the height goes on as it climbed."""
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    for fix in climb[1:31]:
        crew.hears(fix)
    crew.sums()
    ride = crew.running.ride
    for k in range(31, 61):
        bare = replace(climb[k], height_m=None)
        ride = with_point(ride, bare)
    task = replace(
        crew.running.session.task(ride, 1, sortie.launch.t_s + 605.0), points=ride.points
    )
    made = crew.running.session._make
    found = made(task)
    assert not isinstance(found, str), found
    assert found.seen.told_s == (pytest.approx(600.0), pytest.approx(300.0))
    tracks = found.known.ensemble.climbs.tracks
    north = np.nanmedian(tracks.north_rad[:, 11])
    true = np.radians(climb[66].lat_deg - sortie.launch.lat_deg)
    assert 6.37e6 * abs(north - true) < 150.0


def test_rehearsed_flights_stay_in_their_circles_by_typed_directions_alone(
    sortie: Sortie, make: Maker, flight: Flight
) -> None:
    """Ten truths of the rehearsal, a direction by hand each minute, asked at T+20, 40 and 60."""
    planned = as_planned(sortie, flight.pack, GRAIN, in_one_go)
    launch, inside, advised = sortie.launch, [], []
    for seed in range(1, 11):
        path = lifted(truth_of(planned, Changes(), seed)).path
        rng = np.random.default_rng(seed)
        told: list[tuple[float, Entry]] = []
        for minute in range(1, 61):
            there = path.at(60.0 * minute)
            lat_deg, lon_deg = place_deg(launch, there.north_rad, there.east_rad)
            fix = Fix(feed="true", lat_deg=lat_deg, lon_deg=lon_deg, height_m=there.amsl_m)
            line = pointed(place_of(launch), fix, rng, 5.0)
            told.append((60.0 * minute, bearing_of(line.removeprefix("a "), Known(t_s=0.0))))
            if minute % 20:
                continue
            task = replace(task_of(sortie, *told), now_t_s=launch.t_s + 60.0 * minute)
            found = make(task)
            assert isinstance(found, Tables), found
            advice = advice_now(found.of, found.seen, 60.0 * minute)
            here = Place(lat_deg=advice.place.lat_deg, lon_deg=advice.place.lon_deg, amsl_m=0.0)
            away_m = geodesic(here, Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)).distance_m
            circles_m = advice.place.half_within_m, advice.place.most_within_m
            inside.append([away_m <= one for one in circles_m])
            advised.append(advice.release is not None)
    half, most = np.mean(inside, axis=0)
    # three answers of a flight hang together: 3 deviations of what ten flights may be off
    assert 0.5 - 0.4 <= half <= 0.5 + 0.4
    assert most >= 0.9 - 0.23
    assert np.mean(advised) > 0.9


def test_a_ride_of_typed_entries_is_replayed_bit_for_bit(
    tmp_path: Path, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    rng, launch = np.random.default_rng(5), place_of(sortie.launch)
    crew.at(0.0)
    crew.types("launched")
    crew.types("neck 1.65")
    crew.sums()
    for minute in range(1, 6):
        crew.at(60.0 * minute)
        crew.types(pointed(launch, climb[6 * minute], rng, 5.0))
        crew.types(f"h {climb[6 * minute].height_m:.0f}")
        crew.sums()
        crew.at(60.0 * minute + 30.0)
        crew.sums()
    crew.types("u")
    crew.running.end(moment_of(crew.clocks))
    crew.running.close()
    found = list(replay(sortie, SPECS, tmp_path / "ride.log", make))
    assert len(found) > 15
    assert all(one.is_same for one in found)
