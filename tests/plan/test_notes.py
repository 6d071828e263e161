"""Notes: each assumption and limit is told when it holds, and only then."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.column import Sounding
from farglide.chances.stage import Stage, set_stage
from farglide.flightfile.flightfile import FlightFile
from farglide.plan.notes import ground_wind_mps, plan_notes
from farglide.sortie.grain import Asked
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def stage(sortie: Sortie, demo_sounding: Sounding) -> Stage:
    asked = Asked(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5)
    return replace(set_stage(sortie, demo_sounding, asked), ceiling_amsl_m=float("inf"))


@pytest.fixture
def pack(demo_sounding: Sounding) -> Pack:
    return Pack(sounding=replace(demo_sounding, notes=()))


def test_a_plain_plan_has_nothing_to_note(stage: Stage, pack: Pack) -> None:
    assert plan_notes(stage, pack) == ()


def test_what_the_reader_noted_comes_first(stage: Stage, pack: Pack) -> None:
    noted = replace(pack.sounding, notes=("two levels dropped", "humidity unknown"))
    other = replace(pack, sounding=noted, widening_ratio=2.345)
    found = plan_notes(stage, other)
    assert found[:2] == noted.notes
    assert "2.3 times as wide" in found[2]
    assert len(found) == 3


def test_wind_at_the_fill_beyond_the_limit(stage: Stage, pack: Pack) -> None:
    wind_mps = ground_wind_mps(stage)
    layers = stage.column.layers
    # 290 m: in the layer from 200 to 300 m
    assert wind_mps == np.hypot(layers.u_mps[0, 0], layers.v_mps[0, 0])
    for limit, n_notes in ((wind_mps + 0.1, 0), (wind_mps - 0.1, 1)):
        wish = replace(stage.sortie.wish, ground_wind_limit_mps=limit)
        other = replace(stage, sortie=replace(stage.sortie, wish=wish))
        found = plan_notes(other, pack)
        assert len(found) == n_notes
        assert all("wind at the fill" in note and f"{limit:g} m/s" in note for note in found)


def test_a_ceiling_below_the_top_is_told_in_km(stage: Stage, pack: Pack) -> None:
    (note,) = plan_notes(replace(stage, ceiling_amsl_m=27_340.0), pack)
    assert "above 27.3 km" in note


def test_balloons_that_never_burst_are_counted(stage: Stage, pack: Pack) -> None:
    never = stage.burst.after_launch_s.copy()
    never[:20] = np.nan
    (note,) = plan_notes(replace(stage, burst=stage.burst._replace(after_launch_s=never)), pack)
    assert note.startswith("4 in 10 of the drawn balloons never burst")
    one = stage.burst.after_launch_s.copy()
    one[0] = np.nan  # 2 in 100 are not worth a line
    assert plan_notes(replace(stage, burst=stage.burst._replace(after_launch_s=one)), pack) == ()


def test_a_stand_in_the_wood_is_asked_about(stage: Stage, pack: Pack) -> None:
    """The wood of the demo lies round 22 km east and 20 km south of home."""
    home, knap, gap = stage.sortie.stands
    lost = replace(knap, lat_deg=-46.68, lon_deg=108.3)
    sortie = replace(stage.sortie, stands=(home, lost, gap))
    (note,) = plan_notes(replace(stage, sortie=sortie), pack)
    assert note == "stand Wether Knap lies inside Gollan Wood, closed forest: is that meant?"
