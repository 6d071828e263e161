"""The bounced ray against closed forms."""

import cmath
import math

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.radio.path.bounce import bounce_swing, reflection
from farglide.radio.path.parts import Heights
from farglide.radio.path.smooth_earth import Surface
from farglide.radio.path.space import free_space_loss_db, wavelength_m

LEVEL = Surface(is_vertical=False)


def test_at_grazing_all_comes_back_upside_down() -> None:
    for surface in (Surface(), LEVEL):
        assert reflection(869.5e6, 0.0, surface) == pytest.approx(-1.0, abs=1e-9)


def test_straight_down_both_planes_give_the_same() -> None:
    # (n - 1) / (n + 1) of an index n = sqrt(22): 0.6486
    n = math.sqrt(22.0)
    dry = Surface(conductivity_spm=0.0)
    assert abs(reflection(1e9, 90.0, dry)) == pytest.approx((n - 1.0) / (n + 1.0), rel=1e-9)
    level = Surface(conductivity_spm=0.0, is_vertical=False)
    assert abs(reflection(1e9, 90.0, level)) == pytest.approx((n - 1.0) / (n + 1.0), rel=1e-9)


def test_brewster_s_angle_gives_nothing_back_in_the_upright_plane() -> None:
    # grazing angle atan(1 / sqrt(e)) for a ground without loss
    angle = math.degrees(math.atan(1.0 / math.sqrt(22.0)))
    assert abs(reflection(1e9, angle, Surface(conductivity_spm=0.0))) < 1e-9


def two_rays_db(frequency_hz: float, distance_m: float, heights_m: Heights, on: Surface) -> float:
    """Return the loss over free space where straight and bounced ray meet over flat ground.

    Source: Parsons, The Mobile Radio Propagation Channel, 2.3 (from memory).
    """
    one, other = heights_m
    straight, bounced = math.hypot(distance_m, one - other), math.hypot(distance_m, one + other)
    grazing_deg = math.degrees(math.atan2(one + other, distance_m))
    back = reflection(frequency_hz, grazing_deg, on) * straight / bounced
    turned = 2.0 * math.pi * (bounced - straight) / wavelength_m(frequency_hz)
    return -20.0 * math.log10(abs(1.0 + back * cmath.exp(-1j * turned)))


@pytest.mark.parametrize("km", [20.0, 40.0, 80.0])
def test_far_out_the_plane_earth_law_holds(km: float) -> None:
    # two-ray law far out: loss 40 log d - 20 log(h1 h2), whatever the frequency
    one, other, d = 3.0, 10.0, 1e3 * km
    bounced_db = two_rays_db(433.92e6, d, Heights(one, other), LEVEL)
    plane = 40.0 * math.log10(d) - 20.0 * math.log10(one * other)
    assert free_space_loss_db(433.92e6, d) + bounced_db == pytest.approx(plane, abs=0.15)


def test_what_is_out_of_range_is_refused() -> None:
    with pytest.raises(InputError, match="grazing_deg"):
        reflection(1e9, -1.0, LEVEL)


@pytest.mark.parametrize("is_vertical", [True, False])
@pytest.mark.parametrize("grazing_deg", [1.0, 3.0, 8.0])
def test_the_swing_is_the_envelope_of_the_two_rays(grazing_deg: float, is_vertical: bool) -> None:
    surface = Surface(is_vertical=is_vertical)
    # a stand 30 m up, and a glider 20 km away that climbs through one fringe of 42 m and a bit
    other_m = 20e3 * math.tan(math.radians(grazing_deg)) - 30.0 + np.arange(-24.0, 24.0, 0.02)
    losses = np.array(
        [two_rays_db(2370e6, 20e3, Heights(30.0, float(one_m)), surface) for one_m in other_m]
    )
    for k, sign, which in ((losses.argmax(), 1.0, 0), (losses.argmin(), -1.0, 1)):
        there_deg = math.degrees(math.atan2(30.0 + float(other_m[k]), 20e3))
        expected = bounce_swing(2370e6, there_deg, surface)[which]
        assert sign * losses[k] == pytest.approx(expected, rel=0.01)
    assert bounce_swing(2370e6, 11.0, surface) == (0.0, 0.0)
