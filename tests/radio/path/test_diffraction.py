"""Diffraction against validation results of the Recommendations and the Fresnel integrals."""

import numpy as np
import pytest
from scipy.special import fresnel

from farglide.errors import InputError
from farglide.radio.path.diffraction import (
    bullington_db,
    diffraction_loss_db,
    knife_edge_loss_db,
)
from farglide.radio.path.parts import Heights, Profile, WaveOverEarth
from farglide.radio.path.smooth_earth import Surface, smooth_earth_loss_db
from farglide.radio.path.space import wavelength_m

SHORT = "0:754.4 0.2:764.4 0.4:739.9 0.6:695.3 0.8:644.3 1:610.3"
LONG = (
    "0:754.4 0.2:764.4 0.4:739.9 0.6:695.3 0.8:644.3 1:620.3 1.2:611 1.4:601.7 1.6:540.4 1.8:465.9 "
    "2:395.1 2.5:383.4 3:358.5 3.5:309 4:331.6 4.5:345.3 5:418.1 5.5:542.7 6:566.3 6.5:566.3 "
    "7:498.2 7.5:377.7 8:304.8 8.5:292.6 9:238.3 9.5:265.1 10:250.3"
)


def profile(written: str) -> Profile:
    km, ground_m = np.array([pair.split(":") for pair in written.split()], dtype=np.float64).T
    return Profile(1e3 * km, ground_m.copy())


def bullington_loss_db(hertz: float, along: Profile, ends: Heights, earth_m: float) -> float:
    return float(bullington_db(along, ends, WaveOverEarth(wavelength_m(hertz), earth_m)))


@pytest.mark.parametrize(
    ("nu", "loss_db"),
    [
        (-0.78, 0.0),
        (0.0, 6.03),
        (0.5, 10.29),
        (2.0, 19.04),
        (2.4, 20.54),
        (3.0, 22.42),
        (5.0, 26.81),
    ],
)
def test_knife_edge(nu: float, loss_db: float) -> None:
    # ITU-R P.526 single edge as in P.452-16 eq. 13 and P.2001-2
    assert knife_edge_loss_db(nu) == pytest.approx(loss_db, abs=0.006)


@pytest.mark.parametrize("nu", np.linspace(-0.7, 8.0, 30).tolist())
def test_knife_edge_is_near_the_fresnel_integrals(nu: float) -> None:
    sine, cosine = fresnel(nu)
    field = 0.5 * np.hypot(1.0 - cosine - sine, cosine - sine)
    assert knife_edge_loss_db(nu) == pytest.approx(-20.0 * np.log10(field), abs=0.15)


@pytest.mark.parametrize(
    ("megahertz", "above_m", "km", "loss_db"),
    [
        # ITU-R P.452-16 eq. 20: nu of 2.178, 1.642 and 2.017; eq. 59 of what the way adds
        (1280.0, 50.0, (5.0, 45.0), 19.74),
        (433.92, 30.0, (1.0, 29.0), 17.48),
        (915.0, 100.0, (20.0, 60.0), 19.11),
    ],
)
def test_edges_above_the_line(
    megahertz: float, above_m: float, km: tuple[float, float], loss_db: float
) -> None:
    along = Profile(1e3 * np.array([0.0, km[0], sum(km)]), np.array([0.0, 10.0 + above_m, 0.0]))
    found = bullington_loss_db(megahertz * 1e6, along, Heights(10.0, 10.0), 1e15)
    whole = loss_db + (1.0 - np.exp(-loss_db / 6.0)) * (10.0 + 0.02 * sum(km))
    assert found == pytest.approx(whole, abs=0.01)


@pytest.mark.parametrize(
    ("written", "antennas", "loss_db"),
    [(SHORT, Heights(814.4, 617.3), 15.3425), (LONG, Heights(814.4, 257.3), 28.4955)],
)
def test_bullington(written: str, antennas: Heights, loss_db: float) -> None:
    # validation logs of ITU-R P.1812-8, 95.3 MHz, effective radius 8930.777 km
    found = bullington_loss_db(95.3e6, profile(written), antennas, 8_930_777.0)
    assert found == pytest.approx(loss_db, abs=1e-3)  # the logs' own rounding of positions


def test_over_bare_ground_the_whole_model_is_the_smooth_earth() -> None:
    distance_m = np.linspace(0.0, 60e3, 241)
    flat = Profile(distance_m, np.zeros_like(distance_m))
    whole = diffraction_loss_db(433.92e6, flat, Heights(2.0, 50.0), 8.5e6)
    smooth = smooth_earth_loss_db(433.92e6, 60e3, Heights(2.0, 50.0), 8.5e6, Surface())
    assert whole == pytest.approx(smooth, abs=1e-6)


def test_the_whole_model_takes_at_least_what_bullington_does() -> None:
    rng = np.random.default_rng(4)
    distance_m = np.linspace(0.0, 30e3, 121)
    for _ in range(40):
        ground_m = 300.0 + 20.0 * np.cumsum(rng.normal(0.0, 0.3, 121))
        above_m = rng.uniform(2.0, 20.0), rng.uniform(2.0, 900.0)
        ends = Heights(float(ground_m[0] + above_m[0]), float(ground_m[-1] + above_m[1]))
        along = Profile(distance_m, ground_m)
        rough = bullington_loss_db(1280e6, along, ends, 8.5e6)
        whole = diffraction_loss_db(1280e6, along, ends, 8.5e6)
        assert whole >= rough >= 0.0


def test_higher_ground_in_the_way_never_helps() -> None:
    distance_m = np.linspace(0.0, 20e3, 81)
    losses = []
    for ridge_m in np.linspace(0.0, 400.0, 21):
        ground_m = np.zeros(81)
        ground_m[30] = ridge_m
        losses.append(
            bullington_loss_db(869.5e6, Profile(distance_m, ground_m), Heights(3.0, 200.0), 8.5e6)
        )
    assert losses[0] == 0.0
    assert (np.diff(losses) >= 0.0).all()
    assert losses[-1] > 25.0


def test_an_edge_that_touches_the_line_takes_six_decibels_and_what_the_way_adds() -> None:
    """There both horizons' rays lie on the line and meet nowhere: nu is 0 (ITU-R P.526)."""
    distance_m = np.array([0.0, 5000.0, 10_000.0])
    bulge_m = 0.5 * 5000.0**2 / 8.5e6
    ground_m = np.array([0.0, 10.0 - bulge_m, 0.0])
    found = bullington_loss_db(1e9, Profile(distance_m, ground_m), Heights(10.0, 10.0), 8.5e6)
    edge = knife_edge_loss_db(0.0)
    assert found == pytest.approx(edge + (1.0 - np.exp(-edge / 6.0)) * 10.2, abs=1e-3)


def test_what_is_no_profile_is_refused() -> None:
    good = profile(SHORT)
    with pytest.raises(InputError, match="three or more"):
        diffraction_loss_db(1e9, Profile(good[0][:2], good[1][:2]), Heights(800.0, 800.0), 8.5e6)
    with pytest.raises(InputError, match="rising from 0 m"):
        diffraction_loss_db(1e9, Profile(good[0][::-1], good[1]), Heights(814.4, 617.3), 8.5e6)
    with pytest.raises(InputError, match="Fill holes"):
        diffraction_loss_db(1e9, Profile(good[0], good[1] * np.nan), Heights(814.4, 617.3), 8.5e6)
    with pytest.raises(InputError, match="under the ground"):
        diffraction_loss_db(1e9, good, Heights(700.0, 617.3), 8.5e6)
