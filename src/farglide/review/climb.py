"""Climb: the drag of a balloon and its fill, as one flight's climb shows them."""

from dataclasses import replace
from typing import Final, NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.balloon.bands import N_BANDS, band_errors, hats, stay_ratios
from farglide.chances.ensemble import plain_climbs
from farglide.review.pooled import Shown
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie
from farglide.track.climbfit import Timed, air_noise_m2, climbs_m, timed_climb, wave_mps
from farglide.track.drift import Been

LEAST_STRETCHES: Final = 3
"""Fewer stretches of a minute and a half tell nothing of a balloon: the belief is kept."""
_WIDE_LOG: Final = 1.0
_STEPS: Final = (0.05, 0.05, 2.0)  # of log drag, of a share of the neck lift, of kelvins
_ROUNDS: Final = 3
_GRAIN: Final = Grain(clock_s=30.0, prices_mps=(8.0,), slab=5)
_MOST_LOG: Final = 0.9
_LAW_RATIO: Final = 0.01
"""What straight lines between the bands, and the curve of the drag, leave of its own error."""


class ClimbShown(NamedTuple):
    """What a climb shows: its drag factor whatever was believed, and its fill with the belief.

    `drag` is None where too little of a climb was seen; `gas_ratio`: gas over that of the plan.
    """

    drag: Shown | None
    neck_lift: Shown
    n_stretches: int


class _Fit(NamedTuple):
    mean: FloatArray  # log drag, neck lift over that believed, kelvins over those believed
    covariance: FloatArray


def drag_sd(sortie: Sortie) -> float:
    """Return the doubt about the drag factor that the file states, in its own way.

    A doubt about the mean climb stands in place of it: the climb goes with the square root of the
    drag, so it counts twice.
    """
    if sortie.doubt.ascent_ratio is None:
        return sortie.balloon.drag_factor.sd
    return 2.0 * sortie.doubt.ascent_ratio * sortie.balloon.drag_factor.value


def climb_shown(sortie: Sortie, sounding: Sounding, carried: Been) -> ClimbShown:
    """Return what the climb of a flight shows of its drag and its fill.

    The logarithm of the drag factor, the neck lift and how much warmer the gas is are normal
    before; the climbed metres of each stretch are linear in them about the last guess, and off by
    waves in the air, by the receiver, and by bands of height that are faster or slower. The drag
    is taken from a fit that believes nothing of it, so that flights can be pooled; the neck lift
    from one that believes what the file says.
    Source: Bayesian linear regression (Gelman et al., Bayesian Data Analysis, 14.8), linearised
    anew in each of three rounds (Gauss-Newton), from memory.
    """
    neck = sortie.balloon.neck_lift_kg
    timed = timed_climb(carried)
    if len(timed.seconds) < LEAST_STRETCHES:
        return ClimbShown(None, Shown(neck.value, neck.sd), len(timed.seconds))
    factor = sortie.balloon.drag_factor.value
    free = _fitted(sortie, sounding, carried, _WIDE_LOG)
    told = _fitted(sortie, sounding, carried, drag_sd(sortie) / factor)
    drag = factor * float(np.exp(free.mean[0]))
    drag_shown = Shown(drag, drag * float(np.hypot(np.sqrt(free.covariance[0, 0]), _LAW_RATIO)))
    lift = Shown(neck.value * (1.0 + float(told.mean[1])),
                 neck.value * float(np.sqrt(told.covariance[1, 1])))  # fmt: skip
    return ClimbShown(drag_shown, lift, len(timed.seconds))


def _fitted(sortie: Sortie, sounding: Sounding, carried: Been, log_sd: float) -> _Fit:
    balloon, timed = sortie.balloon, timed_climb(carried)
    sds = np.array([log_sd, balloon.neck_lift_kg.spread_ratio, balloon.gas_warmer_k.sd])
    prior, mean = np.diag(sds**2), np.zeros(3)
    stay = _stay(sortie, sounding)
    covariance = prior
    for _ in range(_ROUNDS):
        said = _said_m(sortie, sounding, carried, mean)
        told = np.flatnonzero(np.isfinite(said).all(axis=0))
        some = Timed(*(one[told] for one in timed))
        slopes = np.stack([(one - said[0]) / step for one, step in
                           zip(said[1:], _STEPS, strict=True)])[:, told]  # fmt: skip
        noise = air_noise_m2(some, wave_mps(some, said[0, told]))
        noise += _band_noise_m2(stay, some, said[0, told]) * sortie.doubt.ascent_band_ratio**2
        missed = some.climbed_m - said[0, told] + mean @ slopes
        gain = np.linalg.solve(slopes.T @ prior @ slopes + noise, slopes.T @ prior).T
        mean = np.clip(gain @ missed, -_MOST_LOG, _MOST_LOG * np.array([1.0, 0.5, 60.0]))
        covariance = prior - gain @ slopes.T @ prior
    return _Fit(mean, covariance)


def _said_m(sortie: Sortie, sounding: Sounding, carried: Been, mean: FloatArray) -> FloatArray:
    """Return climbed metres of each stretch: as guessed, and with each number a step off."""
    timed = timed_climb(carried)
    rows = []
    for k in (-1, 0, 1, 2):
        moved = mean + np.array([step * (k == j) for j, step in enumerate(_STEPS)])
        climbs = plain_climbs(with_climb(sortie, *moved.tolist()), sounding, _GRAIN)
        rows.append(climbs_m(climbs.tracks, timed)[0])
    return np.array(rows)


def with_climb(sortie: Sortie, log_drag: float, neck_ratio: float, warmer_k: float) -> Sortie:
    """Return a sortie whose balloon has another drag, fill and warmth of its gas."""
    balloon = sortie.balloon
    neck_kg = max(balloon.neck_lift_kg.value * (1.0 + neck_ratio), 1.02 * sortie.hanging_kg)
    return replace(
        sortie,
        balloon=replace(
            balloon,
            drag_factor=_moved(balloon.drag_factor, balloon.drag_factor.value * np.exp(log_drag)),
            neck_lift_kg=_moved(balloon.neck_lift_kg, neck_kg),
            gas_warmer_k=_moved(balloon.gas_warmer_k, balloon.gas_warmer_k.value + warmer_k),
        ),
    )


def _moved(known: Known, value: float) -> Known:
    return replace(known, value=float(value))


def _stay(sortie: Sortie, sounding: Sounding) -> FloatArray:
    """Return the share of the whole climb, to its burst, that each band takes.

    Not of the part seen: over that the bands' errors do not level out.
    """
    climbs = plain_climbs(sortie, sounding, _GRAIN)
    amsl_m, burst_m = climbs.tracks.amsl_m[0], climbs.burst.amsl_m[0]
    return stay_ratios(amsl_m[np.isfinite(amsl_m) & ~(amsl_m > burst_m)])


def _band_noise_m2(stay: FloatArray, timed: Timed, said_m: FloatArray) -> FloatArray:
    """Return what bands that are wholly faster or slower make of the climbs, m2."""
    errors = band_errors(np.eye(N_BANDS), stay)
    middles_m = timed.low_amsl_m + 0.5 * timed.climbed_m
    felt = said_m[:, None] * (hats(middles_m) @ errors.T)
    return np.asarray(felt @ felt.T)
