"""Stream: both receivers in the order in which they are heard, the same each time."""

import pytest

from farglide.live.rehearse.sent import BEGINS_S, CAR, TRACKER
from farglide.live.rehearse.sitting import SPEC, Sitting
from farglide.live.rehearse.stream import raws
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.reports import Fix


def test_all_of_a_flight_comes_in_order_and_twice_the_same(sitting: Sitting) -> None:
    path = sitting.lift.path.until(900.0)
    found = list(raws(sitting, 1, path))
    assert found == list(raws(sitting, 1, path))
    assert {one.feed for one in found} == {TRACKER, CAR}
    times = [one.monotonic_s for one in found]
    assert times == sorted(times)
    assert times[0] == 0.0
    launch_t_s = sitting.planned.sortie.launch.t_s
    assert [one.utc_s - launch_t_s - BEGINS_S for one in found] == pytest.approx(times)


def test_the_tracker_climbs_and_the_car_drives(sitting: Sitting) -> None:
    ends = {}
    for feed in (TRACKER, CAR):
        codec, last = NmeaCodec(SPEC), None
        for raw in raws(sitting, 1, sitting.lift.path.until(1200.0)):
            if raw.feed == feed:
                fixes = [one for one in codec.take(raw) if isinstance(one, Fix)]
                last = fixes[-1] if fixes else last
        assert last is not None
        ends[feed] = last
    assert (ends[TRACKER].height_m or 0.0) > 5500.0
    assert (ends[CAR].height_m or 0.0) < 500.0
    assert ends[CAR].lon_deg > sitting.planned.sortie.launch.lon_deg + 0.05
