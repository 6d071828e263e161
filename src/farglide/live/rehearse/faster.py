"""Faster: the clocks of a machine as a rehearsal has them, for who rides along."""

from dataclasses import dataclass
from typing import Final

from farglide.earth.clock import check_time
from farglide.errors import check_range
from farglide.live.feeds.reader import Clocks
from farglide.live.rehearse.sent import BEGINS_S

FASTEST: Final = 100.0
"""Above so many times real time nobody rides along: a rehearsal runs through by itself."""


@dataclass(slots=True)
class Faster:
    """The clocks of who rides along with a rehearsal: so many times as fast as the machine's.

    The time of day stands at a moment until the rehearsal is heard: then its sentences and these
    clocks tell the same time, whichever of the two was begun first.
    """

    machine: Clocks
    speed: float
    from_t_s: float  # UTC, where the time of day stands until it runs
    _made_s: float = 0.0
    _heard_s: float | None = None

    def __post_init__(self) -> None:
        self._made_s = self.machine.monotonic_s()

    def hear(self) -> None:
        """Let the time of day run, if it does not yet."""
        if self._heard_s is None:
            self._heard_s = self.machine.monotonic_s()

    def clocks(self) -> Clocks:
        """Return both clocks."""
        return Clocks(self._monotonic_s, self._utc_s)

    def _monotonic_s(self) -> float:
        return self.speed * (self.machine.monotonic_s() - self._made_s)

    def _utc_s(self) -> float:
        if self._heard_s is None:
            return self.from_t_s
        return self.from_t_s + self.speed * (self.machine.monotonic_s() - self._heard_s)


def faster(machine: Clocks, speed: float, launch_t_s: float) -> Faster:
    """Return clocks that go so many times as fast, from a rehearsal's beginning on.

    `launch_t_s`: UTC seconds of the planned launch. Valid: 0.1 to 100 times. Raises InputError.
    """
    check_range("--speed", speed, "times", (0.1, FASTEST), "That of farglide rehearse.")
    check_time(launch_t_s)
    return Faster(machine, speed, launch_t_s + BEGINS_S)


def gone_on(machine: Clocks, speed: float, log: "Stood") -> Faster:
    """Return clocks of a ride that is gone on with: the rehearsal went on meanwhile."""
    check_range("--speed", speed, "times", (0.1, FASTEST), "That of farglide rehearse.")
    passed_s = max(machine.utc_s() - log.written_s, 0.0)
    found = Faster(machine, speed, log.last_t_s + speed * passed_s)
    found.hear()
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Stood:
    """Where a log of a rehearsal stood: the time of its last record, and when that was written.

    `last_t_s` by the clock of the rehearsal, `written_s` by that of the machine, both UTC seconds.
    """

    last_t_s: float
    written_s: float
