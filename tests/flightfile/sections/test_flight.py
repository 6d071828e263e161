"""Plain sections of a flight file: flight, launch, doubt, wish."""

import math
from importlib.resources import files
from pathlib import Path

import pytest

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import read_flight_file
from farglide.flightfile.sections.balloon import BALLOON
from farglide.flightfile.sections.flight import (
    DOUBT,
    FLIGHT,
    LAUNCH,
    WISH,
    launch_of,
    launch_problems,
    wish_problems,
)
from farglide.sortie.spec import DoubtSpec, Launch, Wish

from ..conftest import Entered, Told

DEMO = Path(str(files("farglide.flightfile") / "assets" / "amber-evening.toml"))

MEADOW = "[launch]\nlat_deg = 47\nlon_deg = 8\namsl_m = 500"


@pytest.mark.parametrize(
    ("moment", "word"),
    [
        ("2027-01-23T16:40:00", "without a zone"),
        ("2027-01-23", "not a date with a time"),
        ("16:40:00", "not a date with a time"),
        ("0202-01-23T16:40:00Z", "the years 1980 to 2099"),
    ],
)
def test_launch_time_that_leaves_a_doubt_is_refused(moment: str, word: str, tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace("2027-01-23T16:40:00+07:00", moment)
    path = tmp_path / "flight.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FlightFileError, match=word):
        read_flight_file(path)


def test_a_launch_has_a_place_a_moment_and_a_zone(entered: Entered) -> None:
    flight = entered(FLIGHT, "[flight]\nlaunch_at = 1980-01-01T02:00:00+02:00")
    assert launch_of(flight, entered(LAUNCH, MEADOW)) == Launch(
        name="the launch place",
        lat_deg=47,
        lon_deg=8,
        amsl_m=500,
        t_s=315_532_800.0,
        zone="UTC+02:00",
    )


@pytest.mark.parametrize(
    ("text", "zone", "offset_h"),
    [
        ("launch_at = 2027-06-15T09:30:00Z", "UTC", 0.0),
        ("launch_at = 2027-06-15T09:30:00-03:30", "UTC-03:30", -3.5),
        ('launch_at = 2027-06-15T09:30:00Z\nzone = "Europe/Vienna"', "Europe/Vienna", 0.0),
    ],
)
def test_the_zone_is_that_of_the_clock_where_none_is_stated(
    text: str, zone: str, offset_h: float, entered: Entered
) -> None:
    one = entered(FLIGHT, f'[flight]\nname = "Noon"\n{text}')
    assert (one.name, one.texts["zone"]) == ("Noon", zone)
    assert one.value("launch_offset_h") == offset_h


def test_a_flight_without_a_moment_is_refused(told: Told) -> None:
    assert told(FLIGHT, '[flight]\nname = "Noon"') == [
        "[flight] launch_at: is missing. Write date, time with seconds, and offset, without "
        "quotes: launch_at = 2027-01-23T16:40:00+07:00"
    ]


def test_no_launch_place_is_refused(entered: Entered) -> None:
    assert not list(launch_problems(entered(LAUNCH, MEADOW)))
    (problem,) = launch_problems(entered(LAUNCH, "[launch]\nlat_deg = 0\nlon_deg = 0"))
    assert "no launch place" in problem.what


def test_doubt_and_wish_left_out_are_the_usual_ones(entered: Entered) -> None:
    assert entered(DOUBT, "").spec(DoubtSpec) == DoubtSpec()
    assert entered(DOUBT, "[doubt]\ndeep_wind_percent = 20").spec(DoubtSpec) == DoubtSpec(
        deep_wind_ratio=0.2
    )
    assert entered(WISH, "").spec(Wish) == Wish()
    assert entered(WISH, "[wish]\nopen_percent = 80").spec(Wish) == Wish(open_ratio=0.8)


OLD_KEYS = (
    "wind_mps", "wind_kt", "wind_ratio", "wind_percent", "wind_depth_m", "wind_depth_ft",
)  # fmt: skip


@pytest.mark.parametrize("key", OLD_KEYS)
def test_keys_of_a_doubt_with_one_depth_are_refused_with_the_new_ones(told: Told, key: str) -> None:
    assert told(DOUBT, f"[doubt]\n{key} = 1") == [
        f"[doubt] {key}: is of a doubt with one depth; the doubt about winds has two. Take it out, "
        "then age, distance and lead time of the winds tell it; or write "
        f"deep_{key}."
    ]


def test_a_shallow_error_deeper_than_the_deep_one_is_refused(told: Told) -> None:
    shallow = "[doubt]\nshallow_wind_depth_m = 2000\n"
    assert told(DOUBT, shallow) == []
    (problem,) = told(DOUBT, shallow + "deep_wind_depth_m = 400")
    assert problem == (
        "[doubt] shallow_wind_depth_m: is 2000 m, more than deep_wind_depth_m of 400 m. The deep "
        "error reaches farther: swap them."
    )


def test_every_part_of_the_doubt_may_be_stated(entered: Entered) -> None:
    text = (
        "[doubt]\ndeep_wind_kt = 10\ndeep_wind_percent = 5\ndeep_wind_depth_m = 1500\n"
        "shallow_wind_mps = 0\nshallow_wind_depth_ft = 1000"
    )
    found = entered(DOUBT, text).spec(DoubtSpec)
    assert found.deep_wind_mps == pytest.approx(5.144, abs=1e-3)
    assert (found.deep_wind_ratio, found.deep_wind_depth_m) == (0.05, 1500.0)
    assert (found.shallow_wind_mps, found.shallow_wind_depth_m) == (0.0, pytest.approx(304.8))


@pytest.mark.parametrize(
    ("key", "value", "allowed"),
    [
        ("deep_wind_mps", 31.0, "0 to 30 m/s"),
        ("deep_wind_ratio", 1.1, "0 to 1"),
        ("deep_wind_depth_m", 50.0, "100 to 20000 m"),
        ("shallow_wind_mps", -1.0, "0 to 30 m/s"),
        ("shallow_wind_depth_m", 40.0, "50 to 5000 m"),
    ],
)
def test_doubts_that_cannot_be_are_refused(
    told: Told, key: str, value: float, allowed: str
) -> None:
    (problem,) = told(DOUBT, f"[doubt]\n{key} = {value}")
    assert key in problem
    assert allowed in problem


@pytest.mark.parametrize(
    ("text", "launch_amsl_m", "words"),
    [
        ("wanted_amsl_m = 500", 500.0, ""),
        ("wanted_amsl_m = 499", 500.0, "is 499 m, below the launch at 500 m."),
        ("wanted_amsl_m = 499", math.nan, ""),
        ("open_ratio = 0.5", 500.0, "is 0.5, not below open_ratio."),
        ("enough_ratio = 0.4", 500.0, "is 0.4, a chance that is not even doubtful."),
        (
            "wanted_amsl_m = 30000",
            500.0,
            "is 30000 m, but [balloon] asks for a burst at 30000 m.",
        ),
    ],
)
def test_wishes_that_cannot_be_are_refused(
    text: str, launch_amsl_m: float, words: str, entered: Entered
) -> None:
    balloon = entered(
        BALLOON, "[balloon]\nmass_kg = 1\ngas = 'helium'\nburst_height_amsl_m = 30000"
    )
    found = wish_problems(entered(WISH, f"[wish]\n{text}"), launch_amsl_m, balloon)
    assert [problem.what for problem in found] == [words] * bool(words)
