"""Sitting: what is heard and advised before the release, the same for whoever asks."""

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.sent import TRACKER, Ground, Receiver, moments_s
from farglide.live.rehearse.sitting import MOST_LOOK_S, Believed, Sitting
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import Truth

from .conftest import Blind

Make = Callable[..., Truth]


def test_it_hears_where_the_balloon_is(sitting: Sitting) -> None:
    for t_s in (300.0, 1500.0):
        height_m = sitting.height_m(t_s)
        assert height_m == pytest.approx(sitting.lift.path.at(t_s).amsl_m, abs=60.0)
    assert sitting.height_m(-40.0) == pytest.approx(240.0, abs=25.0)
    assert not sitting.is_seen_falling(1500.0)


def test_looks_come_more_often_as_the_release_comes_near(sitting: Sitting) -> None:
    looks = sitting.looks(4200.0)
    waits = [b.t_s - a.t_s for a, b in pairwise(looks)]
    assert waits[0] == MOST_LOOK_S
    assert waits == sorted(waits, reverse=True)
    assert all(one.advice is not None for one in looks)
    assert sitting.look(looks[1].t_s + 1.0) == looks[1]
    assert sitting.look(10.0) is None


def test_who_asks_later_gets_the_same(sitting: Sitting, planned: Ensemble, truth: Make) -> None:
    again = Sitting(planned, truth(planned), 1)
    assert again.looks(900.0) == sitting.looks(900.0)
    assert again.height_m(800.0) == sitting.height_m(800.0)


def test_after_a_burst_nothing_is_advised(planned: Ensemble, truth: Make) -> None:
    made = truth(planned)
    small = made.drawn.swarm._replace(burst_diameter_m=made.drawn.swarm.burst_diameter_m * 0.4)
    low = Blind(planned, replace(made, drawn=made.drawn._replace(swarm=small)), 1)
    burst_s = low.lift.burst_s
    assert burst_s < 3000.0
    assert not low.is_seen_falling(burst_s)
    assert low.is_seen_falling(burst_s + 20.0)
    assert low.looks(burst_s + 600.0)[-1].t_s <= burst_s + 20.0


def believed(planned: Ensemble, truth: Make, changes: Changes) -> Believed:
    """Return what is believed of ten minutes of a climb."""
    path = Sitting(planned, truth(planned), 1).lift.path
    receiver = Receiver(TRACKER, Ground(planned.sortie.launch, planned.air.scene), 1)
    found = Believed(planned)
    for t_s in moments_s(600.0):
        if (raw := receiver.tell(t_s, path, changes)) is not None:
            found.take(raw)
    return found


def test_odd_fixes_are_left_out_and_a_wrong_clock_is_set(planned: Ensemble, truth: Make) -> None:
    plain = believed(planned, truth, Changes())
    assert plain.n_odd == 0
    assert len(plain.fixes) > 300
    assert -8.0 < plain.sinks_mps() < -4.0
    north = believed(planned, truth, Changes(loses_sign=True))
    assert not north.fixes
    assert north.n_odd == len(plain.fixes)
    late = believed(planned, truth, Changes(clock_off_s=60.0))
    times = [[one.t_s for one in each.fixes] for each in (plain, late)]
    assert times[0] == pytest.approx(times[1])


def test_digits_in_the_picture_go_on_where_the_tracker_ends(planned: Ensemble, truth: Make) -> None:
    made = Sitting(planned, truth(planned, "comma-digits"), 1)
    made.hear(1800.0)
    late = [one for one in made.believed.fixes if (one.t_s or 0.0) > made_t_s(made, 1200.0)]
    apart = {round((b.t_s or 0.0) - (a.t_s or 0.0)) for a, b in pairwise(late)}
    assert (len(late), apart) == (10, {60})
    assert all(one.lat_deg < 0.0 for one in late)
    assert made.height_m(1800.0) == pytest.approx(made.lift.path.at(1800.0).amsl_m, abs=40.0)


def made_t_s(made: Sitting, after_launch_s: float) -> float:
    return made.planned.sortie.launch.t_s + after_launch_s
