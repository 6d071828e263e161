"""Light: a climb is dark by the sun in its middle."""

import numpy as np
from bench.odds.light import is_dark

from farglide.air.sounding import Sounding


def test_a_climb_is_dark_whose_middle_is() -> None:
    # London at the equinox of 2007: the sun is 10 degrees down at five, 4 up at half past six
    def over(hour: float) -> Sounding:
        rows = np.array([0.0, 10_000.0, 20_000.0])
        return Sounding(
            gph_m=rows, p_pa=np.array([1e5, 2.6e4, 5.5e3]), t_k=np.array([288.0, 223.0, 217.0]),
            relative_humidity_ratio=0.0 * rows, u_mps=0.0 * rows, v_mps=0.0 * rows,
            lat_deg=51.5, lon_deg=0.0, t_s=1_174_435_200.0 + 3600.0 * hour, origin="made up",
            elapsed_s=np.array([0.0, 1800.0, 3600.0]),
        )  # fmt: skip

    assert [is_dark(over(hour)) for hour in (0.0, 4.5, 6.0, 11.5, 19.5)] == [
        True, True, False, False, True,
    ]  # fmt: skip
