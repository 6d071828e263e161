"""What a question is asked of: lines with times, the car, marks after the track."""

from dataclasses import replace
from pathlib import Path

import pytest

from farglide.cli.askstated import Typed, asked_t_s, car_told, fields_left, stated
from farglide.errors import InputError, SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.live.ride.state import Ride
from farglide.sortie.spec import Sortie

from .logs import demo_head, made_flight, write_ride


@pytest.fixture
def track(tmp_path: Path, sortie: Sortie) -> Path:
    path = tmp_path / "two.csv"
    t_s = sortie.launch.t_s
    path.write_text(f"time,lat,lon,alt\n{t_s},-46.5,108.0,240\n{t_s + 600},-46.5,108.1,3240\n",
                    encoding="utf-8")  # fmt: skip
    return path


def test_the_moment_is_that_of_the_last_that_was_told(track: Path, sortie: Sortie) -> None:
    typed = Typed(question="now", track=track, lines=("T+12 46.5 S 108.12 E 3900",))
    ride, notes = stated(typed, sortie)
    assert notes == ()
    assert asked_t_s(typed, ride, sortie) == sortie.launch.t_s + 720.0
    assert [one.height_m for one in ride.fixes()] == [240.0, 3240.0, 3900.0]


def test_a_release_that_was_told_is_a_mark(track: Path, sortie: Sortie) -> None:
    typed = Typed(question="now", track=track, released="T+8")
    ride, _ = stated(typed, sortie)
    assert [one.t_s - sortie.launch.t_s for one in ride.entries] == [480.0]


def test_a_log_of_another_flight_is_refused(sortie: Sortie, tmp_path: Path) -> None:
    log = write_ride(tmp_path / "ride.log", made_flight(), demo_head())
    typed = Typed(question="now", track=log)
    assert stated(typed, sortie).ride.fixes()
    near = replace(sortie, launch=replace(sortie.launch, lat_deg=-46.0))
    stated(typed, near)  # moved on its day
    there = replace(sortie, launch=replace(sortie.launch, lat_deg=61.2, lon_deg=-21.0))
    with pytest.raises(SourceError, match=r"log of another flight, Amber evening: .*belongs to it"):
        stated(typed, there)
    later = replace(sortie, launch=replace(sortie.launch, t_s=sortie.launch.t_s + 90_000.0))
    with pytest.raises(SourceError, match="25 h apart"):
        stated(typed, later)


def test_the_car_is_at_a_stand_or_a_place(demo_flight: FlightFile) -> None:
    sortie = demo_flight.sortie
    stand = car_told(Typed(question="park", car="wether"), Ride(), sortie)
    assert stand is not None
    assert stand.lat_deg == pytest.approx(-46.635596)
    place = car_told(Typed(question="park", car="46.6 S 108.2 E"), Ride(), sortie)
    assert place is not None
    assert (place.lat_deg, place.lon_deg) == (-46.6, 108.2)
    with pytest.raises(InputError, match="--car"):
        car_told(Typed(question="park", car="nowhere"), Ride(), sortie)


def test_refused_fields_are_left_out(sortie: Sortie) -> None:
    ride, _ = stated(Typed(question="now", lines=("T+1 refused tansy",)), sortie)
    assert "Tansy Lea" not in [one.name for one in fields_left(sortie, ride)]
