"""Flown: every draw flown from hand to ground to the orders of the decision."""

import numpy as np

from farglide.chances.ensemble import Ensemble
from farglide.chances.offsets import place_deg
from farglide.outlook.release import FlownOutlook
from farglide.plan.ascent import spread_of
from farglide.sim.core.losses import Fleet
from farglide.sim.fly.climb import from_hand
from farglide.sim.fly.flight import Gear, Orders, climbing, fly
from farglide.sim.fly.glide import Craft
from farglide.sim.fly.homing import Goal
from farglide.sim.fly.speeds import speeds_of


def flown_outlook(ensemble: Ensemble, field: int, release_s: float) -> FlownOutlook | None:
    """Return how the draws fare that are released at one time and steered straight to a field.

    Nobody knows the winds of the draw: the crew keeps the track to the field and flies the speeds
    of its own polar. A balloon that bursts before sends the release after the reaction time. Over
    the field the glider circles gently, or faces a wind that is faster. None for a balloon that
    leaks.
    """
    if ensemble.climbs.balloon.envelope.leak_ratio_ps > 0.0:
        return None
    polar, drawn, glider = ensemble.craft.polar, ensemble.draws, ensemble.sortie.glider
    believed = glider.glide_factor.value * glider.flown_ratio
    load = 1.0 / float(np.cos(np.radians(glider.gentle_bank_deg)))
    goal = Goal(
        north_rad=float(ensemble.goals.north_rad[field]),
        east_rad=float(ensemble.goals.east_rad[field]),
        ground_amsl_m=float(ensemble.goals.ground_amsl_m[field]),
        circle_load=load,
        circle_eas_mps=ensemble.craft.best_eas_mps * float(np.sqrt(load)),
        top_eas_mps=ensemble.craft.limits.top_eas_mps,
    )
    orders = Orders(
        release_s=release_s,
        goal=goal,
        best_eas_mps=ensemble.craft.best_eas_mps,
        remains_area_m2=ensemble.sortie.train.remains_drag_area_m2.value,
    )
    speeds = speeds_of(ensemble.air.scene.layers, Craft(polar, ensemble.craft.limits, believed))
    fleet = Fleet(polar, ensemble.craft.drop, drawn.glide_factor, drawn.drop_drag)
    gear = Gear(ensemble.climbs.balloon, fleet, speeds, drawn.reaction_s)
    begins = climbing(from_hand(drawn.swarm, ensemble.sortie.launch.amsl_m))
    ends = fly(ensemble.air.scene, drawn.swarm, gear, orders, begins, ensemble.workers)
    home = ends.over_field_amsl_m >= ensemble.goals.arrival_amsl_m[field]
    missed = ~home & ~np.isnan(ends.north_rad)
    lat_deg = lon_deg = None
    if missed.any():
        lat_deg, lon_deg = place_deg(
            ensemble.sortie.launch,
            float(np.median(ends.north_rad[missed])),
            float(np.median(ends.east_rad[missed])),
        )
    return FlownOutlook(
        release_after_launch_s=release_s,
        over_field_ratio=float(home.mean()),
        burst_before_ratio=float(ends.burst.mean()),
        over_field_amsl_m=spread_of(np.where(home, ends.over_field_amsl_m, np.nan)),
        down_after_launch_s=spread_of(ends.landed_s),
        peak_mach=float(np.nanmax(ends.peak_mach)),
        missed_lat_deg=lat_deg,
        missed_lon_deg=lon_deg,
    )
