"""MAVLink: messages of both versions, against the readings of the protocol's general library."""

import math
from typing import Any

import pytest

from farglide.track.codecs.mavlink import MavlinkCodec
from farglide.track.codecs.tally import Cause
from farglide.track.reports import Attitude, Fix, Report

from .feeding import raw, rows, spec

ROWS = rows("mavlink")  # source: pymavlink, dialect common, by scripts/make_feed_tables.py


def codec() -> MavlinkCodec:
    return MavlinkCodec(spec("mavlink", "udp://:14550"))


def agrees(found: Report, said: dict[str, Any]) -> None:
    if said["mavpackettype"] == "ATTITUDE":
        assert isinstance(found, Attitude)
        assert found.roll_deg == pytest.approx(math.degrees(said["roll"]))
        assert found.pitch_deg == pytest.approx(math.degrees(said["pitch"]))
        assert found.heading_deg == pytest.approx(math.degrees(said["yaw"]) % 360.0)
        return
    assert isinstance(found, Fix)
    assert found.lat_deg == pytest.approx(said["lat"] * 1e-7, abs=1e-12)
    assert found.lon_deg == pytest.approx(said["lon"] * 1e-7, abs=1e-12)
    if said["mavpackettype"] == "GLOBAL_POSITION_INT":
        assert found.height_m == said["alt"] / 1000.0
        assert found.speed_mps == pytest.approx(math.hypot(said["vx"], said["vy"]) / 100.0)
        return
    assert found.height_m == (said["alt"] / 1000.0 if said["fix_type"] > 2 else None)
    assert found.speed_mps == (None if said["vel"] == 65535 else said["vel"] / 100.0)
    assert found.track_deg == (None if said["cog"] == 65535 else said["cog"] / 100.0)
    n = said["satellites_visible"]
    assert found.n_satellites == (None if n == 255 else n)
    has_clock = said["time_usec"] > 1e15
    assert found.t_s == (said["time_usec"] / 1e6 if has_clock else None)
    if said["alt_ellipsoid"]:
        assert found.separation_m == pytest.approx((said["alt_ellipsoid"] - said["alt"]) * 1e-3)


def read(row: dict[str, Any]) -> tuple[list[Report], list[dict[str, Any]]]:
    found = codec().take(raw(bytes.fromhex(row["hex"]) + b"\xfe"))
    is_fix = [one["mavpackettype"] != "GPS_RAW_INT" or one["fix_type"] > 1 for one in row["read"]]
    return found, [one for one, told in zip(row["read"], is_fix, strict=True) if told]


@pytest.mark.parametrize("row", ROWS[:160])
def test_packets_are_read_as_by_the_general_library(row: dict[str, Any]) -> None:
    found, wanted = read(row)
    assert len(found) == len(wanted)
    for each, said in zip(found, wanted, strict=True):
        agrees(each, said)


def test_behind_a_damaged_packet_no_fewer_are_read_than_by_the_general_library() -> None:
    more = 0
    for row in ROWS[160:]:
        found, wanted = read(row)
        assert len(found) >= len(wanted)
        more += len(found) - len(wanted)  # it waits for the end that a damaged length promises
        for each, said in zip(reversed(found), reversed(wanted), strict=False):
            agrees(each, said)
    assert more == 2


def test_the_vehicles_own_estimate_waits_for_the_receiver_to_fall_silent() -> None:
    position = next(bytes.fromhex(r["hex"]) for r in ROWS if _is(r, "GLOBAL_POSITION_INT"))
    receiver = next(
        bytes.fromhex(r["hex"])
        for r in ROWS
        if _is(r, "GPS_RAW_INT") and r["read"][0]["fix_type"] == 3
    )
    one = codec()
    assert len(one.take(raw(receiver))) == 1
    assert one.take(raw(position, 2.9)) == []
    assert one.tally.causes == {Cause.SPARE: 1}
    assert len(one.take(raw(position, 3.1))) == 1


def test_no_fix_is_counted() -> None:
    blind = next(
        bytes.fromhex(r["hex"])
        for r in ROWS
        if _is(r, "GPS_RAW_INT") and r["read"][0]["fix_type"] < 2
    )
    one = codec()
    assert one.take(raw(blind)) == []
    assert one.tally.causes == {Cause.NO_FIX: 1}


def _is(row: dict[str, Any], kind: str) -> bool:
    return bool(row["read"]) and row["read"][0]["mavpackettype"] == kind
