"""Theodolite: one direction and a height make a place; how sure, by geometry."""

import math

import numpy as np
import pytest

from farglide.earth.geodesy import east_north_m, geodesic, offset
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.track.read import Direction
from farglide.track.theodolite import UNTOLD_M, spot_of

STAND = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)


def aimed(azimuth_deg: float, elevation_deg: float | None, sd_deg: float = 0.5) -> Direction:
    return Direction(0.0, STAND, azimuth_deg, elevation_deg, sd_deg)


def found_by(direction: Direction, amsl_m: float, start_m: float = 20_000.0) -> Place:
    """Return where a direction has it, asked again until it stays."""
    here = offset(STAND, start_m, start_m)
    for _ in range(25):
        at = Place(lat_deg=here.lat_deg, lon_deg=here.lon_deg, amsl_m=amsl_m)
        east_m, north_m = spot_of(direction, at).off_m
        here = offset(at, float(east_m), float(north_m))
    return here


@pytest.mark.parametrize(("azimuth_deg", "east_m", "north_m"), [(90.0, 1000.0, 0.0),
                                                                (180.0, 0.0, -1000.0)])  # fmt: skip
def test_near_by_it_is_height_times_cotangent(
    azimuth_deg: float, east_m: float, north_m: float
) -> None:
    """The pilot balloon's formula: 577.35 m up at 30 degrees is 1000 m away."""
    found = east_north_m(STAND, found_by(aimed(azimuth_deg, 30.0), 577.35, 500.0))
    assert found.east_m == pytest.approx(east_m, abs=1.0)
    assert found.north_m == pytest.approx(north_m, abs=1.0)


def test_far_away_the_earth_curves() -> None:
    """27 km up and 55 km out stand 25.85 degrees high, 26.15 on a plane."""
    found = found_by(aimed(70.0, 25.85), 27_000.0)
    assert geodesic(STAND, found).distance_m == pytest.approx(55_000.0, abs=150.0)


def test_its_error_is_that_of_both_angles() -> None:
    """Across: distance times the azimuth's; along: height times the elevation's by its sine."""
    at = offset(STAND, 0.0, 20_000.0)
    up = Place(lat_deg=at.lat_deg, lon_deg=at.lon_deg, amsl_m=15_000.0)
    seen = look(STAND, up)
    spot = spot_of(aimed(seen.azimuth_deg, seen.elevation_deg, 1.0), up)
    rows = np.sqrt(np.diag(spot.covariance_m2)) * math.sqrt((4.0 + 1.0) / 4.0)
    up_rad = math.radians(seen.elevation_deg)
    assert rows[0] == pytest.approx(25_000.0 * math.radians(1.0), rel=0.01)
    assert rows[1] == pytest.approx(15_000.0 * math.radians(1.0) / math.sin(up_rad) ** 2, rel=0.02)
    np.testing.assert_allclose(spot.off_m, 0.0, atol=1e-3)
    assert spot.per_metre[1] == pytest.approx(1.0 / math.tan(up_rad), rel=0.01)
    assert abs(spot.per_metre[0]) < 0.01


def test_an_azimuth_alone_is_a_line() -> None:
    up = Place(lat_deg=offset(STAND, 0.0, 20_000.0).lat_deg, lon_deg=108.0, amsl_m=15_000.0)
    spot = spot_of(aimed(1.0, None), up)
    assert spot.off_m[0] == pytest.approx(20_000.0 * math.radians(1.0), rel=0.01)
    assert spot.covariance_m2[1, 1] == pytest.approx(UNTOLD_M**2, rel=1e-3)
    np.testing.assert_array_equal(spot.per_metre, 0.0)


def test_a_direction_that_is_far_off_counts_little() -> None:
    up = Place(lat_deg=offset(STAND, 0.0, 20_000.0).lat_deg, lon_deg=108.0, amsl_m=15_000.0)
    near, far = (spot_of(aimed(deg, None), up).covariance_m2[0, 0] for deg in (0.5, 90.0))
    assert far > 1000.0 * near


def test_right_overhead_nothing_breaks() -> None:
    up = Place(lat_deg=STAND.lat_deg, lon_deg=STAND.lon_deg, amsl_m=15_000.0)
    spot = spot_of(aimed(120.0, 88.0, 2.0), up)
    assert np.isfinite(spot.off_m).all()
    assert np.isfinite(spot.covariance_m2).all()
    assert (np.linalg.eigvalsh(spot.covariance_m2) > 0.0).all()


def test_a_direction_without_an_error_is_refused() -> None:
    said = r"error of a direction is 0°; allowed: 0\.01 to 90°"
    with pytest.raises(InputError, match=said):
        spot_of(aimed(120.0, 40.0, 0.0), offset(STAND, 100.0, 0.0))
