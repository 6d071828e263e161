"""gpsd: TPV objects, with the height that they say; all other classes are unknown."""

import json

import pytest

from farglide.track.codecs.gpsd import GpsdCodec
from farglide.track.codecs.tally import Cause
from farglide.track.reports import Fix, HeightKind

from .feeding import NOON_T_S, raw, spec

# Source of the form: gpsd_json(5), class TPV, from memory.
TPV = {
    "class": "TPV", "device": "/dev/ttyUSB0", "mode": 3, "time": "2027-01-23T12:00:00.000Z",
    "lat": 48.1173, "lon": 11.5166, "altHAE": 592.3, "altMSL": 545.4, "geoidSep": 46.9,
    "track": 84.4, "speed": 11.5, "climb": 0.1,
}  # fmt: skip


def read(*objects: object) -> tuple[list[Fix], GpsdCodec]:
    codec = GpsdCodec(spec("gpsd", "tcp://127.0.0.1:2947"))
    lines = [one if isinstance(one, bytes) else json.dumps(one).encode() for one in objects]
    found = codec.take(raw(b"".join(line + b"\r\n" for line in lines)))
    return [one for one in found if isinstance(one, Fix)], codec


def test_a_fix_with_all_that_is_said() -> None:
    (fix,), _ = read(TPV)
    assert (fix.lat_deg, fix.lon_deg, fix.t_s) == (48.1173, 11.5166, NOON_T_S)
    assert (fix.height_m, fix.height_kind, fix.separation_m) == (545.4, HeightKind.SEA_LEVEL, 46.9)
    assert (fix.speed_mps, fix.track_deg) == (11.5, 84.4)


@pytest.mark.parametrize(
    ("gone", "height_m", "kind"),
    [
        ((), 545.4, HeightKind.SEA_LEVEL),
        (("altMSL",), 592.3, HeightKind.ELLIPSOID),
        (("altMSL", "altHAE"), None, HeightKind.SEA_LEVEL),
    ],
)
def test_the_mean_sea_level_counts_before_the_ellipsoid(
    gone: tuple[str, ...], height_m: float | None, kind: HeightKind
) -> None:
    (fix,), _ = read({key: value for key, value in TPV.items() if key not in gone})
    assert (fix.height_m, fix.height_kind) == (height_m, kind)


def test_the_height_of_old_daemons_and_of_a_fix_in_the_plane() -> None:
    old = {key: value for key, value in TPV.items() if not key.startswith("alt")} | {"alt": 540.0}
    assert read(old)[0][0].height_m == 540.0
    assert read(TPV | {"mode": 2})[0][0].height_m is None


@pytest.mark.parametrize(
    ("said", "cause"),
    [
        ({"class": "SKY"}, Cause.UNKNOWN),
        (TPV | {"mode": 1}, Cause.NO_FIX),
        (TPV | {"mode": 3.0}, Cause.NO_FIX),
        ({"class": "TPV", "mode": 3}, Cause.NO_FIX),
        (TPV | {"lat": "48"}, Cause.RANGE),
        (TPV | {"lat": 98.0}, Cause.RANGE),
        (TPV | {"altMSL": True}, Cause.RANGE),
        (TPV | {"time": 5}, Cause.RANGE),
        (TPV | {"time": "noon"}, Cause.RANGE),
        (b'{"class":"TPV","lat":1e999,"lon":1,"mode":3}', Cause.RANGE),
        (b'{"class":"TPV","lat":NaN,"lon":1,"mode":3}', Cause.RANGE),
        (b'{"class":"TPV",', Cause.HALF),
        (b'":48}', Cause.HALF),
        (b"\xff\xfe", Cause.NO_LINE),
        (b"[" * 3000, Cause.NO_LINE),
        (b"[]", Cause.NO_LINE),
    ],
)
def test_what_is_no_fix_says_why(said: object, cause: Cause) -> None:
    found, codec = read(said)
    assert found == []
    assert codec.tally.causes == {cause: 1}


def test_the_same_moment_again_is_stale() -> None:
    found, codec = read(TPV, TPV)
    assert len(found) == 1
    assert codec.tally.causes == {Cause.STALE: 1}
