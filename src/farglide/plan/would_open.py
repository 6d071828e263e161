"""Would open: what would change a day on which nothing is worth a release."""

import numpy as np

from farglide.chances.case import moment_at
from farglide.chances.trial import median_burst_s
from farglide.outlook.changes import LaunchSpot
from farglide.plan.home.homeward import must_end_by
from farglide.plan.planned import Planned
from farglide.sim.fly.passage import east_north_m


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
    j = moment_at(plain, median_burst_s(found.case.drawn))
    east_m, north_m = east_north_m(
        plain.air.scene,
        float(plain.climbs.tracks.north_rad[0, j]),
        float(plain.climbs.tracks.east_rad[0, j]),
    )
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
