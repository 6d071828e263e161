"""Stage: what a flight is at, by the marks of its crew, and without one by how it sinks."""

from collections.abc import Sequence
from typing import Final, NamedTuple

import numpy as np

from farglide.live.ride.phase import Phase, phase_of
from farglide.live.ride.state import Loosed, Ride
from farglide.outlook.after import Stage
from farglide.sortie.spec import Launch
from farglide.track.heights import amsl_m
from farglide.track.reports import Fix
from farglide.track.typed.entries import Entry, Grade, Mark, MarkKind, Overlay, Sighting

LEVEL_S: Final = 30.0
"""So long after a release the glider is level: 25 s from 30 km, and some for the mark's own delay.

Source: the pull-out law of `glider.release`, see its tests.
"""
SINKS_MPS: Final = 5.0
"""What sinks faster over `WITHIN_S` hangs on no whole balloon: one that has lost a third of its
gas sinks at 2 to 3 m/s."""
WITHIN_S: Final = 30.0
_LEAST_S: Final = 8.0
_LEAST_M: Final = 100.0
_CLIMBS_MPS: Final = 2.0
_FELL_MPS: Final = 4.0
_SILENT_S: Final = 120.0
"""After so long without news nobody is known to steer, nor where it was let go: common practice."""


class Staged(NamedTuple):
    """What it is at, the last fix that the balloon carried, and since when; UTC seconds."""

    stage: Stage
    left: Fix | None
    since_t_s: float
    is_marked: bool


def stage_of(ride: Ride, launch: Launch, now_t_s: float) -> Staged:
    """Return what the flight is at now. A mark of the crew overrules how it sinks."""
    phase = phase_of(ride, launch, now_t_s)
    if phase is Phase.DOWN:
        return Staged(Stage.DOWN, None, now_t_s, True)
    marked = marked_t_s(ride, MarkKind.RELEASED)
    burst = marked_t_s(ride, MarkKind.BURST)
    told = marked if marked is not None else burst
    if told is not None and _climbs_on(ride, told):
        return Staged(Stage.CARRIED, None, now_t_s, False)
    if marked is not None:
        left = _before(ride, marked) if burst is not None else carried_last(ride, marked)
        return _loose(ride, left, marked, now_t_s)
    if burst is not None:
        left = carried_last(ride, burst)
        return Staged(Stage.TIED_ON, left, _t_s(left, burst), True)
    if ride.loosed is not None and phase is not Phase.HAND:
        return _loose(ride, ride.loosed.left, now_t_s, now_t_s)._replace(is_marked=False)
    return Staged(Stage.CARRIED, None, now_t_s, True)


def _climbs_on(ride: Ride, marked_t_s: float) -> bool:
    """Tell whether it climbs on since a mark that would have ended that."""
    before, last = _before(ride, marked_t_s), ride.newest
    if before is None or last is None or not _told(last):
        return False
    seconds = _t_s(last, 0.0) - _t_s(before, 0.0)
    return seconds >= _LEAST_S and _height_m(last) - _height_m(before) > _CLIMBS_MPS * seconds


def is_level(ride: Ride, launch: Launch, now_t_s: float) -> bool:
    """Tell whether it glides, steered or not: then what lies on its way can be asked."""
    return stage_of(ride, launch, now_t_s).stage in (Stage.GLIDING, Stage.UNSTEERED)


def _loose(ride: Ride, left: Fix | None, marked_t_s: float, now_t_s: float) -> Staged:
    since_t_s = _t_s(left, marked_t_s)
    if now_t_s - since_t_s < LEVEL_S:
        return Staged(Stage.DROPPED, left, since_t_s, True)
    silent = now_t_s - heard_t_s(ride) > _SILENT_S
    alone = silent or picture_lost(ride) or packs_empty(ride)
    stage = Stage.UNSTEERED if alone else Stage.GLIDING
    return Staged(stage, left, since_t_s, True)


def heard_t_s(ride: Ride) -> float:
    """Return when anything told of it last, UTC: a fix, a place, its picture, or who saw it go."""
    told = [one.t_s for one in ride.entries if _is_sight(one.entry)]
    told += [one.t_s for one in (ride.balloon, *ride.points[-1:]) if one and one.t_s is not None]
    return max(told, default=-np.inf)


def _is_sight(entry: Entry) -> bool:
    if isinstance(entry, Mark):
        return entry.kind in (MarkKind.RELEASED, MarkKind.BACK)
    return isinstance(entry, Overlay | Sighting) or (isinstance(entry, Grade) and entry.grade > 0)


def picture_lost(ride: Ride) -> bool:
    """Tell whether the picture is lost, as far as the crew has marked."""
    told = [
        one for one in ride.marks if one in (MarkKind.LOST, MarkKind.LAST, MarkKind.BACK)
    ]  # fmt: skip
    return bool(told) and told[-1] is not MarkKind.BACK


def is_sent(ride: Ride) -> bool:
    """Tell whether the release was marked as sent, and not as stuck since."""
    told = [one for one in ride.marks if one in (MarkKind.SENT, MarkKind.STUCK)]
    return bool(told) and told[-1] is MarkKind.SENT


def packs_empty(ride: Ride, by_t_s: float = float("inf")) -> bool:
    """Tell whether the packs were marked empty up to a moment: nobody steers then, nor lets go.

    A picture that is back after that shows that they were not.
    """
    told = [
        one.entry.kind for one in ride.entries
        if isinstance(one.entry, Mark) and one.t_s <= by_t_s
        and one.entry.kind in (MarkKind.DEAD, MarkKind.BACK)
    ]  # fmt: skip
    return bool(told) and told[-1] is MarkKind.DEAD


def carried_last(ride: Ride, marked_t_s: float) -> Fix | None:
    """Return the last fix that the balloon carried, however late its end was marked.

    None: nothing tells it. A fall that its fixes have told before the mark began at its top.
    """
    left, fell = left_by(ride.fixes(), marked_t_s), fallen_from(ride, marked_t_s)
    if fell is None or (left is not None and _t_s(left, 0.0) <= _t_s(fell, 0.0)):
        return left
    return fell


def fallen_from(ride: Ride, marked_t_s: float) -> Fix | None:
    """Return the top of a fall that began by a moment, as its fixes tell; None: they tell none."""
    left = None if ride.loosed is None else ride.loosed.left
    return None if left is None or _t_s(left, 0.0) > marked_t_s else left


def left_by(fixes: Sequence[Fix], marked_t_s: float) -> Fix | None:
    """Return the last fix that the balloon carried, no later than a mark; None: it is too old.

    A mark is typed some seconds late: fixes of up to a minute before it that fall already are
    those of the drop.
    """
    known = [one for one in fixes if _told(one) and (one.t_s or 0.0) <= marked_t_s]
    if not known or marked_t_s - (known[-1].t_s or 0.0) > _SILENT_S:
        return None
    k = len(known) - 1
    while k > 0 and marked_t_s - (known[k - 1].t_s or 0.0) < 2.0 * WITHIN_S:
        before, here = known[k - 1], known[k]
        seconds = (here.t_s or 0.0) - (before.t_s or 0.0)
        if _height_m(before) - _height_m(here) <= _FELL_MPS * seconds:
            break
        k -= 1
    return known[k]


def loosed_by(ride: Ride, launch: Launch) -> Loosed | None:
    """Return what its last fixes say of a flight that nobody marked: that it came loose, or not."""
    last = ride.newest
    if last is None or not _told(last) or not ride.kept:
        return ride.loosed
    t_s = last.t_s or 0.0
    recent = [one for one in ride.kept[-100:] if _told(one) and t_s - (one.t_s or 0.0) <= WITHIN_S]
    if not recent:
        return ride.loosed
    top = max(recent, key=_height_m)
    seconds, lost_m = t_s - (top.t_s or 0.0), _height_m(top) - _height_m(last)
    if ride.loosed is None:
        is_up = _height_m(top) > launch.amsl_m + 5.0 * _LEAST_M
        falls = seconds >= _LEAST_S and lost_m >= max(_LEAST_M, SINKS_MPS * seconds)
        return Loosed(left=top) if is_up and falls else None
    if any(fallen_from(ride, one) is not None for one in _ends_marked_s(ride)):
        return ride.loosed  # the crew has told what it was: a glider that pulls out climbs too
    first = recent[0]
    seconds = t_s - (first.t_s or 0.0)
    climbs = seconds >= 0.5 * WITHIN_S and (
        _height_m(last) - _height_m(first) > _CLIMBS_MPS * seconds
    )
    return None if climbs else ride.loosed


def sink_mps(ride: Ride) -> float | None:
    """Return how fast it sank over the last fixes, up to half a minute; None: not known."""
    last = ride.newest
    if last is None or not _told(last):
        return None
    t_s = last.t_s or 0.0
    known = [one for one in ride.kept[-100:] if _told(one) and t_s - (one.t_s or 0.0) <= WITHIN_S]
    if not known or t_s - (known[0].t_s or 0.0) < _LEAST_S:
        return None
    return (_height_m(known[0]) - _height_m(last)) / (t_s - (known[0].t_s or 0.0))


def marked_t_s(ride: Ride, kind: MarkKind) -> float | None:
    """Return when something was marked last, UTC; None where it was not."""
    found = [one.t_s for one in ride.entries if one.entry == Mark(kind=kind)]
    return found[-1] if found else None


def _ends_marked_s(ride: Ride) -> list[float]:
    """Return when it was marked that the balloon carries it no more, UTC."""
    marked = (marked_t_s(ride, kind) for kind in (MarkKind.RELEASED, MarkKind.BURST))
    return [one for one in marked if one is not None]


def _before(ride: Ride, t_s: float) -> Fix | None:
    known = [one for one in ride.fixes() if _told(one) and (one.t_s or 0.0) <= t_s]
    return known[-1] if known else None


def _t_s(fix: Fix | None, else_t_s: float) -> float:
    return else_t_s if fix is None or fix.t_s is None else fix.t_s


def _told(fix: Fix) -> bool:
    return fix.t_s is not None and amsl_m(fix) is not None


def _height_m(fix: Fix) -> float:
    return amsl_m(fix) or 0.0
