"""Reviewed: logs of other flights, heads that cannot be read, tracks that are none."""

from dataclasses import replace
from pathlib import Path

import pytest

from farglide.cli.plan import DEMO
from farglide.cli.reviewed import Gear, given_of_log, given_of_track, read_all, without_files
from farglide.errors import FlightFileError, InputError, SourceError
from farglide.flightfile.flightfile import flight_of_text, read_flight_file
from farglide.gather.gather import gather_winds
from farglide.review.parted import parted

from ..review.made import Made
from .commands import WINDS
from .logs import GRAIN, demo_head, made_flight, write_ride, write_track


@pytest.fixture(scope="module")
def made() -> Made:
    """Return a flight as planned."""
    return made_flight()


@pytest.fixture(scope="module")
def gear() -> Gear:
    """Return the demo's gear."""
    sortie = read_flight_file(DEMO).sortie
    return Gear(sortie, gather_winds(sortie, WINDS))


def test_a_flight_is_planned_anew_at_its_own_launch(made: Made, tmp_path: Path) -> None:
    """An hour late, as its mark says."""
    late = tuple(replace(one, t_s=(one.t_s or 0.0) + 3600.0) for one in made.flown.fixes)
    marks = tuple(replace(one, t_s=one.t_s + 3600.0) for one in made.flown.marked)
    flown = replace(made.flown, fixes=late, marked=marks)
    log = write_ride(tmp_path / "late.log", made._replace(flown=flown), demo_head())
    given = given_of_log(log, GRAIN)
    planned_t_s = read_flight_file(DEMO).sortie.launch.t_s
    assert given.planned.sortie.launch.t_s == pytest.approx(planned_t_s + 3600.0)
    assert given.plan is not None
    assert given.plan.launch_t_s == given.planned.sortie.launch.t_s
    assert given.planned.listening is not None


def test_without_a_mark_it_was_launched_when_it_left_the_ground(made: Made, tmp_path: Path) -> None:
    later = tuple(replace(one, t_s=(one.t_s or 0.0) + 900.0) for one in made.flown.fixes)
    flown = replace(made.flown, fixes=later, marked=())
    log = write_ride(tmp_path / "bare.log", made._replace(flown=flown), demo_head())
    given = given_of_log(log, GRAIN)
    planned_t_s = read_flight_file(DEMO).sortie.launch.t_s
    assert given.planned.sortie.launch.t_s == pytest.approx(planned_t_s + 900.0, abs=15.0)


def test_a_log_with_fixes_of_another_flight_is_named(made: Made, tmp_path: Path) -> None:
    moved = demo_head(
        DEMO.read_text(encoding="utf-8").replace("lat_deg = -46.5\n", "lat_deg = 40\n")
    )
    log = write_ride(tmp_path / "other.log", made, moved)
    with pytest.raises((SourceError, FlightFileError, InputError)) as told:
        given_of_log(log, GRAIN)
    assert "other.log" in str(told.value)


def test_heads_that_cannot_be_read_are_named(made: Made, tmp_path: Path) -> None:
    head = demo_head()
    no_flight = write_ride(tmp_path / "one.log", made, replace(head, flight="no flight"))
    with pytest.raises(FlightFileError, match=r"one\.log"):
        given_of_log(no_flight, GRAIN)
    no_winds = write_ride(tmp_path / "two.log", made, replace(head, winds="{}"))
    with pytest.raises(SourceError, match="winds: cannot be read"):
        given_of_log(no_winds, GRAIN)


def test_a_track_has_the_gear_that_is_given(made: Made, gear: Gear, tmp_path: Path) -> None:
    track = write_track(tmp_path / "old.csv", made.flown.fixes)
    given = given_of_track(track, gear)
    launch = given.planned.sortie.launch
    assert launch.t_s == pytest.approx(made.flown.fixes[0].t_s, abs=15.0)
    assert (given.plan, given.flown.is_log) == (None, False)
    found = parted(given.flown, launch, given.planned.air.scene)
    assert found.ended == "released"


def test_tracks_that_are_none_are_refused(gear: Gear, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="a track alone; allowed: a log of a ride"):
        given_of_track(tmp_path / "any.csv", None)
    flat = tmp_path / "flat.csv"
    flat.write_text("time,lat,lon,alt\n" + "".join(f"{1000 + k},-46.5,108,240\n" for k in range(9)),
                    encoding="utf-8")  # fmt: skip
    with pytest.raises(SourceError, match="show no climb off the ground"):
        given_of_track(flat, gear)
    bare = tmp_path / "bare.csv"
    bare.write_text("lat,lon\n-46.5,108\n-46.5,108.1\n", encoding="utf-8")
    with pytest.raises(SourceError, match="hold no time with a height"):
        given_of_track(bare, gear)


def test_a_flight_file_lends_its_gear_to_tracks(made: Made, tmp_path: Path) -> None:
    track = write_track(tmp_path / "old.csv", made.flown.fixes)
    read = read_all([track], DEMO, GRAIN, lambda _: None)
    assert len(read.given) == 1
    assert read.notes == ()


def test_what_stood_in_files_is_left_out_and_said() -> None:
    text = DEMO.read_text(encoding="utf-8")
    places = '[places]\nfiles = ["a.gpx"]\n\n[permissions]'
    flight = flight_of_text(text.replace("[permissions]", places), DEMO)
    found = without_files(flight)
    assert not found.sortie.places.paths
    assert "Fields and barriers of files are left out" in " ".join(found.notes)
    whole = without_files(flight_of_text(text, DEMO))
    assert len(whole.sortie.links) == 2
    end = replace(whole.sortie.links[0].sender_end, pattern_paths=("a.txt",), antenna=None)
    link = replace(whole.sortie.links[0], sender_end=end)
    sortie = replace(whole.sortie, links=(link, whole.sortie.links[1]))
    left = without_files(replace(whole, sortie=sortie))
    assert [one.name for one in left.sortie.links] == ["command"]
    assert "antenna stands in a file" in " ".join(left.notes)
