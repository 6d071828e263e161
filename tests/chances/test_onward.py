"""Onward: draws between the moments of their clock, and moved to where the balloon was seen."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.advising import advice_now, advisable
from farglide.chances.ensemble import Ensemble, plain_ensemble
from farglide.chances.informed import Informed, informed
from farglide.chances.onward import last_moment, last_s, seen_of, states_from
from farglide.errors import InputError
from farglide.sortie.grain import Grain
from farglide.track.drift import Been

SEEN_S = 3607.0  # between two moments of the clock


@pytest.fixture(scope="module")
def flown(heard_demo: Ensemble, demo_sounding: Sounding) -> Been:
    fine = Grain(clock_s=10.0, prices_mps=(8.0,), slab=5)
    tracks = plain_ensemble(heard_demo.sortie, demo_sounding, fine).climbs.tracks
    t_s = np.append(np.arange(0.0, 3600.0, 10.0), SEEN_S)
    clock_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    return Been(t_s, *(np.interp(t_s, clock_s, one[0]) for one in tracks.places))


@pytest.fixture(scope="module")
def known(heard_demo: Ensemble, flown: Been) -> Informed:
    return informed(heard_demo, flown, 5.0, 7800.0)


def test_between_two_moments_of_the_clock_it_is_where_it_was_seen(
    known: Informed, flown: Been
) -> None:
    """To 30 m: a straight line back from the next moment, by when it has drifted 900 m."""
    found = seen_of(known, SEEN_S)
    assert found.after_launch_s == SEEN_S
    assert found.amsl_m == pytest.approx(flown.amsl_m[-1], abs=15.0)
    for one, at in ((found.north_rad, flown.north_rad[-1]), (found.east_rad, flown.east_rad[-1])):
        assert one == pytest.approx(at, abs=30.0 / 6.37e6)


def test_all_draws_are_at_a_newer_fix_and_go_on_from_it_as_they_did(known: Informed) -> None:
    old = seen_of(known, SEEN_S)
    newer = old._replace(after_launch_s=SEEN_S + 60.0, amsl_m=old.amsl_m + 400.0,
                         north_rad=old.north_rad + 1e-5)  # fmt: skip
    found = states_from(known.ensemble, newer, newer.after_launch_s + np.array([0.0, 120.0]))
    assert found.amsl_m[:, 0] == pytest.approx(newer.amsl_m, abs=1e-6)
    assert found.north_rad[:, 0] == pytest.approx(newer.north_rad, abs=1e-12)
    assert found.burst_ratio[:, 0] == pytest.approx(0.0, abs=1e-12)
    plain = states_from(known.ensemble, old, newer.after_launch_s + np.array([0.0, 120.0]))
    climbed = found.amsl_m[:, 1] - found.amsl_m[:, 0]
    assert climbed == pytest.approx(plain.amsl_m[:, 1] - plain.amsl_m[:, 0], abs=1e-6)
    assert 300.0 < float(np.nanmedian(climbed)) < 1200.0


def test_a_burst_is_told_given_that_it_is_whole_at_the_fix(known: Informed) -> None:
    ensemble, seen = known.ensemble, seen_of(known, SEEN_S)
    t_s = np.array([4860.0, 4980.0])
    whole = 1.0 - states_from(ensemble, seen, t_s).burst_ratio
    later = seen._replace(after_launch_s=4860.0)
    given = states_from(ensemble, later, t_s).burst_ratio
    flying = np.isfinite(given).all(axis=1) & (whole[:, 0] > 0.01)
    assert flying.sum() > 10
    wanted = 1.0 - whole[flying, 1] / whole[flying, 0]
    assert given[flying, 1] == pytest.approx(wanted, abs=1e-9)


def test_nothing_is_above_the_air(known: Informed) -> None:
    seen = seen_of(known, SEEN_S)._replace(amsl_m=46_900.0)
    found = states_from(known.ensemble, seen, np.array([SEEN_S + 300.0]))
    assert np.nanmax(found.amsl_m) <= known.ensemble.air.column.edges_amsl_m[-1]


def test_the_end_is_that_of_the_last_draw(known: Informed) -> None:
    tracks = known.ensemble.climbs.tracks
    last = last_moment(known.ensemble)
    assert np.isfinite(tracks.amsl_m[:, last]).any()
    assert np.isnan(tracks.amsl_m[:, last + 1 :]).all()
    assert last_s(known.ensemble) == tracks.step_s * last


def test_tables_of_a_while_ago_say_nearly_what_new_ones_would(known: Informed) -> None:
    """Half a minute later, the same climb: the chances of both are alike."""
    now_s = SEEN_S + 30.0
    old = advice_now(advisable(known, SEEN_S), seen_of(known, SEEN_S), now_s)
    new = advice_now(advisable(known, now_s), seen_of(known, SEEN_S), now_s)
    for a, b in zip(old.fields, new.fields, strict=True):
        assert a.open_ratio == b.open_ratio
        assert a.state == b.state
    assert old.release is not None
    assert new.release is not None
    assert old.release.to_amsl_m == pytest.approx(new.release.to_amsl_m, abs=500.0)


def test_climbs_that_are_over_in_every_draw_say_so(known: Informed) -> None:
    ensemble = known.ensemble
    tracks = ensemble.climbs.tracks
    gone = tracks._replace(amsl_m=np.full_like(tracks.amsl_m, np.nan))
    down = replace(ensemble, climbs=replace(ensemble.climbs, tracks=gone))
    with pytest.raises(InputError, match=r"the climb is over in every draw; .* farglide search"):
        last_s(down)
