"""Parted: where a flight was carried, where it glided or fell, and how the carrying ended."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from farglide.air.between import air_at
from farglide.constants import SEA_LEVEL_DENSITY_KGPM3
from farglide.outlook.review import Ended
from farglide.review.flown import Flown, What
from farglide.sim.core.scene import Scene
from farglide.sortie.spec import Launch
from farglide.sortie.words import duration_words
from farglide.track.drift import Been
from farglide.track.heights import amsl_m
from farglide.track.passage import Launched, been_of
from farglide.track.reports import Fix

OFF_M: Final = 100.0
"""So far above the launch nobody holds it any more; common practice, no source."""
_TOP_LAG_S: Final = 180.0
"""A mark is typed so much later than what it tells of, at most; common practice, no source."""
_DOWN_M: Final = 300.0
"""So far below its top it is carried no more."""
_FALL_S: Final = (60.0, 300.0)
_FALLS_EAS_MPS: Final = 4.0
"""What sinks faster than this, as at sea level, hangs under no wing: between a gentle circle and a
parachute or torn latex. Common practice, no source."""
_SINKS_MPS: Final = 5.0
"""What sinks faster hangs on no whole balloon: one that has lost a third of its gas sinks at 2 to 3
m/s."""
_FLOATS_RATIO: Final = 0.6
"""A sound balloon keeps its pace within a third (``docs/odds``)."""
_LEAST_MPS: Final = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """A flight cut where its balloon let go or burst; times are seconds after the launch."""

    carried: Been
    freed: Been  # gliding, or falling with what is left
    ended: Ended
    why: str
    top_m: float | None  # of the part that was carried

    @property
    def until_s(self) -> float | None:
        """Return until when it was seen carried."""
        return float(self.carried.t_s[-1]) if len(self.carried.t_s) else None

    @property
    def whole(self) -> Been:
        """Return both parts."""
        return Been(*map(np.concatenate, zip(self.carried, self.freed, strict=True)))

    @property
    def landed(self) -> Been:
        """Return where it was seen last."""
        return Been(*(one[-1:] for one in (self.freed if len(self.freed.t_s) else self.carried)))


def parted(flown: Flown, launch: Launch, scene: Scene) -> Parted:
    """Return a flight in its parts: by its marks, and without one by its fixes.

    A mark is laid to the top of the fixes where that is within three minutes: it is typed late.
    """
    separations = (one.separation_m for one in flown.fixes if one.separation_m is not None)
    launched = Launched(utc_s=launch.t_s, separation_m=next(separations, 0.0))
    been = been_of(flown.fixes, launched, scene)
    released, burst = flown.first(What.RELEASED), flown.first(What.BURST)
    top = int(np.argmax(been.amsl_m)) if len(been.t_s) else 0
    cut_s, why = float("inf"), "the fixes end before it comes down"
    ended: Ended = "still carried"
    marked = burst if burst and (released is None or burst.t_s <= released.t_s) else released
    if marked is not None:
        ended, why = ("burst" if marked is burst else "released"), "marked"
        cut_s = _at_top_s(been, top, marked.t_s - launch.t_s)
        if _is_long_down(been, top, cut_s):
            by_fall, told = _by_fall(been, top, scene)
            if ended == "released" and by_fall == "burst":  # and let go of what was left of it
                ended, why, cut_s = by_fall, f"{told}, before it was let go", float(been.t_s[top])
            elif _came_loose(been, top, cut_s):
                late = duration_words(cut_s - float(been.t_s[top]))
                why, cut_s = f"marked {late} after it began to fall", float(been.t_s[top])
    elif len(been.t_s) and been.amsl_m[-1] < been.amsl_m[top] - _DOWN_M:
        cut_s = float(been.t_s[top])
        ended, why = _by_fall(been, top, scene)
    elif not len(been.t_s):
        ended, why = "not seen", "there is no fix of the glider after the launch"
    n = int(np.searchsorted(been.t_s, cut_s, side="right"))
    carried, freed = Been(*(one[:n] for one in been)), Been(*(one[n:] for one in been))
    if ended == "still carried" and flown.is_log and _has_sent(flown):
        why = "the release was sent, and nothing seen after it"
    if ended in ("released", "still carried") and _is_floating(carried):
        ended, why = "topped", f"{why}; it hardly climbed before"
    top_m = float(carried.amsl_m.max()) if n else None
    return Parted(carried=carried, freed=freed, ended=ended, why=why, top_m=top_m)


def lift_off_t_s(fixes: Sequence[Fix], launch_amsl_m: float) -> float | None:
    """Return when it left the ground, by the first climb off it; None where no fix shows that."""
    rows = [(one.t_s, height) for one in fixes
            if one.t_s is not None and (height := amsl_m(one)) is not None]  # fmt: skip
    rows.sort()
    for (a_s, a_m), (b_s, b_m) in pairwise(rows):
        if b_m > launch_amsl_m + OFF_M and b_m > a_m and b_s > a_s:
            climb_mps = (b_m - a_m) / (b_s - a_s)
            return b_s - (b_m - launch_amsl_m) / max(climb_mps, _LEAST_MPS)
    return None


def _at_top_s(been: Been, top: int, marked_s: float) -> float:
    """Return when the carrying ended, for a mark."""
    if not len(been.t_s):
        return marked_s
    top_s = float(been.t_s[top])
    is_left = been.amsl_m[-1] < been.amsl_m[top] - _DOWN_M
    return top_s if is_left and 0.0 <= marked_s - top_s <= _TOP_LAG_S else marked_s


def _is_long_down(been: Been, top: int, cut_s: float) -> bool:
    """Tell whether it had long been on its way down when a release was marked."""
    before = np.flatnonzero(been.t_s <= cut_s)
    if not len(before) or cut_s - been.t_s[top] <= _TOP_LAG_S:
        return False
    return bool(been.amsl_m[before[-1]] < been.amsl_m[top] - _DOWN_M)


def _came_loose(been: Been, top: int, marked_s: float) -> bool:
    """Tell whether it sank from its top as nothing does that hangs on a whole balloon."""
    some = np.flatnonzero((been.t_s >= been.t_s[top]) & (been.t_s <= marked_s))
    lost_m = float(been.amsl_m[some[0]] - been.amsl_m[some[-1]])
    return lost_m >= _SINKS_MPS * float(been.t_s[some[-1]] - been.t_s[some[0]])


def _by_fall(been: Been, top: int, scene: Scene) -> tuple[Ended, str]:
    """Return whether it glided or fell from its top, by how fast it sank in the first minutes."""
    after_s = been.t_s - been.t_s[top]
    some = np.flatnonzero((after_s >= _FALL_S[0]) & (after_s <= _FALL_S[1]))
    if len(some) < 2:
        return "released", "taken so: too few fixes tell how it came down"
    z, seconds = been.amsl_m[some], float(np.ptp(been.t_s[some]))
    rho = float(air_at(scene.layers, float(z.mean())).rho_kgpm3)
    sink = float(z[0] - z[-1]) / max(seconds, 1.0) * np.sqrt(rho / SEA_LEVEL_DENSITY_KGPM3)
    if sink >= _FALLS_EAS_MPS:
        return "burst", f"by the fixes: it fell at {sink:.0f} m/s, as at sea level"
    return "released", f"by the fixes: it sank at {sink:.1f} m/s, as at sea level"


def _has_sent(flown: Flown) -> bool:
    return flown.first(What.SENT) is not None


def _is_floating(carried: Been) -> bool:
    """Tell whether it climbed in its last five minutes far slower than on its whole way up."""
    late = np.flatnonzero(carried.t_s >= (carried.t_s[-1] if len(carried.t_s) else 0.0) - 300.0)
    if len(late) < 2 or len(late) == len(carried.t_s):
        return False
    z, t = carried.amsl_m[late], carried.t_s[late]
    mean_mps = float(np.ptp(carried.amsl_m[[0, -1]]) / np.ptp(carried.t_s[[0, -1]]))
    return bool(z[-1] - z[0] < _FLOATS_RATIO * mean_mps * (t[-1] - t[0]))
