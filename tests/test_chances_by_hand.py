"""The chances that tests call independent, drawn again by a script that shares no code."""

import numpy as np
import pytest

from .by_hand.chances import asked, drawn

SEEDS = (1, 2)
# Shares of 200 draws as tests/independent.py lists them: of home open at T+20, 22, 24, 26, 62, 64,
# the first four with errors out and back drawn apart; of a balloon whole at T+78, 80; of both at
# T+68, 72, 76, 80, the packs left out and counted.
HOME_OPEN, APART = (0.90, 0.83, 0.74, 0.65, 0.42, 0.56), (0.96, 0.92, 0.83, 0.71)
HOME_AND_WHOLE, WHOLE = (0.77, 0.89, 0.93, 0.73), (0.89, 0.74)
WITH_PACKS = (0.76, 0.86, 0.91, 0.72)

pytestmark = pytest.mark.slow


def test_shares_of_400_draws() -> None:
    """The printed ones are of 200: their standard deviation is 0.035 about a half, 0.02 at 0.9.

    Ours of 400 have 0.025 of their own: near a half 2.5 deviations of the difference are 0.11. At
    T+62 1600 draws of ours have 0.48: the printed 0.42 lies 1.7 deviations low.
    """
    minutes = np.array([20.0, 22.0, 24.0, 26.0, 62.0, 64.0, 68.0, 72.0, 76.0, 78.0, 80.0])
    runs = [asked(minutes, drawn(seed), drawn(seed)) for seed in SEEDS]
    reached = np.mean([one.reached.mean(axis=0) for one in runs], axis=0)
    home = np.mean([one.home for one in runs], axis=0)
    whole = np.mean([one.whole.mean(axis=0) for one in runs], axis=0)
    assert reached[:6] == pytest.approx(HOME_OPEN, abs=0.11)
    assert reached[:4] == pytest.approx(HOME_OPEN[:4], abs=0.05)
    assert home[[6, 7, 8, 10]] == pytest.approx(HOME_AND_WHOLE, abs=0.05)
    assert whole[[9, 10]] == pytest.approx(WHOLE, abs=0.05)
    apart = [asked(minutes[:4], drawn(seed), drawn(seed + 100)).home for seed in SEEDS]
    assert np.mean(apart, axis=0) == pytest.approx(APART, abs=0.05)
    with_packs = asked(minutes[[6, 7, 8, 10]], drawn(1), drawn(1), packs=True).home
    taken = runs[0].home[[6, 7, 8, 10]] - with_packs
    printed_taken = np.array(HOME_AND_WHOLE) - WITH_PACKS  # to 0.01 each
    assert taken == pytest.approx(printed_taken, abs=0.03)


def test_the_best_height_and_the_window() -> None:
    # 0.929 for the best minute and 0.993 for the best height; home by 9 in 10 again at T+72; the
    # last minute within 0.02 of the best T+76; 53 min of T+3 to T+80 below 9 in 10
    draws = [drawn(seed) for seed in SEEDS]
    heights = np.arange(24e3, 27.1e3, 500.0)
    by_height = np.mean([asked(heights, one, one, by_height=True).home for one in draws], axis=0)
    assert by_height.max() == pytest.approx(0.993, abs=0.01)
    minutes = np.arange(3.0, 80.1, 0.5)
    runs = [asked(minutes, one, one) for one in draws]
    by_minute = np.mean([one.home for one in runs], axis=0)
    late = minutes >= 60.0
    best = by_minute[late].max()
    assert best == pytest.approx(0.929, abs=0.025)
    assert minutes[late][by_minute[late] >= 0.9][0] == pytest.approx(72.0, abs=1.0)
    reached = np.mean([one.reached.mean(axis=0) for one in runs], axis=0)
    assert 0.5 * float((reached < 0.9).sum()) == pytest.approx(53.0, abs=2.0)
    good = minutes[late][by_minute[late] >= best - 0.02]
    assert good[-1] == pytest.approx(76.0, abs=1.0)
