"""Replayed flights: fixes by height, and a table that says what was found."""

import numpy as np
import pytest
from bench.replays.replayed import Flown, Told, fixes_to, replayed_rows

T_S = np.arange(0.0, 4001.0, 2.0)
FLOWN = Flown(T_S, 100.0 + 5.0 * T_S, 1e-6 * T_S, 2e-6 * T_S)


def test_fixes_come_each_half_minute_until_the_height() -> None:
    been = fixes_to(FLOWN, 5_000.0, 300.0)
    np.testing.assert_allclose(np.diff(been.t_s), 30.0)
    assert been.amsl_m[0] == pytest.approx(400.0)
    assert 4_850.0 < been.amsl_m[-1] <= 5_000.0
    np.testing.assert_allclose(been.east_rad, 2.0 * been.north_rad)
    assert len(fixes_to(FLOWN, 0.0, 0.0).t_s) == 0


def test_samples_without_their_own_moment_are_left_out() -> None:
    still = Flown(np.minimum(T_S, 600.0), FLOWN.amsl_m, FLOWN.north_rad, FLOWN.east_rad)
    assert (np.diff(fixes_to(still, 20_000.0, 0.0).t_s) > 0.0).all()


def test_the_table_tells_medians_and_shares() -> None:
    found = [
        Told(
            from_m=5_000.0,
            rank=rank,
            most_m=9_000.0,
            miss_m=1000.0 * k,
            late_s=60.0 * k * k,
            spread_s=90.0,
            group=k,
        )
        for k, rank in enumerate((0.1, 0.6, 0.95))
    ]
    *_, row = replayed_rows(found, 3)
    cells = row.replace("(", " ").replace(")", " ").split()
    near, inside = ["5", "km", "3", "3", "1.0", "km", "9.0", "km"], ["0.33", "0.00", "to", "1.00"]
    assert cells[:12] == [*near, *inside]
    assert cells[12] == "0.67"
    assert cells[-3:] == ["60", "s", "0.33"]
