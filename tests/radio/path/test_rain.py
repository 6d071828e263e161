"""Rain against the table of the Recommendation, and by what must hold for any rain."""

import math

import pytest

from farglide.errors import InputError
from farglide.radio.path.rain import Rain, coefficients, rain_loss_db, rain_loss_dbpkm


@pytest.mark.parametrize(
    ("gigahertz", "level", "upright"),
    [
        # ITU-R P.838-3, table 5: k and power, level and upright polarisation; from memory
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
    # the table has four digits
    assert coefficients(gigahertz * 1e9, 0.0, 0.0) == pytest.approx(level, rel=2e-3)
    assert coefficients(gigahertz * 1e9, 0.0, 90.0) == pytest.approx(upright, rel=2e-3)


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
    with pytest.raises(InputError, match="leave it out"):
        rain_loss_dbpkm(433e6, Rain(mmph=5.0))
    with pytest.raises(InputError, match="elevation_deg"):
        rain_loss_dbpkm(5e9, Rain(mmph=5.0), 100.0)
