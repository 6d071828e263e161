"""Links along many flights, and of one live moment, over the demo's ground."""

import numpy as np

from bench.timing import Row, best_s
from farglide.atlas.groundline import profile
from farglide.cli.plan import DEMO
from farglide.compute import on_threads
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.flightfile.flightfile import read_flight_file
from farglide.gather.gather import gather_terrain
from farglide.plan.links.overland import EARTH_M
from farglide.radio.link import margin_db
from farglide.radio.path.diffraction import diffraction_loss_db
from farglide.radio.path.parts import Heights, Profile
from farglide.rig.links import gear_of
from farglide.rig.listening import mast_of
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.ears import CLEAR_M, Listeners, ears_of, waves_of
from farglide.sim.hear.hearing import margins_db

N_STANDS, N_LINKS, N_FLIGHTS, N_STEPS, N_PARTICLES, N_PATHS = 6, 4, 1000, 1300, 500, 60


def hearing_rows() -> list[Row]:
    """Margins of 4 links from 6 stands along 1000 flights, live, and against path by path."""
    sortie = read_flight_file(DEMO).sortie
    terrain = gather_terrain(sortie)
    assert terrain is not None
    masts = [mast_of(stand, terrain) for stand in sortie.stands] * (N_STANDS // len(sortie.stands))
    links = [gear_of(spec).link for spec in sortie.links] * (N_LINKS // len(sortie.links))
    threads = on_threads()
    ears_s = best_s(lambda: ears_of(masts, terrain, 90e3, threads), 3)
    ears, waves = ears_of(masts, terrain, 90e3, threads), waves_of(links, [2.0] * N_LINKS)
    heard = Listeners(ears, waves), frame_of(sortie.launch.lat_deg, sortie.launch.lon_deg)
    rng = np.random.default_rng(1)
    many = _flights(rng, (N_FLIGHTS, N_STEPS))
    live = Trails(*(np.ascontiguousarray(each[:N_PARTICLES, 700:701]) for each in many))
    many_s = best_s(lambda: margins_db(*heard, many, threads), 3)
    live_s = best_s(lambda: margins_db(*heard, live, threads))
    one = Trails(*(np.ascontiguousarray(each[:1, 40 : 40 + N_PATHS * 20 : 20]) for each in many))
    few = margins_db(*heard, one)[0, :2, :2]

    def path_by_path() -> list[float]:
        return [
            _path_db(link, terrain, mast, place)
            for mast in masts[:2]
            for link in links[:2]
            for place in _places(sortie.launch.lat_deg, sortie.launch.lon_deg, one)
        ]

    slow_s = best_s(path_by_path, 1) / (4.0 * N_PATHS)
    fast_s = many_s / (N_STANDS * N_LINKS * N_FLIGHTS * N_STEPS)
    off = np.abs(few.ravel() - np.array(path_by_path()))
    return [
        (
            f"{N_LINKS} links, {N_STANDS} stands, 1 000 x 1 300, ground tested",
            f"{many_s:.2f} s",
            "bar 3 s",
        ),
        ("  against whole profiles path by path", f"{slow_s / fast_s:,.0f} x", ""),
        (
            "  margins against the same",
            f"{np.median(off):.2f} dB median, {np.quantile(off, 0.95):.1f} dB 95 %",
            "",
        ),
        ("  fans of the six stands", f"{1e3 * ears_s:.0f} ms", ""),
        ("one live moment, 4 links, 6 stands, 500 places", f"{1e3 * live_s:.1f} ms", "bar 50 ms"),
    ]


def _flights(rng: np.random.Generator, shape: tuple[int, int]) -> Trails:
    """Return heights and offsets of flights along the drift, low at both ends."""
    n_flights, n_steps = shape
    out = np.sin(np.linspace(0.0, np.pi, n_steps))
    scale = rng.normal(1.0, 0.1, (3, n_flights, 1))
    amsl = 260.0 + 29_000.0 * out * scale[0]
    north = np.radians(-36_000.0 / 111_195.0) * np.linspace(0.0, 1.0, n_steps) * scale[1]
    east = np.radians(45_000.0 / 76_542.0) * np.linspace(0.0, 1.0, n_steps) * scale[2]
    return Trails(amsl, north, east)


def _places(lat_deg: float, lon_deg: float, flights: Trails) -> list[Place]:
    amsl, north, east = (each[0] for each in flights)
    return [
        Place(
            lat_deg=lat_deg + float(np.degrees(n)),
            lon_deg=lon_deg + float(np.degrees(e)),
            amsl_m=float(z),
        )
        for z, n, e in zip(amsl, north, east, strict=True)
    ]


def _path_db(link, terrain, mast: Place, place: Place) -> float:  # type: ignore[no-untyped-def]
    """Return one margin by a profile of its own; gases left out, as they take little time."""
    seen = look(mast, place)
    along = profile(terrain, mast, place, 90.0)
    near = along.distance_m < CLEAR_M
    ground = np.nan_to_num(along.ground_amsl_m, nan=240.0)
    ground = np.where(near, np.minimum(ground, mast.amsl_m - 50.0), ground)
    ends = Heights(mast.amsl_m, max(place.amsl_m, float(ground[-1]) + 0.5))
    lost = diffraction_loss_db(link.frequency_hz, Profile(along.distance_m, ground), ends, EARTH_M)
    return margin_db(link, seen.range_m, lost)
