"""Sent: what a receiver tells, read by the codec: its noise, its gaps and its faults."""

from collections.abc import Iterator

import numpy as np
import pytest

from farglide.chances.ensemble import Ensemble
from farglide.live.rehearse.sent import BEGINS_S, EVERY_S, TRACKER, Ground, Receiver, moments_s
from farglide.live.rehearse.sitting import SPEC
from farglide.live.rehearse.surprises import Changes
from farglide.live.rehearse.trace import Trace, trace_of
from farglide.track.codecs.nmea import NmeaCodec
from farglide.track.reports import Fix, Raw

RISE_MPS = 5.0


@pytest.fixture
def ground(low: Ensemble) -> Ground:
    return Ground(low.sortie.launch, low.air.scene)


def climb() -> Trace:
    """Return an hour upward at 5 m/s, drifting north by 20 m/s."""
    return trace_of(np.array([[0.0, 0.0, 0.0, 0.0], [3600.0, 18_000.0, 72_000.0 / 6.37e6, 0.0]]))


def told(ground: Ground, changes: Changes, until_s: float = 3600.0, seed: int = 1) -> list[Raw]:
    receiver, path = Receiver(TRACKER, ground, seed), climb()
    came = (receiver.tell(t_s, path, changes) for t_s in moments_s(until_s))
    return [raw for raw in came if raw is not None]


def fixes(raws: list[Raw]) -> Iterator[Fix]:
    codec = NmeaCodec(SPEC)
    for raw in raws:
        yield from (one for one in codec.take(raw) if isinstance(one, Fix))


def test_moments_are_even_and_end_with_the_flight() -> None:
    found = list(moments_s(10.0))
    assert found[0] == BEGINS_S
    assert set(np.diff(found)) == {EVERY_S}
    assert found[-1] == 10.0


def test_it_is_read_as_where_it_is_but_for_some_metres(ground: Ground) -> None:
    raws, path, launch = told(ground, Changes()), climb(), ground.launch
    found = [one for one in fixes(raws) if one.t_s is not None and one.t_s > launch.t_s + 5.0]
    off_m = []
    for one in found:
        at = path.at((one.t_s or 0.0) - launch.t_s)
        north_m = 6.37e6 * (np.radians(one.lat_deg - launch.lat_deg) - at.north_rad)
        off_m.append((north_m, (one.height_m or 0.0) - at.amsl_m))
        assert one.speed_mps == pytest.approx(20.0, abs=0.1)
        assert one.track_deg == pytest.approx(0.0, abs=0.2) or one.track_deg > 359.0
    sd_m = np.std(off_m, axis=0)
    assert sd_m == pytest.approx((2.5, 5.0), rel=0.35)  # an hour holds some 30 errors of a minute
    assert np.std(np.diff([one[1] for one in off_m])) < 2.0  # they hang together


def test_a_few_messages_never_come(ground: Ground) -> None:
    n_all, n = len(list(moments_s(3600.0))), len(told(ground, Changes()))
    assert 0.005 < 1.0 - n / n_all < 0.04


def test_the_same_seed_tells_the_same_to_the_byte(ground: Ground) -> None:
    assert told(ground, Changes(), 600.0) == told(ground, Changes(), 600.0)
    assert told(ground, Changes(), 600.0) != told(ground, Changes(), 600.0, seed=2)


def test_silence_has_a_beginning_and_an_end(ground: Ground) -> None:
    changes = Changes(silent_from_s=600.0, silent_to_s=900.0)
    t_s = [raw.utc_s - ground.launch.t_s for raw in told(ground, changes, 1800.0)]
    assert not [t for t in t_s if 600.0 <= t < 900.0]
    assert max(t for t in t_s if t < 600.0) > 590.0
    assert min(t for t in t_s if t >= 900.0) < 910.0


def test_above_its_limit_it_tells_no_position(ground: Ground) -> None:
    raws = told(ground, Changes(stops_above_m=9000.0))
    found = list(fixes(raws))
    assert max(one.height_m or 0.0 for one in found) == pytest.approx(9000.0, abs=40.0)
    assert raws[-1].utc_s - ground.launch.t_s > 3500.0  # sentences go on
    assert b"GNRMC" in raws[-1].data


def test_faults_of_what_it_tells(ground: Ground) -> None:
    plain = list(fixes(told(ground, Changes(), 1800.0)))
    for changes, name, wanted in (
        (Changes(clock_off_s=60.0), "t_s", lambda x: x + 60.0),
        (Changes(tells_feet=True), "height_m", lambda x: x / 0.3048),
        (Changes(loses_sign=True), "lat_deg", abs),
    ):
        odd = list(fixes(told(ground, changes, 1800.0)))
        assert len(odd) == len(plain)
        for one, other in zip(odd, plain, strict=True):
            assert getattr(one, name) == pytest.approx(wanted(getattr(other, name)), abs=0.25)
