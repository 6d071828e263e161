"""A ride shown from its first moment on: the face first, then what it takes, then the ride."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from farglide.cli import today
from farglide.cli.opening import ahead, opening
from farglide.cli.screen import face_of
from farglide.cli.told import RIDE
from farglide.cli.warm import warming_ride

if TYPE_CHECKING:
    from farglide.cli.ride import Ended


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the command line told of a ride."""

    file: Path | None
    pack: Path | None
    winds: Path | None
    feeds: tuple[str, ...]
    log: Path
    draws: int
    speed: float | None
    aloud: Path | None


def ride_text(told: Told) -> "Ended":
    """Return what is to be said at the end of a ride, followed until then.

    Raises InputError and SourceError.
    """
    with face_of() as shown, opening(shown) as opened, warming_ride(opened, RIDE) as ready:
        # late: the screen is up before all that is read
        from farglide.cli import ride as face
        from farglide.cli import ridebegun
        from farglide.cli.inputs import Wanted
        from farglide.cli.plan import grain_asked
        from farglide.live.feeds.reader import Clocks

        wanted = Wanted(file=told.file, winds=told.winds, pack=told.pack, out=None)
        typed = ridebegun.Typed(
            log=told.log,
            feeds=told.feeds,
            grain=grain_asked(told.draws, 1),
            speed=told.speed,
            aloud=told.aloud,
        )
        machine = Clocks(today.monotonic_s, today.now_t_s)
        if shown.is_screen:
            wait = ahead(opened, ready)
        else:
            ready()
            wait = _nothing
        begun = ridebegun.begun(wanted, typed, machine, wait)
        opened.finish()
        opened.close()
        return face.followed(replace(begun, doing=opened.doing), shown)


def _nothing() -> None:
    """Wait for nothing: all is compiled."""
