"""The demo's links by hand: free space alone. Nothing here comes from the package.

Source: ITU-R P.525 for the loss; noise kTB at 290 K.
"""

import math
from typing import Final, NamedTuple


class Budget(NamedTuple):
    """A link by its frequency, the EIRP less receiver's gain and losses, and its threshold."""

    megahertz: float
    sent_dbm: float
    gains_db: float
    threshold_dbm: float

    def margin_db(self, range_m: float) -> float:
        loss = 20.0 * math.log10(4.0 * math.pi * range_m * self.megahertz * 1e6 / 299_792_458.0)
        return self.sent_dbm + self.gains_db - loss - self.threshold_dbm

    def reach_m(self, less_db: float = 0.0) -> float:
        """Return how far it holds with so much less."""
        return float(1e3 * 10.0 ** ((self.margin_db(1e3) - less_db) / 20.0))


def noise_dbm(bandwidth_hz: float, figure_db: float) -> float:
    return 10.0 * math.log10(1.380649e-23 * 290.0 * bandwidth_hz * 1e3) + figure_db


PICTURE: Final = Budget(
    2370.0, 10.0 * math.log10(800.0), 2.0 + 18.0 - 2.0, noise_dbm(16e6, 2.0) + 9.0
)
COMMAND: Final = Budget(869.5, 10.0 * math.log10(500.0), 9.0 - 1.0 - 3.0, -107.0)


def seen(
    stand_km: tuple[float, float, float], glider_km: tuple[float, float, float]
) -> tuple[float, float]:
    """Return slant range in metres and elevation in degrees over the round earth.

    Places are kilometres east, north and up; a sphere of 6371 km, without refraction.
    """
    angle = math.hypot(glider_km[0] - stand_km[0], glider_km[1] - stand_km[1]) / 6371.0
    low, high = 6371.0 + stand_km[2], 6371.0 + glider_km[2]
    up, out = high * math.cos(angle) - low, high * math.sin(angle)
    return 1e3 * math.hypot(up, out), math.degrees(math.atan2(up, out))
