"""Belief: which fixes count, by what is odd about them; all are kept, and what is odd is shown."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from farglide.earth.state import place_of
from farglide.live.ride.phase import Phase, launch_of, phase_of
from farglide.live.ride.state import FeedNow, Noted, Ride
from farglide.sortie.feeds import FeedSpec, of_name, where_of
from farglide.sortie.spec import Launch
from farglide.track.journal.frame import Record
from farglide.track.journal.payload import document_of, payload_of
from farglide.track.oddfeet import APART_S
from farglide.track.oddplace import speed_suspicions
from farglide.track.received import Flown, Oddity, Received, Suspicion
from farglide.track.reports import Fix, Raw
from farglide.track.suspicion import suspicions_of

AGAIN_S: Final = 60.0
"""The same suspicion of the same feed is noted so often at most."""
LEADS_S: Final = 60.0
"""A feed that is silent for so long no longer leads the others of the glider."""
_LOGGED: Final = where_of("file:log")
_NO_HEIGHT: Final = (Oddity.LIMIT, Oddity.HEIGHT_KIND)
_AGREEING: Final = 2
"""So many fixes in a row that were doubted for their speed, and agree with this one, are right."""
_PLACED: Final = {Oddity.CLOCK, Oddity.LIMIT, Oddity.HEIGHT_KIND, Oddity.DISAGREE}
"""What leaves the place as it is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A fix as it is believed, None where it is not, and what is odd about it."""

    fix: Fix | None
    odd: tuple[Suspicion, ...]


class Jury:
    """Holds fixes against the ride so far. `specs`: the feeds, the one to be followed first."""

    def __init__(self, specs: Sequence[FeedSpec], planned: Launch) -> None:
        self._specs = {one.name: one for one in specs}
        self._planned = planned

    def judged(self, ride: Ride, fix: Fix, raw: Raw) -> Judged | None:
        """Return what is believed of a fix that came just now; None for one that is read again."""
        spec, feed = self.spec(fix.feed), ride.feed(fix.feed)
        now = Received(fix=fix, source=spec, utc_s=raw.utc_s)
        if _is_read_again(now, feed):
            return None
        odd = self._odd(ride, now, feed)
        kinds = {one.oddity for one in odd}
        if not self._is_placed(ride, now, kinds):
            return Judged(fix=None, odd=odd)
        if Oddity.CLOCK in kinds:
            fix = replace(fix, t_s=None)
        if kinds.intersection(_NO_HEIGHT):
            fix = replace(fix, height_m=None)
        return Judged(fix=fix, odd=odd)

    def leads(self, ride: Ride, feed: str, at_s: float) -> bool:
        """Tell whether a feed's fixes are the balloon's, no earlier one of the glider being heard.

        `at_s`: monotonic.
        """
        for name in dict.fromkeys((*self._specs, *ride.feeds)):
            if self.spec(name).of != "glider":
                continue
            if name == feed:
                return True
            heard_s = ride.feed(name).believed_s
            if heard_s is not None and at_s - heard_s < LEADS_S:
                return False
        return self.spec(feed).of == "glider"

    @property
    def gliders(self) -> tuple[str, ...]:
        """Return the feeds of the glider."""
        return tuple(name for name, one in self._specs.items() if one.of == "glider")

    @property
    def cars(self) -> tuple[str, ...]:
        """Return the feeds of the car that are stated."""
        return tuple(name for name, one in self._specs.items() if one.of == "car")

    def car(self, ride: Ride) -> Fix | None:
        """Return where the car was heard last; None where it is not."""
        names = [name for name in dict.fromkeys((*self._specs, *ride.feeds))
                 if self.spec(name).of == "car"]  # fmt: skip
        heard = [one for name in names if (one := ride.feed(name).believed) is not None]
        return max(heard, key=lambda one: one.t_s).fix if heard else None

    def spec(self, feed: str) -> FeedSpec:
        """Return what is stated of a feed; of one in the log alone, what its name says."""
        return self._specs.get(feed) or FeedSpec(
            name=feed, where=_LOGGED, format="nmea", of=of_name(feed)
        )

    def received(self, fix: Fix, utc_s: float) -> Received:
        """Return a believed fix with its feed."""
        return Received(fix=fix, source=self.spec(fix.feed), utc_s=utc_s)

    def _odd(self, ride: Ride, now: Received, feed: FeedNow) -> tuple[Suspicion, ...]:
        launch = launch_of(ride, self._planned)
        is_off = phase_of(ride, launch, now.t_s) is not Phase.HAND
        separations = (one.believed.fix.separation_m for one in ride.feeds.values() if one.believed)
        flight = Flown(
            launch=place_of(launch),
            launched_utc_s=launch.t_s if is_off else None,
            due_utc_s=launch.t_s,
            separation_m=next((one for one in separations if one is not None), None),
        )
        others = [
            one.believed for name, one in ride.feeds.items()
            if name != now.source.name and one.believed is not None
        ]  # fmt: skip
        earlier = self._earlier(ride, now)
        found = suspicions_of(now, feed.believed, others, flight, earlier)
        is_old = now.source.where.kind == "file"  # read later: no clock to hold against ours
        return tuple(one for one in found if not (is_old and one.oddity is Oddity.CLOCK))

    def _earlier(self, ride: Ride, now: Received) -> Received | None:
        """Return the newest kept fix of the same feed that is a minute old or more."""
        for one in reversed(ride.kept):
            if one.feed == now.fix.feed and now.t_s - (one.t_s or 0.0) >= APART_S:
                return Received(fix=one, source=now.source, utc_s=one.t_s or 0.0)
        return None

    def _is_placed(self, ride: Ride, now: Received, kinds: set[Oddity]) -> bool:
        """Tell whether a place is believed."""
        feed = ride.feed(now.source.name)
        if Oddity.DISAGREE in kinds and not self.leads(ride, now.source.name, ride.at_s):
            return False
        left = kinds - _PLACED
        if left != {Oddity.TOO_FAST}:
            return not left
        return (
            feed.n_doubted >= _AGREEING
            and feed.doubted is not None
            and not any(speed_suspicions(now, feed.doubted))
        )


def _is_read_again(now: Received, feed: FeedNow) -> bool:
    """Tell whether a fix was read before: after a restart a file is read from its beginning."""
    last, t_s = feed.believed, now.fix.t_s
    is_file = now.source.where.kind == "file"
    return is_file and last is not None and t_s is not None and t_s <= last.t_s


def note_payload(one: Suspicion, doubted: Fix | None) -> bytes:
    """Return a suspicion as a document, with the fix where that is not believed."""
    said: dict[str, Any] = {"feed": one.feed, "oddity": one.oddity.value, "text": one.text}
    if doubted is not None:
        said["doubted"] = {name: getattr(doubted, name) for name in Fix.__slots__}
    return payload_of(said)


def noted_of(record: Record) -> tuple[Noted, dict[str, Any] | None]:
    """Return a suspicion of the log, and what was said of the fix that is not believed."""
    said = document_of(record)
    try:
        noted = Noted(
            at_s=record.monotonic_s, feed=said["feed"], oddity=said["oddity"], text=said["text"]
        )
    except KeyError as error:
        raise ValueError(f"holds no suspicion: {error}") from None
    return noted, said.get("doubted")


def is_noted(ride: Ride, one: Suspicion) -> bool:
    """Tell whether a suspicion was noted a short while ago."""
    return any(
        (noted.feed, noted.oddity) == (one.feed, one.oddity.value)
        and ride.at_s - noted.at_s < AGAIN_S
        for noted in ride.noted
    )
