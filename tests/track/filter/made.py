"""Laws and particles of the demo flight, small and quickly made."""

import math
from dataclasses import replace
from functools import cache

import numpy as np

from farglide.arrays import FloatArray
from farglide.chances.after.storylaws import laws_of
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.cli.inputs import Wanted, flight_and_pack
from farglide.cli.plan import DEMO
from farglide.rig.listening import listening_of
from farglide.sim.fly.particles import N_NOISES, Cloud, Floats, Noise
from farglide.sortie.grain import Grain
from farglide.track.filter.begun import Last, begun
from farglide.track.filter.observed import Placed
from farglide.track.filter.particles import Laws, Particles, Story

N_DRAWS = 60
AT_S = 76.0 * 60.0


@cache
def ensemble() -> Ensemble:
    """Return draws of the demo, its links asked over flat ground."""
    flight, pack = flight_and_pack(Wanted(file=DEMO, winds=None, pack=None, out=None))
    grain = Grain(n_draws=N_DRAWS, clock_s=30.0, prices_mps=(8.0,), slab=5)
    sortie = replace(flight.sortie, terrain=None)
    drawn = drawn_ensemble(sortie, pack.sounding, grain)
    return replace(drawn, listening=listening_of(sortie, None))


@cache
def laws() -> Laws:
    """Return by what its stories move."""
    return laws_of(ensemble())


def quiet(given: Laws, level_mps: float = 0.0, up_mps: float = 0.0, holds_s: float = 60.0) -> Laws:
    """Return the same laws, each kept to within the same small error."""
    none = np.zeros(N_NOISES)
    noise = Noise(none + level_mps, none, none + up_mps, none, none + holds_s)
    return given._replace(movers=given.movers._replace(noise=noise))


def unburst(given: Laws) -> Laws:
    """Return the same laws, no balloon bursting or leaking."""
    never = np.full(given.n_draws, np.nan)
    floats = Floats(np.zeros(given.n_draws), never)
    return given._replace(movers=given.movers._replace(burst_s=never, floats=floats))


def last() -> Last:
    """Return where the middle draw is at T+76 min: 27 km up, 70 km from home."""
    tracks = ensemble().climbs.tracks
    at = round(AT_S / tracks.step_s)
    middle = (float(np.nanmedian(one[:, at])) for one in tracks.places)
    return Last(AT_S, *middle, sd_m=1e-3, amsl_sd_m=1e-3)


def of(given: Laws, *stories: Story, n: int = 40) -> Particles:
    """Return particles of stories alike."""
    return begun(given, last(), dict.fromkeys(stories, 1.0), aimed=0, n=n)


def level(cloud: Cloud) -> Cloud:
    """Return gliders that fly home at once, and falls that have gathered their speed."""
    n = len(cloud.story)
    return cloud._replace(drop_s=np.zeros(n), speed_mps=np.full(n, 1e9))


def fix_at(given: Laws, north_rad: float, east_rad: float, amsl_m: float | None) -> Placed:
    """Return a fix of 10 m, of 15 m in height, at an offset from the launch."""
    frame = given.movers.scene.frame
    lat, lon = math.degrees(frame.lat_rad + north_rad), math.degrees(frame.lon_rad + east_rad)
    return Placed(lat_deg=lat, lon_deg=lon, amsl_m=amsl_m)


def metres(given: Laws, cloud: Cloud) -> FloatArray:
    """Return metres east, north and up from where the particles began, (n, 3)."""
    frame, begin = given.movers.scene.frame, last()
    return np.stack([
        6.39e6 * frame.cosine * (cloud.east_rad - begin.east_rad),
        6.37e6 * (cloud.north_rad - begin.north_rad),
        cloud.amsl_m - begin.amsl_m,
    ], axis=1)  # fmt: skip
