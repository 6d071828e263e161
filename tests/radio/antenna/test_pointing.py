"""Pointing against printed losses, integrals over a Gaussian aim, and moved targets."""

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from farglide.earth.geodesy import EastNorthUp
from farglide.errors import InputError
from farglide.radio.antenna.beams import Beam
from farglide.radio.antenna.kinds import pattern_of
from farglide.radio.antenna.pattern import gain_towards_dbi, peak_dbi
from farglide.radio.antenna.pointing import (
    azimuth_rate_degps,
    keyhole_deg,
    mean_pointing_loss_db,
    mean_power_pointing_loss_db,
    pointing_loss_db,
    turn_rates,
    turn_rates_radps,
)


@pytest.mark.parametrize(
    ("share", "printed_db"),
    [
        # ITU Resolution 553 (WRC-12) figure 1, curve A: -12 (phi / phi0)^2 up to 0.5
        (0.1, 0.12),
        (0.25, 0.75),
        (0.5, 3.00),
        # ITU-R F.1336-4, 2.2, as coded: the same below 1; a convention where Resolution 553 stops
        (0.75, 6.75),
        (1.0, 12.00),
    ],
)
def test_loss_by_share_of_the_beamwidth(share: float, printed_db: float) -> None:
    for beamwidth_deg in (5.0, 20.0, 35.0):
        found_db = pointing_loss_db(share * beamwidth_deg, beamwidth_deg)
        assert found_db == pytest.approx(printed_db, abs=1e-9)
        assert pointing_loss_db(-share * beamwidth_deg, beamwidth_deg) == found_db


def test_loss_of_10_degrees() -> None:
    # domain check: 0.98 dB with a beam of 35 deg, 3.0 dB with one of 20 deg (computed)
    assert pointing_loss_db(10.0, 35.0) == pytest.approx(0.98, abs=0.005)
    assert pointing_loss_db(10.0, 20.0) == pytest.approx(3.0, abs=1e-9)


def test_loss_ends_at_the_side_lobes() -> None:
    assert pointing_loss_db(60.0, 20.0) == 20.0
    assert pointing_loss_db(60.0, 20.0, 14.0) == 14.0


def test_loss_is_that_of_the_pattern() -> None:
    beam = Beam(level_deg=25.0, upright_deg=25.0)
    pattern = pattern_of(beam)
    for error_deg in (0.0, 3.0, 12.5, 20.0, 30.0, 90.0):
        lost_db = peak_dbi(pattern) - gain_towards_dbi(pattern, error_deg)
        found_db = pointing_loss_db(error_deg, 25.0, beam.floor_db)
        assert found_db == pytest.approx(lost_db, abs=0.03)


@pytest.mark.parametrize("share", [0.02, 0.1, 0.3, 0.8])
@pytest.mark.parametrize("floor_db", [14.0, 20.0])
def test_means_of_an_unsteady_aim_are_integrals(share: float, floor_db: float) -> None:
    width_deg = 20.0
    sd_deg = share * width_deg

    def weight(error_deg: float) -> float:  # of the error in two directions: Rayleigh
        return error_deg / sd_deg**2 * math.exp(-0.5 * (error_deg / sd_deg) ** 2)

    def loss_db(error_deg: float) -> float:
        return min(12.0 * (error_deg / width_deg) ** 2, floor_db)

    corner_deg = width_deg * math.sqrt(floor_db / 12.0)
    bounds = [0.0, min(corner_deg, 9.0 * sd_deg), max(corner_deg, 9.0 * sd_deg) + 1.0]
    mean_db, mean_power = 0.0, 0.0
    for low, high in pairwise(bounds):
        mean_db += quad(lambda e: weight(e) * loss_db(e), low, high)[0]
        mean_power += quad(lambda e: weight(e) * 10.0 ** (-0.1 * loss_db(e)), low, high)[0]
    assert mean_pointing_loss_db(sd_deg, width_deg, floor_db) == pytest.approx(mean_db, abs=1e-6)
    power_db = mean_power_pointing_loss_db(sd_deg, width_deg, floor_db)
    assert power_db == pytest.approx(-10.0 * math.log10(mean_power), abs=1e-6)
    assert power_db < mean_db


def test_means_of_drawn_aims() -> None:
    rng = np.random.default_rng(11)
    errors_deg = np.hypot(*rng.normal(0.0, 5.0, (2, 20_000)))
    losses_db = np.array([pointing_loss_db(float(error), 30.0) for error in errors_deg])
    # standard error of the mean: 0.67 / sqrt(20 000) = 0.005 dB
    assert losses_db.mean() == pytest.approx(mean_pointing_loss_db(5.0, 30.0), abs=0.02)
    power_db = -10.0 * math.log10(np.power(10.0, -0.1 * losses_db).mean())
    assert power_db == pytest.approx(mean_power_pointing_loss_db(5.0, 30.0), abs=0.02)


def test_steady_aim_loses_nothing() -> None:
    assert mean_pointing_loss_db(0.0, 20.0) == 0.0
    assert mean_power_pointing_loss_db(0.0, 20.0) == 0.0


@pytest.mark.parametrize(
    "line",
    [
        EastNorthUp(3000.0, 4000.0, 2000.0),
        EastNorthUp(-200.0, 100.0, 9000.0),
        EastNorthUp(500.0, -50_000.0, -300.0),
    ],
)
def test_rates_are_those_of_a_moved_target(line: EastNorthUp) -> None:
    speed, step_s = (12.0, -30.0, -4.0), 1e-3
    ends = [np.array(line) + sign * step_s * np.array(speed) for sign in (-0.5, 0.5)]
    azimuths_rad = [math.atan2(east, north) for east, north, _ in ends]
    elevations_rad = [math.atan2(up, math.hypot(east, north)) for east, north, up in ends]
    turned_rad = (azimuths_rad[1] - azimuths_rad[0] + math.pi) % (2.0 * math.pi) - math.pi
    rates = turn_rates(line, *speed)
    assert rates.azimuth_radps == pytest.approx(turned_rad / step_s, rel=1e-5)
    risen_rad = elevations_rad[1] - elevations_rad[0]
    assert rates.elevation_radps == pytest.approx(risen_rad / step_s, rel=1e-4)
    away = np.cross(np.array(line), np.array(speed))
    sky_radps = float(np.linalg.norm(away)) / sum(part**2 for part in line)
    assert rates.sky_radps == pytest.approx(sky_radps, rel=1e-9)


def test_azimuth_rate_grows_towards_the_zenith() -> None:
    # 1 / cos(elevation): twice at 60 deg, 11.5 times at 85 deg
    assert azimuth_rate_degps(0.5, 0.0) == 0.5
    assert azimuth_rate_degps(0.5, 60.0) == pytest.approx(1.0)
    assert azimuth_rate_degps(1.0, 85.0) == pytest.approx(11.474, abs=0.001)
    line = EastNorthUp(0.0, 1000.0, 6000.0)  # crosswise, 80.5 deg up
    rates = turn_rates(line, 25.0, 0.0, 0.0)
    sky_degps, azimuth_degps = math.degrees(rates.sky_radps), math.degrees(rates.azimuth_radps)
    elevation_deg = math.degrees(math.atan2(line.up_m, line.north_m))
    assert azimuth_rate_degps(sky_degps, elevation_deg) == pytest.approx(azimuth_degps, rel=1e-9)


def test_straight_overhead_there_is_no_azimuth_rate() -> None:
    over = EastNorthUp(0.0, 0.0, 2000.0)
    azimuth, elevation, sky = turn_rates_radps(over, EastNorthUp(6.0, 8.0, 0.0))
    assert math.isnan(azimuth)
    assert math.isnan(elevation)
    assert sky == pytest.approx(0.005)


@pytest.mark.parametrize("slew_degps", [2.0, 6.0, 45.0])
def test_at_the_keyhole_the_antenna_just_follows(slew_degps: float) -> None:
    height_m, speed_mps = 1500.0, 25.0
    edge_deg = keyhole_deg(height_m, speed_mps, slew_degps)
    nearest_m = height_m / math.tan(math.radians(edge_deg))
    rates = turn_rates(EastNorthUp(0.0, nearest_m, height_m), speed_mps, 0.0, 0.0)
    assert math.degrees(rates.azimuth_radps) == pytest.approx(slew_degps, rel=1e-9)
    before = turn_rates(EastNorthUp(-300.0, nearest_m, height_m), speed_mps, 0.0, 0.0)
    assert before.azimuth_radps < rates.azimuth_radps


def test_impossible_aims_are_refused() -> None:
    with pytest.raises(InputError, match="error_deg is 200°"):
        pointing_loss_db(200.0, 20.0)
    with pytest.raises(InputError, match=r"beamwidth_deg is 0°.*full width"):
        pointing_loss_db(5.0, 0.0)
    with pytest.raises(InputError, match="floor_db is -20 dB"):
        pointing_loss_db(5.0, 20.0, -20.0)
    with pytest.raises(InputError, match=r"aim_sd_deg is 90°.*one standard deviation"):
        mean_pointing_loss_db(90.0, 20.0)
    with pytest.raises(InputError, match="floor_db is 0 dB"):
        mean_power_pointing_loss_db(2.0, 20.0, 0.0)
    with pytest.raises(InputError, match="up_mps is nan m/s"):
        turn_rates(EastNorthUp(1.0, 1.0, 1.0), 0.0, 0.0, math.nan)
    with pytest.raises(InputError, match="line is 0 m away"):
        turn_rates(EastNorthUp(0.0, 0.0, 0.0), 1.0, 0.0, 0.0)
    with pytest.raises(InputError, match="azimuth is none there"):
        turn_rates(EastNorthUp(0.0, 0.0, 100.0), 1.0, 0.0, 0.0)
    with pytest.raises(InputError, match="sky_degps is -1°/s"):
        azimuth_rate_degps(-1.0, 20.0)
    with pytest.raises(InputError, match="no azimuth rate is enough"):
        azimuth_rate_degps(1.0, 90.0)
    with pytest.raises(InputError, match=r"height_m is -5 m.*from the antenna up"):
        keyhole_deg(-5.0, 20.0, 10.0)
    with pytest.raises(InputError, match="speed_mps is 0 m/s"):
        keyhole_deg(100.0, 0.0, 10.0)
    with pytest.raises(InputError, match="slew_degps is 0°/s"):
        keyhole_deg(100.0, 20.0, 0.0)
