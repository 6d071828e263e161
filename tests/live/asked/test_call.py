"""The call card: levels against figures computed elsewhere, place and moves by geometry."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.onward import last_s
from farglide.live.asked.call import call_now, height_of_m, level_at
from farglide.live.asked.situation import Situation
from farglide.live.asked.stands import lost_now
from farglide.live.asking import as_planned, situation_at
from farglide.sim.core.workers import in_one_go
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

from .conftest import GRAIN


def test_levels_and_heights_are_each_other_s_way_back(asked: Situation) -> None:
    for level in (50, 100, 330, 600):
        assert level_at(asked, height_of_m(asked, level)) == level
    assert 3000.0 < height_of_m(asked, 100) < 3200.0  # 10 000 ft of standard air are 3048 m


def test_the_next_levels_of_a_young_climb(sortie: Sortie, demo_sounding: Sounding) -> None:
    """Computed elsewhere, from the strip: level 100 at T+10.2, 200 at T+20.8, 330 at T+33.6."""
    launch = sortie.launch
    start = Fix(feed="a", lat_deg=launch.lat_deg, lon_deg=launch.lon_deg, t_s=launch.t_s,
                height_m=launch.amsl_m)  # fmt: skip
    planned = as_planned(sortie, Pack(flight_text="", sounding=demo_sounding), GRAIN, in_one_go)
    found = call_now(situation_at(planned, [start], launch.t_s))
    assert [one.level for one in found.levels] == [100, 200, 300, 400]
    told_min = [one.after_launch_s.p50 / 60.0 for one in found.levels]
    assert told_min[0] == pytest.approx(10.2, abs=1.0)
    assert told_min[1] == pytest.approx(20.8, abs=1.5)
    for one in found.levels:
        assert one.after_launch_s.p10 < one.after_launch_s.p50 < one.after_launch_s.p90
    assert found.from_launch_m < 1.0


def test_at_the_end_of_all_climbs_the_card_still_holds_numbers(asked: Situation) -> None:
    end_s = last_s(asked.ensemble) - 20.0
    late = replace(asked, advice=replace(asked.advice, after_launch_s=end_s, release=None))
    found, lost = call_now(late), lost_now(late)
    assert np.isfinite([found.climb_mps, found.moves_mps, found.moves_to_deg]).all()
    assert found.moves_mps < 60.0
    assert lost.later == ()


def test_high_up_no_level_of_theirs_is_left(asked: Situation) -> None:
    found, release = call_now(asked), asked.advice.release
    assert found.levels == ()
    assert found.level > 800
    assert found.from_launch_m == pytest.approx(56_600.0, abs=300.0)
    assert found.from_launch_deg == pytest.approx(130.0, abs=1.0)
    assert found.climb_mps == pytest.approx(8.3, abs=0.8)  # 28.3 km at T+80
    assert release is not None
    assert found.let_go_after_launch_s is not None
    assert found.let_go_after_launch_s[1] == release.release_by_after_launch_s
    home = asked.way_home(release.release_by_after_launch_s, asked.aim)
    assert home is not None
    assert home.timely is not None
    assert found.down_after_launch_s == pytest.approx(home.timely.told.down_after_launch_s)
    assert found.down_after_launch_s > home.over_field_s + 180.0  # soonest it is 300 m over it
    assert found.airspace == "held"
    assert any("tied" in one.what for one in found.unsteered)


def test_without_a_release_none_is_told(asked: Situation) -> None:
    found = call_now(replace(asked, advice=replace(asked.advice, release=None)))
    assert found.let_go_after_launch_s is None
    assert found.down_after_launch_s is None
