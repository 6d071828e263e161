"""Changes: the same flight with one thing changed, asked with fewer draws, to say what it buys."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import Final

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble, with_balloon, with_glider
from farglide.chances.heights import chances_by, rules_like
from farglide.chances.trial import Trial, best_chance, drift_axis_rad, median_burst_s, tried
from farglide.outlook.changes import Gain, Wait
from farglide.outlook.launch import LaunchArea
from farglide.plan.fill import with_value
from farglide.plan.launching import spot_gain
from farglide.sim.core.release import Goals, goals_at
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.words import compass_words

_SPOT_EVERY_S: Final = 300.0


def waits(base: Trial) -> tuple[Wait, ...]:
    """Return the best chance of home after each ten minutes on the ground with the packs on."""
    ensemble, reach = base.ensemble, base.ensemble.reach
    high = base.chances.amsl_m >= ensemble.sortie.wish.wanted_amsl_m
    if not ensemble.sortie.fields or not high.any():
        return ()
    rules = rules_like(base.chances, np.flatnonzero(high))
    home = Goals(*(array[:1] for array in ensemble.goals))
    found = []
    for delay_s in np.arange(0.0, 7201.0, 600.0).tolist():
        # launched later, packs and light end so much earlier in the flight
        haste = reach.haste._replace(end_s=reach.haste.end_s - delay_s)
        delayed = replace(ensemble, reach=replace(reach, haste=haste))
        best = best_chance(delayed, chances_by(delayed, rules, home), 0)
        found.append(Wait(delay_s=delay_s, chance_ratio=best))
        if best < 0.05:
            break
    return tuple(found)


def waits_from(found: tuple[Wait, ...], chance_ratio: float) -> tuple[Wait, ...]:
    """Return waits that begin with the chance of the plan, and never pass it.

    They are asked with fewer draws, and would tell of no wait at all another chance than the plan.
    """
    later = (replace(one, chance_ratio=min(one.chance_ratio, chance_ratio)) for one in found)
    return tuple(
        replace(one, chance_ratio=chance_ratio) if one.delay_s == 0.0 else one for one in later
    )


def latest_delay_s(found: tuple[Wait, ...], least_ratio: float) -> float | None:
    """Return the longest wait whose chance still reaches `least_ratio` of those without one."""
    good = [w.delay_s for w in found if w.chance_ratio >= least_ratio * found[0].chance_ratio]
    if not found or len(good) == len(found):
        return None
    return max(good)


def gains(base: Trial, area: LaunchArea | None) -> tuple[Gain, ...]:
    """Return what would make the plan better or worse, best chance first.

    `area`: from where to launch, whose advice is one of them.
    """
    if not base.ensemble.sortie.fields:
        return ()
    found = list(_spot_gain(base, area))
    for what, change in CHANGES:
        other = tried(partial(change, base.ensemble))
        found += [gain_between(what, base, other)] if other else []
        del other  # its tables are gone before the next
    return tuple(sorted(telling(found, base), key=lambda g: (-round(g.chance_ratio, 2), g.shut_s)))


def _spot_gain(base: Trial, area: LaunchArea | None) -> tuple[Gain, ...]:
    """Return what the advised launch buys, where it is compared as the plan is: home, as high."""
    sortie = base.ensemble.sortie
    if area is None or sortie.fields[0].name != area.stated.fields[0].field:
        return ()
    return spot_gain(area) if sortie.wish.wanted_amsl_m == area.from_amsl_m else ()


def telling(found: Iterable[Gain], base: Trial) -> list[Gain]:
    """Return the changes that move anything a reader could see."""
    return [
        gain
        for gain in found
        if abs(gain.chance_ratio - base.chance_ratio) >= 0.005
        or abs(gain.shut_s - base.shut_s) >= 60.0
        or abs(gain.release_by_shift_s) >= 60.0
    ]


def added_field(base: Trial, chances: Chances, gaps: list[tuple[float, float]]) -> tuple[Gain, ...]:
    """Return the one more field that would close most of the time with no field open.

    Candidates lie along the median drift and 10 km to both sides, at the height of the chosen
    field, whose chance stays what it is. `chances`: those of the plan, which know the gaps.
    """
    ensemble = base.ensemble
    gap_s = sum(end - start for start, end in gaps)
    if gap_s < 60.0 or not ensemble.sortie.fields:
        return ()
    t = chances.after_launch_s
    closed = np.zeros(len(t), dtype=bool)
    for start, end in gaps:
        closed |= (t >= start) & (t < end)
    rules = rules_like(chances, np.flatnonzero(closed))
    north, east = _along_drift(ensemble)
    ground = np.full(len(north), ensemble.goals.ground_amsl_m[0])
    candidates = goals_at(north, east, ground, ensemble.sortie.wish.arrival_agl_m)
    found = chances_by(ensemble, rules, candidates)
    share = (found.open_ratio >= ensemble.sortie.wish.open_ratio).mean(axis=0)
    best = int(np.argmax(share))
    closed_s = share[best] * gap_s
    if share[best] < 0.2 or closed_s < 60.0:
        return ()
    east_m, north_m = from_launch_m(ensemble.air.scene, north[best], east[best])
    away_km, bearing = (
        np.hypot(east_m, north_m) / 1e3,
        float(np.degrees(np.arctan2(east_m, north_m))),
    )
    where = f"{compass_words(bearing)} of the launch, at {bearing % 360.0:.0f}°"
    what = f"one more field {away_km:.0f} km {where}"
    advice = (
        f"it closes {closed_s / 60.0:.0f} of the {gap_s / 60.0:.0f} min with no field open, if "
        "there is open ground near a road"
    )
    return (replace(as_planned(base), what=what, advice=advice),)


def _along_drift(ensemble: Ensemble) -> tuple[FloatArray, FloatArray]:
    """Return offsets north and east along the median drift, every five minutes, and beside it."""
    axis, frame, tracks = drift_axis_rad(ensemble), ensemble.air.scene.frame, ensemble.climbs.tracks
    last = round(median_burst_s(ensemble) / tracks.step_s)
    asked = slice(0, last, max(round(_SPOT_EVERY_S / tracks.step_s), 1))
    side_m = np.array([-10_000.0, 0.0, 10_000.0])
    north, east = (
        np.nanmedian(one[:, asked], axis=0)[:, None] for one in (tracks.north_rad, tracks.east_rad)
    )
    return (
        (north - side_m * np.sin(axis) / frame.meridian_m).ravel(),
        (east + side_m * np.cos(axis) / (frame.normal_m * frame.cosine)).ravel(),
    )


def as_planned(base: Trial) -> Gain:
    """Return the flight with nothing changed, as changes are told."""
    return replace(gain_between("as planned", base, base), release_by_shift_s=0.0)


def gain_between(what: str, base: Trial, other: Trial, advice: str = "") -> Gain:
    """Return what one tried change buys: its chance and time, and the release-by shift."""
    return Gain(
        what=what,
        chance_ratio=other.chance_ratio,
        shut_s=other.shut_s,
        release_by_shift_s=other.release_by_s - base.release_by_s,
        advice=advice,
    )


def _scaled_glide(ensemble: Ensemble, share: float) -> Ensemble:
    value = ensemble.sortie.glider.glide_factor.value * share
    sortie = with_value(ensemble.sortie, "glider", "glide_factor", value)
    return with_glider(ensemble, sortie, ensemble.grain)


def _refilled(ensemble: Ensemble, added_kg: float) -> Ensemble:
    sortie = ensemble.sortie
    neck_kg = max(sortie.balloon.neck_lift_kg.value + added_kg, sortie.hanging_kg * 1.05)
    return with_balloon(ensemble, with_value(sortie, "balloon", "neck_lift_kg", neck_kg))


def _held_speed(ensemble: Ensemble) -> Ensemble:
    held = replace(ensemble.grain, held_eas_mps=ensemble.craft.best_eas_mps)
    return with_glider(ensemble, ensemble.sortie, held)


CHANGES: Final[tuple[tuple[str, Callable[[Ensemble], Ensemble]], ...]] = (
    ("a glide ratio 10 % better", partial(_scaled_glide, share=1.1)),
    ("a glide ratio 10 % worse", partial(_scaled_glide, share=0.9)),
    ("100 g more neck lift", partial(_refilled, added_kg=0.1)),
    ("100 g less neck lift", partial(_refilled, added_kg=-0.1)),
    ("the speed of best glide held at every height", _held_speed),
)
