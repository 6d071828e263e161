"""Said: what one flight says of one number of the flight file, and by what it is pooled."""

from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.review.climb import ClimbShown
from farglide.review.flown import Flown
from farglide.review.parted import Parted
from farglide.review.pooled import Belief, Shown
from farglide.sim.core.learnt import Learnt
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

BETWEEN_BALLOONS: Final = 0.5
BETWEEN_GLIDES: Final = 0.2
BETWEEN_LINKS: Final = 0.3
BETWEEN_HANDS: Final = 0.5
BETWEEN_WINDS: Final = 0.5
"""How much of a doubt differs from flight to flight, the rest being doubt about the gear: choices,
no source. Several flights replace them."""
ASCENT: Final = "doubt.ascent_ratio"
EXACT: Final = "the flight file takes it as exact: give it a spread, and flights move it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What one flight says of one number: what was believed, what was shown, or why nothing.

    `spread_key`: under which the file states the spread. `gear`: of which airframe, batch, pack or
    crew; numbers of the same gear are pooled.
    """

    key: str
    spread_key: str
    what: str
    unit: str
    gear: str
    belief: Belief
    shown: Shown | None
    why: str


class Weather(NamedTuple):
    """What is known of a day's winds, and how wide their errors looked against those told."""

    known: Learnt
    deep: Shown | None  # the logarithm of the ratio, without the belief


class Case(NamedTuple):
    """A flight ready to be learnt from."""

    planned: Ensemble
    sounding: Sounding
    flown: Flown
    flight: Parted
    climb: ClimbShown
    weather: Weather | None


def airframe_of(sortie: Sortie) -> str:
    """Return the name of the glider, else what tells it from others."""
    glider = sortie.glider
    return glider.airframe or f"{1000.0 * glider.mass_kg:.0f} g, {glider.area_m2:.3g} m²"


def batch_of(sortie: Sortie) -> str:
    """Return the name of the balloon's batch, else what tells it from others."""
    return sortie.balloon.batch or f"{1000.0 * sortie.balloon.mass_kg:.0f} g balloon"


def belief_of(known: Known, own_ratio: float) -> Belief:
    """Return a number of the flight file as a belief."""
    return Belief(known.value, known.sd, own_ratio)


def why_of(shown: Shown | None, none: str, sd: float) -> str:
    """Return why a number is kept or what it rests on; `none`: why nothing is shown."""
    if shown is None:
        return f"{none}: kept"
    if sd <= 0.0:
        return EXACT
    return "seen so far, so that it is at least that" if shown.at_least else ""
