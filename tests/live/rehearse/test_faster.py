"""Faster: clocks that go with a rehearsal."""

import pytest

from farglide.errors import InputError
from farglide.live.feeds.reader import Clocks
from farglide.live.rehearse.faster import faster
from farglide.live.rehearse.sent import BEGINS_S

LAUNCH_T_S = 1_800_697_200.0


def test_they_begin_with_the_rehearsal_and_go_so_many_times_as_fast() -> None:
    now = [5000.0]
    found = faster(Clocks(lambda: now[0], lambda: 1.7e9), 10.0, LAUNCH_T_S)
    assert (found.monotonic_s(), found.utc_s()) == (0.0, LAUNCH_T_S + BEGINS_S)
    now[0] += 6.0
    assert (found.monotonic_s(), found.utc_s()) == (60.0, LAUNCH_T_S)


def test_other_speeds_and_times_are_refused() -> None:
    clocks = Clocks(lambda: 0.0, lambda: 0.0)
    with pytest.raises(InputError, match=r"--speed is 1000 times; allowed: 0.1 to 100 times"):
        faster(clocks, 1000.0, LAUNCH_T_S)
    with pytest.raises(InputError):
        faster(clocks, 10.0, -1e12)
