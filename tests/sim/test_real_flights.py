"""Real sounding flights: reported winds through the integrator end where the balloon was."""

import math
from pathlib import Path

import numpy as np
import pytest
from pyproj import Geod

from farglide.air.between import AirAt
from farglide.air.column import Sounding
from farglide.balloon.ascent import _balance_mps, balance_of
from farglide.earth.heights import geometric_at_m
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.flightfile.standins import DRAG_TABLE
from farglide.sim.fly.drift import drift_place
from farglide.sources.soundings.bufr_temp import read_bufr
from farglide.sources.soundings.netcdf_sounding import read_netcdf_sounding

GEOD = Geod(ellps="WGS84")
PRAGUE_KM = 1.6  # displacements are rounded to 0.01 degree, about 1 km; see winds_origin.txt
DARWIN = ("20060119_231600", "20060124_051500")


def amsl_of(sounding: Sounding) -> np.ndarray:  # type: ignore[type-arg]
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
    print(f"Giles: {1000.0 * miss_km:.0f} m off after {drift_km:.2f} km")
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
        print(f"{sounding.origin}: {miss_km:.2f} km off after {drift_km:.1f} km")
        drifts.append(drift_km)
        assert miss_km < PRAGUE_KM
    assert sorted(drifts) == pytest.approx([32.98, 53.97, 60.54, 80.25], abs=0.3)


@pytest.mark.parametrize("name", DARWIN)
def test_flights_over_darwin_end_within_600_m(authorities: Path, name: str) -> None:
    # The provider computed these positions from the winds: a test of the integrator alone. Every
    # tenth sample is left in the files.
    (sounding,) = soundings_of(authorities, f"darwin_{name}.cdf")
    miss_km, drift_km, _ = flown(sounding)
    print(f"Darwin {name}: {miss_km:.2f} km off after {drift_km:.1f} km")
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
    with pytest.raises(InputError, match=r"start is 89\.0 deg latitude"):
        drift_place(Place(lat_deg=89.0, lon_deg=0.0, amsl_m=0.0), two, two, two, two)


def test_the_ascent_law_against_real_climbs_is_told(authorities: Path) -> None:
    """Print how the default drag curve climbs where real balloons climbed 5 to 7 m/s.

    Nothing is fitted but the free lift, so that the mean climb is the flight's own; what is
    asserted is only that this can be done: fill and balloon of these flights are not known.
    """
    names = ["giles_20160403.bufr", "prague_20071120.bufr", *(f"darwin_{d}.cdf" for d in DARWIN)]
    for name in names:
        for sounding in soundings_of(authorities, name):
            times_s, mean_mps = climbed_by_law(sounding)
            start = Place(lat_deg=sounding.lat_deg, lon_deg=sounding.lon_deg, amsl_m=0.0)
            lat, lon = drift_place(
                start, times_s, amsl_of(sounding), sounding.u_mps, sounding.v_mps
            )
            lat_off, lon_off = sounding.lat_offset_deg, sounding.lon_offset_deg
            assert lat_off is not None
            assert lon_off is not None
            ends = sounding.lat_deg + lat_off[-1], sounding.lon_deg + lon_off[-1]
            miss_km = GEOD.inv(lon, lat, ends[1], ends[0])[2] / 1e3
            print(f"{sounding.origin}: {mean_mps:.2f} m/s, {miss_km:.2f} km off")
            assert 3.0 < mean_mps < 8.0
            assert math.isfinite(miss_km)


def climbed_by_law(sounding: Sounding) -> tuple[np.ndarray, float]:  # type: ignore[type-arg]
    """Return times at the levels for a slack balloon whose mean climb is the flight's own."""
    t_s = sounding.elapsed_s
    assert t_s is not None
    z = amsl_of(sounding)
    duration_s = float(np.nanmax(t_s) - np.nanmin(t_s))
    wanted_mps = float(z[-1] - z[0]) / duration_s
    low, high = 0.1, 4.0
    for _ in range(30):
        free_kg = 0.5 * (low + high)
        times_s = _times(sounding, z, free_kg)
        low, high = (free_kg, high) if times_s[-1] > duration_s else (low, free_kg)
    return times_s, wanted_mps


def _times(sounding: Sounding, z: np.ndarray, free_kg: float) -> np.ndarray:  # type: ignore[type-arg]
    """Return times for a balloon and load of 1.1 kg, helium, at 60 heights, linear between."""
    heights = np.linspace(z[0], z[-1], 60)
    speeds = []
    for h in heights:
        p = math.exp(float(np.interp(h, z, np.log(sounding.p_pa))))
        t_k = float(np.interp(h, z, sounding.t_k))
        rho, viscosity = p / (287.05 * t_k), 1.458e-6 * t_k**1.5 / (t_k + 110.4)
        across = (6.0 / math.pi * (1.1 + free_kg) / (rho * (1.0 - 4.0026 / 28.9644))) ** (1 / 3)
        speeds.append(_speed(free_kg * 9.78, across, rho, viscosity))
    slowness = 1.0 / np.array(speeds)
    steps = 0.5 * (slowness[1:] + slowness[:-1]) * np.diff(heights)
    return np.interp(z, heights, np.concatenate([[0.0], np.cumsum(steps)]))


_BALANCE = balance_of(DRAG_TABLE)


def _speed(lift_n: float, across_m: float, rho: float, viscosity: float) -> float:
    air = AirAt(math.nan, math.nan, rho, viscosity, math.nan, math.nan)
    return float(_balance_mps(_BALANCE, lift_n, across_m, air, 1.0))
