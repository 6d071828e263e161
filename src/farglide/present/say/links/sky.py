"""Sky in words: how high the ground stands round each stand, and where."""

from collections.abc import Sequence
from typing import Final

from farglide.outlook.links import HIDDEN_DEG, StandSky
from farglide.present.say.text import bearing_text

_WIDTH: Final = 20
_MOST: Final = 3


def sky_lines(skies: Sequence[StandSky]) -> list[str]:
    """Return the sky of each stand, one line each under a head."""
    if not skies:
        return []
    return [
        "Ground round the stands beyond 300 m, in degrees over the level of the antenna",
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
    """Return the azimuths with ground in them, clockwise, or those without where they are fewer."""
    if not sky.hidden:
        return "nowhere"
    if sky.hidden == ((0.0, 360.0),):
        return "all round"
    if sum(map(_width_deg, sky.hidden)) <= 180.0:
        return _widest_words(sky.hidden)
    after = (*sky.hidden[1:], sky.hidden[0])
    gaps = tuple((one[1], other[0]) for one, other in zip(sky.hidden, after, strict=True))
    return f"all round but {_widest_words(gaps)}"


def _width_deg(sector: tuple[float, float]) -> float:
    return (sector[1] - sector[0]) % 360.0


def _widest_words(sectors: Sequence[tuple[float, float]]) -> str:
    widest = sorted(sectors, key=_width_deg, reverse=True)[:_MOST]
    words = ", ".join(f"{a:.0f}–{b:.0f}°" for a, b in sorted(widest))
    more = len(sectors) - len(widest)
    return words + (f" and {more} more" if more else "")
