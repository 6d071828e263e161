"""Dives: flown once a draw, they answer for every flight that comes over its field from above."""

from collections.abc import Callable

import numpy as np
import pytest

from farglide.arrays import FloatArray
from farglide.chances.ensemble import Ensemble, drawn_ensemble
from farglide.sim.fly import aside
from farglide.sim.fly.dives import Dives, dives_of
from farglide.sim.reach.doors import IN_TIME, REACHED, SET_ASIDE, doors, floors_of
from farglide.sortie.grain import Grain
from farglide.sortie.pack import Pack
from farglide.sortie.spec import Sortie

from .test_aside import moments_of, winds

Blown = Callable[[Ensemble, FloatArray, FloatArray], Ensemble]


@pytest.fixture(scope="module")
def beaten(demo: tuple[Sortie, Pack], blown_by: Blown) -> Ensemble:
    sortie, pack = demo
    ensemble = drawn_ensemble(sortie, pack.sounding, Grain(n_draws=60, seed=5))
    return blown_by(ensemble, *winds(ensemble, "beaten"))


def dives(ensemble: Ensemble) -> Dives:
    scene, releases, reaches = ensemble.air.scene, ensemble.released, ensemble.reach.reaches
    floors = floors_of(scene, releases, reaches, ensemble.goals)
    return dives_of(scene, releases, reaches, floors)


def test_a_dive_begins_above_all_wind_that_is_faster_than_the_glider(beaten: Ensemble) -> None:
    found = dives(beaten)
    n_levels = len(np.unique(beaten.goals.arrival_amsl_m))
    assert found.top_amsl_m.shape == (60, n_levels)
    # the jet of 65 m/s and more stands at 8 to 13 km; the glider flies 60 m/s up there
    assert ((found.top_amsl_m > 9000.0) & (found.top_amsl_m < 17_000.0)).mean() > 0.9
    assert found.over.any()
    # 10 km at the top speed: some minutes
    assert (found.takes_s[found.over] > 120.0).all()
    assert (found.takes_s[found.over] < 3600.0).all()


def test_a_dive_answers_as_the_whole_flight_does(
    beaten: Ensemble, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is answered from above, flown all the same: as good as all end alike."""
    scene, releases, reaches = beaten.air.scene, beaten.released, beaten.reach.reaches
    states = moments_of(beaten)
    floors = floors_of(scene, releases, reaches, beaten.goals)
    left = doors(scene, releases, states, reaches, floors)
    was_aside = left.state == SET_ASIDE
    told, never = dives(beaten), aside.dives_of

    def too_high(*given: object) -> Dives:
        none = never(*given)  # type: ignore[arg-type]
        return none._replace(top_amsl_m=np.full_like(none.top_amsl_m, 1e9))

    def asked() -> np.ndarray:  # type: ignore[type-arg]
        done = left._replace(state=left.state.copy())
        return aside.with_flown(scene, releases, states, reaches, floors, done, most=10**9).state

    quick = asked()
    monkeypatch.setattr(aside, "dives_of", too_high)
    flown = asked()
    assert was_aside.sum() > 500
    assert told.over.any()
    for bit in (REACHED, IN_TIME):
        same = (quick & bit) == (flown & bit)
        assert same[was_aside].mean() > 0.995
