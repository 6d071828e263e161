"""The drag law against a published sailplane and measured sections, and what is no wing."""

import math
from typing import Final

import numpy as np
import pytest

from farglide.errors import InputError
from farglide.glider.polar import GlideAir, _steady, polar_stall_eas_mps, speed_to_fly, steady_glide
from farglide.glider.wing import Polar, Wing, checked_wing, polar_of

from .conftest import DEMO, SEA_LEVEL


def test_stall_speed_by_hand() -> None:
    # 0.68 kg, 0.15 m2, C_L 0.85: sqrt(2 x 6.6685 / (1.225 x 0.15 x 0.85)) = 9.24 m/s EAS
    polar = polar_of(Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034, lift_max=0.85))
    assert polar_stall_eas_mps(polar) == pytest.approx(9.24, abs=0.005)


KNOT_MPS: Final = 0.514444


# A one-seat sailplane: (speed, sink) in kt. J. D. Burch, Performance airspeeds for the soaring
# challenged.
SAILPLANE: Final = ((26.0, 1.8), (42.0, 1.9), (62.0, 3.2))


def sailplane() -> Polar:
    """Return the drag law sink = a V^3 + b / V nearest to the published points."""
    speed, sink = np.array(SAILPLANE).T * KNOT_MPS
    (a, b), *_ = np.linalg.lstsq(np.stack([speed**3, 1.0 / speed], axis=1), sink, rcond=None)
    # a = rho S C_D0 / (2 W), b = 2 k W / (rho S); mass and area cancel, so any will do
    loading_n = 318.0 * 9.80665 / (1.225 * 14.9)
    return Polar(
        318.0 * 9.80665, 14.9, 1.2, 2.0 * a * loading_n, 0.5 * b / loading_n, 1e5, 0.0, 3.0
    )


@pytest.mark.parametrize(("speed_kt", "sink_kt", "ratio"), [
    (26.0, 1.8, 14.4), (42.0, 1.9, 22.1), (62.0, 3.2, 19.4),
])  # fmt: skip
def test_published_sailplane_points_lie_on_one_drag_law(
    speed_kt: float, sink_kt: float, ratio: float
) -> None:
    # two free numbers carry three published points to the digits printed, 0.1 kt
    glide = steady_glide(sailplane(), speed_kt * KNOT_MPS, SEA_LEVEL)
    assert glide.sink_mps / KNOT_MPS == pytest.approx(sink_kt, abs=0.1)
    assert glide.level_mps / glide.sink_mps == pytest.approx(ratio, rel=0.06)


@pytest.mark.parametrize(
    ("setting_kt", "headwind_kt", "speed_kt", "slower"),
    [
        # V = w + sqrt((a + MC + b w + c w^2)/c), with a parabola through (31, 1.6), (42, 1.9) and
        # (62, 3.2) kt; computed. Drag grows as V^3 and a parabola only as V^2, so the drag law
        # flies slower than the row where the row is fast; near the points they agree.
        (0.0, 0.0, 43.84, (-0.03, 0.0)),
        (0.0, 10.0, 48.94, (0.0, 0.03)),
        (0.0, 20.0, 56.20, (0.0, 0.07)),
        (2.0, 0.0, 59.71, (0.0, 0.09)),
        (4.0, 0.0, 72.17, (0.0, 0.14)),
    ],
)
def test_speed_to_fly_of_the_published_sailplane(
    setting_kt: float, headwind_kt: float, speed_kt: float, slower: tuple[float, float]
) -> None:
    tail_mps, up_mps = -headwind_kt * KNOT_MPS, -setting_kt * KNOT_MPS
    found_kt = speed_to_fly(sailplane(), SEA_LEVEL, 60.0, tail_mps, up_mps) / KNOT_MPS
    assert slower[0] <= 1.0 - found_kt / speed_kt <= slower[1]


def test_growth_of_drag_lies_among_measured_sections() -> None:
    # SD8020 (symmetric, 10 %), c_d at c_l = 0 and Re 61 400/101 700/203 500/305 200: 0.0155,
    # 0.0102, 0.0085, 0.0074. Selig, Guglielmo, Broeren & Giguere, Summary of Low-Speed Airfoil Data
    # 1 (1995), appendix B (second-hand). Below Re 200 000 c_d ~ Re^-n with n:
    n = math.log(0.0155 / 0.0085) / math.log(203_500.0 / 61_400.0)
    assert 0.3 < n < 0.7
    # The default exponent is 0.4: by Re 61 400 its drag lies within 20 % of this section's. E387,
    # measured from Re 60 000 on (McGhee, Walker & Millard, NASA TM-4062, 1988), likewise has about
    # twice its drag of Re 200 000 there (from memory).
    air = GlideAir(1.225, 1.7894e-5, 1.0)

    def zero_lift(reynolds: float) -> float:
        # hardly any induced drag and much weight: the sine of the glide's angle is q S C_D0 / W
        eas = reynolds * 1.7894e-5 / (1.225 * 0.17)
        heavy = DEMO._replace(induced_drag=1e-12, weight_n=1e3)
        sink = _steady(heavy, eas, air, 1.0, 1.0)[1]
        return float(sink / eas) * 1e3 / (0.5 * 1.225 * eas**2 * 0.15)

    assert zero_lift(203_500.0) == pytest.approx(0.034, rel=1e-3)
    assert zero_lift(400_000.0) == pytest.approx(0.034, rel=1e-3)
    growth = zero_lift(61_400.0) / zero_lift(203_500.0)
    assert growth == pytest.approx((200_000.0 / 61_400.0) ** 0.4, rel=1e-3)
    assert growth == pytest.approx(0.0155 / 0.0085, rel=0.20)
    # SD7037, least c_d by a fit to a panel code (a model, order of magnitude): 0.0276 at Re 20 000
    # against 0.0091 at 200 000; the law must not leave that trend by more than its 30 %.
    assert zero_lift(20_000.0) / zero_lift(200_000.0) == pytest.approx(0.0276 / 0.0091, rel=0.30)


@pytest.mark.parametrize(("name", "value"), [
    ("mass_kg", 680.0),  # grams for kilograms
    ("area_m2", 15.0),  # square decimetres
    ("chord_m", 17.0),  # centimetres
    ("aspect_ratio", 0.5), ("span_efficiency", 1.2), ("zero_lift_drag", 0.0),
    ("lift_max", math.nan), ("gravity_mps2", 1.62), ("reference_reynolds", 0.0),
    ("reynolds_exponent", -0.4),
])  # fmt: skip
def test_a_wing_out_of_range_is_refused(name: str, value: float) -> None:
    wing = Wing(0.68, 0.15, 0.17, 5.2, 0.78, 0.034)
    with pytest.raises(InputError, match=f"{name} is .*; allowed: .* to "):
        checked_wing(wing._replace(**{name: value}))
