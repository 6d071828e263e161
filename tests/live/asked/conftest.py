"""The demo at T+76, where independent figures have it: 26.3 km high, 57 km from home."""

from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.earth.state import Place
from farglide.flightfile.flightfile import FlightFile
from farglide.live.asked.moment import Told
from farglide.live.asked.situation import Situation
from farglide.live.asking import as_planned, situation_at
from farglide.live.ride.slow import left_hand
from farglide.sim.core.workers import in_one_go
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie
from farglide.track.reports import Fix

GRAIN = Grain(n_draws=60, clock_s=60.0, prices_mps=(8.0,), slab=5)
T_S = 76.0 * 60.0


def at_76(sortie: Sortie) -> Fix:
    """Return where the demo's balloon is at T+76: 43.2 km east and 36.6 km south of the launch."""
    return Fix(
        feed="tracker", lat_deg=-46.5 - 36.6 / 111.195, lon_deg=108.0 + 43.2 / 76.542,
        t_s=sortie.launch.t_s + T_S, height_m=26_300.0,
    )  # fmt: skip


@pytest.fixture(scope="module")
def asked(demo_flight: FlightFile, demo_sounding: Sounding) -> Situation:
    """Return the demo asked at T+76, the car at Wether Knap, over flat ground."""
    sortie = demo_flight.sortie
    pack = Pack(flight_text="", sounding=demo_sounding)
    planned = as_planned(sortie, pack, GRAIN, in_one_go)
    stand = next(one for one in sortie.stands if one.name == "Wether Knap")
    car = Place(lat_deg=stand.lat_deg, lon_deg=stand.lon_deg, amsl_m=0.0)
    told = Told(car=car)
    return situation_at(planned, [at_76(sortie)], sortie.launch.t_s + T_S, None, told)


@pytest.fixture(scope="module")
def young(demo_flight: FlightFile, demo_sounding: Sounding) -> Situation:
    """Return the demo at T+18 as the plan has it: the wind there is faster than best glide."""
    sortie = demo_flight.sortie
    planned = as_planned(sortie, Pack(flight_text="", sounding=demo_sounding), GRAIN, in_one_go)
    return situation_at(planned, [left_hand(sortie.launch)], sortie.launch.t_s + 18.0 * 60.0)


@pytest.fixture(scope="module")
def unlinked(demo_flight: FlightFile, demo_sounding: Sounding) -> Situation:
    """Return the same without links, stands, packs or barriers."""
    sortie = demo_flight.sortie
    bare = replace(sortie, links=(), stands=(), packs=(), barriers=())
    planned = as_planned(bare, Pack(flight_text="", sounding=demo_sounding), GRAIN, in_one_go)
    return situation_at(planned, [at_76(sortie)], sortie.launch.t_s + T_S)


def homeward(asked: Situation) -> Situation:
    """Return the same with home as the field that counts."""
    fields = tuple(
        replace(one, chance_ratio=float(one.name == "Harrowend strip"))
        for one in asked.advice.fields
    )
    return replace(asked, advice=replace(asked.advice, release=None, fields=fields))
