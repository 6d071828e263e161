"""Stories on the ground: as the plan's own fall, as a glide by hand, and onto the terrain."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.terrain import Terrain, height_amsl_m
from farglide.chances.ensemble import Ensemble
from farglide.chances.falls import HANDS_OFF, TANGLED, falls_of, glider_falls
from farglide.earth.geodesy import distances_m, east_north_m
from farglide.earth.state import Place, offset_rad
from farglide.errors import ContradictionError, InputError
from farglide.search.datum import LastSeen
from farglide.search.points import GroundPoints
from farglide.search.stories import (
    STRAIGHT,
    USUAL,
    glide_drift_m,
    glide_ratio,
    ground_points,
    last_ground_m,
    surface_wind,
)
from farglide.sim.fly.descend import descend

from .conftest import at_height


def alone(ensemble: Ensemble, last: LastSeen, name: str) -> GroundPoints:
    return ground_points(ensemble, None, last, {name: 1.0})


def without_errors(ensemble: Ensemble) -> Ensemble:
    """Return the ensemble in the air as it was forecast, each glider as good as the mean."""
    draws = ensemble.draws
    names = ("home_east_mps", "home_north_mps", "rise_mps")
    still = {name: np.zeros_like(getattr(draws.swarm, name)) for name in names}
    alike = np.full_like(draws.glide_factor, draws.glide_factor.mean())
    swarm = draws.swarm._replace(**still)
    return replace(ensemble, draws=draws._replace(swarm=swarm, glide_factor=alike))


@pytest.mark.parametrize("agl_m", [120.0, 20_000.0])
def test_hands_off_it_lands_where_the_plan_has_it(
    ensemble: Ensemble, last: LastSeen, agl_m: float
) -> None:
    """Draw by draw, from the place itself: the fall of the plan, straight lines between moments."""
    home_m, launch = ensemble.sortie.fields[0].amsl_m, ensemble.sortie.launch
    last = at_height(last, home_m + agl_m)
    found = alone(ensemble, last, HANDS_OFF)
    start = (
        last.t_s - launch.t_s, last.place.amsl_m,
        *offset_rad(launch, last.place.lat_deg, last.place.lon_deg),
    )  # fmt: skip
    starts = np.tile(start, (100, 1))
    fall = glider_falls(ensemble)[0]
    swarm, scene = ensemble.draws.swarm, ensemble.air.scene
    ends = descend(scene, swarm, falls_of(ensemble, fall, starts))
    assert found.down_t_s - launch.t_s == pytest.approx(ends[:, 0], abs=2.0)
    lat = launch.lat_deg + np.degrees(ends[:, 2])
    lon = launch.lon_deg + np.degrees(ends[:, 3])
    assert found.lat_deg == pytest.approx(lat, abs=2e-4)
    assert found.lon_deg == pytest.approx(lon, abs=3e-4)


def test_straight_on_fills_the_circle_of_its_glide(ensemble: Ensemble, last: LastSeen) -> None:
    """Even over the area: half of it within 0.71 of the radius, about the drift of the glide."""
    ground_m = last_ground_m(ensemble, None, last)
    ratio = glide_ratio(ensemble, last.place.amsl_m, ground_m)
    drift = glide_drift_m(ensemble, last.place.amsl_m, ground_m)
    found = alone(without_errors(ensemble), last, STRAIGHT)
    at = [
        east_north_m(last.place, Place(lat_deg=lat, lon_deg=lon, amsl_m=0.0))
        for lat, lon in zip(found.lat_deg.tolist(), found.lon_deg.tolist(), strict=True)
    ]
    off_m = np.array([np.hypot(e - drift.east_m, n - drift.north_m) for e, n in at])
    assert np.median(off_m) == pytest.approx(np.sqrt(0.5) * 120.0 * ratio, rel=0.12)
    assert off_m.max() < 1.02 * 120.0 * ratio


def test_a_heading_keeps_it_ahead(ensemble: Ensemble, last: LastSeen) -> None:
    """30 degrees to each side of north, but for the wind."""
    found = alone(without_errors(ensemble), replace(last, heading_deg=0.0), STRAIGHT)
    drift = glide_drift_m(ensemble, last.place.amsl_m, last_ground_m(ensemble, None, last))
    at = [
        east_north_m(last.place, Place(lat_deg=lat, lon_deg=lon, amsl_m=0.0))
        for lat, lon in zip(found.lat_deg.tolist(), found.lon_deg.tolist(), strict=True)
    ]
    turns = np.degrees([np.arctan2(e - drift.east_m, n - drift.north_m) for e, n in at])
    assert np.abs(turns).max() < 31.5
    assert np.abs(turns).max() > 27.0


def test_steeper_stories_end_nearer(ensemble: Ensemble, last: LastSeen) -> None:
    found = ground_points(ensemble, None, at_height(last, 20_000.0))
    radii = {name: found.radius_m(0.5, k) for k, name in enumerate(found.names)}
    middles = {
        name: float(distances_m(last.place, *(np.array([v]) for v in found.middle(k)))[0])
        for k, name in enumerate(found.names)
    }
    assert middles[TANGLED] < middles[HANDS_OFF]
    assert radii[TANGLED] < radii[STRAIGHT]
    assert found.story_ratio == pytest.approx([USUAL[name] for name in found.names])


def test_it_lies_on_the_terrain(ensemble: Ensemble, terrain: Terrain, last: LastSeen) -> None:
    """Over the ridge it meets the ground sooner than at the height of home."""
    ridge = Place(lat_deg=-46.5892, lon_deg=108.1646, amsl_m=2000.0)
    high = replace(last, place=ridge)
    flat = ground_points(ensemble, None, high, {TANGLED: 1.0})
    found = ground_points(ensemble, terrain, high, {TANGLED: 1.0})
    ground_m = height_amsl_m(terrain, found.lat_deg, found.lon_deg)
    assert ground_m.max() > 300.0
    assert found.down_t_s.mean() < flat.down_t_s.mean() - 3.0


def test_the_same_question_gets_the_same_answer(ensemble: Ensemble, last: LastSeen) -> None:
    one, other = (ground_points(ensemble, None, last) for _ in range(2))
    assert (one.lat_deg == other.lat_deg).all()


def test_the_spread_of_the_last_place_counts(ensemble: Ensemble, last: LastSeen) -> None:
    near = alone(ensemble, last, TANGLED).radius_m(0.5)
    wide = alone(ensemble, replace(last, spread_m=500.0), TANGLED).radius_m(0.5)
    assert wide == pytest.approx(500.0 * np.sqrt(np.log(4.0)), rel=0.25)
    assert near < 0.2 * wide


def test_surface_wind_is_that_of_the_lowest_layer(ensemble: Ensemble) -> None:
    layers, wind = ensemble.air.scene.layers, surface_wind(ensemble)
    to = np.radians(wind.from_deg + 180.0)
    assert wind.mps * np.sin(to) == pytest.approx(layers.u_mps[0, 0])
    assert wind.mps * np.cos(to) == pytest.approx(layers.v_mps[0, 0])


def test_refusals(ensemble: Ensemble, terrain: Terrain, last: LastSeen) -> None:
    with pytest.raises(InputError, match=r"height last seen is 100 m; allowed: 2.. m, the ground"):
        ground_points(ensemble, terrain, at_height(last, 100.0))
    with pytest.raises(InputError, match="height last seen is 90000 m"):
        ground_points(ensemble, terrain, at_height(last, 90_000.0))
    with pytest.raises(ContradictionError, match=r"no story is left\. Give one of these a weight"):
        ground_points(ensemble, None, last, {})
