"""Sitting: one truth tied to its balloon, what is heard of it, and what that makes of advice."""

from bisect import bisect_right
from dataclasses import replace
from typing import Final, NamedTuple

from farglide.chances.ensemble import Ensemble
from farglide.earth.state import place_of
from farglide.errors import InputError
from farglide.live.asking import advice_at
from farglide.live.rehearse.digits import EVERY_S as DIGITS_S
from farglide.live.rehearse.digits import fix_read
from farglide.live.rehearse.lifted import TiedOn, lifted
from farglide.live.rehearse.sent import BEGINS_S, EVERY_S, TRACKER, Ground, Receiver, is_read_off
from farglide.live.rehearse.truth import Truth
from farglide.outlook.advice import Advice
from farglide.sortie.feeds import FeedSpec, Where
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.received import Flown, Oddity, Received
from farglide.track.reports import Fix, Raw
from farglide.track.suspicion import suspicions_of

FIRST_LOOK_S: Final = 120.0
LEAST_LOOK_S: Final = 30.0
MOST_LOOK_S: Final = 300.0
_LOOKS_AHEAD: Final = 0.25
"""The next look comes after a quarter of what is left until the release is due."""
FALLS_MPS: Final = 15.0
"""What sinks faster hangs on no whole balloon; a hole as large as a fist sinks slower."""
SPEC: Final = FeedSpec(name=TRACKER, where=Where(kind="tcp"), format="nmea")


class Look(NamedTuple):
    """What was advised at a moment after the launch; None where nothing could be."""

    t_s: float
    advice: Advice | None


class Believed:
    """Fixes as a crew takes them: odd ones left out, those of a wrong clock by when they came."""

    def __init__(self, planned: Ensemble) -> None:
        launch = planned.sortie.launch
        self.fixes: list[Fix] = []
        self.n_odd = 0
        self._codec: Codec = NmeaCodec(SPEC)
        self._before: Received | None = None
        self._flown = Flown(launch=place_of(launch), launched_utc_s=launch.t_s)

    def take(self, raw: Raw) -> None:
        """Read some bytes."""
        for report in self._codec.take(raw):
            if isinstance(report, Fix):
                self._weigh(Received(fix=report, source=SPEC, utc_s=raw.utc_s))

    def read_off(self, line: str, t_s: float) -> None:
        """Take digits off the picture, read at a moment, UTC."""
        fix = fix_read(line, t_s, self.fixes[-1] if self.fixes else None)
        if fix is not None:
            self.fixes.append(fix)

    def sinks_mps(self) -> float:
        """Return how fast it came down between the last two fixes; negative while it climbs."""
        known = [one for one in self.fixes[-2:] if one.height_m is not None and one.t_s is not None]
        if len(known) < 2:
            return 0.0
        before, now = known
        seconds = (now.t_s or 0.0) - (before.t_s or 0.0)
        return ((before.height_m or 0.0) - (now.height_m or 0.0)) / max(seconds, 1.0)

    def _weigh(self, one: Received) -> None:
        odd = suspicions_of(one, self._before, (), self._flown)
        if any(each.oddity is not Oddity.CLOCK for each in odd):
            self.n_odd += 1
            return
        if odd:
            one = replace(one, fix=replace(one.fix, t_s=one.utc_s))
        self._before = one
        self.fixes.append(one.fix)


class Sitting:
    """One flight before its release: the same for every crew, so it is heard and asked once."""

    def __init__(
        self, planned: Ensemble, truth: Truth, seed: int, first_look_s: float = FIRST_LOOK_S
    ) -> None:
        self.planned, self.truth, self.seed = planned, truth, seed
        self.lift: TiedOn = lifted(truth)
        self.believed = Believed(planned)
        self._receiver = Receiver(TRACKER, Ground(planned.sortie.launch, planned.air.scene), seed)
        self._heard_s = BEGINS_S - EVERY_S
        self._heights: list[tuple[float, float]] = []  # when heard, after the launch
        self._looks: list[Look] = []
        self._next_s = first_look_s
        self._falls_s: float | None = None

    def hear(self, until_s: float) -> None:
        """Take all that is told up to a moment after the launch."""
        while self._heard_s + EVERY_S <= until_s:
            self._heard_s += EVERY_S
            n = len(self.believed.fixes)
            self._take()
            if len(self.believed.fixes) > n and (h := self.believed.fixes[-1].height_m) is not None:
                self._heights.append((self._heard_s, h))
            if self._falls_s is None and self.believed.sinks_mps() > FALLS_MPS:
                self._falls_s = self._heard_s

    def _take(self) -> None:
        """Take what is told at the moment that is next."""
        t_s, changes = self._heard_s, self.truth.changes
        raw = self._receiver.tell(t_s, self.lift.path, changes)
        if raw is not None:
            self.believed.take(raw)
        elif is_read_off(t_s, changes) and t_s % DIGITS_S == 0.0:
            shown = self._receiver.shown(t_s, self.lift.path)
            self.believed.read_off(shown, self.planned.sortie.launch.t_s + t_s)

    def height_m(self, t_s: float) -> float | None:
        """Return the height last heard by a moment."""
        self.hear(t_s)
        n = bisect_right(self._heights, t_s, key=lambda one: one[0])
        return self._heights[n - 1][1] if n else None

    def is_seen_falling(self, t_s: float) -> bool:
        """Tell whether the burst was seen by a moment."""
        self.hear(t_s)
        return self._falls_s is not None and self._falls_s <= t_s

    def look(self, t_s: float) -> Look | None:
        """Return the newest look at a moment: None before the first one."""
        while self._next_s <= t_s and not self.is_seen_falling(self._next_s):
            self.hear(self._next_s)
            look = Look(self._next_s, self._advice(self._next_s))
            self._looks.append(look)
            self._next_s += _wait_s(look)
        return next((one for one in reversed(self._looks) if one.t_s <= t_s), None)

    def looks(self, until_s: float) -> list[Look]:
        """Return all looks up to a moment."""
        self.look(until_s)
        return [one for one in self._looks if one.t_s <= until_s]

    def look_at(self, t_s: float) -> Look:
        """Return what is advised at just this moment, as a ride tells it that is never late."""
        self.hear(t_s)
        return Look(t_s, self._advice(t_s))

    def _advice(self, t_s: float) -> Advice | None:
        try:
            return advice_at(
                self.planned, self.believed.fixes, self.planned.sortie.launch.t_s + t_s
            )
        except InputError:  # nothing heard, or too long ago
            return None


def _wait_s(look: Look) -> float:
    """Return how long after a look the next one comes."""
    if look.advice is None or look.advice.release is None:
        return MOST_LOOK_S / 2.0
    left_s = look.advice.release.release_by_after_launch_s - look.t_s
    return EVERY_S * round(min(max(_LOOKS_AHEAD * left_s, LEAST_LOOK_S), MOST_LOOK_S) / EVERY_S)
