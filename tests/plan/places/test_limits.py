"""Limits: what is taken away is gone, and nothing else has moved."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.chances.chances import chances_in
from farglide.chances.ensemble import Ensemble, drawn_ensemble, within_caps
from farglide.chances.heights import let_go, rules_of
from farglide.plan.places.limits import GROUPS, without
from farglide.rig.listening import listening_of
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def coarse(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    grain = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0, 40.0, 1000.0), slab=5)
    return replace(
        drawn_ensemble(sortie, demo_sounding, grain), listening=listening_of(sortie, terrain=None)
    )


def test_without_nothing_it_is_the_same(coarse: Ensemble) -> None:
    same = without(coarse, ())
    states = let_go(coarse, rules_of(coarse, 2000.0))
    one, other = (chances_in(each, states, coarse.goals) for each in (coarse, same))
    assert np.array_equal(one.open_ratio, other.open_ratio)


def test_without_speed_limits_pull_outs_and_ceiling_are_free(coarse: Ensemble) -> None:
    glider = replace(coarse.sortie.glider, top_mach=0.15, top_eas_mps=15.0)
    slow = without(replace(coarse, sortie=replace(coarse.sortie, glider=glider)), ())
    high_m = np.array([25e3])
    one = without(slow, ("mach",))
    assert one.craft.limits.top_mach == float("inf")
    assert one.sortie.glider.top_eas_mps == 15.0
    both = without(slow, GROUPS["speeds"])
    assert both.craft.ceiling_amsl_m == float("inf")
    assert within_caps(both, high_m).all()
    assert not within_caps(without(slow, ("mach",)), high_m).any()


def test_without_wind_the_air_is_calm_and_the_balloons_are_where_they_were(
    coarse: Ensemble,
) -> None:
    calm = without(coarse, ("wind",))
    assert not calm.air.column.layers.u_mps.any()
    assert not calm.air.column.layers.v_mps.any()
    assert coarse.air.column.layers.u_mps.any()
    assert calm.climbs is coarse.climbs


def test_without_packs_or_light_the_other_ends_the_flight(coarse: Ensemble) -> None:
    light_s = coarse.reach.light_end_s
    assert (without(coarse, ("packs",)).reach.haste.end_s == light_s).all()
    packs_s = without(coarse, ("light",)).reach.haste.end_s
    assert np.array_equal(packs_s, coarse.draws.pack_end_s)
    assert np.isinf(without(coarse, GROUPS["time"]).reach.haste.end_s).all()


def test_without_a_purpose_its_links_are_not_needed(coarse: Ensemble) -> None:
    assert coarse.listening is not None
    assert coarse.listening.needed == ("command", "picture")
    for gone, left in (("command", ("picture",)), ("picture", ("command",))):
        found = without(coarse, (gone,)).listening  # type: ignore[arg-type]
        assert found is not None
        assert found.needed == left
    none = without(coarse, GROUPS["links"]).listening
    assert none is not None
    assert none.needed == ()
