"""Replayed flights: fixes by height, and a table that says what was found."""

import numpy as np
import pytest
from bench.replays.replayed import Flown, fixes_to
from bench.replays.replayedtable import Told, replayed_rows

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


def told(number: int, rank: float) -> Told:
    return Told(
        from_m=5_000.0, rank=rank, most_m=9_000.0, miss_m=1000.0 * number,
        late_s=60.0 * number**2, spread_s=90.0, group=number, dark=False,
    )  # fmt: skip


def test_the_table_tells_medians_and_shares() -> None:
    found = [told(k, rank) for k, rank in enumerate((0.1, 0.6, 0.95))]
    *_, row = replayed_rows(found, [], 3)
    cells = row.replace("(", " ").replace(")", " ").split()
    near, inside = ["5", "km", "3", "3", "1.0", "km", "9.0", "km"], ["0.33", "0.00", "to", "1.00"]
    assert cells[:12] == [*near, *inside]
    assert cells[12] == "0.67"
    assert cells[-3:] == ["60", "s", "0.33"]


def test_flights_by_day_and_in_the_dark_are_told_apart() -> None:
    found = [told(0, 0.1), told(1, 0.95)._replace(dark=True), told(2, 0.95)._replace(dark=True)]
    rows = replayed_rows(found, [], 3)
    by_day, dark = rows.index("Flown by day"), rows.index("Flown in the dark")
    assert rows[by_day + 2].split()[2:4] == ["1", "1"]
    assert "1.00 (1.00 to 1.00)" in rows[by_day + 2]
    assert rows[dark + 2].split()[2:4] == ["2", "2"]
    assert "0.00 (0.00 to 0.00)" in rows[dark + 2]
    assert "Flown in the dark" not in replayed_rows(found[:1], [], 1)


def test_what_the_own_drag_table_tells_stands_below() -> None:
    rows = replayed_rows([told(0, 0.95)], [told(0, 0.1)], 1)
    usual = rows.index("Flown by day")
    own = rows.index("Flown by day, their drag table by the other flights of their kind")
    assert usual < own
    assert "0.00 (0.00 to 0.00)" in rows[usual + 2]
    assert "1.00 (1.00 to 1.00)" in rows[own + 2]
