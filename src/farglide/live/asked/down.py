"""Down: where to look first, were the glider carried to the ground from where it is now."""

from typing import Final

from farglide.earth.state import place_of
from farglide.live.asked.situation import Situation
from farglide.outlook.search import SearchOutlook
from farglide.search.asked import Asked, weights_of
from farglide.search.datum import LastSeen
from farglide.search.order import Party
from farglide.search.search import search

_LEAST_SPREAD_M: Final = 10.0
_NINE_IN_TEN_SD: Final = 2.146
"""Nine in ten of a round normal place lie within so many deviations of one axis."""


def search_now(asked: Situation) -> SearchOutlook:
    """Return the search from where it is taken to be now, by the usual stories of the way down.

    The party sets out from the car, else from the first stand or the launch. Source of the spread:
    Rayleigh's law, sqrt(-2 ln 0.1).
    """
    sortie, now = asked.sortie, asked.advice.place
    spread_m = max(now.most_within_m / _NINE_IN_TEN_SD, _LEAST_SPREAD_M)
    start = asked.car or place_of(sortie.stands[0] if sortie.stands else sortie.launch)
    last = LastSeen(place=asked.place, t_s=asked.now_t_s, spread_m=min(spread_m, 100_000.0))
    party = Party(place=start, t_s=asked.now_t_s)
    told = Asked(last=last, party=party, weights=weights_of({}))
    return search(asked.ensemble, asked.terrain, told)
