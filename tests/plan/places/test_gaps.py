"""Gaps: short ones are told as what is around them, each with the field that comes nearest."""

from dataclasses import replace

import numpy as np

from farglide.chances.chances import Chances
from farglide.plan.places.gaps import gaps
from farglide.sortie.spec import Sortie

STEP_S = 40.0


def opened(chances: Chances, *shares: list[float]) -> Chances:
    """Return the chances with what is open at the first moments, and nothing more after."""
    n, n_fields = chances.open_ratio.shape
    open_ratio = np.full((n, n_fields), 0.95)
    for k, row in enumerate(shares):
        open_ratio[k] = row
    return replace(chances, open_ratio=open_ratio, after_launch_s=STEP_S * np.arange(n))


def test_a_gap_has_the_field_with_the_best_mean_chance(sortie: Sortie, chances: Chances) -> None:
    open_, shut = [1.0, 0.0, 0.0, 0.0], [0.1, 0.3, 0.89, 0.0]
    other = [0.1, 0.88, 0.7, 0.0]
    (gap,) = gaps(sortie, opened(chances, open_, shut, shut, other), 2000.0)
    assert (gap.from_after_launch_s, gap.to_after_launch_s) == (STEP_S, 4 * STEP_S)
    assert gap.best_field == sortie.fields[2].name
    assert gap.best_ratio == np.mean([0.89, 0.89, 0.7])


def test_gaps_less_than_a_minute_apart_are_one_and_shorter_ones_none(
    sortie: Sortie, chances: Chances
) -> None:
    open_, shut = [1.0, 0.0, 0.0, 0.0], [0.1, 0.3, 0.6, 0.0]
    assert gaps(sortie, opened(chances, open_, shut), 2000.0) == ()
    (gap,) = gaps(sortie, opened(chances, open_, shut, shut, open_, shut, shut), 2000.0)
    assert (gap.from_after_launch_s, gap.to_after_launch_s) == (STEP_S, 6 * STEP_S)
    assert gap.best_ratio == 0.6  # the open moment in between does not make it better
    two = opened(chances, open_, shut, shut, open_, open_, shut, shut)
    assert len(gaps(sortie, two, 2000.0)) == 2


def test_without_a_field_no_field_is_best(sortie: Sortie, chances: Chances) -> None:
    none = replace(chances, open_ratio=chances.open_ratio[:, :0])
    (gap,) = gaps(replace(sortie, fields=()), none, 2000.0)
    assert (gap.best_field, gap.best_ratio) == ("", 0.0)
