"""Odd feet: a height that no balloon can have by now, and that feet in place of metres explain."""

from collections.abc import Iterator
from typing import Final

from farglide.track.received import Flown, Oddity, Received, Suspicion, apart_m
from farglide.units import FOOT_M

APART_S: Final = 60.0
"""Between two fixes that tell a climb."""
_MOST_MEAN_MPS: Final = 10.0
_MOST_CLIMB_MPS: Final = 12.0
"""Balloons climb slower: since the launch, and over a minute."""
_OFF_M: Final = 300.0
_NEAR_M: Final = 2000.0
_ALIKE_M: Final = 100.0
_USUAL_CLIMB_MPS: Final = 9.0


def feet_suspicions(
    now: Received, before: Received | None, earlier: Received | None, flight: Flown
) -> Iterator[Suspicion]:
    """Yield a height that can be none in metres, and can be one in feet.

    A feed of which no height was believed yet (`before`: its last fix) is held against the height
    of the launch while it is there, and against the fastest climb since. Any is held against its
    own fix of a minute or more ago, `earlier`. Source: common practice, no source.
    """
    told_m = now.fix.height_m
    if told_m is None:
        return
    is_new = before is None or before.fix.height_m is None
    if _climbs_in_feet(now, earlier) or (is_new and _is_too_high(now, before is not None, flight)):
        yield Suspicion(
            oddity=Oddity.HEIGHT_KIND,
            feed=now.fix.feed,
            what=f"{now.fix.feed} says {told_m:.0f} m, too high for this time: does it tell feet?",
            changes=f"As feet it would be {told_m * FOOT_M:.0f} m.",
            remedy="Set it to metres, or state height_ft in its columns; until then its heights "
            "are left out.",
        )


def _climbs_in_feet(now: Received, earlier: Received | None) -> bool:
    """Tell whether it climbs faster than a balloon, and in feet like one."""
    if earlier is None or earlier.fix.height_m is None or now.fix.height_m is None:
        return False
    span_s = now.t_s - earlier.t_s
    if span_s < APART_S:
        return False
    climb_mps = (now.fix.height_m - earlier.fix.height_m) / span_s
    least_mps = climb_mps - 4.0 * now.source.error_m / span_s
    return least_mps > _MOST_CLIMB_MPS and climb_mps * FOOT_M < _USUAL_CLIMB_MPS


def _is_too_high(now: Received, was_left_out: bool, flight: Flown) -> bool:
    """Tell whether it is too high for the launch, and in feet is not.

    `was_left_out`: the height before was not taken. On the hand that goes on until the launch is
    due, and after that while it stays where it is in feet.
    """
    told_m, launch_m = now.fix.height_m or 0.0, flight.launch.amsl_m
    over_m, meant_m = told_m - launch_m, told_m * FOOT_M - launch_m
    since_s, due_s = flight.launched_utc_s, flight.due_utc_s
    if since_s is None:
        is_due = due_s is not None and now.t_s >= due_s
        away_m = apart_m(now.fix, flight.launch.lat_deg, flight.launch.lon_deg)
        is_beside = abs(meant_m) < _ALIKE_M and away_m < _NEAR_M
        if over_m > _OFF_M and is_beside and (was_left_out or not is_due):
            return True
        if not is_due or due_s is None:
            return over_m > _OFF_M and was_left_out and meant_m > -_ALIKE_M
        since_s = due_s
    flown_s = max(now.t_s - since_s, 0.0)
    is_odd = over_m > _OFF_M + _MOST_MEAN_MPS * flown_s
    return is_odd and -_ALIKE_M < meant_m < _OFF_M + _USUAL_CLIMB_MPS * flown_s
