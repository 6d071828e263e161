"""Listening: every feed of a flight heard for a while, and what came of each."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from farglide.live.feeds.inbox import Inbox
from farglide.live.feeds.reader import Clocks, Condition, FeedReader, State
from farglide.sortie.feeds import FeedSpec
from farglide.track.codecs.codec import Codec
from farglide.track.codecs.codecs import codec_of
from farglide.track.codecs.tally import Tally
from farglide.track.reports import Fix, Heard, Raw

_TAKE_S = 0.2


@dataclass(slots=True)
class FeedHeard:
    """What came of one feed."""

    spec: FeedSpec
    condition: Condition
    codec: Codec
    last_fix: Fix | None = None
    fix_came_monotonic_s: float | None = None
    fix_came_utc_s: float | None = None
    last_heard: Heard | None = None
    n_lost_bytes: int = 0

    @property
    def tally(self) -> Tally:
        """Return how much was reports, and what the rest was."""
        return self.codec.tally

    @property
    def word(self) -> str:
        """Return in one word how it fares: heard, no fix, garbage, silent, not there."""
        if self.tally.is_garbage:
            return "garbage"
        if self.tally.n_reports:
            return "heard"
        if self.tally.n_bytes:
            return "no fix"
        return "not there" if self.condition.state is State.AWAY else "silent"

    def take(self, raw: Raw) -> None:
        """Read some bytes."""
        self._note(raw, self.codec.take(raw))

    def end(self, raw: Raw) -> None:
        """Read what was held back, as of this moment."""
        self._note(raw, self.codec.flush())

    def _note(self, raw: Raw, reports: Sequence[object]) -> None:
        for report in reports:
            if isinstance(report, Fix):
                self.last_fix = report
                self.fix_came_monotonic_s, self.fix_came_utc_s = raw.monotonic_s, raw.utc_s
            elif isinstance(report, Heard):
                self.last_heard = report


def listen(specs: Sequence[FeedSpec], for_s: float, clocks: Clocks) -> list[FeedHeard]:
    """Return what came of each feed in so many seconds, or until all of them are read through."""
    inbox = Inbox(spec.name for spec in specs)
    with readers_of(specs, inbox, clocks) as readers:
        heard = {
            one.spec.name: FeedHeard(one.spec, one.condition, codec_of(one.spec)) for one in readers
        }
        until_s = clocks.monotonic_s() + for_s
        while (left_s := until_s - clocks.monotonic_s()) > 0.0:
            came = inbox.take(min(_TAKE_S, left_s))
            for raw in came:
                heard[raw.feed].take(raw)
            if not came and all(one.condition.state is State.ENDED for one in readers):
                break
        for raw in inbox.take(0.0):
            heard[raw.feed].take(raw)
    for name, one in heard.items():
        now = Raw(feed=name, monotonic_s=clocks.monotonic_s(), utc_s=clocks.utc_s(), data=b"")
        one.end(now)
        one.n_lost_bytes = inbox.lost_bytes(name)
    return list(heard.values())


@contextmanager
def readers_of(
    specs: Sequence[FeedSpec], inbox: Inbox, clocks: Clocks
) -> Iterator[list[FeedReader]]:
    """Yield a reader for each feed, all of them running."""
    readers = [FeedReader(spec, inbox, clocks) for spec in specs]
    for one in readers:
        one.start()
    try:
        yield readers
    finally:
        for one in readers:
            one.stop()
