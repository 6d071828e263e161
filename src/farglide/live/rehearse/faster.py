"""Faster: the clocks of a machine as a rehearsal has them, for who rides along."""

from typing import Final

from farglide.earth.clock import check_time
from farglide.errors import check_range
from farglide.live.feeds.reader import Clocks
from farglide.live.rehearse.sent import BEGINS_S

FASTEST: Final = 100.0
"""Above so many times real time nobody rides along: a rehearsal runs through by itself."""


def faster(clocks: Clocks, speed: float, launch_t_s: float) -> Clocks:
    """Return clocks that go so many times as fast, from now on, from a rehearsal's beginning on.

    `launch_t_s`: UTC seconds of the planned launch. A rehearsal begins when its tracker is heard:
    then its sentences and these clocks tell the same time. Valid: 0.1 to 100 times.
    Raises InputError.
    """
    check_range("--speed", speed, "times", (0.1, FASTEST), "That of farglide rehearse.")
    check_time(launch_t_s)
    began_s = clocks.monotonic_s()

    def passed_s() -> float:
        return speed * (clocks.monotonic_s() - began_s)

    return Clocks(passed_s, lambda: launch_t_s + BEGINS_S + passed_s())
