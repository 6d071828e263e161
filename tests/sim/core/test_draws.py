"""Draws: each depends on the seed and its own number alone, and has the spread it was given."""

import math
from dataclasses import replace

import numpy as np
import pytest

from farglide.balloon.burst import Bursting
from farglide.errors import InputError
from farglide.sim.core.airerrors import AirDoubts, AirErrors, Along
from farglide.sim.core.draws import (
    ClimbDoubt,
    Doubts,
    Drawn,
    Uncertain,
    draw,
    draw_air,
    normals,
    redrawn,
    undisturbed,
)
from farglide.sim.core.scene import Swarm

DOUBTS = Doubts(
    gas_kg=Uncertain(mean=0.195, sd=0.004),
    drag_factor=Uncertain(mean=1.0, sd=0.1, floor=0.2),
    climb=ClimbDoubt(
        common_ratio=0.05, band_ratio=0.09, stay_ratio=(0.2, 0.2, 0.2, 0.2, 0.1, 0.1, 0.0, 0.0)
    ),
    bursting=Bursting(6.6, 0.4, 0.0, 1.6),
    gas_warmer_k=Uncertain(mean=5.0, sd=4.0, floor=-20.0),
    glide_factor=Uncertain(mean=0.85, sd=0.1, floor=0.2),
    drop_drag=Uncertain(mean=0.1, sd=0.03, floor=0.01),
    heading_s=Uncertain(mean=60.0, sd=20.0),
    pack_ends_s=(Uncertain(mean=7800.0, sd=600.0), Uncertain(mean=8000.0, sd=300.0)),
    reaction_s=Uncertain(mean=10.0, sd=3.0),
)


def air(n_layers: int) -> AirDoubts:
    deep_mps = np.linspace(1.0, 4.0, 400)[:n_layers]
    ones = np.ones(n_layers)
    along = Along(ones, 0.0 * ones)
    deep = deep_mps, 1.5 * deep_mps, 0.5 * ones, along
    sizes = ones, *deep, 0.3 * ones, 0.9 * ones, 0.5 * ones, 0.7 * ones, 0.2
    return AirDoubts(*sizes, 1800.0 * ones, 1100.0 * ones, 350.0, 1000.0, 100.0)


def arrays(drawn: Drawn) -> list[np.ndarray]:  # type: ignore[type-arg]
    return [*drawn.swarm, *drawn[1:]]


def test_200_draws_are_the_first_200_of_1000() -> None:
    few, many = draw(DOUBTS, air(81), 200, 5), draw(DOUBTS, air(81), 1000, 5)
    for a, b in zip(arrays(few), arrays(many), strict=True):
        np.testing.assert_array_equal(a, b[:200])


def test_the_same_question_gets_the_same_answer_and_another_seed_another() -> None:
    one, same, other = (draw(DOUBTS, air(81), 50, seed) for seed in (5, 5, 6))
    for a, b, c in zip(arrays(one), arrays(same), arrays(other), strict=True):
        np.testing.assert_array_equal(a, b)
        assert (a != c).any() or a is one.swarm.number


def test_a_draw_does_not_know_the_others() -> None:
    whole = normals(30, 7, 3)
    assert len(np.unique(whole)) == whole.size
    for i in (0, 11, 29):
        key = np.array([3, i], dtype=np.uint64)
        alone = np.random.Generator(np.random.Philox(key=key)).standard_normal(7)
        np.testing.assert_array_equal(whole[i], alone)


def test_a_longer_column_keeps_the_errors_below() -> None:
    short, long = (draw(DOUBTS, air(n), 20, 5).swarm for n in (80, 83))
    for name in AirErrors._fields:
        np.testing.assert_array_equal(getattr(short, name), getattr(long, name)[:, :80])


def drawn_of(doubts: Doubts) -> Swarm:
    return draw(doubts, air(81), 20, 5).swarm


def test_one_more_pack_changes_no_wind_and_no_balloon() -> None:
    more = replace(DOUBTS, pack_ends_s=(*DOUBTS.pack_ends_s, Uncertain(mean=9000.0, sd=1.0)))
    none = replace(DOUBTS, pack_ends_s=())
    for other in (more, none):
        for a, b in zip(drawn_of(DOUBTS), drawn_of(other), strict=True):
            np.testing.assert_array_equal(a, b)


def test_another_balloon_in_the_same_air_is_that_of_draws_made_afresh() -> None:
    heavy = replace(DOUBTS, gas_kg=Uncertain(mean=0.3, sd=0.01), pack_ends_s=())
    fresh, again = draw(heavy, air(81), 120, 5), redrawn(draw(DOUBTS, air(81), 120, 5), heavy, 5)
    for a, b in zip(arrays(fresh), arrays(again), strict=True):
        np.testing.assert_array_equal(a, b)


def test_errors_of_the_air_alone_are_those_of_the_draws() -> None:
    swarm = draw(DOUBTS, air(81), 120, 5).swarm  # more than are made at once
    for name, errors in draw_air(DOUBTS, air(81), 120, 5)._asdict().items():
        np.testing.assert_array_equal(errors, getattr(swarm, name))


def test_the_first_pack_to_end_counts() -> None:
    drawn = draw(DOUBTS, air(4), 4000, 5)
    ends = [
        draw(replace(DOUBTS, pack_ends_s=(pack,)), air(4), 4000, 5).pack_end_s
        for pack in DOUBTS.pack_ends_s
    ]
    assert (drawn.pack_end_s <= ends[0]).all()
    # The smaller of two independent normal numbers (Clark 1961, from memory): mean 7 617 s here.
    spread = math.hypot(600.0, 300.0)
    a = 200.0 / spread
    density = math.exp(-a * a / 2.0) / math.sqrt(2.0 * math.pi)
    below = 0.5 * math.erfc(-a / math.sqrt(2.0))
    wanted = 7800.0 * below + 8000.0 * (1.0 - below) - spread * density
    assert drawn.pack_end_s.mean() == pytest.approx(wanted, abs=30.0)
    assert np.isposinf(draw(replace(DOUBTS, pack_ends_s=()), air(4), 3, 5).pack_end_s).all()


def test_spreads_are_the_stated_ones() -> None:
    # 20 000 draws: standard deviation to 0.5 %, mean to 0.7 % of it.
    drawn = draw(DOUBTS, air(8), 20_000, 5)
    for values, stated in (
        (drawn.swarm.gas_kg, DOUBTS.gas_kg),
        (drawn.swarm.drag_factor, DOUBTS.drag_factor),
        (drawn.swarm.burst_diameter_m, Uncertain(mean=6.6, sd=0.4)),
        (drawn.glide_factor, DOUBTS.glide_factor),
        (drawn.heading_s, DOUBTS.heading_s),
    ):
        assert values.mean() == pytest.approx(stated.mean, abs=0.03 * stated.sd)
        assert values.std() == pytest.approx(stated.sd, rel=0.03)


def test_a_climb_is_off_as_a_whole_and_by_bands() -> None:
    factors = draw(DOUBTS, air(2), 20_000, 5).swarm.climb_factor
    logs = np.log(factors)
    whole = logs @ np.array(DOUBTS.climb.stay_ratio)
    assert whole.std() == pytest.approx(0.05, rel=0.03)
    bands = (logs - whole[:, None])[:, :6].std(axis=0)
    # a band averaged over its 5 km has 0.09, its middle a little more
    assert (bands > 0.09).all()
    assert (bands < 0.13).all()
    still = replace(DOUBTS, climb=replace(DOUBTS.climb, common_ratio=0.0, band_ratio=0.0))
    assert (draw(still, air(2), 20, 5).swarm.climb_factor == 1.0).all()


def test_early_bursts_are_drawn_with_the_same_numbers() -> None:
    early = replace(DOUBTS, bursting=DOUBTS.bursting._replace(early_ratio=0.05))
    plain, tailed = (draw(one, air(2), 4000, 5).swarm.burst_diameter_m for one in (DOUBTS, early))
    assert (np.argsort(plain) == np.argsort(tailed)).all()
    assert (tailed < 0.8 * 6.6).mean() == pytest.approx(
        0.05 * (5.28 - 1.6) / (5.94 - 1.6), abs=0.01
    )
    assert undisturbed(early, 2).swarm.burst_diameter_m[0] == 6.6


def test_nothing_that_is_drawn_apart_hangs_together() -> None:
    drawn = draw(DOUBTS, air(2), 20_000, 5)
    columns = [
        *drawn.swarm[:4], drawn.glide_factor, drawn.drop_drag, drawn.heading_s, drawn.reaction_s,
        drawn.swarm.out_east_mps[:, 0], drawn.swarm.out_north_mps[:, 0], drawn.swarm.rise_mps[:, 0],
    ]  # fmt: skip
    r = np.corrcoef(columns) - np.eye(len(columns))
    assert np.abs(r).max() < 0.03


def test_undisturbed_is_one_draw_without_error() -> None:
    drawn = undisturbed(DOUBTS, 81)
    assert all(len(array) == 1 for array in arrays(drawn))
    for one, shape in zip(arrays(drawn), arrays(draw(DOUBTS, air(81), 1, 5)), strict=True):
        assert one.shape == shape.shape
    assert (drawn.swarm.gas_kg == 0.195).all()
    assert (drawn.glide_factor == 0.85).all()
    assert (drawn.pack_end_s == 7800.0).all()
    assert not any(getattr(drawn.swarm, name).any() for name in AirErrors._fields)
    assert not drawn.story_normal.any()


def test_numbers_are_cut_at_four_deviations_and_at_the_floor() -> None:
    one = Uncertain(mean=1.0, sd=0.5, floor=0.2)
    drawn = one.drawn(np.array([-9.0, -1.0, 0.0, 9.0]))
    assert list(drawn) == [0.2, 0.5, 1.0, 3.0]


@pytest.mark.parametrize("n", [0, 1_000_001])
def test_numbers_of_draws_that_cannot_be_are_refused(n: int) -> None:
    with pytest.raises(InputError, match="n_draws"):
        normals(n, 3, 1)


def test_seeds_that_cannot_be_are_refused() -> None:
    with pytest.raises(InputError, match="seed is -3"):
        normals(3, 3, -3)
    with pytest.raises(InputError, match="seed"):
        normals(3, 3, 2**63)
    with pytest.raises(InputError, match="seed is -1"):
        draw(DOUBTS, air(81), 3, -1)
