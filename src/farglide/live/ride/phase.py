"""Phase: what has happened to a flight so far, by its marks, and its launch as it was."""

from dataclasses import replace
from enum import StrEnum
from typing import Final

from farglide.live.ride.state import Ride
from farglide.sortie.spec import Launch
from farglide.track.typed.entries import LaunchLate, LaunchMoved, Mark, MarkKind

_MARK_S: Final = 60.0
"""So far from what the climb tells a mark of the launch may be."""
_OFF_HAND_M: Final = 100.0
"""So far above the launch nobody holds it any more, marked or not; common practice, no source."""


class Phase(StrEnum):
    """What has happened to the flight so far."""

    HAND = "on the hand"
    CLIMB = "climbing"
    SENT = "release sent"
    STUCK = "release stuck"
    RELEASED = "released"
    BURST = "burst"
    DOWN = "down"

    @property
    def is_carried(self) -> bool:
        """Tell whether the balloon carries the glider."""
        return self in (Phase.CLIMB, Phase.SENT, Phase.STUCK)

    @property
    def is_up(self) -> bool:
        """Tell whether it is in the air."""
        return self not in (Phase.HAND, Phase.DOWN)


def phase_of(ride: Ride, launch: Launch, now_t_s: float) -> Phase:
    """Return what has happened: by the marks, and without one by clock and height."""
    marks = ride.marks
    for kind, phase in (
        (MarkKind.LANDED, Phase.DOWN),
        (MarkKind.RELEASED, Phase.RELEASED),
        (MarkKind.BURST, Phase.BURST),
    ):
        if kind in marks:
            return phase
    orders = [one for one in marks if one in (MarkKind.SENT, MarkKind.STUCK)]
    if orders:
        return Phase.SENT if orders[-1] is MarkKind.SENT else Phase.STUCK
    if MarkKind.LAUNCHED in marks:
        return Phase.CLIMB
    high = ride.height_m is not None and ride.height_m > launch.amsl_m + _OFF_HAND_M
    # low again, it has landed or soon will: what rose or fell off its balloon is on no hand
    is_up = high or ride.lifted_t_s is not None or ride.loosed is not None
    return Phase.CLIMB if is_up and now_t_s >= launch.t_s else Phase.HAND


def launch_of(ride: Ride, planned: Launch) -> Launch:
    """Return the launch as it was: at its mark, else by its own fixes, else as planned or typed.

    A mark that the climb itself contradicts was typed late, and does not move the launch.
    """
    launch, late_s = planned, 0.0
    for one in ride.entries:
        entry = one.entry
        if isinstance(entry, LaunchMoved):
            launch = replace(launch, lat_deg=entry.lat_deg, lon_deg=entry.lon_deg)
        elif isinstance(entry, LaunchLate):
            late_s = entry.late_s
    marked = [one.t_s for one in ride.entries if one.entry == Mark(kind=MarkKind.LAUNCHED)]
    said_t_s = marked[-1] if marked else planned.t_s + late_s
    return replace(launch, t_s=launched_t_s(ride.lifted_t_s, said_t_s, is_marked=bool(marked)))


def launched_t_s(lifted_t_s: float | None, said_t_s: float, is_marked: bool) -> float:
    """Return when it was launched, by its own climb, UTC, None where that was not seen, and by us.

    >>> launched_t_s(100.0, 112.0, is_marked=True), launched_t_s(100.0, 760.0, is_marked=True)
    (112.0, 100.0)
    """
    if lifted_t_s is None or (is_marked and abs(said_t_s - lifted_t_s) <= _MARK_S):
        return said_t_s
    return lifted_t_s
