"""A climb of the demo, what its tracker says, and a ride of it on clocks made by hand."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import reduce
from pathlib import Path

import numpy as np

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import plain_ensemble
from farglide.earth.clock import local_datetime
from farglide.earth.state import place_deg
from farglide.live.entering import Entering
from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.reader import Clocks
from farglide.live.resume import Opened, begin_at, resume_at
from farglide.live.ride.beside import Beside
from farglide.live.ride.slow import Flight
from farglide.live.ride.tables import Made
from farglide.live.ride.task import Task
from farglide.live.running import Running, moment_of
from farglide.live.session import Session
from farglide.outlook.advice import Advice
from farglide.sortie.feeds import FeedSpec, where_of
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.codecs.codecs import codec_of
from farglide.track.journal.head import Head
from farglide.track.journal.journal import Moment
from farglide.track.reports import Fix, Raw

GRAIN = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0,), slab=5)
HEAD = Head(flight="name = 'Amber evening'", manifest="", winds="{}", program="0")
TRACKER = FeedSpec(name="tracker", where=where_of("udp://:5005"), format="nmea")
SECOND = FeedSpec(name="second", where=where_of("udp://:5006"), format="nmea")
CAR = FeedSpec(name="car", where=where_of("udp://:5007"), format="nmea", of="car")
SPECS = (TRACKER, SECOND, CAR)
_LOOK_S = 0.005


def no_tables(task: Task) -> Made:
    """Return that there are none: for rides that are asked nothing."""
    return f"none of {task.number}"


def flight_of(sortie: Sortie, sounding: Sounding) -> Flight:
    """Return the demo without links, coarsely."""
    return Flight(sortie=sortie, pack=Pack(flight_text="", sounding=sounding), grain=GRAIN)


def climb_of(sortie: Sortie, sounding: Sounding, step_s: float = 10.0) -> tuple[Fix, ...]:
    """Return fixes of the error-free climb, an hour and a quarter of it."""
    grain = Grain(clock_s=10.0, prices_mps=(8.0,), slab=5)
    tracks = plain_ensemble(sortie, sounding, grain).climbs.tracks
    told_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    t_s = step_s * np.arange(int(4500.0 / step_s))
    rows = [np.interp(t_s, told_s, one[0]).tolist() for one in tracks.places]
    return tuple(_fix(sortie, *one) for one in zip(t_s.tolist(), *rows, strict=True))


def _fix(sortie: Sortie, t_s: float, amsl_m: float, north_rad: float, east_rad: float) -> Fix:
    lat_deg, lon_deg = place_deg(sortie.launch, float(north_rad), float(east_rad))
    return Fix(feed="tracker", lat_deg=lat_deg, lon_deg=lon_deg, t_s=sortie.launch.t_s + t_s,
               height_m=float(amsl_m))  # fmt: skip


def nmea(fix: Fix) -> bytes:
    """Return what a tracker sends of a fix: both sentences of the moment."""
    when = local_datetime(fix.t_s or 0.0, "UTC")
    clock, day = f"{when:%H%M%S}.{when.microsecond // 10_000:02d}", f"{when:%d%m%y}"
    place = f"{_angle(fix.lat_deg, 2, 'NS')},{_angle(fix.lon_deg, 3, 'EW')}"
    rmc = f"GPRMC,{clock},A,{place},20.0,84.4,{day},,,A"
    gga = f"GPGGA,{clock},{place},1,09,0.9,{fix.height_m:.1f},M,-12.0,M,,"
    return b"".join(_line(one.encode()) for one in (rmc, gga))


def _angle(deg: float, n_digits: int, letters: str) -> str:
    whole = int(abs(deg))
    minutes = (abs(deg) - whole) * 60.0
    return f"{whole:0{n_digits}d}{minutes:09.6f},{letters[deg < 0.0]}"


def _line(body: bytes) -> bytes:
    return b"$%s*%02X\r\n" % (body, reduce(lambda a, b: a ^ b, body))


@dataclass
class Crew:
    """A ride on clocks that are set by hand: a moment passes when it is told to."""

    running: Running
    published: list[Advice]
    entering: Entering
    launch_t_s: float
    at_s: float  # monotonic
    t_s: float  # UTC

    @property
    def clocks(self) -> Clocks:
        return Clocks(lambda: self.at_s, lambda: self.t_s)

    def at(self, after_launch_s: float) -> None:
        """Let time pass until so long after the planned launch."""
        self.at_s += self.launch_t_s + after_launch_s - self.t_s
        self.t_s = self.launch_t_s + after_launch_s

    def hears(self, fix: Fix, feed: str = "tracker", late_s: float = 0.1) -> None:
        """Let a fix be heard, so long after its own moment, and its second pass."""
        self.at((fix.t_s or 0.0) - self.launch_t_s + late_s)
        raw = Raw(feed=feed, monotonic_s=self.at_s, utc_s=self.t_s, data=nmea(fix))
        self.running.take(raw, self.clocks)
        self.turn()

    def turn(self) -> None:
        """Let the ride take what there is."""
        self.running.turn(Inbox([]), self.clocks, 0.0)

    def sums(self) -> None:
        """Let tables be summed, if it is time, and wait until they are in use."""
        self.turn()
        while self.running.beside.is_busy:
            # asked without a pause, this thread would hold the interpreter's lock against the sums
            self.running.turn(Inbox([]), self.clocks, _LOOK_S)

    def types(self, line: str) -> str:
        """Type a line; return what was understood."""
        self.entering.enter(line, self.running, moment_of(self.clocks))
        return self.entering.said


def crew_of(session: Session, opened: Opened, at_s: float, t_s: float) -> Crew:
    """Return the crew of a ride that is open, at a moment."""
    published: list[Advice] = []
    make = session._make
    assert isinstance(make, Beside)
    codecs = {one.name: codec_of(one) for one in SPECS}
    running = Running(session, opened, make, codecs, published.append)
    launch_t_s = session.sortie.launch.t_s
    crew = Crew(running, published, Entering(), launch_t_s, at_s, t_s)
    running.open(Moment(at_s, t_s))
    return crew


def begun(path: Path, sortie: Sortie, make: Callable[[Task], Made]) -> Crew:
    """Return the crew of a new ride, ten minutes before the planned launch."""
    session = Session(sortie, SPECS, Beside(make))
    t_s = sortie.launch.t_s - 600.0
    return crew_of(session, begin_at(path, HEAD, Moment(0.0, t_s)), 0.0, t_s)


def gone_on(path: Path, sortie: Sortie, make: Callable[[Task], Made], t_s: float) -> Crew:
    """Return the crew of a ride that goes on at a moment."""
    session = Session(sortie, SPECS, Beside(make))
    opened = resume_at(path, HEAD, session)
    return crew_of(session, opened, opened.journal.last.monotonic_s, t_s)


def moved(fix: Fix, north_deg: float = 0.0, up_m: float = 0.0) -> Fix:
    """Return a fix elsewhere."""
    height_m = (fix.height_m or 0.0) + up_m
    return replace(fix, lat_deg=fix.lat_deg + north_deg, height_m=height_m)


def near(fixes: Sequence[Fix], after_launch_s: float, launch_t_s: float) -> Fix:
    """Return the fix of a moment."""
    return next(one for one in fixes if (one.t_s or 0.0) >= launch_t_s + after_launch_s)
