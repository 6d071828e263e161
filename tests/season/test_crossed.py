"""Crossed: borders and no-landing areas under the climb, by hand-laid boxes."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.earth.state import place_of
from farglide.season.crossed import crossed_by
from farglide.season.flown import Asked, Wanted, asked_from, ensembles
from farglide.season.places import compared_spots
from farglide.sim.core.workers import in_one_go

from .made import GRAIN, world


def box(name: str, kind: str, south: float, west: float, north: float, east: float) -> Barrier:
    corners = ((south, west), (south, east), (north, east), (north, west))
    return Barrier(name=name, kind=kind, outline=Outline(points=corners))


@pytest.fixture(scope="module")
def asked() -> Asked:
    made = world()
    launch = made.flight.sortie.launch
    (one,) = ensembles(made, Wanted(launch.t_s, place_of(launch)), GRAIN, None, in_one_go)
    spots = compared_spots(made.flight.sortie, None, None)[:1]
    return next(asked_from(one, spots, made.flight.sortie))


def with_barriers(asked: Asked, *barriers: Barrier) -> Asked:
    ensemble = asked.ensemble
    sortie = replace(ensemble.sortie, barriers=barriers)
    asking = replace(asked.asking, ensemble=replace(ensemble, sortie=sortie))
    return replace(asked, asking=asking)


def test_a_box_over_the_launch_is_crossed_by_all_and_one_behind_it_by_none(asked: Asked) -> None:
    lat, lon = asked.spot.lat_deg, asked.spot.lon_deg
    here = box("State line", "border", lat - 0.05, lon - 0.05, lat + 0.05, lon + 0.05)
    behind = box("Range", "no landing", lat + 0.3, lon - 1.0, lat + 0.6, lon - 0.4)
    wood = box("Wood", "closed forest", lat - 0.05, lon - 0.05, lat + 0.05, lon + 0.05)
    (only,) = crossed_by(with_barriers(asked, behind, here, wood), 4000.0)
    assert (only.name, only.kind, only.chance_ratio) == ("State line", "border", 1.0)
    assert crossed_by(with_barriers(asked), 4000.0) == ()


def test_half_of_the_draws_cross_what_begins_in_their_middle(asked: Asked) -> None:
    tracks = asked.ensemble.climbs.tracks
    k = int(3000.0 / tracks.step_s)
    east = asked.spot.lon_deg + np.degrees(tracks.east_rad[:, k])
    lat, middle = asked.spot.lat_deg, float(np.nanmedian(east))
    beyond = box("Far side", "border", lat - 3.0, middle, lat + 3.0, middle + 8.0)
    (found,) = crossed_by(with_barriers(asked, beyond), 3000.0)
    assert found.chance_ratio == pytest.approx(0.5, abs=0.04)
    assert crossed_by(with_barriers(asked, beyond), 60.0) == ()  # not so soon
