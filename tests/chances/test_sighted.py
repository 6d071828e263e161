"""Sighted draws: true at their rates by directions, heights and places alone."""

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.informed import Informed, informed
from farglide.earth.geodesy import offset
from farglide.earth.look import look
from farglide.earth.state import Place, place_deg, place_of
from farglide.search.bearings import Bearing, crossing
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been
from farglide.track.read import NOTHING, Direction, Heights

COARSE = Grain(n_draws=200, clock_s=60.0, prices_mps=(8.0,), slab=5)
N_TRUE = 50
UNTIL_S = 7800.0
EARTH_M = 6.37e6


@pytest.fixture(scope="module")
def before(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, COARSE)


@pytest.fixture(scope="module")
def truths(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    """Return flights of the same doubts, drawn by other numbers, told each ten seconds."""
    fine = Grain(n_draws=N_TRUE, seed=77, clock_s=10.0, prices_mps=(8.0,), slab=5)
    return drawn_ensemble(sortie, demo_sounding, fine)


def hand(before: Ensemble) -> Been:
    """Return the launch as the one fix there is."""
    return Been(*(np.array([z]) for z in (0.0, before.sortie.launch.amsl_m, 0.0, 0.0)))


def place(truths: Ensemble, i: int, minute: float) -> Place:
    """Return where a flight truly is."""
    k = round(6.0 * minute)
    amsl_m, north, east = (float(one[i, k]) for one in truths.climbs.tracks.places)
    lat_deg, lon_deg = place_deg(truths.sortie.launch, north, east)
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)


def directions(
    truths: Ensemble, i: int, minutes: range, sd_deg: float, stand: Place | None = None
) -> tuple[Direction, ...]:
    """Return what is read of a flight each minute, with an error of the pointing."""
    rng = np.random.default_rng(1000 + i)
    at = stand or offset(place_of(truths.sortie.launch), 900.0, -400.0)
    found = []
    for minute in minutes:
        seen = look(at, place(truths, i, minute))
        flat = max(np.cos(np.radians(seen.elevation_deg)), 0.05)
        turned, up = sd_deg * rng.standard_normal(2)
        azimuth_deg = (seen.azimuth_deg + turned / flat) % 360.0
        found.append(Direction(60.0 * minute, at, azimuth_deg, seen.elevation_deg + up, sd_deg))
    return tuple(found)


def heights(truths: Ensemble, i: int, minutes: range, sd_m: float = 20.0) -> Heights:
    z = np.array([place(truths, i, one).amsl_m for one in minutes])
    z += sd_m * np.random.default_rng(2000 + i).standard_normal(len(z))
    return Heights(60.0 * np.array(minutes, dtype=np.float64), z, np.full(len(z), sd_m))


def now_m(found: Informed, minute: float) -> FloatArray:
    """Return metres north and east of the launch, and heights, of the draws, (n_draws, 3)."""
    tracks, frame = found.ensemble.climbs.tracks, found.ensemble.air.scene.frame
    k = round(60.0 * minute / tracks.step_s)
    z, north, east = (one[:, k] for one in tracks.places)
    return np.column_stack([EARTH_M * north, EARTH_M * frame.cosine * east, z])


def truth_m(truths: Ensemble, i: int, minute: float) -> FloatArray:
    k, frame = round(6.0 * minute), truths.air.scene.frame
    z, north, east = (one[i, k] for one in truths.climbs.tracks.places)
    return np.array([EARTH_M * north, EARTH_M * frame.cosine * east, z])


def circle(found: Informed, truths: Ensemble, i: int, minute: float) -> tuple[float, float, float]:
    """Return how far the middle draw missed, and within how far half and nine tenths are."""
    said, true = now_m(found, minute), truth_m(truths, i, minute)
    said = said[np.isfinite(said[:, 2])]
    middle = np.median(said, axis=0)
    away = np.hypot(*(said - middle)[:, :2].T)
    return float(np.hypot(*(true - middle)[:2])), *np.quantile(away, [0.5, 0.9]).tolist()


@pytest.mark.parametrize(("sd_deg", "least_ratio"), [(5.0, 0.75), (0.5, 0.2)])
def test_directions_each_minute_alone_bring_the_place_and_stay_true(
    before: Ensemble, truths: Ensemble, sd_deg: float, least_ratio: float
) -> None:
    """Of 12 flights, asked after 20 and 50 minutes, by a hand-held antenna or a theodolite."""
    inside, wide, bare = [], [], []
    for i in range(12):
        for minute in (20, 50):
            read = NOTHING._replace(directions=directions(truths, i, range(1, minute + 1), sd_deg))
            found = informed(before, hand(before), 10.0, UNTIL_S, read)
            missed, half, most = circle(found, truths, i, minute)
            alone = NOTHING._replace(heights=heights(truths, i, range(minute, minute + 1), 5000.0))
            blind = informed(before, hand(before), 10.0, UNTIL_S, alone)
            wide.append(most)
            bare.append(circle(blind, truths, i, minute)[2])
            inside.append((missed <= half, missed <= most))
    told = np.array(inside)
    # of 24 answers, in pairs: 3 deviations of what 12 flights may be off
    assert 0.5 - 0.36 <= told[:, 0].mean() <= 0.5 + 0.36
    assert told[:, 1].mean() >= 0.9 - 0.22
    assert np.mean(wide) < least_ratio * np.mean(bare)


def test_two_azimuths_at_once_meet_where_their_lines_cross(
    before: Ensemble, truths: Ensemble
) -> None:
    """Two antennas without elevations: the circle is that of the crossing, or what was known."""
    launch = place_of(truths.sortie.launch)
    inside, ratios = [], []
    for i in range(8):
        there = place(truths, i, 50)
        stands = offset(launch, 30_000.0, -50_000.0), offset(launch, 5_000.0, 10_000.0)
        seen, crossed = [], []
        for k, stand in enumerate(stands):
            off_deg = 3.0 * np.random.default_rng(50 + 2 * i + k).standard_normal()
            flat = np.cos(np.radians(look(stand, there).elevation_deg))
            azimuth_deg = (look(stand, there).azimuth_deg + off_deg / flat) % 360.0
            seen.append(Direction(3000.0 + k, stand, azimuth_deg, None, 3.0))
            crossed.append(
                Bearing(stand=stand, name="", azimuth_deg=azimuth_deg, sd_deg=3.0 / flat)
            )
        read = NOTHING._replace(directions=tuple(seen))
        found = informed(before, hand(before), 10.0, UNTIL_S, read)
        missed, _, most = circle(found, truths, i, 51)
        inside.append(missed <= most)
        ratios.append(most / crossing(*crossed).radius_90_m)
    assert sum(inside) >= 6
    assert 0.4 < np.median(ratios) < 1.1


def test_heights_alone_tell_of_a_fill_and_of_a_float(before: Ensemble, truths: Ensemble) -> None:
    """A height typed each two minutes: the time at 25 km is nearer, and a top is no secret."""
    late, blind = [], []
    for i in range(8):
        read = NOTHING._replace(heights=heights(truths, i, range(2, 42, 2), 30.0))
        found = informed(before, hand(before), 10.0, UNTIL_S, read)
        tracks = found.ensemble.climbs.tracks
        here = now_m(found, 60)[:, 2]
        true = truth_m(truths, i, 60)[2]
        late.append(abs(np.nanmedian(here) - true))
        blind.append(abs(np.nanmedian(before.climbs.tracks.amsl_m[:, 60]) - true))
        assert np.isnan(tracks.amsl_m[:, :40]).all()
        assert found.floats_since_s is None
    assert np.mean(late) < 0.6 * np.mean(blind)
    told = heights(truths, 0, range(2, 42, 2), 10.0)
    stuck = Heights(told.t_s, np.minimum(told.amsl_m, 7000.0), told.sd_m)
    found = informed(before, hand(before), 10.0, UNTIL_S, NOTHING._replace(heights=stuck))
    assert found.floats_since_s == pytest.approx(7000.0 / 5.3, abs=420.0)
    assert found.leaks.chance_ratio > 0.9


def test_directions_go_on_where_fixes_ended(before: Ensemble, truths: Ensemble) -> None:
    """Fixes for 20 min, silence, and a theodolite from T+21 to T+50: both count together."""
    inside, ratios, learnt = 0, [], []
    for i in range(6):
        at = slice(0, 121)
        t_s = truths.climbs.tracks.step_s * np.arange(truths.climbs.tracks.amsl_m.shape[1])
        been = Been(t_s[at], *(one[i, at] for one in truths.climbs.tracks.places))
        silent = informed(before, been, 10.0, UNTIL_S)
        read = NOTHING._replace(directions=directions(truths, i, range(21, 51), 0.5))
        found = informed(before, been, 10.0, UNTIL_S, read)
        missed, _, most = circle(found, truths, i, 51)
        inside += missed <= most
        ratios.append(most / circle(silent, truths, i, 51)[2])
        learnt.append(found.air.up.known_ratio.sum() - silent.air.up.known_ratio.sum())
        assert (found.from_s, found.placed_s, found.height_s) == (3000.0, 3000.0, 1200.0)
    assert inside >= 4
    assert np.median(ratios) < 0.5
    assert min(learnt) > 10.0  # layers of 100 m that are known now
