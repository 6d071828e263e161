"""Release: what the plan says of the release it decided on, and how draws fare by its orders."""

from typing import Final

import numpy as np

from farglide.chances.case import median_offset, moment_at
from farglide.chances.chances import Chances
from farglide.chances.decision import some_field_ratio
from farglide.chances.ensemble import Ensemble
from farglide.chances.trial import median_burst_s
from farglide.chances.window import Decision
from farglide.earth.state import place_deg
from farglide.glider.limits import turn_load, turning_eas_mps
from farglide.outlook.launch import LaunchArea
from farglide.outlook.release import FlownOutlook, HeightChance, ReleaseOutlook, Window
from farglide.plan.ascent import spread_of
from farglide.plan.home.bestpath import straight_loss_m
from farglide.plan.home.homeward import Homeward, must_end_by
from farglide.plan.launching import spot_hint
from farglide.plan.planned import Planned
from farglide.sim.core.losses import Fleet
from farglide.sim.core.shares import failure_bound_ratio
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.flight import fly
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.orders import Gear, Orders, climbing
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.gear import DropSpec

_TOLD_EVERY_M: Final = 1000.0
_SOMEWHERE_M: Final = 1000.0
"""A field nearer to the launch than this is no other field."""


def release_outlook(found: Planned, decision: Decision, flight: Homeward | None) -> ReleaseOutlook:
    """Return the release decided on. `flight`: the flights home without errors from there."""
    ensemble, chances = found.case.drawn, found.chances
    t, z = chances.after_launch_s, chances.amsl_m
    by_s, clock = decision.release_by_s, found.by_clock
    now, later = np.interp([by_s, by_s + 120.0], t, chances.burst_ratio)
    crew = crew_ratio(ensemble.sortie.drop)
    nothing = float("nan")
    return ReleaseOutlook(
        field=ensemble.sortie.fields[decision.field].name,
        chance_ratio=decision.chance_ratio,
        is_enough=decision.is_enough,
        some_field_ratio=some_field_ratio(chances, decision),
        open_ratio=decision.open_ratio,
        by_clock_ratio=clock.chance_ratio if clock else None,
        by_clock_after_launch_s=clock.after_launch_s if clock else None,
        window=Window(
            from_after_launch_s=decision.from_s,
            to_after_launch_s=decision.to_s,
            from_amsl_m=float(np.interp(decision.from_s, t, z)),
            to_amsl_m=float(np.interp(decision.to_s, t, z)),
        ),
        release_by_after_launch_s=by_s,
        release_by_amsl_m=float(np.interp(by_s, t, z)),
        until_after_launch_s=decision.until_s,
        by_height=bool(chances.by_height[decision.best]),
        heights=_heights(chances, decision.field),
        bound_by=decision.bound_by,
        burst_ratio=float(now),
        burst_within_120_s_ratio=float((later - now) / max(1.0 - now, 1e-9)),
        spare_m=flight.spare_m if flight else nothing,
        arrival_agl_m=ensemble.sortie.wish.arrival_agl_m,
        over_field_after_launch_s=flight.over_field_s if flight else nothing,
        best_glide_end_after_launch_s=flight.flattest_down_s if flight else nothing,
        firm_spiral_end_after_launch_s=flight.spiral_down_s if flight else None,
        must_end_after_launch_s=float(found.case.plain.reach.haste.end_s[0]),
        must_end_by=must_end_by(found.case.plain),
        timely=flight.timely.told if flight and flight.timely else None,
        straight_loss_m=straight_loss_m(found.case.plain, found.moment, decision.field),
        crew_ratio=crew,
        product_ratio=decision.chance_ratio * crew,
        down=flight.down if flight else None,
    )


def _heights(chances: Chances, field: int) -> tuple[HeightChance, ...]:
    """Return the chance of a field at every kilometre of the climb that is told."""
    told = range(int(chances.is_told.sum()))
    return tuple(
        HeightChance(
            amsl_m=float(chances.amsl_m[j]),
            after_launch_s=float(chances.after_launch_s[j]),
            chance_ratio=float(chances.chance_ratio[j, field]),
        )
        for j in told
        if chances.amsl_m[j] % _TOLD_EVERY_M == 0.0
    )


def crew_ratio(drop: DropSpec) -> float:
    """Return the share of releases and pull-outs that work, at the 95 % bound of the crew's record.

    NaN when nothing was ever tried.
    """
    released = 1.0 - failure_bound_ratio(drop.n_releases, drop.n_release_failures)
    return released * (1.0 - failure_bound_ratio(drop.n_pullouts, drop.n_pullout_failures))


def would_open(found: Planned, area: LaunchArea | None) -> tuple[str, ...]:
    """Return what would open a field, where nothing is worth a release."""
    sortie, plain = found.case.sortie, found.case.plain
    if not sortie.fields:
        return ("prepare a field: none is in the flight file",)
    wish = sortie.wish
    hints = [*spot_hint(area, wish.doubtful_ratio)]
    if found.chances.timely_ratio.max(initial=0.0) >= wish.open_ratio:
        # nearer fields would help no more than those in reach
        return (
            *hints,
            "use a stronger link, or man a stand in time: but for the links it would do",
        )
    offset = median_offset(plain, moment_at(plain, median_burst_s(found.case.drawn)))
    east_m, north_m = from_launch_m(plain.air.scene, *offset)
    away_m = np.hypot(east_m, north_m)
    if away_m >= _SOMEWHERE_M:
        hints.append(
            f"prepare a field under the end of the drift, {away_m / 1e3:.0f} km from the launch at "
            f"{np.degrees(np.arctan2(east_m, north_m)) % 360.0:.0f}°"
        )
    if found.chances.reach_ratio.max(initial=0.0) >= wish.open_ratio:
        more = "launch earlier" if must_end_by(plain) == "light" else "take larger packs"
        hints.append(f"{more}: by height alone a field is in reach")
    return tuple(hints)


def flown_outlook(
    ensemble: Ensemble, field: int, release_s: float, release_amsl_m: float = np.inf
) -> FlownOutlook | None:
    """Return how the draws fare that are released by one rule and steered straight to a field.

    `release_amsl_m`: let go at this height, or at the time, whichever comes first. It is the height
    itself, without what the crew misreads; every glider comes free of a burst balloon.
    Nobody knows the winds of the draw: the crew keeps the track to the field and flies the speeds
    of its own polar. A balloon that bursts before sends the release after the reaction time. Over
    the field the glider circles gently, with legs into the wind. None for a balloon that
    leaks.
    """
    if ensemble.climbs.balloon.envelope.leak_ratio_ps > 0.0:
        return None
    polar, drawn, glider = ensemble.craft.polar, ensemble.draws, ensemble.sortie.glider
    load = turn_load(glider.gentle_bank_deg)
    goal = Goal(
        north_rad=float(ensemble.goals.north_rad[field]),
        east_rad=float(ensemble.goals.east_rad[field]),
        ground_amsl_m=float(ensemble.goals.ground_amsl_m[field]),
        circle_load=load,
        circle_eas_mps=turning_eas_mps(ensemble.craft.best_eas_mps, load),
    )
    orders = Orders(
        release_s=release_s,
        release_amsl_m=release_amsl_m,
        goal=goal,
        best_eas_mps=ensemble.craft.best_eas_mps,
        remains_area_m2=ensemble.sortie.train.remains_drag_area_m2.value,
    )
    fleet = Fleet(polar, ensemble.craft.drop, drawn.glide_factor, drawn.drop_drag)
    gear = Gear(ensemble.climbs.balloon, fleet, ensemble.reach.reaches.speeds, drawn.reaction_s)
    begins = climbing(from_hand(drawn.swarm, ensemble.sortie.launch.amsl_m))
    ends = fly(ensemble.air.scene, drawn.swarm, gear, orders, begins, ensemble.workers)
    home = ends.over_field_amsl_m >= ensemble.goals.arrival_amsl_m[field]
    missed = ~home & ~np.isnan(ends.north_rad)
    lat_deg = lon_deg = None
    if missed.any():
        north, east = np.median(ends.north_rad[missed]), np.median(ends.east_rad[missed])
        lat_deg, lon_deg = place_deg(ensemble.sortie.launch, float(north), float(east))
    return FlownOutlook(
        release_after_launch_s=release_s,
        release_amsl_m=release_amsl_m if np.isfinite(release_amsl_m) else None,
        over_field_ratio=float(home.mean()),
        burst_before_ratio=float(ends.burst.mean()),
        over_field_amsl_m=spread_of(np.where(home, ends.over_field_amsl_m, np.nan)),
        down_after_launch_s=spread_of(ends.landed_s),
        peak_mach=float(np.nanmax(ends.peak_mach)),
        missed_lat_deg=lat_deg,
        missed_lon_deg=lon_deg,
    )
