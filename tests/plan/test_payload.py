"""A payload's flight: where it comes down, when, into what, and until when it is heard."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.atlas.barriers import Barrier
from farglide.atlas.outline import Outline
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.errors import ContradictionError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_terrain
from farglide.outlook.payload import PayloadOutlook
from farglide.plan.payload import plan_payload
from farglide.sortie.gear import PayloadSpec
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack

GRAIN = Grain(n_draws=200, clock_s=60.0)


@pytest.fixture(scope="module")
def boxed(demo_flight: FlightFile) -> FlightFile:
    """Return the demo with its glider as a box under a parachute."""
    sortie = replace(demo_flight.sortie, payload=PayloadSpec(canopy_m=1.0))
    return replace(demo_flight, sortie=sortie)


@pytest.fixture(scope="module")
def pack(demo_sounding: Sounding) -> Pack:
    return Pack(sounding=demo_sounding)


@pytest.fixture(scope="module")
def found(boxed: FlightFile, pack: Pack) -> PayloadOutlook:
    return plan_payload(boxed, pack, GRAIN)


def test_it_drifts_on_below_its_burst_and_lands_softly(found: PayloadOutlook) -> None:
    land, burst = found.landing, found.ascent.burst
    assert land.after_launch_s.p50 > burst.after_launch_s.p50 + 1200.0
    # 2 m g / (rho C A) by hand, 0.82 kg on 0.8 x 0.785 m2 in standard air at 240 m
    by_hand = np.sqrt(2.0 * 0.82 * 9.80665 / (1.197 * 0.8 * np.pi / 4.0))
    assert land.sink_mps == pytest.approx(by_hand, rel=0.02)
    assert land.amsl_m == 240.0
    here = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
    there = Place(lat_deg=land.lat_deg, lon_deg=land.lon_deg, amsl_m=0.0)
    line = geodesic(here, there)
    assert land.from_launch_m == pytest.approx(line.distance_m)
    assert land.bearing_deg == pytest.approx(line.azimuth_deg)
    at_burst = Place(lat_deg=burst.lat_deg, lon_deg=burst.lon_deg, amsl_m=0.0)
    assert line.distance_m > geodesic(here, at_burst).distance_m  # the wind blows one way


def test_a_larger_canopy_drifts_farther_and_lands_later(
    boxed: FlightFile, pack: Pack, found: PayloadOutlook
) -> None:
    sortie = replace(boxed.sortie, payload=PayloadSpec(canopy_m=2.0))
    large = plan_payload(replace(boxed, sortie=sortie), pack, GRAIN).landing
    assert large.sink_mps == pytest.approx(0.5 * found.landing.sink_mps)
    assert large.fall_s.p50 == pytest.approx(2.0 * found.landing.fall_s.p50, rel=0.05)
    assert large.from_launch_m > found.landing.from_launch_m


def test_the_chance_inside_a_barrier_is_that_of_the_draws(
    boxed: FlightFile, pack: Pack, found: PayloadOutlook
) -> None:
    lat, lon = found.landing.lat_deg, found.landing.lon_deg
    around = Outline(
        points=((lat - 2, lon - 2), (lat - 2, lon + 2), (lat + 2, lon + 2), (lat + 2, lon - 2))
    )
    east = Outline(points=((lat - 2, lon), (lat - 2, lon + 2), (lat + 2, lon + 2), (lat + 2, lon)))
    off = Outline(points=((lat - 3, lon - 2), (lat - 3, lon - 1), (lat - 2.5, lon - 1)))
    barriers = tuple(
        Barrier(name=name, kind="water", outline=one)
        for name, one in (("half", east), ("all", around), ("none", off))
    )
    sortie = replace(boxed.sortie, barriers=barriers)
    told = plan_payload(replace(boxed, sortie=sortie), pack, GRAIN).landing.barriers
    assert [name for name, _, _ in told] == ["all", "half"]
    assert told[0][2] == 1.0
    assert told[1][2] == pytest.approx(0.5, abs=0.02)


def test_links_are_heard_from_the_launch_down_to_the_ground(found: PayloadOutlook) -> None:
    for link in found.links:
        for stand in link.stands:
            heights = [point.amsl_m for point in stand.margin_db]
            assert heights[0] < 1000.0
            assert max(heights) > 25_000.0
            assert heights[-1] < 3000.0
            assert np.isfinite([point.p50 for point in stand.margin_db]).all()


def test_it_lands_on_the_ground_where_the_terrain_reaches(
    boxed: FlightFile, pack: Pack, found: PayloadOutlook
) -> None:
    terrain = gather_terrain(boxed.sortie)
    assert terrain is not None
    flat = np.full_like(terrain.heights_amsl_m, 700.0)
    there = {"north_deg": found.landing.lat_deg + 0.3, "west_deg": found.landing.lon_deg - 0.3}
    for ground, amsl_m in ((replace(terrain, **there), 700.0), (terrain, 240.0)):
        over = replace(pack, terrain=replace(ground, heights_amsl_m=flat))
        lands = plan_payload(replace(boxed, sortie=replace(boxed.sortie, stands=())), over, GRAIN)
        assert lands.landing.amsl_m == pytest.approx(amsl_m)
        assert lands.ground == terrain.origin


def test_nothing_is_told_of_a_release(found: PayloadOutlook) -> None:
    assert "aircraft" not in found.missing
    assert not [note for note in found.notes if "pull-out" in note or "drop" in note]
    assert found.document()["landing"]["radius_m"] > 0.0


def test_a_glider_and_a_balloon_that_never_bursts_are_refused(
    demo_flight: FlightFile, boxed: FlightFile, pack: Pack
) -> None:
    with pytest.raises(ContradictionError, match=r"has a glider, no payload\. State \[payload\]"):
        plan_payload(demo_flight, pack, GRAIN)
    leaky = replace(boxed.sortie, balloon=replace(boxed.sortie.balloon, leak_ratio_ps=3e-4))
    with pytest.raises(ContradictionError, match="No balloon of this plan bursts"):
        plan_payload(replace(boxed, sortie=leaky), pack, GRAIN)
