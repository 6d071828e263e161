"""Heard: how far links stood off their budgets, by picture grades, fixes heard, and silence."""

import math
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.arrays import FloatArray
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place, place_of
from farglide.radio.picture import picture_seen
from farglide.review.due import SPELL_S, dues_of
from farglide.review.flown import Flown, What
from farglide.review.pooled import Shown
from farglide.rig.listening import Listening
from farglide.sim.core.scene import Scene
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.hearing import margins_db
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been
from farglide.track.typed.entries import Grade

FADING_DB: Final = 3.0
"""By so much a spell is off the mean of its link; common practice, no source."""
AT_STAND_M: Final = 500.0
_OFFSETS_DB: Final = np.linspace(-40.0, 40.0, 1601)
_ASKED_DB: Final = 200.0
_NOTHING: Final = 1e-6
_STRANGE: Final = 1e-4
"""The chance of a spell for another reason: a dropped antenna, a grade mistyped. A choice."""
_LEAST_TOLD: Final = 0.02


class Spell(NamedTuple):
    """One spell: the margin of the budget, and from and up to which margin it says it was."""

    margin_db: float
    from_db: float
    to_db: float


class Ways(NamedTuple):
    """Who heard whom: the links and stands, and where glider and car were."""

    sortie: Sortie
    listening: Listening
    scene: Scene
    flown: Flown
    been: Been


def spells_of(ways: Ways) -> dict[str, list[Spell]]:
    """Return what each link's spells say, by its name; links of which nothing is told are left out.

    A grade tells of the picture; a fix that was heard, or one that was due and did not come while
    the flight went on, carried or free, of the link for positions that its feed comes by; a command
    that the pin followed, of the link for commands: one that it did not follow may have been heard,
    with the pin stuck. Heard from the stand at which the car was, and without a fix of it from the
    one that hears best.
    """
    found: dict[str, list[Spell]] = {}
    for row, link in enumerate(ways.sortie.links):
        if link.purpose == "picture":
            told = list(_graded(ways, link.is_digital))
        elif link.purpose == "position":
            told = list(_heard(ways, row))
        else:
            told = list(_followed(ways))
        rows = _once(told)
        if not rows or len(ways.been.t_s) < 2:
            continue
        margins = _margins_db(ways, [one.after_launch_s for one in rows])
        spells = [Spell(float(m), one.from_db, one.to_db) for m, one in
                  zip(margins[:, row], rows, strict=True) if math.isfinite(m)]  # fmt: skip
        if spells:
            found[link.name] = spells
    return found


def offset_shown(spells: Sequence[Spell], offset_db: float, sd_db: float) -> Shown | None:
    """Return by how much a link stood off its budget, what was believed of it left out.

    Each spell's margin is normal about that of the budget and the offset, and fell into the span
    that its grade or its silence says: the chances of that are multiplied, over offsets on a grid.
    The first and second moments of what comes out are the value and its error. Where only one
    side is bounded, the belief is weighed in, and its share taken off again; None where the spells
    tell next to nothing.
    Source: likelihood of interval-censored normal data (Gelman et al., Bayesian Data Analysis,
    8.2), from memory.
    """
    likely = _likely(spells)
    if likely[0] < _NOTHING and likely[-1] < _NOTHING:
        return Shown(*_moments(likely))
    if sd_db <= 0.0:
        return None
    believed = np.exp(-0.5 * ((_OFFSETS_DB - offset_db) / sd_db) ** 2)
    mean, sd = _moments(likely * believed)
    left = 1.0 / sd**2 - 1.0 / sd_db**2
    if left <= _LEAST_TOLD / sd_db**2:
        return None
    return Shown((mean / sd**2 - offset_db / sd_db**2) / left, left**-0.5)


def _likely(spells: Sequence[Spell]) -> FloatArray:
    """Return how likely each offset makes the spells, 1 for the likeliest."""
    score = np.zeros(len(_OFFSETS_DB))
    for margin_db, low_db, high_db in spells:
        middle = margin_db + _OFFSETS_DB
        inside = _below((high_db - middle) / FADING_DB) - _below((low_db - middle) / FADING_DB)
        score += np.log(np.maximum(inside, _STRANGE))
    return np.asarray(np.exp(score - score.max()))


def _moments(weight: FloatArray) -> tuple[float, float]:
    share = weight / weight.sum()
    mean = float(share @ _OFFSETS_DB)
    return mean, float(np.sqrt(share @ (_OFFSETS_DB - mean) ** 2))


def _below(z: FloatArray) -> FloatArray:
    return np.array([0.5 * math.erfc(-one / math.sqrt(2.0)) for one in np.atleast_1d(z).tolist()])


class _Told(NamedTuple):
    after_launch_s: float
    from_db: float
    to_db: float


def _graded(ways: Ways, is_digital: bool) -> Iterator[_Told]:
    for one in ways.flown.typed:
        if isinstance(one.entry, Grade):
            seen = picture_seen(_ASKED_DB, one.entry.grade, is_digital)
            high = math.inf if seen.least_db <= 0.0 else _ASKED_DB - seen.least_db
            yield _Told(one.t_s - ways.sortie.launch.t_s, _ASKED_DB - seen.most_db, high)


def _heard(ways: Ways, link: int) -> Iterator[_Told]:
    """Yield when a feed of a link was heard, and when it was due and did not come."""
    for one in dues_of(ways.flown, ways.sortie, link, ways.been):
        span = (0.0, math.inf) if one.is_heard else (-math.inf, 0.0)
        yield _Told(one.after_launch_s, *span)


def _followed(ways: Ways) -> Iterator[_Told]:
    sent, released = ways.flown.first(What.SENT), ways.flown.first(What.RELEASED)
    if sent is not None and released is not None and ways.flown.first(What.STUCK) is None:
        yield _Told(sent.t_s - ways.sortie.launch.t_s, 0.0, math.inf)


def _once(told: list[_Told]) -> list[_Told]:
    """Return one row of each spell: the mean of the spans that were told in it.

    Fading hangs together over a spell, so what changes within it is the viewer, not the link.
    """
    spells = list[list[_Told]]()
    for one in sorted(told):
        if spells and one.after_launch_s - spells[-1][0].after_launch_s < SPELL_S:
            spells[-1].append(one)
        else:
            spells.append([one])
    return [_Told(*(math.fsum(each) / len(each) for each in zip(*some, strict=True)))
            for some in spells]  # fmt: skip


def _margins_db(ways: Ways, at_s: list[float]) -> FloatArray:
    """Return the margin of each link at some moments, (n_moments, n_links); NaN unknown."""
    sortie, been, launch_t_s = ways.sortie, ways.been, ways.sortie.launch.t_s
    rows = (np.interp(at_s, been.t_s, one, left=np.nan, right=np.nan) for one in been[1:])
    trails = Trails(*(one[None, :] for one in rows))
    listeners = ways.listening.listeners
    margins = margins_db(listeners, ways.scene.frame, trails)[0].astype(np.float64)
    places = [place_of(one) for one in sortie.stands]
    cars = [_Car(one.t_s - launch_t_s, Place(lat_deg=one.lat_deg, lon_deg=one.lon_deg, amsl_m=0.0))
            for one in ways.flown.cars if one.t_s is not None]  # fmt: skip
    found = np.full((len(at_s), len(sortie.links)), np.nan)
    for j, t_s in enumerate(at_s):
        stand = _stand(cars, places, t_s)
        if stand is None and cars:
            continue  # on the road, or nowhere that is known
        each = margins[:, :, j] if stand is None else margins[stand : stand + 1, :, j]
        if not np.isnan(each).all():
            found[j] = np.nanmax(each, axis=0)
    return found


class _Car(NamedTuple):
    after_launch_s: float
    place: Place


def _stand(cars: list[_Car], places: list[Place], t_s: float) -> int | None:
    """Return at which stand the car was at a moment."""
    if not cars:
        return None
    near = min(cars, key=lambda one: abs(one.after_launch_s - t_s))
    if abs(near.after_launch_s - t_s) > 2.0 * SPELL_S:
        return None
    away = [geodesic(near.place, one).distance_m for one in places]
    best = int(np.argmin(away))
    return best if away[best] <= AT_STAND_M else None
