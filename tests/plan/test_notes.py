"""Notes: each assumption and limit is told when it holds, and only then."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from farglide.air.sounding import Sounding
from farglide.atlas.terrain import Terrain
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.plan.notes import ground_wind_mps, plan_notes
from farglide.rig.listening import listening_of
from farglide.rig.winds import wind_words
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie


@pytest.fixture(scope="module")
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture(scope="module")
def ensemble(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    asked = Grain(n_draws=50, clock_s=60.0, prices_mps=(8.0,), slab=5)
    return with_ceiling(drawn_ensemble(sortie, demo_sounding, asked), float("inf"))


def with_ceiling(ensemble: Ensemble, amsl_m: float) -> Ensemble:
    return replace(ensemble, craft=replace(ensemble.craft, ceiling_amsl_m=amsl_m))


def with_bursts(ensemble: Ensemble, after_launch_s: NDArray[np.float64]) -> Ensemble:
    burst = ensemble.climbs.burst._replace(after_launch_s=after_launch_s)
    return replace(ensemble, climbs=replace(ensemble.climbs, burst=burst))


@pytest.fixture
def pack(demo_sounding: Sounding) -> Pack:
    return Pack(sounding=replace(demo_sounding, notes=()))


def test_a_plain_plan_has_nothing_to_note(ensemble: Ensemble, pack: Pack) -> None:
    (winds,) = plan_notes(ensemble, pack)
    assert winds == wind_words(ensemble.sortie, pack.sounding)
    assert winds.startswith("the winds are 0.7 h old: over deep layers they may be off by 1.7 m/s")


def test_what_the_reader_noted_comes_first(ensemble: Ensemble, pack: Pack) -> None:
    noted = replace(pack.sounding, notes=("two levels dropped", "humidity unknown"))
    other = replace(pack, sounding=noted)
    found = plan_notes(ensemble, other)
    assert found[:2] == noted.notes
    assert found[2].startswith("the winds are")
    assert len(found) == 3


def other_notes(ensemble: Ensemble, pack: Pack) -> list[str]:
    """Return the notes but that of the winds, which stands in every plan."""
    winds = wind_words(ensemble.sortie, pack.sounding)
    return [note for note in plan_notes(ensemble, pack) if note != winds]


def test_wind_at_the_fill(ensemble: Ensemble) -> None:
    wind_mps = ground_wind_mps(ensemble)
    layers = ensemble.air.column.layers
    # 290 m: in the layer from 200 to 300 m
    assert wind_mps == np.hypot(layers.u_mps[0, 0], layers.v_mps[0, 0])


def test_a_ceiling_below_the_top_is_told_in_km(ensemble: Ensemble, pack: Pack) -> None:
    (note,) = other_notes(with_ceiling(ensemble, 27_340.0), pack)
    assert "above 27.3 km" in note


def test_balloons_that_never_burst_are_counted(ensemble: Ensemble, pack: Pack) -> None:
    never = ensemble.climbs.burst.after_launch_s.copy()
    never[:20] = np.nan
    (note,) = other_notes(with_bursts(ensemble, never), pack)
    assert note.startswith("4 in 10 of the drawn balloons never burst")
    one = ensemble.climbs.burst.after_launch_s.copy()
    one[0] = np.nan  # 2 in 100 are not worth a line
    assert other_notes(with_bursts(ensemble, one), pack) == []


@pytest.fixture(scope="module")
def ground(sortie: Sortie) -> Terrain:
    terrain = gather_terrain(sortie)
    assert terrain is not None
    return terrain


@pytest.fixture(scope="module")
def hearing(ensemble: Ensemble, ground: Terrain) -> Ensemble:
    """Return the draws with ears over the ground."""
    return replace(ensemble, listening=listening_of(ensemble.sortie, ground))


def test_a_wide_hole_in_the_ground_is_told(hearing: Ensemble, pack: Pack, ground: Terrain) -> None:
    """14 posts each way are left open in the middle of a hole of 20, on the ridge."""
    heights = ground.heights_amsl_m.copy()
    down, right = np.unravel_index(np.argmax(heights), heights.shape)
    heights[down - 7 : down + 7, right - 7 : right + 7] = np.nan
    holed = replace(ground, heights_amsl_m=heights)
    (told,) = other_notes(hearing, replace(pack, terrain=holed))
    assert "has no height at" in told
    assert "less than 1 %" in told
