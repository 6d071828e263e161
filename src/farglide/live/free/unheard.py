"""Unheard: what the silence of a link that was heard before says, once for each spell."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from farglide.live.ride.state import Ride
from farglide.sortie.feedlinks import link_of
from farglide.sortie.spec import Sortie
from farglide.track.filter.observed import LinkHeard, LinkSilent
from farglide.track.filter.silence import SPELL_S

_MOST_SPELLS: Final = 240
"""Four hours: what has been silent for longer tells nothing more."""


class Spell(NamedTuple):
    """That a link was heard, or was not for a spell, and when, UTC."""

    t_s: float
    told: LinkHeard | LinkSilent


def spells(
    ride: Ride, sortie: Sortie, gliders: Sequence[str], at_stand: int | None
) -> Iterator[Spell]:
    """Yield when the links of the glider's feeds were heard last, and their silent spells since.

    `gliders`: feeds of the glider. A link that none of its feeds was ever heard of tells nothing,
    nor does any while nobody knows at which stand the car is.
    """
    if at_stand is None or ride.ahead_s is None:
        return
    heard = dict[int, float]()
    for name in gliders:
        link, heard_s = link_of(sortie, name), ride.feed(name).heard_s
        if link is not None and heard_s is not None:
            heard[link] = max(heard.get(link, heard_s), heard_s)
    for link, heard_s in heard.items():
        yield Spell(heard_s + ride.ahead_s, LinkHeard(link=link, stand=at_stand))
        n = min(int((ride.at_s - heard_s) / SPELL_S), _MOST_SPELLS)
        for k in range(1, n + 1):
            t_s = heard_s + ride.ahead_s + k * SPELL_S
            yield Spell(t_s, LinkSilent(link=link, stand=at_stand))
