"""The flights that are timed have room for all that a flight tells."""

import numpy as np
from bench.flights import _ends

from farglide.sim.fly.orders import Ends


def test_there_is_room_for_every_answer() -> None:
    made = _ends(3)
    assert len(made) == len(Ends._fields)
    assert all(len(one) == 3 for one in made)
    assert np.isnan(made.east_rad).all()
