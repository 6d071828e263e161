"""Parted: by marks, and without any by how it came down."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.lifted import lifted
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.truth import truth_of
from farglide.review.flown import Flown, Marked, What
from farglide.review.parted import Parted, lift_off_t_s, parted
from farglide.track.reports import Fix

from .made import Made, flight, without_marks

LET_GO_S = 4500.0


def parts_of(planned: Ensemble, flown: Flown) -> Parted:
    return parted(flown, planned.sortie.launch, planned.air.scene)


def test_marks_cut_a_flight(planned: Ensemble, as_told: Made) -> None:
    found = parts_of(planned, as_told.flown)
    assert (found.ended, found.why) == ("released", "marked")
    assert found.until_s == pytest.approx(LET_GO_S, abs=10.0)
    assert found.freed.t_s[0] > LET_GO_S - 10.0
    assert len(found.whole.t_s) == len(found.carried.t_s) + len(found.freed.t_s)
    assert float(found.landed.amsl_m[0]) < 600.0


def test_a_mark_typed_late_is_laid_to_the_top(planned: Ensemble, as_told: Made) -> None:
    launch_t_s = planned.sortie.launch.t_s
    late = (Marked(t_s=launch_t_s + LET_GO_S + 100.0, what=What.RELEASED),)
    found = parts_of(planned, replace(as_told.flown, marked=late))
    assert found.until_s == pytest.approx(LET_GO_S, abs=15.0)


@pytest.mark.parametrize("late_s", [240.0, 600.0])
def test_a_mark_typed_minutes_late_is_laid_to_the_top_of_the_fall(
    planned: Ensemble, as_told: Made, late_s: float
) -> None:
    launch_t_s = planned.sortie.launch.t_s
    late = (Marked(t_s=launch_t_s + LET_GO_S + late_s, what=What.RELEASED),)
    found = parts_of(planned, replace(as_told.flown, marked=late))
    assert found.ended == "released"  # and not afloat, for the glide that came before the mark
    assert found.until_s == pytest.approx(LET_GO_S, abs=15.0)
    assert found.why == f"marked {late_s / 60.0:.0f} min after it began to fall"


def test_without_a_mark_the_way_down_tells_a_glide_from_a_fall(
    planned: Ensemble, as_told: Made
) -> None:
    glided = parts_of(planned, without_marks(as_told.flown))
    assert glided.ended == "released"
    assert glided.why.startswith("by the fixes: it sank at")
    fell = flight(planned, Changes(), 0, None)
    found = parts_of(planned, without_marks(fell.flown))
    assert found.ended == "burst"
    assert found.why.startswith("by the fixes: it fell at")


def test_a_release_marked_after_a_burst_nobody_marked_makes_no_float_of_it(
    planned: Ensemble,
) -> None:
    fell = flight(planned, Changes(), 0, None)
    launch_t_s, alone = planned.sortie.launch.t_s, without_marks(fell.flown)
    burst = parts_of(planned, alone)
    assert burst.until_s is not None
    loose = (Marked(t_s=launch_t_s + burst.until_s + 400.0, what=What.RELEASED),)
    found = parts_of(planned, replace(alone, marked=loose))
    assert (found.ended, found.until_s, found.top_m) == ("burst", burst.until_s, burst.top_m)
    assert found.why.endswith("as at sea level, before it was let go")


def test_a_flight_cut_off_is_still_carried(planned: Ensemble, as_told: Made) -> None:
    half = [one for one in as_told.flown.fixes
            if (one.t_s or 0.0) < planned.sortie.launch.t_s + 2000.0]  # fmt: skip
    found = parts_of(planned, Flown(path="", is_log=True, is_finished=False, fixes=tuple(half)))
    assert found.ended == "still carried"
    assert not len(found.freed.t_s)
    sent = Marked(t_s=planned.sortie.launch.t_s + 1990.0, what=What.SENT)
    found = parts_of(planned, Flown(path="", is_log=True, is_finished=False, fixes=tuple(half),
                                    marked=(sent,)))  # fmt: skip
    assert found.why == "the release was sent, and nothing seen after it"


def test_a_leak_is_a_float_and_no_burst(planned: Ensemble) -> None:
    changes = Changes(leak_ratio_ps=0.0008, leak_from_s=2280.0)
    lift = lifted(truth_of(planned, changes, 0))
    assert np.isnan(lift.burst_s)
    leaking = flight(planned, changes, 0, lift.tops_s + 150.0)
    found = parts_of(planned, leaking.flown)
    assert found.ended == "topped"
    assert "hardly climbed" in found.why


def test_without_a_fix_nothing_is_known(planned: Ensemble) -> None:
    found = parts_of(planned, Flown(path="", is_log=True, is_finished=True, fixes=()))
    assert (found.ended, found.top_m, found.until_s) == ("not seen", None, None)


def test_a_fall_that_few_fixes_show_is_taken_for_a_release(planned: Ensemble) -> None:
    launch = planned.sortie.launch
    fixes = tuple(
        Fix(feed="t", lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, t_s=launch.t_s + t_s,
            height_m=z)
        for t_s, z in ((0.0, 240.0), (1000.0, 5000.0), (2000.0, 10_000.0), (4000.0, 2000.0))
    )  # fmt: skip
    found = parts_of(planned, Flown(path="", is_log=False, is_finished=True, fixes=fixes))
    assert found.ended == "released"
    assert "too few fixes" in found.why


def test_a_track_leaves_the_ground_where_its_climb_begins(as_told: Made, planned: Ensemble) -> None:
    launch = planned.sortie.launch
    waits = tuple(replace(as_told.flown.fixes[0], t_s=launch.t_s - 600.0 + 10.0 * k)
                  for k in range(60))  # fmt: skip
    found = lift_off_t_s((*waits, *as_told.flown.fixes), launch.amsl_m)
    assert found == pytest.approx(launch.t_s, abs=15.0)
    assert lift_off_t_s(waits, launch.amsl_m) is None
    assert np.isfinite(found)
