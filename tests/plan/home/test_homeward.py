"""Homeward: the error-free flights end at the field, in the time they are said to take."""

from dataclasses import replace
from typing import Final

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.case import with_plain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.home.homeward import homeward, spare_m
from farglide.sim.core.release import field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.fly.passage import Passage
from farglide.sortie.grain import Grain
from farglide.sortie.known import Known
from farglide.sortie.spec import Sortie

HOME, TANSY, BRACKMOOR, CORRAND = range(4)
SHUT_MIN: Final = 45.0


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


def at_min(ensemble: Ensemble, minutes: float) -> int:
    return round(60.0 * minutes / ensemble.climbs.tracks.step_s)


def miss_m(ensemble: Ensemble, path: Passage, field: int) -> float:
    goal = field_offset(ensemble.goals, field)
    end = Offset(float(path.north_rad[-1]), float(path.east_rad[-1]))
    return float(np.hypot(*apart_m(ensemble.air.scene.frame, end, goal)))


@pytest.mark.parametrize("minutes", [10.0, 66.0, 72.0, 76.0, 82.0])
@pytest.mark.parametrize("field", [HOME, TANSY, BRACKMOOR, CORRAND])
def test_both_flights_end_at_the_field_when_they_say(
    plain: Ensemble, field: int, minutes: float
) -> None:
    found = homeward(plain, at_min(plain, minutes), field)
    if found is None:  # at T+10 the far fields are still ahead
        assert minutes < 20.0
        assert np.isnan(spare_m(plain, at_min(plain, minutes), field))
        return
    quick, flat = found.quickest, found.flattest
    assert miss_m(plain, quick, field) < 1000.0
    assert miss_m(plain, flat, field) < 1000.0
    ground = float(plain.goals.ground_amsl_m[field])
    assert quick.amsl_m[-1] == pytest.approx(ground + 300.0)
    assert flat.amsl_m[-1] == pytest.approx(ground + found.spare_m)
    assert found.over_field_s == pytest.approx(float(quick.after_s[-1]), abs=10.0)
    # down at once is never later than over the field high up and then circled off
    assert found.over_field_s < found.flattest_down_s
    assert found.spiral_down_s is not None
    assert found.flattest.after_s[-1] < found.spiral_down_s < found.flattest_down_s
    timely = found.timely
    ends_s = (found.flattest_down_s, found.spiral_down_s)
    if timely is None:  # circled down or in the spiral, as it ends in time
        assert min(abs(found.down_s - one) for one in ends_s) < 1e-6
    else:
        assert found.down_s == pytest.approx(timely.told.down_after_launch_s)
    for path in (quick, flat):
        assert (np.diff(path.after_s) > 0.0).all()
        assert (np.diff(path.amsl_m) < 0.0).all()
        assert path.eas_mps.max() <= plain.craft.limits.top_eas_mps + 1e-9


def test_the_independent_times_of_the_demo(sortie: Sortie, demo_sounding: Sounding) -> None:
    # computed by tests/by_hand in simplified laws: released at T+76 the most spare
    # height, 15.9 km, is over home at T+102.4; docs/why/0004-compared.rst tells what the laws do
    launch, glider = (
        replace(sortie.launch, amsl_m=0.0),
        replace(sortie.glider, speed_margin_ratio=0.0),
    )
    low = replace(sortie, launch=launch, glider=glider)
    asked = Grain(n_draws=50, prices_mps=(8.0,), slab=5, slowing=False)
    plain = with_plain(drawn_ensemble(low, demo_sounding, asked)).plain
    found = homeward(plain, at_min(plain, 76.0), HOME)
    assert found is not None
    assert found.spare_m / 1e3 == pytest.approx(15.9, rel=0.02)
    assert found.flattest.after_s[-1] / 60.0 == pytest.approx(102.4, abs=1.0)


@pytest.mark.parametrize("minutes", [66.0, 72.0, 76.0, 80.0])
@pytest.mark.parametrize("spirals", [True, False])
def test_the_flight_in_time_leaves_all_the_height_the_packs_allow(
    plain: Ensemble, sortie: Sortie, minutes: float, spirals: bool
) -> None:
    glider = sortie.glider if spirals else replace(sortie.glider, spiral_sink_eas_mps=None)
    ensemble = replace(plain, sortie=replace(sortie, glider=glider))
    moment, end_s = at_min(ensemble, minutes), float(ensemble.reach.haste.end_s[0])
    found = homeward(ensemble, moment, HOME)
    assert found is not None
    ends_s = found.spiral_down_s if spirals else found.flattest_down_s
    assert ends_s is not None
    assert ends_s > end_s  # in the demo the flattest way always outlasts the packs
    timely = found.timely
    assert timely is not None
    assert timely.told.down.firm_spiral is spirals
    assert found.down == timely.told.down
    # it ends at the end of the packs, neither later nor much earlier, and at the field
    assert end_s - 90.0 < timely.told.down_after_launch_s <= end_s
    assert miss_m(ensemble, timely.passage, HOME) < 1000.0
    assert 300.0 <= timely.told.spare_m < found.spare_m
    assert timely.told.over_field_after_launch_s < timely.told.down_after_launch_s
    # more time allows more height
    haste = ensemble.reach.haste._replace(end_s=ensemble.reach.haste.end_s + 600.0)
    longer = replace(ensemble, reach=replace(ensemble.reach, haste=haste))
    later = homeward(longer, moment, HOME)
    assert later is not None
    most_m = found.spare_m if later.timely is None else later.timely.told.spare_m
    assert most_m > timely.told.spare_m + 0.5 * min(found.spare_m - timely.told.spare_m, 500.0)


def test_there_is_no_flight_in_time_where_none_is_needed_or_none_exists(plain: Ensemble) -> None:
    moment = at_min(plain, 76.0)
    found = homeward(plain, moment, HOME)
    assert found is not None
    for end_s in (found.flattest_down_s + 60.0, found.over_field_s - 60.0):
        haste = plain.reach.haste._replace(end_s=np.full_like(plain.reach.haste.end_s, end_s))
        ending = replace(plain, reach=replace(plain.reach, haste=haste))
        other = homeward(ending, moment, HOME)
        assert other is not None
        assert other.timely is None


def test_out_of_reach_there_is_no_flight(plain: Ensemble) -> None:
    # home is shut from T+28.5 to T+62.5
    assert homeward(plain, at_min(plain, SHUT_MIN), HOME) is None
    assert np.isnan(spare_m(plain, at_min(plain, SHUT_MIN), HOME))
    last = int(np.nonzero(np.isnan(plain.climbs.tracks.amsl_m[0]))[0][0])
    assert homeward(plain, last, HOME) is None


def test_a_spiral_is_told_only_where_it_was_timed(plain: Ensemble, sortie: Sortie) -> None:
    moment = at_min(plain, 76.0)
    untimed = replace(sortie, glider=replace(sortie.glider, spiral_sink_eas_mps=None))
    found = homeward(replace(plain, sortie=untimed), moment, HOME)
    assert found is not None
    assert found.spiral_down_s is None
    slow, fast = (
        homeward(
            replace(
                plain,
                sortie=replace(
                    sortie,
                    glider=replace(sortie.glider, spiral_sink_eas_mps=Known(value=sink)),
                ),
            ),
            moment,
            HOME,
        )
        for sink in (4.5, 9.0)
    )
    assert slow is not None
    assert fast is not None
    assert slow.spiral_down_s is not None
    assert fast.spiral_down_s is not None
    # twice the sink takes half the time, but in the jet, faced faster than the slow one sinks
    down = slow.spiral_down_s - slow.flattest.after_s[-1]
    halved = 2.0 * (fast.spiral_down_s - fast.flattest.after_s[-1])
    assert 0.99 * halved < down < halved
