"""The sun against the long series, published examples and its own geometry."""

import math
import subprocess
import sys

import numpy as np
import pandas as pd
import pytest
from pvlib.solarposition import spa_python

from farglide.earth.clock import seconds_from_text
from farglide.earth.sun import (
    dusk_t_s,
    horizon_dip_deg,
    refraction_deg,
    sun_position,
    sunset_t_s,
)
from farglide.errors import InputError


def _apart_deg(a: tuple[float, float], b: tuple[float, float]) -> float:
    """The angle between two directions given as azimuth and elevation."""

    def unit(azimuth_deg: float, elevation_deg: float) -> tuple[float, float, float]:
        azimuth, elevation = math.radians(azimuth_deg), math.radians(elevation_deg)
        level = math.cos(elevation)
        return level * math.sin(azimuth), level * math.cos(azimuth), math.sin(elevation)

    return math.degrees(2.0 * math.asin(min(1.0, 0.5 * math.dist(unit(*a), unit(*b)))))


def test_reference_example() -> None:
    # NREL/TP-560-34302, worked example: zenith angle without refraction 90 - 39.872046 deg,
    # azimuth 194.34024, refraction 0.016332 at 820 hPa and 11 C.
    t_s = seconds_from_text("2003-10-17T19:30:30Z")
    sun = sun_position(t_s, 39.742476, -105.1786)
    assert sun.elevation_deg == pytest.approx(39.872046, abs=0.005)
    assert sun.azimuth_deg == pytest.approx(194.34024, abs=0.01)
    thinner = 820.0 / 1010.0 * 283.0 / (273.0 + 11.0)  # Meeus ch. 16
    assert refraction_deg(39.872046) * thinner == pytest.approx(0.016332, abs=5e-5)


def test_long_series_2000_to_2050() -> None:
    # pvlib's code of the NREL solar position algorithm (0.0003 deg), elevation without refraction.
    rng = np.random.default_rng(19)
    start_s, end_s = (seconds_from_text(f"{year}-01-01T00:00:00Z") for year in (2000, 2051))
    for lat_deg, lon_deg in (
        (-89.0, 10.0),
        (-46.5, 108.0),
        (0.0, -179.0),
        (39.7, -105.2),
        (78.0, 15.0),
    ):
        t_s = np.sort(rng.uniform(start_s, end_s, 300)).round()
        times = pd.to_datetime(t_s, unit="s", utc=True)
        table = spa_python(times, lat_deg, lon_deg, altitude=0.0)
        for time_s, azimuth_deg, elevation_deg in zip(
            t_s, table["azimuth"], table["elevation"], strict=True
        ):
            sun = sun_position(float(time_s), lat_deg, lon_deg)
            assert _apart_deg(sun, (azimuth_deg, elevation_deg)) < 0.01
            assert sun.elevation_deg == pytest.approx(elevation_deg, abs=0.01)


def test_demo_sun() -> None:
    # 2027-01-23 10:56 UTC at 46.829 S 108.565 E: azimuth 256.7, elevation 14.3, worked
    # out apart from this code.
    sun = sun_position(seconds_from_text("2027-01-23T10:56:00Z"), -46.829, 108.565)
    assert sun.azimuth_deg == pytest.approx(256.7, abs=0.2)
    assert sun.elevation_deg == pytest.approx(14.3, abs=0.2)


def test_demo_evening() -> None:
    # 46.5 S 108 E: sunset 12:33 UTC, at 28 km 13:10, civil dusk 13:08, worked out
    # apart from this code.
    launch_s = seconds_from_text("2027-01-23T09:40:00Z")
    sunset_s = sunset_t_s(launch_s, -46.5, 108.0)
    high_s = sunset_t_s(launch_s, -46.5, 108.0, 28_000.0)
    dusk_s = dusk_t_s(launch_s, -46.5, 108.0)
    assert sunset_s == pytest.approx(seconds_from_text("2027-01-23T12:33:00Z"), abs=60.0)
    assert high_s == pytest.approx(seconds_from_text("2027-01-23T13:10:00Z"), abs=60.0)
    assert dusk_s == pytest.approx(seconds_from_text("2027-01-23T13:08:00Z"), abs=60.0)


@pytest.mark.parametrize(
    ("place", "amsl_m", "since", "expected"),
    [
        # astropy 8 get_sun: sun at -0.833 deg, and at -0.833 - 5.55 deg from 30 km.
        ((51.5, 0.0), 0.0, "2025-12-21T12:00:00Z", "2025-12-21T15:53:01Z"),
        ((51.5, 0.0), 30_000.0, "2025-12-21T12:00:00Z", "2025-12-21T16:36:13Z"),
        # astropy at the site of NREL/TP-560-34302: 17:18:51 at UTC-7.
        ((39.742476, -105.1786), 0.0, "2003-10-17T19:30:30Z", "2003-10-18T00:18:51Z"),
    ],
)
def test_sunset_rows(place: tuple[float, float], amsl_m: float, since: str, expected: str) -> None:
    sunset_s = sunset_t_s(seconds_from_text(since), *place, amsl_m)
    assert sunset_s == pytest.approx(seconds_from_text(expected), abs=10.0)


def test_the_next_sunset_is_always_the_next() -> None:
    start_s = seconds_from_text("2027-03-20T00:00:00Z")
    first_s = sunset_t_s(start_s, 60.0, 20.0)
    assert first_s is not None
    # A second after this sunset the next comes in a day and 2.5 minutes, though spring moves it.
    second_s = sunset_t_s(first_s + 1.0, 60.0, 20.0)
    assert second_s is not None
    assert second_s - first_s == pytest.approx(86_400.0 + 150.0, abs=60.0)
    sun = sun_position(second_s, 60.0, 20.0)
    assert sun.elevation_deg == pytest.approx(-0.833, abs=0.001)


def test_polar_day_and_night() -> None:
    summer_s = seconds_from_text("2027-06-21T12:00:00Z")
    winter_s = seconds_from_text("2027-12-21T12:00:00Z")
    assert sunset_t_s(summer_s, 78.0, 15.0) is None
    assert dusk_t_s(summer_s, 60.0, 15.0) is not None  # the sun sinks to -6.6 deg
    assert dusk_t_s(summer_s, 61.0, 15.0) is None  # to -5.6 deg
    assert sunset_t_s(winter_s, 78.0, 15.0) is None
    assert dusk_t_s(winter_s, 78.0, 15.0) is None


def test_sun_at_the_poles_and_overhead() -> None:
    # At a pole the elevation is the declination, 23.44 deg at the solstice.
    solstice_s = seconds_from_text("2027-06-21T12:00:00Z")
    assert sun_position(solstice_s, 90.0, 0.0).elevation_deg == pytest.approx(23.436, abs=0.01)
    assert sun_position(solstice_s, -90.0, 77.0).elevation_deg == pytest.approx(-23.438, abs=0.01)
    # One longitude in two spellings.
    assert sun_position(solstice_s, 10.0, 200.0) == pytest.approx(
        sun_position(solstice_s, 10.0, -160.0)
    )


@pytest.mark.parametrize(
    ("amsl_m", "dip_deg"),
    # acos(R / (R + h)) with R = 6371 km; at 2 m rounded from 0.0454.
    [(0.0, 0.0), (2.0, 0.045), (1000.0, 1.015), (10_000.0, 3.208), (28_000.0, 5.36), (3e4, 5.549)],
)
def test_horizon_dip(amsl_m: float, dip_deg: float) -> None:
    assert horizon_dip_deg(amsl_m) == pytest.approx(dip_deg, abs=0.005)


def _bennett_deg(apparent_deg: float) -> float:
    """Refraction from the apparent elevation: Bennett, J. Navigation 35 (1982), Meeus ch. 16."""
    return 1.0 / math.tan(math.radians(apparent_deg + 7.31 / (apparent_deg + 4.4))) / 60.0


def test_refraction() -> None:
    # Meeus ch. 16, example 16.a (from memory): the sun's lower limb seen at 30' has 28.754' of
    # refraction by Bennett; its upper limb, truly at 1.246' + 32', has 24.618' by Saemundsson,
    # to which the zenith term adds 0.002'.
    assert _bennett_deg(0.5) * 60.0 == pytest.approx(28.754, abs=0.001)
    assert refraction_deg(33.246 / 60.0) * 60.0 == pytest.approx(24.618 + 0.0019, abs=0.001)
    # The two formulae undo each other within 0.1' (Meeus).
    for apparent_deg in range(90):
        true_deg = apparent_deg - _bennett_deg(float(apparent_deg))
        seen_deg = true_deg + refraction_deg(true_deg)
        assert seen_deg == pytest.approx(apparent_deg, abs=0.1 / 60.0)
    assert refraction_deg(90.0) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("elevation_deg", [-1.01, 90.01, math.nan])
def test_refuses_elevations(elevation_deg: float) -> None:
    with pytest.raises(InputError, match=r"elevation_deg is .*°; allowed: -1 to 90°"):
        refraction_deg(elevation_deg)


@pytest.mark.parametrize("amsl_m", [-0.1, 100_001.0, math.nan])
def test_refuses_heights(amsl_m: float) -> None:
    with pytest.raises(InputError, match=r"amsl_m is .* m; allowed: 0 to 100000 m"):
        horizon_dip_deg(amsl_m)
    with pytest.raises(InputError, match="amsl_m"):
        sunset_t_s(0.0, 0.0, 0.0, amsl_m)


@pytest.mark.parametrize("t_s", [-1.0, 1.8e12, math.nan])
def test_refuses_times(t_s: float) -> None:
    with pytest.raises(InputError, match=r"t_s is .* s; allowed: 0 to 4102444800 s"):
        sun_position(t_s, 0.0, 0.0)


def test_refuses_places() -> None:
    with pytest.raises(InputError, match="lat_deg"):
        sun_position(0.0, 91.0, 0.0)
    with pytest.raises(InputError, match="lon_deg"):
        dusk_t_s(0.0, 0.0, 361.0)


def test_starts_without_the_compiler() -> None:
    # `--help` and the clock must not pay for loading numba.
    code = (
        "import sys, farglide.earth.sun, farglide.earth.clock, farglide.earth.state;"
        "sys.exit('numba' in sys.modules or 'pyproj' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], check=False)
    assert done.returncode == 0
