"""Asking: from fixes of any kind to advice, and what cannot be answered."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.ensemble import Ensemble, plain_ensemble
from farglide.earth.state import place_deg
from farglide.errors import InputError
from farglide.live.asking import advice_at, as_planned, by_plan, place_sd_m, thinned
from farglide.outlook.advice import Level
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix, HeightKind

GRAIN = Grain(n_draws=100, clock_s=60.0, prices_mps=(8.0,), slab=5)


@pytest.fixture(scope="module")
def planned(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    bare = replace(sortie, links=(), stands=())
    return as_planned(bare, Pack(flight_text="", sounding=demo_sounding), GRAIN, in_one_go)


@pytest.fixture(scope="module")
def fixes(planned: Ensemble, demo_sounding: Sounding) -> list[Fix]:
    """Return fixes of the error-free climb, one each half minute for an hour."""
    fine = Grain(clock_s=30.0, prices_mps=(8.0,), slab=5)
    tracks = plain_ensemble(planned.sortie, demo_sounding, fine).climbs.tracks
    launch = planned.sortie.launch
    found = []
    for k in range(121):
        offset = float(tracks.north_rad[0, k]), float(tracks.east_rad[0, k])
        lat_deg, lon_deg = place_deg(launch, *offset)
        found.append(
            Fix(feed="glider", lat_deg=lat_deg, lon_deg=lon_deg, t_s=launch.t_s + 30.0 * k,
                height_m=float(tracks.amsl_m[0, k]))
        )  # fmt: skip
    return found


def test_only_what_had_come_by_then_counts(planned: Ensemble, fixes: list[Fix]) -> None:
    t_s = planned.sortie.launch.t_s + 1800.0
    found = advice_at(planned, fixes, t_s)
    assert found == advice_at(planned, fixes[:61], t_s)
    assert found.after_launch_s == found.place.seen_after_launch_s == 1800.0
    assert found.place.amsl_m == pytest.approx(fixes[60].height_m, abs=1.0)
    assert found.level in (Level.WATCH, Level.QUIET)


def test_other_kinds_of_height_and_order_tell_the_same(planned: Ensemble, fixes: list[Fix]) -> None:
    t_s = planned.sortie.launch.t_s + 1800.0
    other = [
        replace(one, height_m=(one.height_m or 0.0) + 20.0, separation_m=20.0,
                height_kind=HeightKind.ELLIPSOID)
        for one in reversed(fixes)
    ]  # fmt: skip
    found, wanted = (advice_at(planned, some, t_s) for some in (other, fixes))
    assert found.place.amsl_m == pytest.approx(wanted.place.amsl_m, abs=1e-6)
    assert found.burst == wanted.burst


def test_an_old_fix_is_carried_forward_and_a_lost_one_refused(
    planned: Ensemble, fixes: list[Fix]
) -> None:
    launch_t_s = planned.sortie.launch.t_s
    later = advice_at(planned, fixes, launch_t_s + 4000.0)
    assert later.place.seen_after_launch_s == 3600.0
    assert later.place.most_within_m > 50.0
    with pytest.raises(InputError, match=r"--at is .* s after the launch; allowed: up to \d+ s"):
        advice_at(planned, fixes, launch_t_s + 30_000.0)


def test_without_a_fix_nothing_is_advised(planned: Ensemble, fixes: list[Fix]) -> None:
    flat = [replace(one, height_m=None) for one in fixes]
    early = planned.sortie.launch.t_s - 60.0
    for some, at_s in ((flat, early + 4000.0), (fixes, early), ([], early)):
        with pytest.raises(InputError, match=r"fixes is none; allowed: one with a height"):
            advice_at(planned, some, at_s)


def test_each_wait_is_of_the_same_draws(planned: Ensemble, fixes: list[Fix]) -> None:
    t_s = planned.sortie.launch.t_s + 3000.0
    first, again = (advice_at(planned, fixes, t_s) for _ in range(2))
    assert first == again
    assert np.all([one.burst_ratio >= 0.0 for one in first.waiting])


def test_of_fast_fixes_one_a_second_and_the_newest_count(fixes: list[Fix]) -> None:
    t_s = fixes[0].t_s or 0.0
    fast = [replace(fixes[0], t_s=t_s + 0.2 * k) for k in range(13)]
    told_s = [round((one.t_s or 0.0) - t_s, 1) for one in thinned(reversed(fast))]
    assert told_s == [0.0, 1.0, 2.0, 2.4]
    assert thinned([replace(fixes[0], t_s=None)]) == ()


def test_the_error_of_a_fix_grows_with_what_the_other_car_told(fixes: list[Fix]) -> None:
    told = [replace(one, feed="over") for one in fixes[:4]]
    assert place_sd_m(fixes[:4]) == 10.0
    assert place_sd_m(told) == pytest.approx(100.0 / 12.0**0.5)
    assert 10.0 < place_sd_m([*fixes[:4], *told]) < 28.9


def test_a_height_alone_is_placed_by_the_plan(planned: Ensemble, fixes: list[Fix]) -> None:
    there = fixes[60]
    fix, within_m = by_plan(planned, there.height_m or 0.0, 7.0)
    assert fix.t_s == 7.0
    assert fix.lat_deg == pytest.approx(there.lat_deg, abs=0.05)
    assert fix.lon_deg == pytest.approx(there.lon_deg, abs=0.05)
    assert 500.0 < within_m < 30_000.0
    with pytest.raises(InputError, match="height is 45000 m; allowed: up to about"):
        by_plan(planned, 45_000.0, 7.0)
