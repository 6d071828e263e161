"""Steered: a rehearsed crew that looks at the advice on its glide, and turns where it says so."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.ended import How
from farglide.live.rehearse.sitting import Sitting
from farglide.live.rehearse.steered import LOOK_S, steered, straight
from farglide.live.rehearse.truth import Truth
from farglide.outlook.after import Stage

FREE_S = 76.0 * 60.0


@pytest.fixture(scope="module")
def heard(sitting: Sitting) -> Sitting:
    sitting.hear(FREE_S)
    return sitting


def test_who_is_advised_well_flies_home_and_looks_on_the_way(heard: Sitting) -> None:
    found = steered(heard, 1, FREE_S, 0)
    assert found.flown.how is How.HOME
    assert found.turns == ()
    times = [one.t_s for one in found.looks]
    assert np.diff(times) == pytest.approx(LOOK_S)
    assert times[-1] > found.flown.path.end_s - 2.0 * LOOK_S
    advices = [one.advice for one in found.looks if one.advice is not None]
    assert len(advices) == len(times)
    assert {one.stage for one in advices} <= {Stage.GLIDING, Stage.DOWN}
    steers = [one.after.steer.field for one in advices if one.after and one.after.steer]
    assert set(steers) == {"Harrowend strip"}


def test_the_same_seed_flies_the_same(heard: Sitting) -> None:
    one, other = (steered(heard, 3, FREE_S, 0) for _ in range(2))
    assert [a.advice for a in one.looks] == [a.advice for a in other.looks]


def test_whose_field_is_out_of_reach_turns_to_one_that_is_not(
    planned: Ensemble, truth: Callable[..., Truth]
) -> None:
    # Let go for home in the middle of the climb, where home is shut: it turns to what is open.
    sitting = Sitting(planned, truth(planned), 1)
    sitting.hear(45.0 * 60.0)
    found = steered(sitting, 1, 45.0 * 60.0, 0)
    assert straight(sitting, 45.0 * 60.0, 0).flown.how is How.SHORT
    assert found.turns
    assert found.turns[0].field != 0
    assert found.flown.how is How.HOME  # on the field that it turned to
    assert found.flown.release_s == 45.0 * 60.0
    path = found.flown.path
    assert (np.diff(path.t_s) >= 0.0).all()
    assert path.at(45.0 * 60.0).amsl_m == pytest.approx(found.flown.release_amsl_m, abs=5.0)


def test_what_is_never_let_go_is_never_steered(heard: Sitting) -> None:
    found = steered(heard, 1, None, 0)
    assert (found.looks, found.turns) == ((), ())
    assert found.flown.how is How.REMAINS
    assert straight(heard, FREE_S, 0).looks == ()


def test_packs_that_end_end_the_looks(planned: Ensemble, truth: Callable[..., Truth]) -> None:
    one = truth(planned)
    sitting = Sitting(planned, replace(one, dead_s=FREE_S + 400.0, end_s=FREE_S + 200.0), 1)
    sitting.hear(FREE_S)
    found = steered(sitting, 1, FREE_S, 0)
    assert all(look.t_s < FREE_S + 400.0 for look in found.looks)
