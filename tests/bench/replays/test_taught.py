"""Taught: the table of a campaign whose climbs are slower than usual."""

import numpy as np
import pytest
from bench.replays.replayed import Flown
from bench.replays.taught import Missed, Taught, rows_of

from bench.replays import taught
from farglide.review.pooled import Shown

BARE = Flown(*(np.zeros(2) for _ in range(4)))


def test_every_other_flight_teaches_and_those_between_are_asked(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    told = list[float]()

    def missed(one: Taught, drag: float) -> Missed:
        told.append(drag)
        return Missed(one.campaign, 0.2, 0.05)

    monkeypatch.setattr(taught, "missed_by", missed)
    found = [Taught("here", Shown(1.4, 0.02), 5.0, None, BARE) for _ in range(5)]  # type: ignore[arg-type]
    rows = rows_of([*found, found[0]._replace(campaign="alone")])
    assert len(told) == 2
    assert 1.2 < told[0] < 1.4
    assert rows[-2].split() == ["here", "3", "2", f"{told[0]:.2f}", "±", rows[-2].split()[5],
                                "20.0", "%", "5.0", "%"]  # fmt: skip
    assert rows[-1].split() == ["all", "2", "20.0", "%", "5.0", "%"]
