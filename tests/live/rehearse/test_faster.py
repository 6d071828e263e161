"""Faster: clocks that go with a rehearsal, whichever of the two was begun first."""

import pytest

from farglide.errors import InputError
from farglide.live.feeds.reader import Clocks
from farglide.live.rehearse.faster import Stood, faster, gone_on
from farglide.live.rehearse.sent import BEGINS_S

LAUNCH_T_S = 1_800_697_200.0


def test_they_begin_when_it_is_heard_and_go_so_many_times_as_fast() -> None:
    now = [5000.0]
    found = faster(Clocks(lambda: now[0], lambda: 1.7e9), 10.0, LAUNCH_T_S)
    clocks = found.clocks()
    assert (clocks.monotonic_s(), clocks.utc_s()) == (0.0, LAUNCH_T_S + BEGINS_S)
    now[0] += 4.0  # nothing is heard yet: the time of day stands
    assert (clocks.monotonic_s(), clocks.utc_s()) == (40.0, LAUNCH_T_S + BEGINS_S)
    found.hear()
    now[0] += 6.0
    found.hear()  # once is enough
    assert (clocks.monotonic_s(), clocks.utc_s()) == (100.0, LAUNCH_T_S)


def test_gone_on_with_they_are_where_the_rehearsal_is_by_now() -> None:
    machine = Clocks(lambda: 7.0, lambda: 1.7e9 + 12.0)
    log = Stood(last_t_s=LAUNCH_T_S + 600.0, written_s=1.7e9)
    assert gone_on(machine, 10.0, log).clocks().utc_s() == LAUNCH_T_S + 720.0
    ahead = Stood(last_t_s=LAUNCH_T_S + 600.0, written_s=1.7e9 + 99.0)
    assert gone_on(machine, 10.0, ahead).clocks().utc_s() == LAUNCH_T_S + 600.0
    with pytest.raises(InputError, match=r"--speed is 0 times"):
        gone_on(machine, 0.0, log)


def test_other_speeds_and_times_are_refused() -> None:
    clocks = Clocks(lambda: 0.0, lambda: 0.0)
    with pytest.raises(InputError, match=r"--speed is 1000 times; allowed: 0.1 to 100 times"):
        faster(clocks, 1000.0, LAUNCH_T_S)
    with pytest.raises(InputError):
        faster(clocks, 10.0, -1e12)
