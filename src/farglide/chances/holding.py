"""Holding: the chance that command and picture hold for a release, from the best stand for it."""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import IntArray, SingleArray
from farglide.chances.ensemble import Ensemble
from farglide.rig.listening import Listening
from farglide.sim.core.release import Goals
from farglide.sim.core.states import States, states_at
from farglide.sim.hear.holds import holds

Floats = NDArray[np.floating[Any]]

_EVERY_S: Final = 240.0
"""Releases for which the links are asked; between them the chance changes evenly, but for a moment
at which a stand becomes manned: the last one before and the first one after are asked too."""
_FIELDS_IN_FULL: Final = 4
"""So many fields are asked for every draw. With more, draws not asked take those of their nearest:
means would lose that far balloons are both out of reach and badly heard."""
_FEWEST: Final = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """Chance that the links hold, by draw, moment of release and field.

    `ratio` (n_draws, n_moments, n_fields); `by_purpose` (n_moments, n_fields, n_purposes): means
    over the draws; `stand` (n_moments, n_fields): the best one for that release, -1 where none is
    manned by then.
    """

    ratio: Floats
    by_purpose: Floats
    purposes: tuple[str, ...]
    stand: IntArray


def holding(ensemble: Ensemble, states: States, goals: Goals) -> Holding | None:
    """Return the chance of the links; None where no link with a needed purpose is stated.

    One stand serves from the release to the ground: driving away meanwhile leaves nobody with a
    picture. The best has the highest chance in the mean over the draws, among those that
    the car has reached by the release.
    """
    listening = ensemble.listening
    if listening is None or not listening.needed or not states.amsl_m.shape[1]:
        return None
    t_s = _times_s(states)
    asked = _asked(t_s, listening.ready_s)
    there = states_at(states, asked)
    n_draws, n_fields = len(states.amsl_m), len(goals.north_rad)
    n_asked = min(n_draws, max(_FEWEST, _FIELDS_IN_FULL * n_draws // max(n_fields, 1)))
    first = States._make(each[:n_asked] for each in there)
    scene, listeners, workers = ensemble.air.scene, listening.listeners, ensemble.workers
    by_link = holds(scene, ensemble.released, first, listeners, goals, workers)
    chosen, stand = _from_best_stand(listening, by_link, t_s[asked])
    del by_link  # room for what follows
    like = _alike(ensemble, there, n_asked)
    return _spread_out(listening.needed, like, chosen, stand, _place_among(asked, t_s))


def _times_s(states: States) -> Floats:
    """Return when half of the draws that fly are at each moment; 0 where none does."""
    flying = np.where(np.isnan(states.amsl_m), np.nan, states.after_launch_s)
    nobody = np.isnan(flying).all(axis=0)
    flying[:, nobody] = 0.0
    return np.asarray(np.nanmedian(flying, axis=0))


def _from_best_stand(
    listening: Listening, by_link: SingleArray, at_s: Floats
) -> tuple[SingleArray, IntArray]:
    """Return the chance of each needed purpose from the best stand, and which stand that is.

    `by_link`: chance of every link from every stand; `at_s`: when the releases are.
    """
    whole = _by_purpose(listening, by_link)
    stand = _best_stand(whole.prod(axis=4), listening.ready_s, at_s)
    chosen = np.take_along_axis(whole, np.maximum(stand, 0)[None, :, :, None, None], axis=3)
    return np.where(stand[None, :, :, None] < 0, 0.0, chosen[:, :, :, 0, :]), stand


def _asked(t_s: Floats, ready_s: Floats) -> IntArray:
    """Return which moments are asked about: some, and the two between which a stand gets manned.

    All of them where they are no rising times, between which the chance would change evenly.
    """
    if len(t_s) < 2 or not (np.diff(t_s) > 0.0).all():
        return np.arange(len(t_s))
    some = np.searchsorted(t_s, np.arange(t_s[0], t_s[-1], _EVERY_S))
    manned = np.searchsorted(t_s, ready_s)
    turns = np.clip(np.append(manned - 1, manned), 0, len(t_s) - 1)
    return np.unique(np.concatenate([some, turns, [len(t_s) - 1]]))


def _by_purpose(listening: Listening, by_link: SingleArray) -> SingleArray:
    """Return the chance that at least one link of each needed purpose holds, on the last axis."""
    held = np.empty((*by_link.shape[:-1], len(listening.needed)), by_link.dtype)
    for k, purpose in enumerate(listening.needed):
        missed = np.ones(by_link.shape[:-1], by_link.dtype)
        for row in listening.rows(purpose):
            missed *= 1.0 - by_link[..., row]
        held[..., k] = 1.0 - missed
    return held


def _best_stand(ratio: Floats, ready_s: Floats, at_s: Floats) -> IntArray:
    """Return the stand with the best mean over the draws at each moment, for each field."""
    mean = _mean_flying(ratio)
    mean[np.broadcast_to((at_s[:, None] < ready_s)[:, None, :], mean.shape)] = -1.0
    best = mean.argmax(axis=2)
    return np.where(mean.max(axis=2) < 0.0, -1, best)


def _place_among(asked: IntArray, t_s: Floats) -> Floats:
    """Return where all moments lie among those asked about, counted in these."""
    if len(asked) == len(t_s):
        return np.arange(len(t_s), dtype=np.float64)
    return np.asarray(np.interp(t_s, t_s[asked], np.arange(len(asked))))


def _spread_out(
    purposes: tuple[str, ...], like: IntArray, chosen: Floats, stand: IntArray, place: Floats
) -> Holding:
    """Return the chance at all moments, and for all draws, from those that were asked about.

    `like`: which draw's chance each draw takes, as `_alike`; `place`: as `_place_among`.
    """
    low = np.floor(place).astype(np.int64)
    high = np.minimum(low + 1, len(stand) - 1)
    share = (place - low).astype(np.float32)[:, None]
    each = (_between(chosen[..., p], low, high, share) for p in range(chosen.shape[-1]))
    ratio = next(each)
    means = [_mean_flying(ratio)]
    for other in each:
        means.append(_mean_flying(other))
        ratio *= other
    turn = np.round(place).astype(np.int64)
    if len(ratio) < len(like):
        ratio = np.take_along_axis(ratio, like[:, turn, None], axis=0)
    return Holding(
        ratio=np.nan_to_num(ratio, copy=False),
        by_purpose=np.stack(means, axis=-1),
        purposes=purposes,
        stand=stand[turn],
    )


def _alike(ensemble: Ensemble, there: States, n_asked: int) -> IntArray:
    """Return for each draw and moment the asked draw whose balloon is nearest, itself if asked.

    Shape (n_draws, n_moments). What a link has left follows from where the glider is released.
    """
    frame = ensemble.air.scene.frame
    north_m, parallel_m = there.north_rad * frame.meridian_m, frame.normal_m * frame.cosine
    places_m = np.stack([there.amsl_m, north_m, there.east_rad * parallel_m]).astype(np.float32)
    _, n_draws, n_moments = places_m.shape
    found = np.repeat(np.arange(n_draws)[:, None], n_moments, axis=1)
    for j in range(n_moments if n_asked < n_draws else 0):
        known = places_m[:, :n_asked, j]
        away_m2 = np.zeros((n_draws - n_asked, n_asked), np.float32)
        for one, all_ in zip(known, places_m[:, n_asked:, j], strict=True):
            away_m2 += (all_[:, None] - one) ** 2
        found[n_asked:, j] = np.nan_to_num(away_m2, nan=np.inf).argmin(axis=1)
    return found


def _between(chance: Floats, low: IntArray, high: IntArray, share: SingleArray) -> Floats:
    """Return chances between the moments asked about; as before where a balloon bursts."""
    before, after = chance[:, low], chance[:, high]
    np.copyto(before, after, where=np.isnan(before))
    np.copyto(after, before, where=np.isnan(after))
    after -= before
    after *= share
    after += before
    return after


def _mean_flying(chance: Floats) -> Floats:
    """Return the mean over the draws whose balloon still flies, 0 where none does."""
    flying = ~np.isnan(chance)
    mean: Floats = np.where(flying, chance, 0.0).sum(axis=0) / np.maximum(flying.sum(axis=0), 1)
    return mean
