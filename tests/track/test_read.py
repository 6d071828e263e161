"""Read: what was read beside the fixes, in time, and heights laid among them."""

import numpy as np

from farglide.earth.state import Place
from farglide.track.drift import Been
from farglide.track.read import NOTHING, Direction, Heights, Points, Read, with_heights

STAND = Place(lat_deg=-46.5, lon_deg=108.0, amsl_m=0.0)
READ = Read(
    Heights(np.array([60.0, 300.0]), np.array([500.0, 1700.0]), np.array([20.0, 20.0])),
    Points(np.array([200.0]), np.array([1e-3]), np.array([2e-3]), np.array([10.0])),
    (Direction(100.0, STAND, 45.0, 30.0, 5.0), Direction(400.0, STAND, 46.0, None, 5.0)),
)
BEEN = Been(*(np.array(one) for one in ([0.0, 150.0], [200.0, 950.0], [0.0, 1e-4], [0.0, 2e-4])))


def test_what_was_read_later_is_left() -> None:
    later = READ.after(150.0)
    assert later.times_s == [200.0, 300.0, 400.0]
    assert later.place_times_s == [200.0, 400.0]
    assert READ.after(400.0).times_s == NOTHING.times_s == []


def test_heights_lie_among_fixes_in_time() -> None:
    found = with_heights(BEEN, READ.heights)
    np.testing.assert_array_equal(found.t_s, [0.0, 60.0, 150.0, 300.0])
    np.testing.assert_array_equal(found.amsl_m, [200.0, 500.0, 950.0, 1700.0])
    np.testing.assert_array_equal(np.isnan(found.north_rad), [False, True, False, True])


def test_a_height_beside_a_fix_says_nothing_more() -> None:
    beside = Heights(np.array([150.5]), np.array([955.0]), np.array([20.0]))
    assert len(with_heights(BEEN, beside).t_s) == 2
    np.testing.assert_array_equal(with_heights(BEEN, NOTHING.heights), BEEN)
