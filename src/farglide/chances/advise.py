"""Advise: one stage and its moments in, the odds of every field out; all faces ask here."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from farglide.chances.holding import Holding, holding
from farglide.chances.stage import Stage, within_caps
from farglide.sim.core.odds import weighted_medians
from farglide.sim.core.release import Goals
from farglide.sim.reach.doors import (
    IN_TIME,
    REACHED,
    doors,
    floors_of,
)

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Odds for a release at each moment of the climb; shapes (n_moments,) or (…, n_fields)."""

    after_launch_s: FloatArray
    amsl_m: FloatArray  # median of the balloons still whole
    burst_ratio: FloatArray
    reach_ratio: FloatArray  # in reach by height and holdable, given a whole balloon
    timely_ratio: FloatArray  # and packs and light last, given a whole balloon
    open_ratio: FloatArray  # and command and picture hold, given a whole balloon
    odds_ratio: FloatArray  # and the balloon is still whole then
    any_open_ratio: FloatArray  # (n_moments,) at least one field open
    holding: Holding | None  # None where no links are stated


def advise(stage: Stage, moments: NDArray[np.int64], goals: Goals | None = None) -> Advice:
    """Return the odds of every field for a release at each of the moments.

    `moments`: indices on the clock of `stage.tracks`. The burst is independent of what is drawn
    for the glide, but not of the climb: open and whole are multiplied draw by draw.
    """
    fields = stage.goals if goals is None else goals
    flying = ~np.isnan(stage.tracks.amsl_m[:, moments])
    n_flying = np.maximum(flying.sum(axis=0), 1)
    height = np.where(flying, stage.tracks.amsl_m[:, moments], np.nan)
    flyable = (height <= stage.ceiling_amsl_m) & within_caps(stage, height)
    flyable = flyable[:, :, None]
    reached, in_time = _reached(stage, moments, fields)
    reached &= flyable
    in_time &= flyable
    held = holding(stage, moments, fields)
    opened = in_time if held is None else in_time * held.ratio
    whole = 1.0 - stage.burst_share[:, moments]
    given = _given_whole(whole, flying)
    return Advice(
        after_launch_s=moments.astype(np.float64) * stage.tracks.step_s,
        amsl_m=weighted_medians(height, whole),
        burst_ratio=stage.burst_share[:, moments].mean(axis=0),
        reach_ratio=np.minimum(_weighted(reached, given), 1.0),
        timely_ratio=np.minimum(_weighted(in_time, given), 1.0),
        open_ratio=np.minimum(_weighted(opened, given), 1.0),
        odds_ratio=_weighted(opened, whole) / n_flying[:, None],
        any_open_ratio=np.minimum((opened.max(axis=2, initial=0) * given).sum(axis=0), 1.0),
        holding=held,
    )


def _reached(
    stage: Stage, moments: NDArray[np.int64], fields: Goals
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Tell what each draw reaches by height, and what before packs or light end."""
    state = doors(
        stage.scene,
        (stage.drawn.swarm, stage.losses, stage.haste),
        (stage.tracks, moments),
        stage.ways,
        (fields, floors_of(stage.ways, fields, stage.workers)),
        stage.workers,
    ).state
    return (state & REACHED) > 0, (state & IN_TIME) > 0


def _weighted(held: NDArray[Any], weight: FloatArray) -> FloatArray:
    """Return the weighted sum over the draws, field by field to spare the room for them all."""
    sums = [(held[:, :, f] * weight).sum(axis=0) for f in range(held.shape[2])]
    return np.stack(sums, axis=1) if sums else np.zeros((held.shape[1], 0))


def _given_whole(whole: FloatArray, flying: NDArray[np.bool_]) -> FloatArray:
    """Return the weight of each draw at each moment among the balloons still whole then."""
    weight = np.where(flying, whole, 0.0)
    total = weight.sum(axis=0)
    alike = flying / np.maximum(flying.sum(axis=0), 1)
    weights: FloatArray = np.where(total > 1e-3, weight / np.maximum(total, 1e-9), alike)
    return weights
