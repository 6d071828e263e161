"""The window from made-up chances: its heights, release by, and what ends it."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble
from farglide.chances.window import WITHIN_RATIO, counted_ratio, window_of
from farglide.sortie.spec import Wish

from .conftest import LATE_S, T_S, Z_M, N, chances_like, decided, ending, step


def test_the_window_holds_what_is_within_0_02_of_the_best_above_the_wanted_height(
    ensemble: Ensemble,
) -> None:
    # Best low down (1.0, under 20 km); above it 0.92 from T+67, 0.95 at T+75, falling after.
    opened = step((0, 1.0), (67, 0.92), (70, 0.94), (75, 0.95), (78, 0.931), (80, 0.929), (85, 0.6))
    found = decided(ensemble, chances_like(opened))
    assert (found.field, found.best, found.chance_ratio, found.open_ratio) == (0, 75, 0.95, 0.95)
    # 0.94 is within, 0.92 is not; 0.931 is, 0.929 is not
    assert (found.first, found.last) == (70, 79)
    assert found.above_wanted
    assert WITHIN_RATIO == 0.02


def test_the_window_is_the_stretch_around_the_best_not_all_of_the_same_odds(
    ensemble: Ensemble,
) -> None:
    opened = step((67, 0.95), (70, 0.90), (74, 0.96), (80, 0.5))
    found = decided(ensemble, chances_like(opened))
    assert (found.first, found.last) == (74, 79)


def test_the_window_never_reaches_below_the_wanted_height(ensemble: Ensemble) -> None:
    found = decided(ensemble, chances_like(np.full(N, 0.95)))
    assert Z_M[found.first] >= 20_000.0 > Z_M[found.first - 1]


def test_release_by_leaves_the_crew_reaction_and_repeats_before_the_window_ends(
    ensemble: Ensemble,
) -> None:
    found = decided(ensemble, chances_like(step((67, 0.95), (80, 0.3))))
    assert found.release_by_s == T_S[79] - LATE_S


def test_a_window_shorter_than_a_release_is_widened_to_it(ensemble: Ensemble) -> None:
    found = decided(ensemble, chances_like(step((70, 0.95), (71, 0.3))))
    assert found.first == found.last == 70
    # The chance rises by 0.95 in the minute before T+70 and falls by 0.65 in the minute after. The
    # best 30 s reach equally far down at both ends: they begin 30 s x 0.65 / 1.60 before the peak.
    before_s = 30.0 * 0.65 / 1.60
    assert found.from_s == found.release_by_s == pytest.approx(T_S[70] - before_s, abs=2.0)
    assert found.to_s == found.from_s + LATE_S
    lost = (0.95 * before_s**2 + 0.65 * (30.0 - before_s) ** 2) / (2.0 * 60.0 * 30.0)
    assert found.chance_ratio == pytest.approx(0.95 - lost, abs=0.005)


def test_a_short_window_is_ordered_early_where_late_costs_more(ensemble: Ensemble) -> None:
    # open from T+60 with 0.92, a single best moment T+75, after which all is lost
    found = decided(ensemble, chances_like(step((60, 0.92), (75, 0.95), (76, 0.0))))
    assert (found.first, found.last) == (75, 75)
    assert found.release_by_s == found.from_s == T_S[75] - LATE_S
    assert found.to_s == T_S[75]
    # 0.935 half way to 0.95 at the end
    assert found.chance_ratio == pytest.approx(0.9425, abs=1e-9)


@given(st.lists(st.floats(0.0, 1.0), min_size=N, max_size=N))
def test_no_other_order_near_a_short_window_has_better_odds(
    ensemble: Ensemble, opened: list[float]
) -> None:
    found = decide(ensemble, chances_like(opened))
    if found is None or found.first != found.last:
        return
    chance = chances_like(opened).chance_ratio[:, 0]
    for order_s in np.linspace(max(T_S[found.first] - LATE_S, 0.0), T_S[found.last], 7):
        mean = np.interp(order_s + np.linspace(0.0, LATE_S, 25), T_S, chance).mean()
        assert mean <= found.chance_ratio + 1e-9


def test_the_burst_ends_the_window(ensemble: Ensemble) -> None:
    burst = np.clip((T_S - 70.0 * 60.0) / 1200.0, 0.0, 1.0)
    assert decided(ensemble, chances_like(np.full(N, 0.95), burst)).bound_by == "burst"


def test_the_reach_ends_the_window(ensemble: Ensemble) -> None:
    opened = step((0, 0.95), (80, 0.4))
    assert decided(ensemble, chances_like(opened, reach=opened)).bound_by == "reach"


@pytest.mark.parametrize(
    ("light_end_s", "pack_end_s", "ends"),
    [
        (np.inf, 7000.0, "packs"),
        (8000.0, 7000.0, "packs"),
        (6000.0, 7000.0, "light"),
        (6000.0, np.inf, "light"),
    ],
)
def test_what_ends_first_of_packs_and_light_ends_the_window(
    ensemble: Ensemble, light_end_s: float, pack_end_s: float, ends: str
) -> None:
    bound = ending(ensemble, light_end_s, pack_end_s)
    opened = step((0, 0.95), (80, 0.4))
    assert decided(bound, chances_like(opened, reach=np.full(N, 0.97))).bound_by == ends


def test_where_two_end_it_the_larger_loss_is_named(ensemble: Ensemble) -> None:
    # over the three minutes after T+79 the burst takes 0.3; reach 0.2 and packs 0.05
    burst = step((80, 0.3))
    opened, reach = step((0, 0.95), (80, 0.70)), step((0, 0.95), (80, 0.75))
    assert decided(ensemble, chances_like(opened, burst, reach)).bound_by == "burst"
    # without the burst, the reach takes more than half of what is lost
    assert decided(ensemble, chances_like(opened, 0.0, reach)).bound_by == "reach"


def test_a_window_up_to_the_last_moment_ends_with_the_climb(ensemble: Ensemble) -> None:
    found = decided(ensemble, chances_like(np.full(N, 0.95)))
    assert (found.last, found.bound_by) == (N - 1, "top")
    burst = step((N - 3, 0.01), (N - 2, 0.02), (N - 1, 0.03))
    found = decided(
        ensemble, chances_like(np.full(N, 0.95), burst=burst, chance=np.full((N, 1), 0.95))
    )
    assert (found.last, found.bound_by) == (N - 1, "top")


def test_a_window_stays_below_the_height_that_is_seen_or_above_it(ensemble: Ensemble) -> None:
    seen = replace(chances_like(step((67, 0.95))), by_height=np.arange(N) < 80)
    assert (decided(ensemble, seen).first, decided(ensemble, seen).last) == (67, 79)
    better = replace(chances_like(step((67, 0.95), (82, 0.96))), by_height=np.arange(N) < 80)
    assert decided(ensemble, better).first == 80


def test_what_mostly_comes_after_a_burst_is_no_plan(ensemble: Ensemble) -> None:
    # Up to T+79 home is open to 0.6 and all are whole; from T+80 on 9 in 10 burst before, though
    # every one of these is let go after it and comes home.
    burst = step((80, 0.9))
    chances = chances_like(
        step((67, 0.6), (80, 1.0)), burst, chance=step((67, 0.6), (80, 1.0))[:, None]
    )
    found = decided(ensemble, chances)
    assert (found.last, found.chance_ratio) == (79, 0.6)
    assert window_of(ensemble, chances, 0).last == 79
    counted = counted_ratio(chances, Wish())
    assert counted[75, 0] == 0.6
    assert counted[85, 0] == pytest.approx(0.1)
