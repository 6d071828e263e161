"""Rain against the table of the Recommendation, and by what must hold for any rain."""

import math
from typing import Final

import pytest

from farglide.errors import InputError
from farglide.radio.path.rain import (
    _K_LEVEL,
    _K_UPRIGHT,
    _POWER_LEVEL,
    TOP_M,
    Rain,
    _Curve,
    coefficients,
    rain_loss_db,
    rain_loss_dbpkm,
    rain_top_m,
)


@pytest.mark.parametrize(
    ("gigahertz", "level", "upright"),
    [
        # ITU-R P.838-3, table 5: k and power, level and upright polarisation; from memory. The
        # constants that it is made from were seen, see the published losses below.
        (1.0, (0.0000259, 0.9691), (0.0000308, 0.8592)),
        (6.0, (0.0007056, 1.5900), (0.0004878, 1.5728)),
        (10.0, (0.01217, 1.2571), (0.01129, 1.2156)),
        (12.0, (0.02386, 1.1825), (0.02455, 1.1216)),
        (20.0, (0.09164, 1.0568), (0.09611, 0.9847)),
        (30.0, (0.2403, 0.9485), (0.2291, 0.9129)),
    ],
)
def test_coefficients_of_the_table(
    gigahertz: float, level: tuple[float, float], upright: tuple[float, float]
) -> None:
    # the table has four digits, k at 1 GHz three
    for tilt_deg, printed in ((0.0, level), (90.0, upright)):
        found = coefficients(gigahertz * 1e9, 0.0, tilt_deg)
        assert found.factor == pytest.approx(printed[0], rel=2e-3 if gigahertz == 1.0 else 5e-4)
        assert found.power == pytest.approx(printed[1], abs=6e-5)


def test_a_circular_wave_lies_between_and_straight_up_all_are_alike() -> None:
    rain = Rain(mmph=25.0)
    level, circle, upright = (rain_loss_dbpkm(10e9, rain, 0.0, tilt) for tilt in (0.0, 45.0, 90.0))
    assert upright < circle < level
    assert rain_loss_dbpkm(10e9, rain, 90.0, 0.0) == pytest.approx(
        rain_loss_dbpkm(10e9, rain, 90.0, 90.0)
    )


def test_no_rain_takes_nothing_and_more_takes_more() -> None:
    assert rain_loss_db(5.8e9, Rain(mmph=0.0), 20.0) == 0.0
    losses = [rain_loss_db(5.8e9, Rain(mmph=mmph), 20.0) for mmph in (1.0, 5.0, 25.0, 100.0)]
    assert losses == sorted(losses)
    assert rain_loss_db(5.8e9, Rain(mmph=5.0, depth_m=0.0), 0.0) == 0.0  # on a peak above it
    lower = [
        rain_loss_db(5.8e9, Rain(mmph=25.0), deg) for deg in (90.0, 45.0, 20.0, 5.0, 0.0, -5.0)
    ]
    assert lower == sorted(lower)
    assert lower[-1] == lower[-2]


def test_straight_up_the_way_is_five_kilometres() -> None:
    rain = Rain(mmph=25.0)
    # the round earth takes 1.5 m of the 5000
    expected = 5.0 * rain_loss_dbpkm(10e9, rain, 90.0)
    assert rain_loss_db(10e9, rain, 90.0) == pytest.approx(expected, rel=1e-3)
    # at 30 degrees 10 km, of which 8.66 km lie over a ground of which 24.1 km count
    share = 1.0 / (1.0 + 8.66 / (35.0 * math.exp(-0.375)))
    slanting = 10.0 * share * rain_loss_dbpkm(10e9, rain, 30.0)
    assert rain_loss_db(10e9, rain, 30.0) == pytest.approx(slanting, rel=4e-3)


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match="a shower 25 mm/h"):
        Rain(mmph=200.0)
    with pytest.raises(InputError, match="2500 in mid latitudes"):
        Rain(mmph=5.0, depth_m=7500.0)
    with pytest.raises(InputError, match="leave it out"):
        rain_loss_dbpkm(433e6, Rain(mmph=5.0))
    with pytest.raises(InputError, match="elevation_deg"):
        rain_loss_dbpkm(5e9, Rain(mmph=5.0), 100.0)


# Validation test data of the open library ITU-Rpy (commit 524f30f), ITURP838-3_rain_specific_
# attenuation.csv: GHz, mm/h, elevation and tilt in degrees, k, power, dB/km. Printed to 8 decimals.
_P838: Final = [
    (14.25, 26.48052, 31.076991, 0, 0.03975488, 1.12418043, 1.58130839),
    (14.25, 33.936232, 40.232036, 0, 0.04007624, 1.11804138, 2.06173213),
    (14.25, 27.135868, 46.359693, 0, 0.04030344, 1.11376017, 1.59208420),
    (29, 26.48052, 31.076991, 0, 0.22106804, 0.95320005, 5.02180189),
    (29, 33.936232, 40.232036, 0, 0.22031404, 0.95044460, 6.27846024),
    (14.25, 50.639304, 22.278335, 0, 0.03949319, 1.12925336, 3.32139638),
    (14.25, 78.299499, 52.678985, 0, 0.04053522, 1.10944215, 5.11503463),
    (29, 50.639304, 22.278335, 0, 0.22168203, 0.95543001, 9.42430244),
    (29, 78.299499, 52.678985, 0, 0.21923716, 0.94647630, 13.59290086),
    (14.25, 63.626681, 48.241171, 90, 0.04226474, 1.07871664, 3.72901264),
    (14.25, 42.910072, 20.143358, 90, 0.04319835, 1.06315310, 2.35032323),
    (29, 63.626681, 48.241171, 90, 0.21517927, 0.93116621, 10.28699163),
    (29, 99.13559, 85.804596, 90, 0.21737148, 0.93950825, 16.31836860),
    (29, 42.910072, 20.143358, 90, 0.21298877, 0.92265917, 6.83364556),
]  # fmt: skip


@pytest.mark.parametrize(
    ("found", "printed"),
    [
        # P.838-3 (03/2005), tables 1 to 3, the text of the Recommendation; its minus signs were
        # lost there and are those of two codes with the tables: a, b, c of each bell, then m and c
        (_K_LEVEL, "-5.33980 -0.10008 1.13098 -0.35351 1.26970 0.45400 -0.23789 0.86036 0.15354 "
                   "-0.94158 0.64552 0.16817 -0.18961 0.71147"),
        (_K_UPRIGHT, "-3.80595 0.56934 0.81061 -3.44965 -0.22911 0.51059 -0.39902 0.73042 0.11899 "
                     "0.50167 1.07319 0.27195 -0.16398 0.63297"),
        (_POWER_LEVEL, "-0.14318 1.82442 -0.55187 0.29591 0.77564 0.19822 0.32177 0.63773 0.13164 "
                       "-5.37610 -0.96230 1.47828 16.1721 -3.29980 3.43990 0.67849 -1.95537"),
    ],
)  # fmt: skip
def test_constants_are_those_of_the_recommendation(found: _Curve, printed: str) -> None:
    constants = [*(one for bell in found.bells for one in bell), found.slope, found.start]
    assert constants == [float(one) for one in printed.split()]


@pytest.mark.parametrize(("gigahertz", "mmph", "elevation", "tilt", "k", "power", "loss"), _P838)
def test_published_losses_of_rain(
    gigahertz: float,
    mmph: float,
    elevation: float,
    tilt: float,
    k: float,
    power: float,
    loss: float,
) -> None:
    found = coefficients(gigahertz * 1e9, elevation, tilt)
    assert found == pytest.approx((k, power), abs=1e-8)
    found_db = rain_loss_dbpkm(gigahertz * 1e9, Rain(mmph=mmph), elevation, tilt)
    assert found_db == pytest.approx(loss, rel=1e-7)


@pytest.mark.parametrize(
    ("lat", "lon", "map_m", "above_m"),
    [
        # Map of ITU-R P.839-4 by the validation test data of ITU-Rpy (commit 524f30f),
        # ITURP839-4_rain_height.csv, and how far the law by latitude lies above it at most
        (3.133, 101.7, 4957.97, 50.0),
        (23.0, 30.0, 4528.00, 480.0),
        (25.78, -80.22, 4569.46, 230.0),
        (41.9, 12.49, 3047.49, 540.0),
        (51.5, -0.14, 2453.0, 410.0),
        # printed as 33.94 N, which is sea; the other rows are cities, and Cape Town is at 33.94 S
        (33.94, 18.43, 2563.30, 1620.0),
        (-33.94, 18.43, 2563.30, 1150.0),
        # the two that the rise over Asia goes through; the second scanned from the map
        (28.717, 77.3, 5258.20, 1.0),
        (28.5, 87.0, 6641.0, 1.0),
    ],
)
def test_the_top_of_rain_is_no_lower_than_the_map_s(
    lat: float, lon: float, map_m: float, above_m: float
) -> None:
    assert -1.0 <= rain_top_m(lat, lon) - map_m <= above_m


def test_the_top_of_rain_by_place() -> None:
    # above 5 km from 20 to 35 N in Asia, nowhere else; ice from sea level up at the south pole
    for lat in range(-90, 91, 5):
        assert rain_top_m(float(lat), -60.0) <= TOP_M + 1e-6
    assert min(rain_top_m(lat, 87.0) for lat in (20.0, 25.0, 30.0, 35.0)) > TOP_M
    assert rain_top_m(-80.0, 0.0) == pytest.approx(0.0, abs=1e-6)
    with pytest.raises(InputError, match="South is negative"):
        rain_top_m(91.0, 0.0)
    with pytest.raises(InputError, match="West is negative"):
        rain_top_m(0.0, 181.0)


@pytest.mark.parametrize(
    ("lat", "lon", "elevation", "mmph", "published_db"),
    [
        # P.618-13, 14.25 GHz, level wave, 0.01 % of the year; validation test data of ITU-Rpy
        # (commit 524f30f), ITURP618-13_A_rain.csv; the third is Cape Town, see above
        (51.5, -0.14, 31.07699124, 26.48052, 6.798072267),
        (41.9, 12.49, 40.232036, 33.936232, 8.223265009),
        (-33.94, 18.43, 46.35969261, 27.13586832, 5.941806096),
    ],
)
def test_the_way_through_rain_is_an_upper_bound_in_three_cities(
    lat: float, lon: float, elevation: float, mmph: float, published_db: float
) -> None:
    rain = Rain(mmph=mmph, depth_m=rain_top_m(lat, lon))
    found_db = rain_loss_db(14.25e9, rain, elevation, 0.0)
    assert 1.0 < found_db / published_db < 1.2


def test_the_way_below_the_top_is_that_of_p_618() -> None:
    # same rows: from 31 m and 46 m up 4.690817392, 4.646913874 km, in Cape Town 3.542006965
    for top_m, foot_m, elevation, way_km in (
        (2453.0, 31.383, 31.07699124, 4.690817392),
        (3047.49, 46.123, 40.232036, 4.646913874),
        (2563.30, 0.0, 46.35969261, 3.542006965),
    ):
        rain = Rain(mmph=1.0, depth_m=top_m - foot_m)
        ground_km = way_km * math.cos(math.radians(elevation))
        share = 1.0 / (1.0 + ground_km / (35.0 * math.exp(-0.015)))
        expected_db = rain_loss_dbpkm(10e9, rain, elevation) * share * way_km
        # P.618 takes the earth for flat above 5 degrees, which is 0.1 % here
        assert rain_loss_db(10e9, rain, elevation) == pytest.approx(expected_db, rel=1e-3)


def test_a_cell_of_rain_is_not_endless() -> None:
    # 25 mm/h: 24.0551 km, of 10 km 0.7064; three open codes after older editions of ITU-R P.530
    rain = Rain(mmph=25.0, depth_m=5000.0)
    slant_km, ground_km = 10.0, 10.0 * math.cos(math.radians(30.0))
    share = rain_loss_db(10e9, rain, 30.0) / (slant_km * rain_loss_dbpkm(10e9, rain, 30.0))
    reach_km = ground_km * share / (1.0 - share)
    assert reach_km == pytest.approx(24.0551, rel=0.02)  # the round earth takes 0.3 % of the way
    assert 1.0 / (1.0 + 10.0 / reach_km) == pytest.approx(0.7064, rel=5e-3)
