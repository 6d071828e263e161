"""Real sounding flights: reported winds through the integrator end where the balloon was."""

import math
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from pyproj import Geod

from farglide.air.between import AirAt
from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.balloon.ascent import Balance, _balance_mps, balance_of
from farglide.earth.heights import geometric_at_m
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.flightfile.standins import DRAG_TABLE
from farglide.sources.soundings.bufr_temp import read_bufr
from farglide.sources.soundings.netcdf_sounding import read_netcdf_sounding

from .drift import drift_place

GEOD = Geod(ellps="WGS84")
PRAGUE_KM = 1.6  # displacements are rounded to 0.01 degree, about 1 km; see winds_origin.txt
DARWIN = ("20060119_231600", "20060124_051500")


def amsl_of(sounding: Sounding) -> FloatArray:
    return np.array([geometric_at_m(float(h), sounding.lat_deg) for h in sounding.gph_m])


def flown(sounding: Sounding) -> tuple[float, float, float]:
    """Return by how many kilometres the drift misses the reported burst, the drift, the minutes."""
    t_s, lat_off, lon_off = sounding.elapsed_s, sounding.lat_offset_deg, sounding.lon_offset_deg
    assert t_s is not None
    assert lat_off is not None
    assert lon_off is not None
    keep = np.isfinite(t_s)
    keep[1:] &= np.diff(t_s) > 0.0
    located = np.flatnonzero(keep & np.isfinite(lat_off) & np.isfinite(lon_off))
    lats, lons = sounding.lat_deg + lat_off[located], sounding.lon_deg + lon_off[located]
    start = Place(lat_deg=float(lats[0]), lon_deg=float(lons[0]), amsl_m=0.0)
    lat, lon = drift_place(
        start, t_s[keep], amsl_of(sounding)[keep], sounding.u_mps[keep], sounding.v_mps[keep]
    )
    miss_m = GEOD.inv(lon, lat, lons[-1], lats[-1])[2]
    drift_m = GEOD.inv(lons[0], lats[0], lons[-1], lats[-1])[2]
    return miss_m / 1e3, drift_m / 1e3, float(t_s[keep][-1] - t_s[keep][0]) / 60.0


def soundings_of(authorities: Path, name: str) -> list[Sounding]:
    if name.endswith(".bufr"):
        return read_bufr(authorities / name)[0]
    return [read_netcdf_sounding(authorities / name, None)]


def test_giles_ends_where_its_satellite_receiver_says(authorities: Path) -> None:
    # 2016-04-03, every 2 s to 30.6 km: 14.8 km of drift in 90.9 min, positions not from the winds.
    (sounding,) = soundings_of(authorities, "giles_20160403.bufr")
    miss_km, drift_km, minutes = flown(sounding)
    assert drift_km == pytest.approx(14.77, abs=0.05)
    assert minutes == pytest.approx(90.9, abs=0.2)
    assert miss_km < 0.15


def test_four_flights_over_prague_end_within_the_rounding_of_their_positions(
    authorities: Path,
) -> None:
    soundings = soundings_of(authorities, "prague_20071120.bufr")
    assert len(soundings) == 4
    drifts = []
    for sounding in soundings:
        miss_km, drift_km, _ = flown(sounding)
        drifts.append(drift_km)
        assert miss_km < PRAGUE_KM
    # between the reported places of launch and burst, by pyproj
    assert sorted(drifts) == pytest.approx([32.98, 53.97, 60.54, 80.25], abs=0.3)


@pytest.mark.parametrize("name", DARWIN)
def test_flights_over_darwin_end_within_600_m(authorities: Path, name: str) -> None:
    # The provider computed these positions from the winds: a test of the integrator alone. Every
    # tenth sample is left in the files.
    (sounding,) = soundings_of(authorities, f"darwin_{name}.cdf")
    miss_km, drift_km, _ = flown(sounding)
    assert drift_km > 5.0
    assert miss_km < 0.6


def test_shortening_is_what_the_height_makes_it() -> None:
    # An hour at 30 km in 25 m/s from the south: 90 km flown is 90 x R/(R + 30 km) = 89.58 km below.
    t_s = np.array([0.0, 3600.0])
    start = Place(lat_deg=10.0, lon_deg=20.0, amsl_m=0.0)
    lat, lon = drift_place(start, t_s, np.full(2, 30_000.0), np.zeros(2), np.full(2, 25.0))
    assert lon == pytest.approx(20.0)
    assert GEOD.inv(20.0, 10.0, lon, lat)[2] == pytest.approx(90_000.0 * 0.995313, abs=3.0)


def test_refusals_of_a_drift() -> None:
    start = Place(lat_deg=50.0, lon_deg=14.0, amsl_m=0.0)
    two = np.array([0.0, 1.0])
    with pytest.raises(InputError, match="u_mps is 3 values; allowed: 2"):
        drift_place(start, two, two, np.zeros(3), two)
    with pytest.raises(InputError, match="v_mps is not a number in places"):
        drift_place(start, two, two, two, np.array([0.0, math.nan]))
    with pytest.raises(InputError, match="t_s is 2 moments; allowed: 2 or more, each later"):
        drift_place(start, np.zeros(2), two, two, two)
    with pytest.raises(InputError, match=r"start is 89\.0° latitude"):
        drift_place(Place(lat_deg=89.0, lon_deg=0.0, amsl_m=0.0), two, two, two, two)


class Climbed(NamedTuple):
    """How far a law is off a real climb: at worst in time, by share, and in the drift's end."""

    late_ratio: float
    miss_ratio: float


def off_by(sounding: Sounding, balance: Balance) -> Climbed:
    """Return how far the law is off; nothing is fitted but the free lift, to the mean climb."""
    t_s, lat_off, lon_off = sounding.elapsed_s, sounding.lat_offset_deg, sounding.lon_offset_deg
    assert t_s is not None
    assert lat_off is not None
    assert lon_off is not None
    times_s = climbed_by_law(sounding, balance)
    late_s = np.abs(times_s - (t_s - np.nanmin(t_s)))
    start = Place(lat_deg=sounding.lat_deg, lon_deg=sounding.lon_deg, amsl_m=0.0)
    drifted = (start, times_s, amsl_of(sounding), sounding.u_mps, sounding.v_mps)
    lat, lon = drift_place(*drifted)
    end_lat, end_lon = sounding.lat_deg + lat_off[-1], sounding.lon_deg + lon_off[-1]
    miss_m = GEOD.inv(lon, lat, end_lon, end_lat)[2]
    drift_m = GEOD.inv(sounding.lon_deg, sounding.lat_deg, end_lon, end_lat)[2]
    return Climbed(float(np.nanmax(late_s) / np.ptp(t_s[np.isfinite(t_s)])), miss_m / drift_m)


def test_the_ascent_law_meets_real_climbs_where_one_coefficient_does_not(
    authorities: Path,
) -> None:
    """Seven climbs of 5 to 7 m/s: no height is passed more than 7 % of the climb early or
    late, and what that costs is a tenth of the drift at most. On one drag coefficient, whatever
    it is, all but one are 10 to 14 % off in time, and their drifts 11 to 30 %. Fill and balloon
    are not known. These flights are among those that the curve was fitted to, or like them.
    """
    names = ["giles_20160403.bufr", "prague_20071120.bufr", *(f"darwin_{d}.cdf" for d in DARWIN)]
    flights = [sounding for name in names for sounding in soundings_of(authorities, name)]
    assert len(flights) == 7
    curve, plain = (
        [off_by(one, balance_of(table)) for one in flights] for table in (DRAG_TABLE, ((1e5, 0.3),))
    )
    assert max(one.late_ratio for one in curve) < 0.07
    assert max(one.miss_ratio for one in curve) < 0.10
    assert sum(one.late_ratio > 0.095 for one in plain) == 6
    assert sum(one.miss_ratio > 0.10 for one in plain) == 6


def climbed_by_law(sounding: Sounding, balance: Balance) -> FloatArray:
    """Return times at the levels for a slack balloon whose mean climb is the flight's own."""
    t_s = sounding.elapsed_s
    assert t_s is not None
    z = amsl_of(sounding)
    duration_s = float(np.nanmax(t_s) - np.nanmin(t_s))
    low, high = 0.1, 4.0
    for _ in range(30):
        free_kg = 0.5 * (low + high)
        times_s = _times(sounding, z, free_kg, balance)
        low, high = (free_kg, high) if times_s[-1] > duration_s else (low, free_kg)
    return times_s


def _times(sounding: Sounding, z: FloatArray, free_kg: float, balance: Balance) -> FloatArray:
    """Return times for a balloon and load of 1.1 kg, helium, at 60 heights, linear between."""
    heights = np.linspace(z[0], z[-1], 60)
    speeds = []
    for h in heights:
        p = math.exp(float(np.interp(h, z, np.log(sounding.p_pa))))
        t_k = float(np.interp(h, z, sounding.t_k))
        rho, viscosity = p / (287.05 * t_k), 1.458e-6 * t_k**1.5 / (t_k + 110.4)
        across = (6.0 / math.pi * (1.1 + free_kg) / (rho * (1.0 - 4.0026 / 28.9644))) ** (1 / 3)
        air = AirAt(math.nan, math.nan, rho, viscosity, math.nan, math.nan)
        speeds.append(float(_balance_mps(balance, free_kg * 9.78, across, air, 1.0)))
    slowness = 1.0 / np.array(speeds)
    steps = 0.5 * (slowness[1:] + slowness[:-1]) * np.diff(heights)
    return np.interp(z, heights, np.concatenate([[0.0], np.cumsum(steps)]))
