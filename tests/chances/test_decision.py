"""The decision from made-up chances: which field, and above or below the wanted height."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from farglide.chances.chances import LAST_BURST_RATIO
from farglide.chances.decision import NEARLY_RATIO, decide, some_field_ratio
from farglide.chances.ensemble import Ensemble
from farglide.chances.window import WITHIN_RATIO
from farglide.sortie.spec import Wish

from .conftest import LATE_S, T_S, Z_M, N, chances_like, decided, step, wishing


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
    burst = step((80, 0.5), (85, 0.91))
    found = decided(ensemble, chances_like(step((82, 1.0)), burst))
    assert (found.field, found.above_wanted, found.is_enough) == (0, True, False)
    assert found.chance_ratio == pytest.approx(0.5)
    assert decide(ensemble, chances_like(step((85, 1.0)), burst)) is None  # 9 in 100


def test_with_nothing_worth_it_above_the_wanted_height_the_highest_stretch_counts(
    ensemble: Ensemble,
) -> None:
    # Field 1 opens low only; field 2 also up to 19.5 km, just short of the 20 km wanted: that one,
    # and there the moments near its top, not the better chance at 3 km.
    low, both = step((3, 0.97), (20, 0.0)), step((5, 0.99), (15, 0.0), (50, 0.92), (66, 0.0))
    found = decided(ensemble, chances_like(np.column_stack([low, both])))
    assert (found.field, found.above_wanted) == (1, False)
    assert (found.first, found.last) == (57, 65)  # from 17 km, 0.85 of 20 km
    # alike within a kilometre: the crew's order
    close = step((50, 0.92), (64, 0.0))
    assert decided(ensemble, chances_like(np.column_stack([close, both]))).field == 0


def test_with_nothing_open_above_the_wanted_height_the_whole_climb_counts(
    ensemble: Ensemble,
) -> None:
    found = decided(ensemble, chances_like(step((3, 0.97), (20, 0.0))))
    assert (found.first, found.last, found.above_wanted) == (3, 19, False)


def test_a_better_chance_far_below_is_no_reason_to_let_go_there(ensemble: Ensemble) -> None:
    falling = np.where(Z_M < 18_500.0, 1.0 - Z_M / 185_000.0, 0.0)
    found = decided(ensemble, chances_like(falling))
    assert not found.above_wanted
    assert Z_M[found.best] >= 17_000.0
    # where even that is no release nearly from the wanted height, the best chance counts
    low = np.where(Z_M < 12_000.0, 1.0 - Z_M / 185_000.0, 0.0)
    assert decided(ensemble, chances_like(low)).best == 0


def test_the_least_chance_gates_the_wanted_height_alone(ensemble: Ensemble) -> None:
    strict = wishing(ensemble, Wish(least_ratio=0.8))
    found = decided(strict, chances_like(step((3, 0.79), (50, 0.0), (70, 0.79))))
    assert (found.above_wanted, found.chance_ratio) == (False, 0.79)


def test_the_wanted_height_is_kept_down_to_the_least_chance(ensemble: Ensemble) -> None:
    # 0.3 from above the wanted height, 0.97 from below it
    low = chances_like(step((3, 0.97), (50, 0.0), (70, 0.3), (80, 0.2)))
    found = decided(ensemble, low)
    assert (found.first, found.last, found.above_wanted) == (70, 79, True)
    assert (found.chance_ratio, found.is_enough) == (0.3, False)
    careful = wishing(ensemble, Wish(least_ratio=0.31))
    lower = decided(careful, low)
    assert (lower.first, lower.last, lower.above_wanted) == (3, 49, False)
    nearly = decided(ensemble, chances_like(step((3, 0.97), (60, 0.0), (70, 0.3), (80, 0.2))))
    assert (nearly.first, nearly.last, nearly.above_wanted) == (57, 59, False)  # 17.7 of 20 km


def test_a_field_with_an_even_chance_goes_before_a_home_with_a_poor_one(
    ensemble: Ensemble,
) -> None:
    chances = chances_like(np.column_stack([step((67, 0.3)), step((67, 0.6))]))
    for wish in (Wish(), Wish(bring_to="home")):
        assert decided(wishing(ensemble, wish), chances).field == 1
    poor = chances_like(np.column_stack([step((67, 0.2)), step((67, 0.4))]))
    assert decided(wishing(ensemble, Wish(bring_to="home")), poor).field == 0
    assert decided(wishing(ensemble, Wish()), poor).field == 1


def test_less_than_the_least_chance_is_no_decision(ensemble: Ensemble) -> None:
    assert decide(ensemble, chances_like(np.full(N, 0.099))) is None
    assert decide(ensemble, chances_like(step((0, 0.499), (60, 0.099)))) is None  # low: doubtful
    assert decide(ensemble, chances_like(np.empty((N, 0)))) is None


def test_a_field_chosen_at_the_release_adds_what_the_others_open(ensemble: Ensemble) -> None:
    opened = np.column_stack([step((67, 0.5)), step((67, 0.4))])
    chances = replace(chances_like(opened, burst=step((67, 0.1))), any_open_ratio=step((67, 0.8)))
    found = decided(ensemble, chances)
    assert found.chance_ratio == pytest.approx(0.45)
    assert some_field_ratio(chances, found) == pytest.approx(0.72)


def test_a_field_that_opens_after_the_last_balloon_is_not_open(ensemble: Ensemble) -> None:
    burst = step((80, LAST_BURST_RATIO))
    assert decide(ensemble, chances_like(step((80, 1.0)), burst)) is None


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
        least = np.where(chances.amsl_m >= wanted_m, 0.1, 0.5)  # nothing after a burst here
        assert not ((chances.chance_ratio[:, 0] >= least) & alive).any()
        return
    assert found.is_enough == (found.chance_ratio >= 0.9)
    inside = slice(found.first, found.last + 1)
    high = alive & (chances.amsl_m >= wanted_m)
    doubtful = high & (chances.chance_ratio[:, 0] >= 0.5)
    least = high & (chances.chance_ratio[:, 0] >= 0.1)
    allowed = doubtful if doubtful.any() else least
    if not found.above_wanted:  # the stretch that ends highest
        enough, even = (alive & (chances.chance_ratio[:, 0] >= least) for least in (0.9, 0.5))
        good = enough if enough.any() else even
        nearly = enough & (chances.amsl_m >= NEARLY_RATIO * wanted_m)
        good = nearly if nearly.any() else good
        assert not doubtful.any()
        assert nearly.any() or not least.any()
        top = int(np.nonzero(good)[0][-1])
        start = top
        while start > 0 and good[start - 1]:
            start -= 1
        allowed = np.zeros(N, dtype=bool)
        allowed[start : top + 1] = True
        if nearly.any():
            allowed &= chances.amsl_m >= NEARLY_RATIO * chances.amsl_m[top]
    assert found.first <= found.best <= found.last
    assert allowed[inside].all()
    best = chances.chance_ratio[allowed, 0].max()
    assert (chances.chance_ratio[inside, 0] >= best - WITHIN_RATIO).all()
    if found.first < found.last:
        assert found.chance_ratio == best
        assert (found.from_s, found.to_s) == (T_S[found.first], T_S[found.last])
    assert found.to_s - found.from_s >= LATE_S - 1e-6
    assert found.from_s <= found.release_by_s <= found.to_s
