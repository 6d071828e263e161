"""Shown: an advice as the crew sees it: without refused fields, steady, with what changed."""

from dataclasses import replace
from typing import Final

from farglide.live.ride.changed import change_words
from farglide.live.ride.phase import Phase, launch_of, phase_of
from farglide.live.ride.state import Ride
from farglide.live.ride.steady import steadied
from farglide.live.ride.told import Told, summary_of
from farglide.outlook.advice import Advice
from farglide.present.say.text import FlightClock
from farglide.sortie.spec import Sortie

SAID_S: Final = 60.0
"""So long a change is told, if no other follows."""


def shown(ride: Ride, advice: Advice, at_s: float, planned: Sortie) -> tuple[Ride, Advice]:
    """Return an advice as it is shown, with what changed; the ride holds what that hangs on."""
    told, launch = ride.told, launch_of(ride, planned.launch)
    steady, since_s = steadied(advice, told, at_s, planned.wish)
    phase = phase_of(ride, launch, launch.t_s + advice.after_launch_s)
    order = "" if phase is Phase.CLIMB else phase.value
    summary = replace(summary_of(steady, launch.t_s), order=order, launch_t_s=launch.t_s)
    before = told.before or summary
    clock = FlightClock(launch_t_s=launch.t_s, zone=launch.zone)
    words = change_words(before, summary, clock)
    changed, changed_s = (words, at_s) if words else (told.changed, told.changed_s)
    if at_s - changed_s >= SAID_S:
        changed = ""
    telling = Told(
        since_s=since_s,
        before=summary if words else before,
        changed=changed,
        changed_s=changed_s,
    )
    return replace(ride, telling=telling), replace(steady, changed=changed)


def without(advice: Advice, refused: tuple[str, ...]) -> Advice:
    """Return an advice without fields that were refused since its tables were made."""
    if not any(one.name in refused for one in advice.fields):
        return advice
    fields = tuple(one for one in advice.fields if one.name not in refused)
    release = advice.release
    if release is not None and release.field in refused:
        release = None
    return replace(advice, fields=fields, release=release)
