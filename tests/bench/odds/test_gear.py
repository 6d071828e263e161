"""One real pair, planned and flown: what the bench asks of the program is what it says."""

from pathlib import Path

import numpy as np
import pytest
from bench.odds.cases import by_daylight
from bench.odds.crew import Way, came_home, flown, flyers, goal_of
from bench.odds.data import Flown
from bench.odds.gear import in_truth, moved_share, passages, planned, sortie_of
from bench.odds.pairs import Pair, pair_of

from farglide.chances.case import Case
from farglide.chances.ensemble import Ensemble
from farglide.sortie.grain import Grain
from farglide.sources.soundings.bufr_temp import read_bufr

HEIGHTS_M = np.array([8000.0, 16_000.0, 20_000.0])


@pytest.fixture(scope="module")
def pair() -> Pair:
    """Return two flights over Prague 6 h apart."""
    file = Path(__file__).parents[2] / "authorities" / "prague_20071120.bufr"
    four = [Flown(sounding=one, campaign="Prague") for one in read_bufr(file)[0]]
    _, first, second, _ = sorted(four, key=lambda one: one.sounding.t_s)
    return by_daylight(pair_of(first, second))


@pytest.fixture(scope="module")
def case(pair: Pair) -> Case:
    return planned(pair, Grain(n_draws=60))


@pytest.fixture(scope="module")
def truth(pair: Pair) -> Ensemble:
    return in_truth(pair, Grain(n_draws=50, seed=7_001))


def test_fields_lie_round_the_place_of_the_truth(pair: Pair) -> None:
    sortie = sortie_of(pair)
    assert len(sortie.fields) == 25
    assert (sortie.launch.lat_deg, sortie.launch.t_s) == (
        pair.truth.sounding.lat_deg, pair.truth.sounding.t_s,
    )  # fmt: skip
    for field, km in (
        (sortie.fields[0], 0.0),
        (sortie.fields[3], 50.0),
        (sortie.fields[20], 150.0),
    ):
        north = 111.2 * (field.lat_deg - sortie.launch.lat_deg)
        cosine = np.cos(np.radians(sortie.launch.lat_deg))
        east = 111.2 * cosine * (field.lon_deg - sortie.launch.lon_deg)
        assert np.hypot(north, east) == pytest.approx(km, rel=0.02, abs=0.01)


def test_the_truth_has_no_doubt_about_winds(case: Case, truth: Ensemble) -> None:
    # All balloons of the truth fly in one wind: their places differ by their climb alone.
    spread = [np.ptp(passages(one, HEIGHTS_M).east_rad[:, 0]) for one in (case.drawn, truth)]
    assert spread[1] < 0.3 * spread[0]


def test_passages_are_where_the_draws_first_pass_a_height(truth: Ensemble) -> None:
    states = passages(truth, HEIGHTS_M)
    assert (states.amsl_m == HEIGHTS_M).all()
    tracks = truth.climbs.tracks
    before = (states.after_launch_s // tracks.step_s).astype(int)
    draw = np.arange(len(before))[:, None]
    assert (tracks.amsl_m[draw, before] <= HEIGHTS_M).all()
    assert (tracks.amsl_m[draw, before + 1] >= HEIGHTS_M).all()


def test_a_spread_of_nothing_says_yes_or_no(case: Case) -> None:
    share = moved_share(case, HEIGHTS_M, np.zeros((3, 2)))
    assert share.shape == (3, 25)
    assert set(np.unique(share)) == {0.0, 1.0}
    wide = moved_share(case, HEIGHTS_M, 20_000.0 * np.random.default_rng(1).normal(size=(24, 2)))
    assert ((wide > 0.0) & (wide < 1.0)).any()


def test_a_crew_comes_down_at_the_launch_from_low_and_never_150_km_up_wind(
    case: Case, truth: Ensemble
) -> None:
    came = came_home(case.plain, truth, HEIGHTS_M[:1], 2).judged
    assert came.shape == (2, 1, 25)
    assert came[:, 0, 0].all()
    assert not came[:, 0, 17:].any()  # 150 km from 8 km


def test_who_has_no_packs_left_does_not_come_home(truth: Ensemble) -> None:
    way, some = Way(truth.reach.reaches.speeds, 0.0), flyers(truth, 2)
    assert flown(some, way, 0, 8000.0).home.all()
    empty = some._replace(end_s=np.full(2, 600.0))
    assert not flown(empty, way, 0, 8000.0).home.any()
    assert goal_of(truth, 0).circle_eas_mps < truth.craft.limits.top_eas_mps
