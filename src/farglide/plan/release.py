"""Release: what the plan says of the release it decided on, or of what would open one."""

import numpy as np

from farglide.chances.case import median_offset, moment_at
from farglide.chances.trial import median_burst_s
from farglide.chances.window import Decision
from farglide.outlook.changes import LaunchSpot
from farglide.outlook.release import ReleaseOutlook, Window
from farglide.plan.home.homeward import Homeward, must_end_by
from farglide.plan.planned import Planned
from farglide.sim.core.shares import failure_bound_ratio
from farglide.sim.fly.passage import from_launch_m
from farglide.sortie.spec import DropSpec


def release_outlook(found: Planned, decision: Decision, flight: Homeward | None) -> ReleaseOutlook:
    """Return the release decided on. `flight`: the flights home without errors from there."""
    ensemble, chances = found.case.drawn, found.chances
    t, z = chances.after_launch_s, chances.amsl_m
    burst = ensemble.climbs.burst_ratio
    clock = np.arange(len(burst)) * ensemble.climbs.tracks.step_s
    now, later = np.interp([decision.release_by_s, decision.release_by_s + 120.0], clock, burst)
    crew = crew_ratio(ensemble.sortie.drop)
    nothing = float("nan")
    return ReleaseOutlook(
        field=ensemble.sortie.fields[decision.field].name,
        chance_ratio=decision.chance_ratio,
        open_ratio=decision.open_ratio,
        window=Window(
            from_after_launch_s=decision.from_s,
            to_after_launch_s=decision.to_s,
            from_amsl_m=float(np.interp(decision.from_s, t, z)),
            to_amsl_m=float(np.interp(decision.to_s, t, z)),
        ),
        release_by_after_launch_s=decision.release_by_s,
        release_by_amsl_m=float(np.interp(decision.release_by_s, t, z)),
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
        crew_ratio=crew,
        product_ratio=decision.chance_ratio * crew,
    )


def crew_ratio(drop: DropSpec) -> float:
    """Return the share of releases and pull-outs that work, at the 95 % bound of the crew's record.

    NaN when nothing was ever tried.
    """
    released = 1.0 - failure_bound_ratio(drop.n_releases, drop.n_release_failures)
    return released * (1.0 - failure_bound_ratio(drop.n_pullouts, drop.n_pullout_failures))


def would_open(found: Planned, spots: tuple[LaunchSpot, ...]) -> tuple[str, ...]:
    """Return what would open a field, where nothing is worth a release."""
    sortie, plain = found.case.sortie, found.case.plain
    if not sortie.fields:
        return ("prepare a field: none is in the flight file",)
    wish = sortie.wish
    hints = []
    good = [s for s in spots if s.chance_ratio >= wish.doubtful_ratio]
    if good:
        best = max(good, key=lambda s: s.chance_ratio)
        side = "up" if best.up_drift_m >= 0.0 else "down"
        hints.append(
            f"launch {abs(best.up_drift_m) / 1e3:.0f} km {side}-drift of {sortie.launch.name}"
        )
    offset = median_offset(plain, moment_at(plain, median_burst_s(found.case.drawn)))
    east_m, north_m = from_launch_m(plain.air.scene, *offset)
    hints.append(
        f"a field under the end of the drift, {np.hypot(east_m, north_m) / 1e3:.0f} km toward "
        f"{np.degrees(np.arctan2(east_m, north_m)) % 360.0:.0f} degrees"
    )
    if found.chances.timely_ratio.max(initial=0.0) >= wish.open_ratio:
        hints.append("a stronger link, or a stand manned in time: all but the links lasts")
    elif found.chances.reach_ratio.max(initial=0.0) >= wish.open_ratio:
        more = "an earlier launch" if must_end_by(plain) == "light" else "larger packs"
        hints.append(f"{more}: by height alone a field is in reach")
    return tuple(hints)
