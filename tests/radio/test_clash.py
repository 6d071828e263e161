"""Clashes by hand, and power densities by the formula."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.errors import InputError
from farglide.radio.clash import (
    NAVIGATION,
    Ear,
    Emission,
    blocking_dbm,
    clashes,
    keep_away_m,
    power_density_wpm2,
)

COMMAND = Emission(name="command", frequency_hz=433.92e6, bandwidth_hz=50e3)
PICTURE = Emission(name="picture", frequency_hz=1280e6, bandwidth_hz=18e6)


def causes(emissions: list[Emission], ears: list[Ear]) -> list[str]:
    return [clash.cause for clash in clashes(emissions, ears)]


def test_the_third_harmonic_of_433_megahertz_falls_into_a_picture_at_1300() -> None:
    # 3 x 433.92 = 1301.76 MHz
    ear = Ear(name="picture", from_hz=1293e6, to_hz=1311e6)
    (clash,) = clashes([COMMAND], [ear])
    assert clash.cause == "harmonic 3 of command"
    assert clash.from_hz == pytest.approx(1301.76e6 - 75e3)
    assert causes([COMMAND], [Ear(name="picture", from_hz=1271e6, to_hz=1289e6)]) == []


def test_two_of_our_own_together_fall_into_the_navigation_band() -> None:
    low, high = NAVIGATION
    assert (low.to_hz, high.from_hz) == (1300e6, 1559e6)
    # 433.92 + 865 = 1298.92 and 2 x 865 - 433.92 = 1296.08 MHz; alone 3 x 433.92 = 1301.76 misses
    other = Emission(name="beacon", frequency_hz=865e6, bandwidth_hz=50e3)
    assert causes([COMMAND, other], [low]) == ["twice beacon less command", "command and beacon"]
    assert causes([COMMAND], [low]) == []
    # a picture whose own channel lies inside the band falls into it by itself
    assert causes([PICTURE], [low, high]) == ["picture itself"]


def test_mixtures_of_third_order() -> None:
    one = Emission(name="a", frequency_hz=870e6, bandwidth_hz=100e3)
    other = Emission(name="b", frequency_hz=868e6, bandwidth_hz=100e3)
    # 2 x 870 - 868 = 872 and 2 x 868 - 870 = 866 MHz, 300 kHz wide
    near = [
        Ear(name="x", from_hz=865.9e6, to_hz=866.1e6),
        Ear(name="y", from_hz=872e6, to_hz=873e6),
    ]
    assert causes([one, other], near) == ["twice b less a", "twice a less b"]
    found = clashes([one, other], near)[1]
    assert found.to_hz - found.from_hz == pytest.approx(150e3)


def test_images_lie_twice_the_intermediate_frequency_off() -> None:
    # heard at 1280 with an oscillator 480 MHz below: 1280 - 2 x 480 = 320 MHz is heard too
    ear = Ear(name="picture", from_hz=1271e6, to_hz=1289e6, intermediate_hz=480e6)
    intruder = Emission(name="intruder", frequency_hz=320e6, bandwidth_hz=1e6)
    assert "intruder on the image" in causes([intruder], [ear])
    above = Ear(
        name="picture", from_hz=1271e6, to_hz=1289e6, intermediate_hz=480e6, oscillator_above=True
    )
    high = Emission(name="high", frequency_hz=2240e6, bandwidth_hz=1e6)
    assert causes([high], [above]) == ["high on the image"]


@given(st.floats(0.001, 1000.0), st.floats(0.001, 100.0))
def test_at_the_distance_kept_the_density_is_the_limit(eirp_w: float, limit: float) -> None:
    distance_m = keep_away_m(eirp_w, limit)
    if distance_m >= 0.01:
        assert power_density_wpm2(eirp_w, distance_m) == pytest.approx(limit, rel=1e-9)


def test_a_strong_neighbour_in_the_car() -> None:
    # 5 W EIRP at 433.92 MHz, 2 m off: 36.99 dBm less 31.2 dB of free space
    assert blocking_dbm(36.99, 433.92e6, 2.0, 0.0) == pytest.approx(5.8, abs=0.1)
    assert power_density_wpm2(5.0, 2.0) == pytest.approx(5.0 / (16.0 * 3.14159), rel=1e-4)


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match="bandwidth_hz"):
        Emission(name="a", frequency_hz=433e6, bandwidth_hz=-5.0)
    with pytest.raises(InputError, match="Write hertz"):
        Ear(name="a", from_hz=1280.0, to_hz=1290.0)
    with pytest.raises(InputError, match="eirp_w"):
        power_density_wpm2(0.0, 1.0)
    with pytest.raises(InputError, match="distance_m"):
        power_density_wpm2(1.0, 0.0)
    with pytest.raises(InputError, match="limit_wpm2"):
        keep_away_m(1.0, 0.0)
