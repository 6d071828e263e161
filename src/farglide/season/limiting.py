"""Limiting: the one reason why a cell is not enough, in a few words."""

from typing import NamedTuple

import numpy as np

from farglide.outlook.season import Limit
from farglide.season.flown import Asked
from farglide.sortie.words import height_words, number_text

_HALF = 0.5
_SMALL_RATIO = 0.02


class Why(NamedTuple):
    """What keeps a cell from being enough, and that in words; empty where nothing does."""

    limit: Limit = ""
    words: str = ""


class Weather(NamedTuple):
    """What a launch meets: wind at the ground, the strongest below the burst, who gets high."""

    ground_mps: float
    strongest_mps: float
    strongest_amsl_m: float
    height_ratio: float


def why_not(asked: Asked, field: int, weather: Weather) -> Why:
    """Return what keeps one field from being enough, the first thing that does.

    A bar or a wind at the ground comes before all chances. Then it is what takes most of the draws
    at the best height: out of reach, too late, not heard, or burst.
    """
    wish = asked.ensemble.sortie.wish
    if asked.spot.barred:
        return Why("barred", asked.spot.barred)
    if weather.ground_mps > wish.ground_wind_limit_mps:
        return Why("ground wind", f"ground wind {number_text(weather.ground_mps)} m/s")
    if not asked.is_manned:
        return Why("stand", "no stand in time")
    if asked.counts[field] >= wish.enough_ratio:
        return Why()
    if weather.height_ratio < _HALF:
        return Why("height", f"bursts below {height_words(wish.wanted_amsl_m)}")
    return _most(asked, field, weather)


def _most(asked: Asked, field: int, weather: Weather) -> Why:
    chances, ensemble = asked.chances, asked.ensemble
    name, k = ensemble.sortie.fields[field].name, asked.windows[field].best
    reach, timely, is_open = (
        float(one[k, field]) for one in (chances.reach_ratio, chances.timely_ratio,
                                         chances.open_ratio)
    )  # fmt: skip
    km = f"{weather.strongest_amsl_m / 1000.0:.0f} km"
    wind = f"{name} out of reach: {number_text(weather.strongest_mps)} m/s at {km}"
    ends: Why = Why("packs", "packs end too soon")
    if ensemble.light_is_first:
        ends = Why("light", "light ends too soon")
    burst = Why("burst", "may burst too soon")
    lost = (
        (1.0 - reach, Why("wind", wind)),
        (reach - timely, ends),
        (timely - is_open, Why("links", "command or picture fails")),
        (float(chances.burst_ratio[k]), burst),
    )
    ratio, why = max(lost, key=lambda one: one[0])
    return why if np.isfinite(ratio) and ratio > _SMALL_RATIO else burst
