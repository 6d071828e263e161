"""Slips that a flight, its ground and its winds look like are asked about, and nothing else is."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.atlas.terrain import Terrain
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.fields import Band, Cause, FieldOutlook
from farglide.plan.suspicions import (
    guessed_limit,
    heights_off,
    launch_away,
    suspicions,
    wind_suspicions,
)
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Launch, Sortie
from farglide.sources.soundings.bufr_temp import read_bufr
from farglide.units import KNOT_MPS

from ..present.sample_outlook import sample

AUTHORITIES = Path(__file__).parents[1] / "authorities"
YEAR_S = 365.25 * 86_400.0


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def ground(sortie: Sortie) -> Terrain:
    terrain = gather_terrain(sortie)
    assert terrain is not None
    return terrain


@pytest.fixture(scope="module")
def real() -> list[Sounding]:
    """Return real soundings: one day's reports of a network, where they reach 13 km and more."""
    found, _ = read_bufr(AUTHORITIES / "temp_network_20081208.bufr")
    return [one for one in found if one.top_gph_m > 13_500.0 and math.isfinite(one.lat_deg)]


def over(sounding: Sounding) -> Launch:
    place = {"lat_deg": sounding.lat_deg, "lon_deg": sounding.lon_deg}
    return Launch(name="here", amsl_m=0.0, t_s=sounding.t_s, zone="UTC", **place)


def with_wind(sounding: Sounding, u_mps: float, v_mps: float = 0.0) -> Sounding:
    n = len(sounding.gph_m)
    return replace(sounding, u_mps=np.full(n, u_mps), v_mps=np.full(n, v_mps))


@pytest.fixture
def demo_pack(demo_sounding: Sounding) -> Pack:
    return Pack(sounding=demo_sounding)


def test_the_demo_is_not_suspected(sortie: Sortie, demo_pack: Pack, ground: Terrain) -> None:
    assert suspicions(sortie, replace(demo_pack, terrain=ground)) == ()


@pytest.mark.parametrize("what", ["launch", "field", "stand"])
def test_a_height_off_the_ground_is_asked_about(what: str, sortie: Sortie, ground: Terrain) -> None:
    """Home 240 m under the ground passed silently once, and changed the field that was chosen."""
    changed = {
        "launch": {"launch": replace(sortie.launch, amsl_m=sortie.launch.amsl_m - 240.0)},
        "field": {"fields": (replace(sortie.fields[0], amsl_m=0.0), *sortie.fields[1:])},
        "stand": {
            "stands": (*sortie.stands[:-1], replace(sortie.stands[-1], amsl_m=1900.0)),
        },
    }[what]
    (told,) = heights_off(replace(sortie, **changed), ground)  # type: ignore[arg-type]
    assert told.startswith(f"The {what} ")
    assert "the ground of [terrain]: is its height in metres, and its place right?" in told
    assert ("under" in told) is (what != "stand")
    assert list(heights_off(replace(sortie, **changed), None)) == []  # type: ignore[arg-type]


def test_real_winds_are_not_suspected(real: list[Sounding]) -> None:
    assert len(real) >= 20
    asked = [one.origin for one in real if list(wind_suspicions(over(one), one))]
    assert len(asked) <= len(real) // 15  # 21 of the 422 open soundings are


def test_most_real_winds_with_knots_as_metres_a_second_are(real: list[Sounding]) -> None:
    def in_knots(one: Sounding) -> Sounding:
        return replace(one, u_mps=one.u_mps / KNOT_MPS, v_mps=one.v_mps / KNOT_MPS)

    readable = [
        one for one in real if np.hypot(one.u_mps, one.v_mps).max() / KNOT_MPS < 200.0
    ]  # faster ones are refused outright
    asked = [
        one
        for one in readable
        if any("knots" in s for s in wind_suspicions(over(one), in_knots(one)))
    ]
    assert len(asked) > 0.4 * len(readable)


def test_most_real_winds_turned_round_are(real: list[Sounding]) -> None:
    far = [one for one in real if abs(one.lat_deg) > 30.0]
    turned = [replace(one, u_mps=-one.u_mps, v_mps=-one.v_mps) for one in far]
    asked = [
        one for one in turned if any("it blows to?" in s for s in wind_suspicions(over(one), one))
    ]
    assert len(asked) > 0.6 * len(far)  # 231 of 290


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda one: with_wind(one, 85.0), "reach 85 m/s at"),
        (lambda one: with_wind(one, 16.0), "16 m/s in the lowest wind, too much to fill"),
        (
            lambda one: replace(one, u_mps=np.where(one.gph_m > 6000.0, 45.0, 5.0)),
            "within 1 km at",
        ),
        (lambda one: with_wind(one, -12.0), "comes from the east, 12 m/s in the mean"),
        (lambda one: replace(with_wind(one, 5.0), lat_deg=math.nan), "where they were taken"),
        (lambda one: replace(with_wind(one, 5.0), t_s=math.nan), "when they were taken"),
    ],
)
def test_each_slip_is_told_alone(
    change: Callable[[Sounding], Sounding], words: str, sortie: Sortie, demo_sounding: Sounding
) -> None:
    (told,) = wind_suspicions(sortie.launch, change(demo_sounding))
    assert words in told


def test_a_forecast_is_not_asked_for_knots_but_for_its_directions(
    sortie: Sortie, demo_sounding: Sounding
) -> None:
    ahead = replace(with_wind(demo_sounding, -90.0), run_t_s=demo_sounding.t_s - 3600.0)
    (told,) = wind_suspicions(sortie.launch, ahead)
    assert "it blows to?" in told


@pytest.mark.parametrize(("lat_deg", "at_m"), [(62.0, 5850.0), (10.0, 5400.0)])
def test_placeless_winds_of_another_latitude_are_suspected(
    lat_deg: float, at_m: float, sortie: Sortie, demo_sounding: Sounding
) -> None:
    """The standard atmosphere has 500 hPa at 5574 m: it fits everywhere."""
    launch = replace(sortie.launch, lat_deg=lat_deg)
    calm = with_wind(demo_sounding, 5.0)
    stretched = replace(calm, gph_m=calm.gph_m * at_m / 5574.0)
    assert not [s for s in wind_suspicions(launch, stretched) if "swapped" in s]
    placeless = replace(stretched, lat_deg=math.nan, lon_deg=math.nan)
    assert [s for s in wind_suspicions(launch, placeless) if "swapped (lat_deg, lon_deg)?" in s]
    plain = replace(calm, lat_deg=math.nan, lon_deg=math.nan)
    assert not [s for s in wind_suspicions(launch, plain) if "swapped" in s]


def test_winds_too_low_to_tell_are_not_asked(sortie: Sortie, demo_sounding: Sounding) -> None:
    low = slice(0, int(np.searchsorted(demo_sounding.gph_m, 4000.0)))
    cut = {
        name: getattr(demo_sounding, name)[low]
        for name in ("gph_m", "p_pa", "t_k", "relative_humidity_ratio", "u_mps", "v_mps")
    }
    short = replace(demo_sounding, lat_deg=math.nan, **cut)
    (told,) = wind_suspicions(sortie.launch, short)
    assert "where they were taken" in told


def test_a_clock_of_another_continent_is_asked_about(sortie: Sortie, demo_pack: Pack) -> None:
    abroad = replace(sortie.launch, zone="America/Lima")
    (told,) = suspicions(replace(sortie, launch=abroad), demo_pack)
    assert told.startswith("The clock at the launch is -5 h from UTC, but the sun there is +7.2 h")


@pytest.mark.parametrize(
    ("years", "words"),
    [(0.9, ""), (-0.5, ""), (1.1, "1.1 years from now"), (-3.0, "3.0 years ago")],
)
def test_a_launch_years_away_is_told(sortie: Sortie, years: float, words: str) -> None:
    told = list(launch_away(sortie.launch, sortie.launch.t_s - years * YEAR_S))
    assert bool(told) is bool(words)
    assert all(words in one and "is its year right (launch_at)?" in one for one in told)


def test_a_guess_that_decides_is_told_and_a_stated_limit_is_not() -> None:
    field = sample().fields[0]

    def limited(kind: str, is_guess: bool) -> tuple[FieldOutlook, ...]:
        cause = Cause(kind=kind, words="the Mach limit of 0.59, a guess",  # type: ignore[arg-type]
                      is_guess=is_guess, saves_ratio=0.3)  # fmt: skip
        band = replace(field.bands[0], causes=(cause,))
        assert isinstance(band, Band)
        return (replace(field, bands=(band,)),)

    (told,) = guessed_limit(limited("mach", True))
    assert told.startswith("A limit that nobody stated decides: the Mach limit of 0.59, a guess.")
    assert list(guessed_limit(limited("mach", False))) == []
    assert list(guessed_limit(limited("wind", True))) == []
