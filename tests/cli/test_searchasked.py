"""What a person types of a search: places, times, pairs, and every refusal by its option."""

from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from farglide.atlas.terrain import flat
from farglide.cli.searchasked import Told, asked_of
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.flightfile.flightfile import read_flight_file
from farglide.search.asked import Asked
from farglide.sortie.spec import Sortie

ASSETS = Path(str(files("farglide.flightfile") / "assets"))
LAST = "-46.55, 108.1, 370 m"


@pytest.fixture(scope="module")
def sortie() -> Sortie:
    return read_flight_file(ASSETS / "amber-evening.toml").sortie


def asked(sortie: Sortie, **told: Any) -> Asked:
    return asked_of(sortie, None, Told(**({"last": LAST} | told)))


@pytest.mark.parametrize(
    "text",
    [
        LAST, "46.55 S 108.1 E, 370 m", "-46,55; 108,1; 370", "46 33 S 108 6 E, 370m",
        "-46.55, 108.1, 130 m above ground", "-46.55 108.1, 130 agl",
    ],
)  # fmt: skip
def test_ways_to_write_the_last_place(text: str, sortie: Sortie) -> None:
    place = asked(sortie, last=text).last.place
    assert (place.lat_deg, place.lon_deg) == pytest.approx((-46.55, 108.1))
    assert place.amsl_m == pytest.approx(370.0)  # home, 240 m, stands in for the ground


def test_above_ground_counts_from_the_terrain(sortie: Sortie) -> None:
    told = Told(last="-46.55, 108.1, 100 m above ground")
    terrain = replace(flat(300.0))
    found = asked_of(sortie, terrain, told).last.place.amsl_m
    assert found == pytest.approx(400.0)


def test_times_on_the_clock_of_the_launch(sortie: Sortie) -> None:
    launch_t_s = sortie.launch.t_s  # 16:40
    assert asked(sortie, at="18:20").last.t_s == launch_t_s + 6000.0
    assert asked(sortie, at="T+100").last.t_s == launch_t_s + 6000.0
    assert asked(sortie, at="t + 1,5").last.t_s == launch_t_s + 90.0
    assert asked(sortie, at="18:20:30").last.t_s == launch_t_s + 6030.0
    assert asked(sortie, at="01:00").last.t_s == launch_t_s + 500 * 60.0  # the next day


def test_the_party_sets_out_now_on_the_day_of_the_flight(sortie: Sortie) -> None:
    launch_t_s = sortie.launch.t_s
    today = asked(sortie, at="T+100", clock_t_s=launch_t_s + 7000.0)
    assert today.party.t_s == launch_t_s + 7000.0
    other = asked(sortie, at="T+100", clock_t_s=launch_t_s + 7e7)
    assert other.party.t_s == launch_t_s + 6000.0
    assert asked(sortie, at="T+100", now="T+120").party.t_s == launch_t_s + 7200.0
    assert asked(sortie, back_by="T+180").party.back_by_t_s == launch_t_s + 10_800.0
    assert asked(sortie, clock_t_s=launch_t_s + 7000.0).last.t_s == launch_t_s + 7000.0
    assert asked(sortie).last.t_s == launch_t_s
    assert "When it was last seen was not told" in asked(sortie).notes[0]
    assert asked(sortie, at="T+100").notes == ()


def test_where_the_party_is(sortie: Sortie) -> None:
    first = sortie.stands[0]
    assert asked(sortie).party.place.lat_deg == first.lat_deg
    assert asked(sortie, start="stile").party.place.lat_deg == pytest.approx(-46.589, abs=0.01)
    assert asked(sortie, start="-46.6, 108.2").party.place == Place(
        lat_deg=-46.6, lon_deg=108.2, amsl_m=0.0
    )
    lonely = replace(sortie, stands=())
    assert asked(lonely).party.place.lat_deg == sortie.launch.lat_deg


def test_pairs(sortie: Sortie) -> None:
    found = asked(
        sortie, bearings=["wether=245", "stile = 20,5"], heard=["wether=800"],
        looked=["a=40", "B1=10"], stories=["spin=0"], cover="grass", people=3, heading_deg=320.0,
    )  # fmt: skip
    assert [(one.name, one.azimuth_deg) for one in found.bearings] == [
        ("Wether Knap", 245.0), ("Stile Gap", 20.5),
    ]  # fmt: skip
    mast = next(one for one in sortie.stands if one.name == "Wether Knap")
    assert found.heard[0].stand.amsl_m == mast.amsl_m + mast.mast_m
    assert [(one.segment, one.seconds) for one in found.looked] == [("A", 2400.0), ("B1", 600.0)]
    assert found.weights["glider in a spin"] == 0.0
    assert found.elsewhere.name == "grass"
    assert found.party.n_people == 3
    assert found.last.heading_deg == 320.0


@pytest.mark.parametrize(
    ("told", "message"),
    [
        ({"last": "-46.55"}, "--last is '-46.55'; allowed: \"LAT, LON, HEIGHT m\""),
        ({"last": "a, b, 370 m"}, "--last is 'a, b'"),
        ({"last": "-46.55, 108.1, 1.2.3"}, "--last is '1.2.3'"),
        ({"last": "46.55, 108.1, 370 m"}, "Did you mean 46.55000 S 108.10000 E?"),
        ({"last": "-46.55, -108.1, 370 m"}, "allowed: a place within 800 km of the launch"),
        ({"at": "noon"}, "--at is 'noon'; allowed: HH:MM on the clock of the launch"),
        ({"now": "25:00"}, "--now is '25:00'"),
        ({"back_by": "x"}, "--back-by is 'x'"),
        ({"bearings": ["245"]}, "--bearing is '245'; allowed: NAME=NUMBER"),
        ({"bearings": ["moon=245"]}, "--bearing is 'moon'; allowed: a stand of the flight file"),
        ({"heard": ["wether=low"]}, "--heard is 'low'; allowed: a number"),
        ({"looked": ["?=5"]}, "segment is '?'"),
        ({"stories": ["wave=5"]}, "story is 'wave'"),
        ({"start": "moon"}, "--from is 'moon'"),
        ({"start": "1 2 3"}, "--from is '1 2 3'; allowed: a stand, or LAT, LON"),
        ({"cover": "moss"}, "cover is 'moss'"),
        ({"people": 0}, "people who look is 0"),
        ({"heading_deg": 400.0}, "heading is 400°"),
    ],
)
def test_refusals_name_the_option(told: dict[str, Any], message: str, sortie: Sortie) -> None:
    with pytest.raises(InputError) as error:
        asked(sortie, **told)
    assert message in str(error.value)
