"""Lies: the last position, or what was told since; how wide, and how far the car has to go."""

from dataclasses import replace
from pathlib import Path

import pytest
from tests.live.advice import AFTER

from farglide.earth.state import Place
from farglide.live.lies import lies_at
from farglide.outlook.advice import Advice
from farglide.outlook.rideview import LiesAt
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

from .made import Crew, begun, no_tables


@pytest.fixture
def crew(tmp_path: Path, sortie: Sortie, climb: tuple[Fix, ...]) -> Crew:
    """Return the crew of a flight that was heard for half a minute, and is marked as down."""
    found = begun(tmp_path / "ride.log", sortie, no_tables)
    for one in climb[:4]:
        found.hears(one)
    found.types("launched")
    found.types("landed")
    found.types("as typed")
    return found


def lies(crew: Crew, car: Place | None = None, advice: Advice | None = None) -> LiesAt | None:
    return lies_at(crew.running.ride, crew.running.session.sortie.launch, car, advice)


def test_nothing_is_told_before_it_is_marked(tmp_path: Path, sortie: Sortie) -> None:
    assert lies(begun(tmp_path / "ride.log", sortie, no_tables)) is None


def test_one_that_was_never_seen_lies_nowhere(tmp_path: Path, sortie: Sortie) -> None:
    never = begun(tmp_path / "ride.log", sortie, no_tables)
    never.at(60.0)
    for line in ("launched", "landed", "as typed"):
        never.types(line)
    assert never.running.ride.marks
    assert lies(never) is None


def test_the_last_position_counts_and_how_far_it_may_have_flown(
    crew: Crew, sortie: Sortie, climb: tuple[Fix, ...]
) -> None:
    found, last = lies(crew), climb[3]
    assert found is not None
    assert found.lat_deg == pytest.approx(last.lat_deg, abs=1e-5)
    assert found.lon_deg == pytest.approx(last.lon_deg, abs=1e-5)
    assert found.seen is not None
    assert (found.seen.t_s, found.is_reckoned) == (last.t_s, False)
    agl_m = (last.height_m or 0.0) - sortie.launch.amsl_m
    assert found.seen.agl_m == pytest.approx(agl_m, abs=0.1)
    assert found.within_m == pytest.approx(20.0 + 10.0 * agl_m, abs=1.0)
    assert found.landed_t_s == pytest.approx(crew.t_s)
    assert found.car_away_m is None


def test_the_car_has_a_way_and_a_bearing(crew: Crew) -> None:
    at = lies(crew)
    assert at is not None
    south = Place(lat_deg=at.lat_deg - 0.01, lon_deg=at.lon_deg, amsl_m=200.0)
    found = lies(crew, car=south)
    assert found is not None
    assert found.car_away_m == pytest.approx(1112.0, abs=3.0)  # a hundredth of a degree there
    assert found.car_bearing_deg == pytest.approx(0.0, abs=0.1)


def test_silent_before_it_was_down_the_place_told_since_counts(
    crew: Crew, climb: tuple[Fix, ...]
) -> None:
    told = AFTER["unsteered"]
    place = replace(told.place, seen_after_launch_s=told.after_launch_s - 400.0, amsl_m=240.0)
    found = lies(crew, advice=replace(told, place=place))
    assert found is not None
    assert (found.lat_deg, found.lon_deg) == (place.lat_deg, place.lon_deg)
    assert found.within_m == pytest.approx(place.most_within_m)
    assert found.is_reckoned
    assert found.seen is not None  # what is handed on as seen is what was seen
    assert found.seen.t_s == climb[3].t_s
    assert found.seen.amsl_m == pytest.approx(climb[3].height_m, abs=0.1)
    nowhere = replace(place, lat_deg=float("nan"), lon_deg=float("nan"))
    fallen = lies(crew, advice=replace(told, place=nowhere))
    assert fallen is not None
    assert fallen.lat_deg == pytest.approx(-46.5, abs=0.1)
