"""What-if: the same flight with one thing changed, asked with fewer draws, to say what it buys."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from farglide.air.column import Sounding
from farglide.chances.advise import Advice, advise
from farglide.chances.decide import Decision, shut_s, window_of
from farglide.chances.stage import Stage, set_stage
from farglide.errors import ContradictionError, InputError
from farglide.outlook.outlook import Gain, Hold, LaunchSpot
from farglide.sim.core.release import Goals
from farglide.sim.fly.passage import east_north_m
from farglide.sortie.grain import Asked
from farglide.sortie.spec import Sortie

FloatArray = NDArray[np.float64]

_N_DRAWS: Final = 200
_CLOCK_S: Final = 60.0
_PRICES_MPS: Final = (4.0, 12.0, 30.0, 100.0, 1000.0)
_SPOT_EVERY_S: Final = 300.0
_ALONG_M: Final = tuple(10_000.0 * i for i in range(-2, 11))
_ACROSS_M: Final = (-20_000.0, -10_000.0, 0.0, 10_000.0, 20_000.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Small:
    """A coarser stage with its advice, and the summary that what-ifs are compared by."""

    stage: Stage
    advice: Advice
    odds_ratio: float  # of the first field above the wanted height
    shut_s: float
    release_by_s: float  # NaN when nothing opens


def small_asked(asked: Asked) -> Asked:
    """Return the coarser question of what-ifs; its draws are the first of the plan's own."""
    return replace(
        asked,
        n_draws=min(_N_DRAWS, asked.n_draws),
        clock_s=_CLOCK_S,
        prices_mps=_PRICES_MPS,
        slab=5,
    )


def with_chosen_field(sortie: Sortie, decision: Decision | None) -> Sortie:
    """Return the sortie with the chosen field alone: what-ifs ask what they do for that one.

    Where nothing above the wanted height is worth a release, they look at the whole climb too.
    """
    if decision is None:
        return sortie
    wish = sortie.wish if decision.above_wanted else replace(sortie.wish, wanted_amsl_m=0.0)
    return replace(sortie, fields=(sortie.fields[decision.field],), wish=wish)


def small(sortie: Sortie, sounding: Sounding, asked: Asked, like: Stage) -> Small:
    """Return a coarser stage of a sortie, with the summary of its first field."""
    return summed_up(set_stage(sortie, sounding, asked, like.workers, like))


def tried(sortie: Sortie, sounding: Sounding, asked: Asked, like: Stage) -> Small | None:
    """Return the coarser stage, or None for a change that leaves what is possible."""
    try:
        return small(sortie, sounding, asked, like)
    except (InputError, ContradictionError):
        return None


def moments_of(stage: Stage) -> NDArray[np.int64]:
    """Return the moments worth asking about: until hardly a balloon is left."""
    share = stage.burst_share.mean(axis=0)
    flying = (~np.isnan(stage.tracks.amsl_m)).mean(axis=0) > 0.2
    keep = (share < 0.995) & flying
    last = int(np.nonzero(keep)[0][-1]) if keep.any() else 0
    return np.arange(last + 1, dtype=np.int64)


def summed_up(stage: Stage) -> Small:
    """Return the stage with its advice and summary."""
    advice = advise(stage, moments_of(stage))
    window = window_of(stage, advice, 0) if advice.odds_ratio.shape[1] else None
    return Small(
        stage=stage,
        advice=advice,
        odds_ratio=window.odds_ratio if window else 0.0,
        shut_s=shut_s(advice, 0, stage.sortie.wish, median_burst_s(stage))
        if advice.odds_ratio.shape[1]
        else 0.0,
        release_by_s=window.release_by_s if window else float("nan"),
    )


def median_burst_s(stage: Stage) -> float:
    """Return the moment by which half the balloons have burst.

    Where fewer than half ever do, the climb ends when the middle balloon is highest: a balloon that
    leaks tops out, and one that never bursts leaves the column.
    """
    share = stage.burst_share.mean(axis=0)
    past = np.nonzero(share >= 0.5)[0]
    if len(past):
        return float(past[0] * stage.tracks.step_s)
    flying = (~np.isnan(stage.tracks.amsl_m)).mean(axis=0) > 0.5
    n = max(int(flying.sum()), 1)
    middle = np.nanmedian(stage.tracks.amsl_m[:, :n], axis=0)
    return float(np.argmax(middle) * stage.tracks.step_s)


def best_odds(stage: Stage, advice: Advice, field: int) -> float:
    """Return the best odds of a field above the wanted height."""
    high = advice.amsl_m >= stage.sortie.wish.wanted_amsl_m
    return float(advice.odds_ratio[high, field].max()) if high.any() else 0.0


def launch_spots(base: Small) -> tuple[LaunchSpot, ...]:
    """Return the odds of home for launches up-drift and across, by shifting the same draws.

    Drift hardly depends on where it starts: moving the launch up-drift moves home down-drift.
    """
    stage = base.stage
    if not stage.sortie.fields:
        return ()
    axis = drift_axis_rad(stage)
    spots = [(a, c) for c in _ACROSS_M for a in _ALONG_M]
    north_m = np.array([a * np.cos(axis) - c * np.sin(axis) for a, c in spots])
    east_m = np.array([a * np.sin(axis) + c * np.cos(axis) for a, c in spots])
    rows = range(0, len(spots), len(_ALONG_M))
    return tuple(
        spot
        for first in rows
        for spot in _spots(base, spots[first : first + len(_ALONG_M)], (north_m, east_m), first)
    )


def _spots(
    base: Small,
    spots: list[tuple[float, float]],
    offsets_m: tuple[FloatArray, FloatArray],
    first: int,
) -> list[LaunchSpot]:
    """Return some of the launches; all at once would need much room."""
    stage, some = base.stage, slice(first, first + len(spots))
    frame, goals = stage.scene.frame, stage.goals
    moved = Goals(
        goals.north_rad[0] + offsets_m[0][some] / frame.meridian_m,
        goals.east_rad[0] + offsets_m[1][some] / (frame.normal_m * frame.cosine),
        np.full(len(spots), goals.ground_amsl_m[0]),
        np.full(len(spots), goals.arrival_amsl_m[0]),
    )
    moments = base.advice.after_launch_s / stage.tracks.step_s
    back = (goals.north_rad[0] - moved.north_rad, goals.east_rad[0] - moved.east_rad)
    there = replace(stage, shift_rad=back)
    advice = advise(there, moments.round().astype(np.int64)[::2], moved)
    burst_s = median_burst_s(stage)
    return [
        LaunchSpot(
            up_drift_m=along,
            across_m=across,
            odds_ratio=best_odds(stage, advice, i),
            shut_s=shut_s(advice, i, stage.sortie.wish, burst_s),
            release_by_after_launch_s=window_of(stage, advice, i).release_by_s,
        )
        for i, (along, across) in enumerate(spots)
    ]


def drift_axis_rad(stage: Stage) -> float:
    """Return the direction of the median drift at the median burst, from north through east."""
    j = min(int(median_burst_s(stage) / stage.tracks.step_s), stage.tracks.amsl_m.shape[1] - 1)
    keep = ~np.isnan(stage.tracks.amsl_m[:, j])
    north = float(np.median(stage.tracks.north_rad[keep, j]))
    east = float(np.median(stage.tracks.east_rad[keep, j])) * stage.scene.frame.cosine
    return float(np.arctan2(east, north))


def holds(base: Small) -> tuple[Hold, ...]:
    """Return the best odds of home after each ten minutes on the ground with the packs on."""
    stage = base.stage
    if not stage.sortie.fields:
        return ()
    high = base.advice.amsl_m >= stage.sortie.wish.wanted_amsl_m
    moments = (base.advice.after_launch_s[high] / stage.tracks.step_s).round().astype(np.int64)
    if moments.size == 0:
        return ()
    home = Goals(*(array[:1] for array in stage.goals))
    found = []
    for minutes in range(0, 121, 10):
        delay_s = 60.0 * minutes
        haste = stage.haste._replace(end_s=stage.haste.end_s - delay_s)
        advice = advise(replace(stage, haste=haste), moments, home)
        found.append(Hold(delay_s=delay_s, odds_ratio=float(advice.odds_ratio[:, 0].max())))
        if found[-1].odds_ratio < 0.05:
            break
    return tuple(found)


def latest_delay_s(found: tuple[Hold, ...], least_ratio: float) -> float | None:
    """Return the longest hold whose odds still reach `least_ratio` of those without a hold."""
    good = [h.delay_s for h in found if h.odds_ratio >= least_ratio * found[0].odds_ratio]
    if not found or len(good) == len(found):
        return None
    return max(good)


def gains(base: Small, sounding: Sounding, spots: tuple[LaunchSpot, ...]) -> tuple[Gain, ...]:
    """Return what would make the plan better or worse, best odds first."""
    stage, sortie = base.stage, base.stage.sortie
    if not sortie.fields:
        return ()
    found = list(_spot_gain(base, spots))
    for what, change in _CHANGES:
        found += _gain_of(what, base, (change(sortie), sounding), stage.asked)
    held = replace(stage.asked, held_eas_mps=stage.best_eas_mps)
    found += _gain_of("best-glide speed held at every height", base, (sortie, sounding), held)
    telling = [gain for gain in found if tells(gain, base)]
    return tuple(sorted(telling, key=lambda gain: (-round(gain.odds_ratio, 2), gain.shut_s)))


def _gain_of(what: str, base: Small, given: tuple[Sortie, Sounding], asked: Asked) -> list[Gain]:
    """Return one gain, nothing for an impossible change; its stage is gone before the next one."""
    other = tried(*given, asked, base.stage)
    return [gain_between(what, base, other)] if other else []


def tells(gain: Gain, base: Small) -> bool:
    """Tell whether a change moves anything a reader could see."""
    return (
        abs(gain.odds_ratio - base.odds_ratio) >= 0.005
        or abs(gain.shut_s - base.shut_s) >= 60.0
        or abs(gain.release_by_shift_s) >= 60.0
    )


def added_field(base: Small, advice: Advice, gaps: list[tuple[float, float]]) -> tuple[Gain, ...]:
    """Return the one more field that would close most of the time with nowhere to land.

    Candidates lie along the median drift and 10 km to both sides, at the height of the chosen
    field, whose odds stay what they are. `advice`: that of the plan, by which the gaps are known.
    """
    stage = base.stage
    gap_s = sum(end - start for start, end in gaps)
    if gap_s < 60.0 or not stage.sortie.fields:
        return ()
    t = advice.after_launch_s
    closed = np.zeros(len(t), dtype=bool)
    for start, end in gaps:
        closed |= (t >= start) & (t < end)
    moments = np.unique((t[closed] / stage.tracks.step_s).round().astype(np.int64))
    spots = _along_drift(stage)
    home = stage.goals
    candidates = Goals(
        np.array([north for north, _ in spots]),
        np.array([east for _, east in spots]),
        np.full(len(spots), home.ground_amsl_m[0]),
        np.full(len(spots), home.arrival_amsl_m[0]),
    )
    found = advise(stage, moments, candidates)
    share = (found.open_ratio >= stage.sortie.wish.open_ratio).mean(axis=0)
    best = int(np.argmax(share))
    if share[best] < 0.2 or share[best] * gap_s < 60.0:
        return ()
    east_m, north_m = east_north_m(stage.scene, *spots[best])
    away_km, bearing = np.hypot(east_m, north_m) / 1e3, np.degrees(np.arctan2(east_m, north_m))
    return (
        Gain(
            what=f"one more field {away_km:.0f} km toward {bearing % 360.0:.0f}° from the launch",
            odds_ratio=base.odds_ratio,
            shut_s=base.shut_s,
            release_by_shift_s=0.0,
            advice=f"closes {share[best] * gap_s / 60.0:.0f} of the {gap_s / 60.0:.0f} min with "
            "nowhere to land, if there is open ground near a road",
        ),
    )


def _along_drift(stage: Stage) -> list[tuple[float, float]]:
    """Return offsets in radians along the median drift, every five minutes, and to its sides."""
    axis, frame = drift_axis_rad(stage), stage.scene.frame
    parallel = frame.normal_m * frame.cosine
    last = round(median_burst_s(stage) / stage.tracks.step_s)
    every = max(round(_SPOT_EVERY_S / stage.tracks.step_s), 1)
    track = np.stack(
        [
            np.nanmedian(stage.tracks.north_rad[:, :last:every], axis=0),
            np.nanmedian(stage.tracks.east_rad[:, :last:every], axis=0),
        ],
        axis=1,
    )
    return [
        (
            float(north - side_m * np.sin(axis) / frame.meridian_m),
            float(east + side_m * np.cos(axis) / parallel),
        )
        for north, east in track
        for side_m in (-10_000.0, 0.0, 10_000.0)
    ]


def gain_between(what: str, base: Small, other: Small, advice: str = "") -> Gain:
    """Return what one tried change buys: its odds and time, and the release-by shift."""
    return Gain(
        what=what,
        odds_ratio=other.odds_ratio,
        shut_s=other.shut_s,
        release_by_shift_s=other.release_by_s - base.release_by_s,
        advice=advice,
    )


def _spot_gain(base: Small, spots: tuple[LaunchSpot, ...]) -> tuple[Gain, ...]:
    if not spots:
        return ()
    best = max(
        spots, key=lambda s: (round(s.odds_ratio, 2), -s.shut_s, -abs(s.across_m), -s.up_drift_m)
    )
    if not best.up_drift_m and not best.across_m:
        return ()  # the launch is where it should be
    way = "up" if best.up_drift_m >= 0 else "down"
    beyond = " or more" if best.up_drift_m in (_ALONG_M[0], _ALONG_M[-1]) else ""
    where = f"launch {abs(best.up_drift_m) / 1e3:.0f} km{beyond} {way}-drift"
    if best.across_m:
        where += (
            f", {abs(best.across_m) / 1e3:.0f} km to its {'right' if best.across_m < 0 else 'left'}"
        )
    here = next(spot for spot in spots if not spot.up_drift_m and not spot.across_m)
    return (
        Gain(
            what=where,
            odds_ratio=best.odds_ratio,
            shut_s=best.shut_s,
            release_by_shift_s=best.release_by_after_launch_s - here.release_by_after_launch_s,
        ),
    )


def _scaled_glide(sortie: Sortie, share: float) -> Sortie:
    known = sortie.glider.glide_factor
    return replace(
        sortie,
        glider=replace(sortie.glider, glide_factor=replace(known, value=known.value * share)),
    )


def _refilled(sortie: Sortie, added_kg: float) -> Sortie:
    neck = sortie.balloon.neck_lift_kg
    added = max(neck.value + added_kg, sortie.hanging_kg * 1.05)
    return replace(sortie, balloon=replace(sortie.balloon, neck_lift_kg=replace(neck, value=added)))


_CHANGES: Final[tuple[tuple[str, Callable[[Sortie], Sortie]], ...]] = (
    ("L/D 10 % better", lambda sortie: _scaled_glide(sortie, 1.1)),
    ("L/D 10 % worse", lambda sortie: _scaled_glide(sortie, 0.9)),
    ("100 g more neck lift", lambda sortie: _refilled(sortie, 0.1)),
    ("100 g less neck lift", lambda sortie: _refilled(sortie, -0.1)),
)
