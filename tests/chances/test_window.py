"""The decision from made-up chance: bands, gaps, the window, release by, and what ends it."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.chances.case import Case
from farglide.chances.chances import LAST_BURST_RATIO, Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.window import WITHIN_RATIO, Decision, counted_ratio, decide, window_of
from farglide.sortie.spec import Known, Wish

from .conftest import T_S, Z_M, N, chances_like

LATE_S = 30.0  # reaction and repeats of the made-up crew


@pytest.fixture(scope="module")
def ensemble(demo_case: Case) -> Ensemble:
    """Return an ensemble with the wish, the crew and the ends of the made-up chance."""
    drop = replace(demo_case.sortie.drop, reaction_s=Known(value=10.0), repeats_s=20.0)
    sortie = replace(demo_case.sortie, drop=drop)
    return ending(replace(demo_case.drawn, sortie=sortie, listening=None))


def wishing(ensemble: Ensemble, wish: Wish) -> Ensemble:
    """Return the ensemble of a crew with another wish."""
    return replace(ensemble, sortie=replace(ensemble.sortie, wish=wish))


def ending(ensemble: Ensemble, light_end_s: float = np.inf, pack_end_s: float = 9000.0) -> Ensemble:
    """Return the ensemble with a plain wish, whose light and packs end then."""
    ends_s = np.full(ensemble.grain.n_draws, pack_end_s)
    return replace(
        wishing(ensemble, Wish()),
        draws=ensemble.draws._replace(pack_end_s=ends_s),
        reach=replace(ensemble.reach, light_end_s=light_end_s),
    )


def decided(ensemble: Ensemble, chances: Chances) -> Decision:
    found = decide(ensemble, chances)
    assert found is not None
    return found


def step(*edges: tuple[int, float]) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Return a line of steps: from each moment on, the value beside it."""
    values = np.zeros(N)
    for first, value in edges:
        values[first:] = value
    return values


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


def test_the_crew_order_decides_not_the_better_odds(ensemble: Ensemble) -> None:
    chances = chances_like(np.column_stack([step((67, 0.91)), step((67, 0.99))]))
    assert decided(ensemble, chances).field == 0


def test_of_fields_none_of_which_is_good_enough_the_best_is_taken(ensemble: Ensemble) -> None:
    chances = chances_like(np.column_stack([step((67, 0.6)), step((67, 0.8)), step((67, 0.7))]))
    found = decided(ensemble, chances)
    assert (found.field, found.is_enough) == (1, False)
    easy = wishing(ensemble, Wish(enough_ratio=0.55))
    assert (decided(easy, chances).field, decided(easy, chances).is_enough) == (0, True)


def test_a_wish_for_home_turns_to_others_only_where_home_is_not_even_doubtful(
    ensemble: Ensemble,
) -> None:
    homeward = wishing(ensemble, Wish(bring_to="home"))
    doubtful = chances_like(np.column_stack([step((67, 0.6)), step((67, 0.95))]))
    assert decided(ensemble, doubtful).field == 1
    found = decided(homeward, doubtful)
    assert (found.field, found.is_enough, found.above_wanted) == (0, False, True)
    shut = chances_like(np.column_stack([step((67, 0.4)), step((67, 0.95))]))
    assert decided(homeward, shut).field == 1


def test_a_home_open_only_below_the_wanted_height_gives_way_to_a_field_above_it(
    ensemble: Ensemble,
) -> None:
    chances = chances_like(np.column_stack([step((3, 1.0), (40, 0.0)), step((70, 0.92))]))
    found = decided(ensemble, chances)
    assert (found.field, found.above_wanted) == (1, True)


def test_a_home_that_opens_only_when_hardly_a_balloon_is_left_gives_way(ensemble: Ensemble) -> None:
    # Home opens at T+85 with 9 of 10 balloons burst: chance 1 in 10. Field 2 is open all the time.
    burst = step((80, 0.5), (85, 0.9))
    chances = chances_like(np.column_stack([step((85, 1.0)), step((10, 0.95))]), burst)
    found = decided(ensemble, chances)
    assert (found.field, found.chance_ratio) == (1, 0.95)


def test_a_release_that_hardly_pays_is_still_told_when_nothing_else_opens(
    ensemble: Ensemble,
) -> None:
    burst = step((80, 0.5), (85, 0.9))
    found = decided(ensemble, chances_like(step((82, 1.0)), burst))
    assert (found.field, found.above_wanted, found.is_enough) == (0, True, False)
    assert found.chance_ratio == pytest.approx(0.5)
    assert decide(ensemble, chances_like(step((85, 1.0)), burst)) is None  # 1 in 10


def test_with_nothing_worth_it_above_the_wanted_height_the_highest_stretch_counts(
    ensemble: Ensemble,
) -> None:
    # Field 1 opens low only; field 2 also up to 19.5 km, just short of the 20 km wanted: that one,
    # and there the moments near its top, not the better chance at 3 km.
    low, both = step((3, 0.97), (20, 0.0)), step((5, 0.99), (15, 0.0), (50, 0.92), (66, 0.0))
    found = decided(ensemble, chances_like(np.column_stack([low, both])))
    assert (found.field, found.above_wanted) == (1, False)
    assert (found.first, found.last) == (50, 65)
    # alike within a kilometre: the crew's order
    close = step((50, 0.92), (64, 0.0))
    assert decided(ensemble, chances_like(np.column_stack([close, both]))).field == 0


def test_with_nothing_open_above_the_wanted_height_the_whole_climb_counts(
    ensemble: Ensemble,
) -> None:
    found = decided(ensemble, chances_like(step((3, 0.97), (20, 0.0))))
    assert (found.first, found.last, found.above_wanted) == (3, 19, False)


def test_no_chance_that_is_even_doubtful_is_no_decision(ensemble: Ensemble) -> None:
    assert decide(ensemble, chances_like(np.full(N, 0.499))) is None
    assert decide(ensemble, chances_like(np.empty((N, 0)))) is None


def test_a_field_that_opens_after_the_last_balloon_is_not_open(ensemble: Ensemble) -> None:
    burst = step((80, LAST_BURST_RATIO))
    assert decide(ensemble, chances_like(step((80, 1.0)), burst)) is None


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


def test_a_window_up_to_the_last_moment_ends_with_the_burst(ensemble: Ensemble) -> None:
    found = decided(ensemble, chances_like(np.full(N, 0.95)))
    assert (found.last, found.bound_by) == (N - 1, "burst")


@given(
    st.lists(st.floats(0.0, 1.0), min_size=N, max_size=N),
    st.lists(st.floats(0.0, 1.0), min_size=N, max_size=N),
    st.floats(0.0, 30_000.0),
)
def test_any_odds_give_a_window_that_keeps_its_promises(
    ensemble: Ensemble, opened: list[float], burst: list[float], wanted_m: float
) -> None:
    chances = chances_like(opened, np.sort(burst))
    wish = Wish(wanted_amsl_m=wanted_m)
    found = decide(wishing(ensemble, wish), chances)
    alive = chances.burst_ratio < LAST_BURST_RATIO
    if found is None:
        assert not ((chances.chance_ratio[:, 0] >= 0.5) & alive).any()  # nothing after a burst here
        return
    assert found.is_enough == (found.chance_ratio >= 0.9)
    inside = slice(found.first, found.last + 1)
    counts = alive & (chances.chance_ratio[:, 0] >= 0.5)
    allowed = counts & (chances.amsl_m >= wanted_m)
    if not found.above_wanted:  # the stretch that ends highest
        enough, doubtful = (alive & (chances.chance_ratio[:, 0] >= least) for least in (0.9, 0.5))
        good = enough if enough.any() else doubtful
        top = int(np.nonzero(good)[0][-1])
        start = top
        while start > 0 and good[start - 1]:
            start -= 1
        allowed = np.zeros(N, dtype=bool)
        allowed[start : top + 1] = True
    assert found.first <= found.best <= found.last
    assert allowed[inside].all()
    best = chances.chance_ratio[allowed, 0].max()
    assert (chances.chance_ratio[inside, 0] >= best - WITHIN_RATIO).all()
    if found.first < found.last:
        assert found.chance_ratio == best
        assert (found.from_s, found.to_s) == (T_S[found.first], T_S[found.last])
    assert found.to_s - found.from_s >= LATE_S - 1e-6
    assert found.from_s <= found.release_by_s <= found.to_s


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
