"""Holding: the chance that command and picture hold for a release, from the best stand for it."""

from dataclasses import dataclass
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from farglide.arrays import FloatArray, IntArray, SingleArray
from farglide.chances.ensemble import Ensemble
from farglide.rig.listening import Listening
from farglide.sim.core.release import Goals
from farglide.sim.core.states import States, states_at
from farglide.sim.hear.holds import holds

Floats = NDArray[np.floating[Any]]

_EVERY_S: Final = 240.0
"""Releases for which the links are asked, seconds apart; between them what a stand hears changes
evenly. From when it is manned is asked of every release."""
_FIELDS_IN_FULL: Final = 4
"""So many fields are asked for every draw. With more, draws not asked take those of their nearest:
means would lose that far balloons are both out of reach and badly heard."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldingAlong:
    """What each stand hears of releases at some times: chances at times between follow from it.

    `by_stand` (n_asked, n_times, n_fields, n_stands, n_purposes); `like` (n_draws, n_times): which
    draw's chance each draw takes; `mean` (n_times, n_fields, n_stands): chance that all purposes
    hold, over the draws; `t_s` (n_times,): rising, or as many as are asked of later.
    """

    listening: Listening
    by_stand: SingleArray
    mean: FloatArray
    like: IntArray
    t_s: FloatArray

    def at(self, t_s: FloatArray) -> Holding:
        """Return the chances of releases at times, (n_moments,), as at the ends outside of them.

        One stand serves from the release to the ground: driving away meanwhile leaves nobody with a
        picture. The best has the highest chance in the mean over the draws, among those that the
        car has reached by the release.
        """
        between = _Between.of(self.t_s, t_s)
        stand = _best_stands(self.mean, between, self.listening.ready_s, t_s)
        return _spread_out(self, stand, between)


def holding(ensemble: Ensemble, states: States, goals: Goals) -> Holding | None:
    """Return the chance of the links; None where no link with a needed purpose is stated."""
    along = holding_along(ensemble, states, goals)
    return None if along is None else along.at(times_s(states))


def holding_along(ensemble: Ensemble, states: States, goals: Goals) -> HoldingAlong | None:
    """Return what is heard of releases on the way through some states; None as in `holding`."""
    listening = ensemble.listening
    if listening is None or not listening.needed or not states.amsl_m.shape[1]:
        return None
    t_s = times_s(states)
    asked = _asked(t_s)
    there = states_at(states, asked)
    n_draws, n_fields = len(states.amsl_m), len(goals.north_rad)
    n_asked = min(
        n_draws, max(listening.fewest_draws, _FIELDS_IN_FULL * n_draws // max(n_fields, 1))
    )
    first = States._make(each[:n_asked] for each in there)
    scene, listeners, workers = ensemble.air.scene, listening.listeners, ensemble.workers
    by_link = holds(scene, ensemble.released, first, listeners, goals, workers)
    by_stand = _by_purpose(listening, by_link)
    return HoldingAlong(
        listening=listening,
        by_stand=by_stand,
        mean=np.asarray(_mean_flying(by_stand.prod(axis=4)), np.float64),
        like=_alike(ensemble, there, n_asked),
        t_s=t_s[asked],
    )


def times_s(states: States) -> FloatArray:
    """Return when half of the draws that fly are at each moment; 0 where none does."""
    flying = np.where(np.isnan(states.amsl_m), np.nan, states.after_launch_s)
    nobody = np.isnan(flying).all(axis=0)
    flying[:, nobody] = 0.0
    return np.asarray(np.nanmedian(flying, axis=0), np.float64)


class _Between(NamedTuple):
    """Where all moments lie among those asked about: before, after, and the share of the latter."""

    low: IntArray
    high: IntArray
    share: SingleArray

    @classmethod
    def of(cls, asked_s: FloatArray, t_s: FloatArray) -> "_Between":
        place = np.arange(len(t_s), dtype=np.float64)
        if not np.array_equal(asked_s, t_s):
            place = np.interp(t_s, asked_s, np.arange(len(asked_s)))
        low = np.floor(place).astype(np.int64)
        return cls(low, np.minimum(low + 1, len(asked_s) - 1), (place - low).astype(np.float32))

    @property
    def nearest(self) -> IntArray:
        """Return the moment asked about that is nearest to each."""
        return np.where(self.share < 0.5, self.low, self.high)


def _asked(t_s: FloatArray) -> IntArray:
    """Return which moments are asked about: some, and the last one.

    All of them where they are no rising times, between which the chance would change evenly.
    """
    if len(t_s) < 2 or not (np.diff(t_s) > 0.0).all():
        return np.arange(len(t_s))
    some = np.searchsorted(t_s, np.arange(t_s[0], t_s[-1], _EVERY_S))
    return np.unique(np.append(some, len(t_s) - 1))


def _by_purpose(listening: Listening, by_link: SingleArray) -> SingleArray:
    """Return the chance that at least one link of each needed purpose holds, on the last axis."""
    held = np.empty((*by_link.shape[:-1], len(listening.needed)), by_link.dtype)
    for k, purpose in enumerate(listening.needed):
        missed = np.ones(by_link.shape[:-1], by_link.dtype)
        for row in listening.rows(purpose):
            missed *= 1.0 - by_link[..., row]
        held[..., k] = 1.0 - missed
    return held


def _best_stands(mean: Floats, between: _Between, ready_s: FloatArray, t_s: FloatArray) -> IntArray:
    """Return the stand with the best mean over the draws at each moment, for each field.

    `mean`: at the moments asked about, (n_asked, n_fields, n_stands); -1 where none is manned.
    """
    share = between.share[:, None, None]
    at_all = mean[between.low] * (1.0 - share) + mean[between.high] * share
    late = t_s[:, None, None] < np.atleast_2d(ready_s)
    at_all[np.broadcast_to(late, at_all.shape)] = -1.0
    return np.where(at_all.max(axis=2) < 0.0, -1, at_all.argmax(axis=2))


def _spread_out(along: HoldingAlong, stand: IntArray, between: _Between) -> Holding:
    """Return the chance at all moments, and for all draws, from those that were asked about.

    `stand`: which serves each moment.
    """
    purposes, like, by_stand = along.listening.needed, along.like, along.by_stand
    each = (_from_stand(by_stand[..., p], stand, between) for p in range(len(purposes)))
    ratio = next(each)
    means = [_mean_flying(ratio)]
    for other in each:
        means.append(_mean_flying(other))
        ratio *= other
    if len(ratio) < len(like):
        ratio = np.take_along_axis(ratio, like[:, between.nearest, None], axis=0)
    return Holding(
        ratio=np.nan_to_num(ratio, copy=False),
        by_purpose=np.stack(means, axis=-1),
        purposes=purposes,
        stand=stand,
    )


def _from_stand(by_stand: SingleArray, stand: IntArray, between: _Between) -> SingleArray:
    """Return the chance from the stand that serves, (n_draws, n_moments, n_fields).

    Between two moments asked about it changes evenly; as before where a balloon bursts.
    """
    fields, served = np.arange(stand.shape[1])[None, :], np.maximum(stand, 0)
    before = by_stand[:, between.low[:, None], fields, served]
    after = by_stand[:, between.high[:, None], fields, served]
    np.copyto(before, after, where=np.isnan(before))
    np.copyto(after, before, where=np.isnan(after))
    after -= before
    after *= between.share[:, None]
    after += before
    after[:, stand < 0] = 0.0
    return after


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


def _mean_flying(chance: Floats) -> Floats:
    """Return the mean over the draws whose balloon still flies, 0 where none does."""
    flying = ~np.isnan(chance)
    mean: Floats = np.where(flying, chance, 0.0).sum(axis=0) / np.maximum(flying.sum(axis=0), 1)
    return mean
