"""Sky in words: how high the ground stands round each stand, and where."""

from collections.abc import Sequence
from typing import Final

from farglide.present.text import bearing_text
from farglide.sortie.heardoutlook import HIDDEN_DEG, StandSky

_WIDTH: Final = 20
_MOST: Final = 3


def sky_lines(skies: Sequence[StandSky]) -> list[str]:
    """Return the sky of each stand, one line each under a head."""
    if not skies:
        return []
    return [
        "Ground round the stands, in degrees over the level of the antenna",
        f"  {'stand':<{_WIDTH}}{'highest':>8}{'at':>7}   above {HIDDEN_DEG:g}°",
        *(
            f"  {one.stand[: _WIDTH - 1]:<{_WIDTH}}{degree_text(one.highest_deg):>8}"
            f"{bearing_text(one.highest_azimuth_deg):>7}   {hidden_text(one)}"
            for one in skies
        ),
    ]


def degree_text(up_deg: float) -> str:
    """Return an angle over the level, to the tenth below ten.

    >>> degree_text(3.14), degree_text(-0.04), degree_text(12.7)
    ('3.1°', '0.0°', '13°')
    """
    if abs(up_deg) >= 9.95:
        return f"{up_deg:.0f}°".replace("-", "−")
    return f"{round(up_deg, 1) + 0.0:.1f}°".replace("-", "−")


def hidden_text(sky: StandSky) -> str:
    """Return the widest stretches of azimuth with ground in them, clockwise."""
    if not sky.hidden:
        return "nowhere"
    widest = sorted(sky.hidden, key=lambda one: -((one[1] - one[0]) % 360.0))[:_MOST]
    if widest == [(0.0, 360.0)]:
        return "all round"
    words = ", ".join(f"{a:.0f}–{b:.0f}°" for a, b in sorted(widest))
    more = len(sky.hidden) - len(widest)
    return words + (f" and {more} more" if more else "")
