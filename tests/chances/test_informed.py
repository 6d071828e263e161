"""Informed draws: where they are, nearer and narrower ahead, and true at their rates."""

import numpy as np
import pytest

from farglide.air.sounding import Sounding
from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.chances.informed import Informed, informed
from farglide.errors import InputError
from farglide.sortie.grain import Grain
from farglide.sortie.spec import Sortie
from farglide.track.drift import Been

COARSE = Grain(n_draws=200, clock_s=60.0, prices_mps=(8.0,), slab=5)
N_TRUE = 50
HIGH_M = 25_000.0
UNTIL_S = 7200.0


@pytest.fixture(scope="module")
def before(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    return drawn_ensemble(sortie, demo_sounding, COARSE)


@pytest.fixture(scope="module")
def truths(sortie: Sortie, demo_sounding: Sounding) -> Ensemble:
    """Return flights of the same doubts, drawn by other numbers, a fix each ten seconds."""
    fine = Grain(n_draws=N_TRUE, seed=77, clock_s=10.0, prices_mps=(8.0,), slab=5)
    return drawn_ensemble(sortie, demo_sounding, fine)


def been(truths: Ensemble, i: int, minutes: int, every: int = 1) -> Been:
    tracks = truths.climbs.tracks
    at = slice(0, 6 * minutes + 1, every)
    t_s = tracks.step_s * np.arange(tracks.amsl_m.shape[1])
    return Been(t_s[at], *(one[i, at] for one in tracks.places))


def places_m(ensemble: Ensemble) -> FloatArray:
    """Return metres north and east of the launch where climbs pass 25 km, (n_draws, 2)."""
    tracks, frame = ensemble.climbs.tracks, ensemble.air.scene.frame
    found = []
    for z, north, east in zip(*tracks.places, strict=True):
        known = np.isfinite(z)
        rising = np.maximum.accumulate(z[known])
        at = (np.interp(HIGH_M, rising, one[known], right=np.nan) for one in (north, east))
        found.append([*at])
    return np.array(found) * 6.37e6 * np.array([1.0, frame.cosine])


def known_at(before: Ensemble, truths: Ensemble, i: int, minutes: int) -> Informed:
    return informed(before, been(truths, i, minutes), 5.0, UNTIL_S)


def test_the_draws_go_on_from_the_last_fix(before: Ensemble, truths: Ensemble) -> None:
    fixes = been(truths, 4, 30)
    tracks = known_at(before, truths, 4, 30).ensemble.climbs.tracks
    assert tracks.step_s == 60.0
    now = tracks.amsl_m[:, 30]
    np.testing.assert_allclose(now, fixes.amsl_m[-1], atol=1e-6)
    assert np.isnan(tracks.amsl_m[:, :30]).all()
    np.testing.assert_allclose(tracks.north_rad[:, 30], fixes.north_rad[-1], atol=1e-12)


def test_what_is_learnt_brings_the_top_nearer_and_stays_true(
    before: Ensemble, truths: Ensemble
) -> None:
    """Places at 25 km, asked again after 10, 30 and 50 minutes of 16 flights."""
    wanted, said = places_m(truths), places_m(before)
    flights = range(16)
    sizes = [np.nanmedian(np.hypot(*(said - np.nanmedian(said, axis=0)).T))]
    for minutes in (10, 30, 50):
        inside, size = 0, []
        for i in flights:
            now = places_m(known_at(before, truths, i, minutes).ensemble)
            middle = np.nanmedian(now, axis=0)
            away = np.hypot(*(now - middle).T)
            inside += bool(np.hypot(*(wanted[i] - middle)) <= np.nanquantile(away, 0.9))
            size.append(np.nanmedian(away))
        sizes.append(float(np.mean(size)))
        # of 16 at 9 in 10, 10 or fewer come once in 300 times
        assert inside >= 11
    assert (np.diff(sizes) < 0.0).all()
    assert sizes[-1] < 0.35 * sizes[0]


def test_a_gap_without_fixes_tells_less_and_nothing_wrong(
    before: Ensemble, truths: Ensemble
) -> None:
    fine = informed(before, been(truths, 2, 40), 5.0, UNTIL_S)
    bare = informed(before, been(truths, 2, 40, every=60), 5.0, UNTIL_S)
    assert len(bare.measured.sd_mps) == 4  # one of each ten minutes
    assert bare.air.home.known_ratio.sum() < fine.air.home.known_ratio.sum()
    wide, narrow = (np.nanstd(places_m(one.ensemble), axis=0).sum() for one in (bare, fine))
    assert narrow < wide < np.nanstd(places_m(before), axis=0).sum()


def test_asked_twice_it_answers_the_same(before: Ensemble, truths: Ensemble) -> None:
    first, again = (known_at(before, truths, 1, 20).ensemble for _ in range(2))
    np.testing.assert_array_equal(first.climbs.tracks.amsl_m, again.climbs.tracks.amsl_m)
    np.testing.assert_array_equal(first.draws.swarm.home_east_mps, again.draws.swarm.home_east_mps)


def test_one_fix_alone_moves_the_place_and_nothing_else(before: Ensemble, truths: Ensemble) -> None:
    found = informed(before, Been(*(one[:1] for one in been(truths, 0, 20))), 5.0, UNTIL_S)
    swarm, was = found.ensemble.draws.swarm, before.draws.swarm
    np.testing.assert_array_equal(found.spread_ratio, 1.0)
    np.testing.assert_array_equal(swarm.gas_kg, was.gas_kg)
    np.testing.assert_array_equal(swarm.home_east_mps, was.home_east_mps)


def test_no_fix_is_refused(before: Ensemble, truths: Ensemble) -> None:
    with pytest.raises(
        InputError, match=r"been is no fix; allowed: one fix or more\. Ask the plan"
    ):
        informed(before, Been(*(one[:0] for one in been(truths, 0, 20))), 5.0, UNTIL_S)
