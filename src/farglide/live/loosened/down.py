"""Down: where to look first, were the glider lost from where it is now."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from farglide.chances.falls import HANDS_OFF, SPIN, SPIRAL, TANGLED
from farglide.earth.state import place_of
from farglide.live.loosened.flight import LooseFlight
from farglide.live.loosened.sky import heading_deg
from farglide.outlook.after import StoryName, StoryNow
from farglide.outlook.search import SearchOutlook
from farglide.search.asked import Asked, weights_of
from farglide.search.datum import LastSeen
from farglide.search.order import Party
from farglide.search.search import search
from farglide.search.stories import last_ground_m

_LEAST_SPREAD_M: Final = 10.0
_MOST_SPREAD_M: Final = 100_000.0
_NINE_IN_TEN_SD: Final = 2.146
"""Nine in ten of a round normal place lie within so many deviations of one axis."""
_OWN: Final[dict[StoryName, str]] = {
    "hands off": HANDS_OFF,
    "spiral": SPIRAL,
    "spin": SPIN,
    "falling with remains": TANGLED,
}
_LEAST_AGL_M: Final = 1.0
_LEAST_RATIO: Final = 1e-6


def search_after(asked: LooseFlight) -> SearchOutlook:
    """Return the search from where it is taken to be, were nothing seen of it from now on.

    The stories are those of the ride; what glides now may go on as the usual ones have it. The
    party sets out from the car, else from the first stand or the launch.
    Source of the spread: Rayleigh's law, sqrt(-2 ln 0.1).
    """
    sortie, now = asked.sortie, asked.advice.place
    spread_m = max(now.most_within_m / _NINE_IN_TEN_SD, _LEAST_SPREAD_M)
    start = asked.told.car or place_of(sortie.stands[0] if sortie.stands else sortie.launch)
    last = LastSeen(
        place=asked.place,
        t_s=asked.now_t_s,
        heading_deg=heading_deg(asked),
        spread_m=min(spread_m, _MOST_SPREAD_M),
    )
    ground_m = last_ground_m(asked.drawn, asked.terrain, last)
    high_m = max(last.place.amsl_m, ground_m + _LEAST_AGL_M)
    last = replace(last, place=replace(last.place, amsl_m=high_m))
    party = Party(place=start, t_s=asked.now_t_s)
    told = Asked(last=last, party=party, weights=search_weights(asked.advice.stories))
    return search(asked.drawn, asked.terrain, told)


def search_weights(stories: tuple[StoryNow, ...]) -> Mapping[str, float]:
    """Return the weights of a search by what the ride takes a flight for.

    What is steered now is shared among the usual stories of a lost glider.
    """
    usual = {name: one for name, one in weights_of({}).items() if name != TANGLED}
    own = dict.fromkeys((*usual, TANGLED), 0.0)
    for one in stories:
        if one.story in _OWN:
            own[_OWN[one.story]] += one.chance_ratio
    steered = 1.0 - sum(own.values())
    steered = steered if steered > _LEAST_RATIO else 0.0
    total = sum(usual.values())
    return {name: one + steered * usual.get(name, 0.0) / total for name, one in own.items()}
