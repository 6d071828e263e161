"""A running ride as a situation: where it was seen last, the car, the grade that was typed."""

from math import isinf, isnan
from pathlib import Path

import pytest

from farglide.air.sounding import Sounding
from farglide.earth.state import place_of
from farglide.errors import AnswerError
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asked.situation import Situation
from farglide.live.asked.sky import sun_now
from farglide.live.asked.stands import stands_now
from farglide.live.loosened.flight import LooseFlight
from farglide.live.questioned import grade_of, situation_of
from farglide.live.ride.slow import Flight, Maker
from farglide.live.ride.state import FeedNow, Ride
from farglide.live.session import Session
from farglide.sortie.spec import Sortie
from farglide.track.received import Received
from farglide.track.reports import Fix

from .loose import RELEASE_S, hears, released, up_to
from .made import CAR, SPECS, TRACKER, begun, flight_of, near


def test_a_ride_is_asked_from_its_newest_fix(
    tmp_path: Path, sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    with pytest.raises(AnswerError, match="The way home is not summed yet: ask again"):
        situation_of(crew.running, None)
    crew.at(0.0)
    crew.types("launched")
    launch_t_s = sortie.launch.t_s
    crew.hears(near(climb, 1800.0, launch_t_s))
    crew.sums()
    crew.hears(near(climb, 1810.0, launch_t_s))
    crew.types("q 4")
    asked = situation_of(crew.running, None, "frost")
    assert isinstance(asked, Situation)
    fix = near(climb, 1810.0, launch_t_s)
    assert asked.seen.after_launch_s == pytest.approx(1810.0, abs=0.01)
    assert asked.seen.amsl_m == pytest.approx(fix.height_m, abs=1.0)
    assert asked.place_then(1810.0).lat_deg == pytest.approx(fix.lat_deg, abs=1e-5)
    assert (asked.told.fault, asked.told.grade) == ("frost", None)
    assert situation_of(crew.running, None).told.grade == 4
    assert sun_now(asked).after_launch_s == asked.now_s
    crew.types("landed")
    crew.types("as typed")
    with pytest.raises(AnswerError, match=r"It is down, as you marked.*still flies: u landed"):
        situation_of(crew.running, None)
    assert crew.types("u landed") == "Taken back: landed."
    assert isinstance(situation_of(crew.running, None), Situation)


def test_the_car_is_where_its_own_feed_has_it(
    sortie: Sortie, make: Maker, climb: tuple[Fix, ...]
) -> None:
    believed = Received(fix=climb[0], source=CAR, utc_s=0.0)
    ride = Ride().with_feed("car", FeedNow(believed=believed))
    place = Session(sortie, SPECS, make).crew(ride)
    assert place is not None
    assert (place.lat_deg, place.lon_deg) == (climb[0].lat_deg, climb[0].lon_deg)
    assert Session(sortie, (TRACKER,), make).crew(ride) == place  # by the name of the feed
    boat = Ride().with_feed("boat", FeedNow(believed=believed))
    assert Session(sortie, SPECS, make).crew(boat) is None
    assert Session(sortie, SPECS, make).crew(Ride()) is None


def test_a_height_alone_and_a_closed_road_count_in_what_is_asked(
    tmp_path: Path, demo_flight: FlightFile, demo_sounding: Sounding, climb: tuple[Fix, ...]
) -> None:
    sortie = demo_flight.sortie
    launch_t_s, stand = sortie.launch.t_s, sortie.stands[0]
    crew = begun(tmp_path / "ride.log", sortie, Maker(flight_of(sortie, demo_sounding)))
    crew.at(0.0)
    crew.types("launched")
    crew.hears(near(climb, 1800.0, launch_t_s))
    crew.sums()
    there = next(one for one in sortie.stands if one.name == "Wether Knap")
    crew.types(f"at {there.name}")
    crew.types("closed stile gap-wether")
    crew.sums()
    crew.hears(near(climb, 1810.0, launch_t_s))
    asked = situation_of(crew.running, None)
    assert isinstance(asked, Situation)
    assert asked.car == place_of(there, 0.0)
    drives = {one.name: one.drive_s for one in stands_now(asked)}
    assert drives[there.name] == 0.0
    assert isinf(drives["Stile Gap"])
    assert stand.name in drives
    crew.at(1900.0)
    crew.types(f"h {near(climb, 1900.0, launch_t_s).height_m:.0f}")
    asked = situation_of(crew.running, None)
    assert isinstance(asked, Situation)
    assert asked.seen.after_launch_s == pytest.approx(1900.0, abs=1.0)
    assert isnan(asked.seen.north_rad)  # each draw keeps its own place


def test_before_any_fix_it_goes_on_from_what_the_tables_do(
    tmp_path: Path, sortie: Sortie, make: Maker
) -> None:
    crew = begun(tmp_path / "ride.log", sortie, make)
    crew.at(0.0)
    crew.types("launched")
    crew.sums()
    crew.at(300.0)
    crew.turn()
    asked = situation_of(crew.running, None)
    assert isinstance(asked, Situation)
    assert asked.seen.after_launch_s == 0.0
    assert grade_of(crew.running.ride) is None


def test_after_the_release_it_is_asked_as_a_loose_flight(
    tmp_path: Path, sortie: Sortie, make: Maker, flight: Flight
) -> None:
    home = released(flight)
    crew = begun(tmp_path / "ride.log", sortie, make)
    up_to(crew, home, RELEASE_S - 30.0)
    hears(crew, home, RELEASE_S + 5.0)
    crew.types("released")
    hears(crew, home, RELEASE_S + 60.0)
    crew.sums()
    asked = situation_of(crew.running, None, "frost")
    assert isinstance(asked, LooseFlight)
    assert asked.advice is crew.running.advice
    assert asked.told.fault == "frost"
    assert asked.way is not None
