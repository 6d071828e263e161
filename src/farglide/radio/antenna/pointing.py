"""Pointing: what a badly aimed beam loses, and how fast an antenna must turn to follow."""

import math
from typing import NamedTuple

from farglide.earth.geodesy import EastNorthUp
from farglide.errors import InputError, check_range
from farglide.kernel import compiled
from farglide.radio.antenna.shape import SIDE_LOBE_DB, main_lobe_db


class TurnRates(NamedTuple):
    """How fast a direction moves: over the compass and up; and across the sky, in the eye."""

    azimuth_radps: float
    elevation_radps: float
    sky_radps: float


def pointing_loss_db(
    error_deg: float, beamwidth_deg: float, floor_db: float = SIDE_LOBE_DB
) -> float:
    """Return the loss of a beam aimed wrong by an angle: 12 (error / beamwidth)^2.

    Valid: as a law up to half the beamwidth. Beyond, by convention, on along the parabola to the
    side lobes, `floor_db` below the peak, and no further.
    Source: ITU Resolution 553 (WRC-12), figure 1, curve A; beyond it ITU-R F.1336-4, 2.2.

    >>> [round(pointing_loss_db(10.0, beamwidth), 2) for beamwidth in (35.0, 20.0)]
    [0.98, 3.0]
    """
    check_range("error_deg", error_deg, "deg", (-180.0, 180.0))
    _check_beam(beamwidth_deg, floor_db)
    return min(-main_lobe_db(error_deg, beamwidth_deg), floor_db)


def mean_pointing_loss_db(
    aim_sd_deg: float, beamwidth_deg: float, floor_db: float = SIDE_LOBE_DB
) -> float:
    """Return the mean, in decibels, of the loss of an unsteady aim.

    `aim_sd_deg`: standard deviation of the error in each of two directions square to each other.
    Valid: errors small enough for a flat sky, 30 degrees or so.
    Source: the square of the error has an exponential distribution; the parabola with its floor
    over it gives m (1 - exp(-floor / m)) with m = 24 (sd / beamwidth)^2.

    >>> round(mean_pointing_loss_db(5.0, 30.0), 2)
    0.67
    """
    mean_db = _unfloored_mean_db(aim_sd_deg, beamwidth_deg, floor_db)
    return mean_db * -math.expm1(-floor_db / mean_db) if mean_db > 0.0 else 0.0


def mean_power_pointing_loss_db(
    aim_sd_deg: float, beamwidth_deg: float, floor_db: float = SIDE_LOBE_DB
) -> float:
    """Return the loss of the mean power of an unsteady aim, always below the mean in decibels.

    Valid and source: as for the mean in decibels; a Gaussian beam over a Gaussian error.

    >>> round(mean_power_pointing_loss_db(5.0, 30.0), 2)
    0.62
    """
    mean_db = _unfloored_mean_db(aim_sd_deg, beamwidth_deg, floor_db)
    if mean_db == 0.0:
        return 0.0
    in_nepers = 0.1 * math.log(10.0) * mean_db
    beyond = math.exp(-floor_db / mean_db)
    floor_ratio = math.pow(10.0, -0.1 * floor_db)
    share = (1.0 - beyond * floor_ratio) / (1.0 + in_nepers) + beyond * floor_ratio
    return -10.0 * math.log10(share)


def turn_rates(line: EastNorthUp, east_mps: float, north_mps: float, up_mps: float) -> TurnRates:
    """Return how fast an antenna on two axes must turn to follow what moves like this.

    `line` goes from the antenna to the target.
    Valid: not straight overhead, where the azimuth is none.
    Source: time derivatives of azimuth and elevation.

    >>> rates = turn_rates(EastNorthUp(0.0, 10_000.0, 10_000.0), 20.0, 0.0, 0.0)
    >>> [round(math.degrees(rate), 3) for rate in rates]  # azimuth, elevation, sky
    [0.115, 0.0, 0.081]
    """
    for name, speed_mps in (("east_mps", east_mps), ("north_mps", north_mps), ("up_mps", up_mps)):
        check_range(name, speed_mps, "m/s", (-1000.0, 1000.0))
    if not 0.0 < math.hypot(*line) < math.inf:
        given = f"{math.hypot(*line):g} m away"
        raise InputError("line", given, "more than 0 m, finite", "Give two places.")
    if math.hypot(line.east_m, line.north_m) == 0.0:
        raise InputError("line", "straight up or down", "any other", "The azimuth is none there.")
    return turn_rates_radps(line, EastNorthUp(east_mps, north_mps, up_mps))


def azimuth_rate_degps(sky_degps: float, elevation_deg: float) -> float:
    """Return the azimuth rate that follows a crosswise motion over the sky: sky / cos(elevation).

    Valid: below the zenith. Source: metric of the sphere.

    >>> round(azimuth_rate_degps(0.5, 80.0), 2)
    2.88
    """
    check_range("sky_degps", sky_degps, "deg/s", (0.0, 360.0))
    remedy = "At the zenith no azimuth rate is enough."
    check_range("elevation_deg", elevation_deg, "deg", (-89.999, 89.999), remedy)
    return sky_degps / math.cos(math.radians(elevation_deg))


def keyhole_deg(height_m: float, speed_mps: float, slew_degps: float) -> float:
    """Return the elevation above which an antenna of this azimuth slew rate loses a passing target.

    The target passes level at `height_m` above the antenna; at its nearest, the azimuth turns at
    speed / ground distance.
    Source: tan(elevation) = height x slew rate / speed.

    >>> round(keyhole_deg(1000.0, 20.0, 10.0), 1)
    83.5
    """
    check_range("height_m", height_m, "m", (0.1, 100_000.0), "Count from the antenna up.")
    check_range("speed_mps", speed_mps, "m/s", (0.01, 1000.0))
    check_range("slew_degps", slew_degps, "deg/s", (0.001, 720.0))
    return math.degrees(math.atan2(height_m * math.radians(slew_degps), speed_mps))


@compiled
def turn_rates_radps(line: EastNorthUp, moved: EastNorthUp) -> TurnRates:
    """Return azimuth, elevation and sky rate for a line and what it gains in a second. Unchecked.

    Straight overhead azimuth and elevation rate are NaN: no answer.
    """
    level2 = line.east_m * line.east_m + line.north_m * line.north_m
    range2 = level2 + line.up_m * line.up_m
    outward = line.east_m * moved.east_m + line.north_m * moved.north_m
    sideways = line.north_m * moved.east_m - line.east_m * moved.north_m
    if level2 == 0.0:
        over_radps = math.hypot(moved.east_m, moved.north_m) / math.sqrt(range2)
        return TurnRates(math.nan, math.nan, over_radps)
    level = math.sqrt(level2)
    azimuth_radps = sideways / level2
    elevation_radps = (level * moved.up_m - line.up_m * outward / level) / range2
    sky_radps = math.hypot(azimuth_radps * level / math.sqrt(range2), elevation_radps)
    return TurnRates(azimuth_radps, elevation_radps, sky_radps)


def _unfloored_mean_db(aim_sd_deg: float, beamwidth_deg: float, floor_db: float) -> float:
    check_range("aim_sd_deg", aim_sd_deg, "deg", (0.0, 30.0), "Give one standard deviation.")
    _check_beam(beamwidth_deg, floor_db)
    return -2.0 * main_lobe_db(aim_sd_deg, beamwidth_deg)


def _check_beam(beamwidth_deg: float, floor_db: float) -> None:
    check_range("beamwidth_deg", beamwidth_deg, "deg", (0.1, 180.0), "Give the full width.")
    check_range("floor_db", floor_db, "dB", (3.0, 60.0), "Count below the peak.")
