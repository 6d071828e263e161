"""Made-up flights with a known truth, written down as a log would have them."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble
from farglide.earth.state import place_deg
from farglide.live.rehearse.ended import Flown as Rehearsed
from farglide.live.rehearse.flown import let_go
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.trace import Trace
from farglide.live.rehearse.truth import Truth, truth_of
from farglide.outlook.advice import (
    Advice,
    AirNow,
    BurstAhead,
    FieldNow,
    LeakNow,
    Level,
    PlaceNow,
    ReleaseAdvice,
    Waited,
)
from farglide.outlook.ascent import Spread
from farglide.outlook.freshness import Freshness
from farglide.review.climb import climb_shown
from farglide.review.flown import Flown, Marked, What
from farglide.review.parted import parted
from farglide.review.said import Case, Weather
from farglide.rig.airdoubts import air_doubts_of
from farglide.sim.core.learnt import learnt
from farglide.sortie.spec import Launch
from farglide.track.drift import Been, measured_winds
from farglide.track.reports import Fix

EVERY_S = 4.0
_HANGS_S = 60.0


class Made(NamedTuple):
    """A flight, how it was flown, and what was true of it."""

    truth: Truth
    flown: Flown
    path: Trace
    rehearsed: Rehearsed | None


def fixes_of(launch: Launch, path: Trace, seed: int, until_s: float = np.inf) -> tuple[Fix, ...]:
    """Return what a receiver tells of a path: some metres off, for a minute at a time."""
    t_s = np.arange(0.0, min(path.end_s, until_s) + 1e-6, EVERY_S)
    rng, kept = np.random.default_rng(seed), np.exp(-EVERY_S / _HANGS_S)
    off = rng.normal(size=(len(t_s), 3))
    for k in range(1, len(t_s)):
        off[k] = kept * off[k - 1] + np.sqrt(1.0 - kept**2) * off[k]
    off *= (5.0, 2.5 / 6.37e6, 2.5 / 6.37e6)
    rows = [np.interp(t_s, path.t_s, one) for one in (path.amsl_m, path.north_rad, path.east_rad)]
    z, north, east = (row + off[:, k] for k, row in enumerate(rows))
    fixes = []
    for at_s, height_m, n, e in zip(t_s.tolist(), z, north, east, strict=True):
        lat_deg, lon_deg = place_deg(launch, float(n), float(e))
        fixes.append(Fix(feed="tracker", lat_deg=lat_deg, lon_deg=lon_deg, t_s=launch.t_s + at_s,
                         height_m=float(height_m)))  # fmt: skip
    return tuple(fixes)


def flight(planned: Ensemble, changes: Changes, seed: int, release_s: float | None) -> Made:
    """Return a flight let go at a moment, or never; `seed` 0: all as planned but the changes."""
    truth = truth_of(planned, changes, seed)
    lift, launch = lifted(truth), planned.sortie.launch
    marks = [Marked(t_s=launch.t_s, what=What.LAUNCHED)]
    path, rehearsed = lift.path, None
    if release_s is not None and not lift.is_fallen(release_s):
        rehearsed = let_go(truth, lift, release_s, 0)
        path = rehearsed.path
        marks += [Marked(t_s=launch.t_s + release_s - 8.0, what=What.SENT, field="home"),
                  Marked(t_s=launch.t_s + release_s, what=What.RELEASED)]  # fmt: skip
    elif np.isfinite(lift.burst_s):
        marks.append(Marked(t_s=launch.t_s + lift.burst_s, what=What.BURST))
    flown = Flown(path="made.log", is_log=True, is_finished=True,
                  fixes=fixes_of(launch, path, seed + 1), marked=tuple(marks))  # fmt: skip
    return Made(truth, flown, path, rehearsed)


def case_of(planned: Ensemble, sounding: Sounding, flown: Flown) -> Case:
    """Return a flight ready to be learnt from."""
    sortie, scene = planned.sortie, planned.air.scene
    parts = parted(flown, sortie.launch, scene)
    measured = measured_winds(scene, parts.carried, 10.0)
    weather = Weather(learnt(air_doubts_of(sortie, planned.air.column), measured), None)
    climb = climb_shown(sortie, sounding, parts.carried)
    return Case(planned, sounding, flown, parts, climb, weather)


def been(t_s: list[float], amsl_m: list[float]) -> Been:
    """Return a way straight over the launch."""
    n = np.zeros(len(t_s))
    return Been(np.array(t_s, float), np.array(amsl_m, float), n, n.copy())


def advice(after_launch_s: float, level: Level = Level.QUIET, chance: float = 0.8) -> Advice:
    """Return an advice for home that says little else."""
    spread = Spread(p10=28_000.0, p50=29_900.0, p90=31_500.0)
    whens = Spread(p10=4700.0, p50=4900.0, p90=5100.0)
    return Advice(
        after_launch_s=after_launch_s,
        level=level,
        data=Freshness.FRESH,
        place=PlaceNow(lat_deg=-46.6, lon_deg=108.3, amsl_m=5.5 * after_launch_s,
                       half_within_m=100.0, most_within_m=250.0,
                       seen_after_launch_s=after_launch_s),
        fields=(FieldNow(name="Harrowend strip", state="open", chance_ratio=chance,
                         open_ratio=chance, until_after_launch_s=None, then=None),
                FieldNow(name="Brackmoor", state="open", chance_ratio=0.95, open_ratio=0.95,
                         until_after_launch_s=None, then=None)),
        release=ReleaseAdvice(field="Harrowend strip", from_amsl_m=24_000.0, to_amsl_m=28_000.0,
                              from_after_launch_s=4000.0, to_after_launch_s=4600.0,
                              release_by_after_launch_s=4600.0, chance_ratio=0.9,
                              bound_by="burst", is_enough=True),
        waiting=(Waited(seconds=60.0, chance_ratio=0.8, climbed_m=300.0, burst_ratio=0.01),
                 Waited(seconds=300.0, chance_ratio=0.7, climbed_m=1500.0, burst_ratio=0.1)),
        burst=BurstAhead(after_launch_s=whens, amsl_m=spread),
        leak=LeakNow(chance_ratio=0.02, since_after_launch_s=None, top_amsl_m=spread),
        air=AirNow(measured_ratio=0.5, ahead_ratio=0.2, spread_ratio=1.0),
    )  # fmt: skip


def without_marks(flown: Flown) -> Flown:
    """Return a flight that nobody marked."""
    return replace(flown, marked=())
