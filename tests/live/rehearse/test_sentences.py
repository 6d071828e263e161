"""Sentences: read again by our reader, and by another library when the table was made."""

from dataclasses import replace

import pytest

from farglide.live.rehearse.sentences import Told, no_fix, sentences
from farglide.track.codecs.sentence import fields_of, latitude_deg, longitude_deg

TOLD = Told(
    t_s=1_800_697_200.25, lat_deg=-46.605888, lon_deg=108.245391, amsl_m=26_266.64,
    speed_mps=12.5, track_deg=301.26,
)  # fmt: skip
# As pynmea2 1.19 reads the bytes below: latitude, longitude, height, satellites, time; and of RMC
# date, knots, track.
READ = (-46.605888, 108.245391, 26266.6, "11", "09:40:00.250000", "2027-01-23", 24.30, 301.3)
WHOLE = (
    b"$GNGGA,094000.25,4636.35328,S,10814.72346,E,1,11,0.9,26266.6,M,,M,,*72\r\n"
    b"$GNRMC,094000.25,A,4636.35328,S,10814.72346,E,24.30,301.3,230127,,,A*56\r\n"
)


def test_they_are_what_another_library_read() -> None:
    assert sentences(TOLD) == WHOLE
    gga, rmc = (fields_of(line) for line in WHOLE.splitlines(keepends=True))
    place = latitude_deg(*gga[2:4]), longitude_deg(*gga[4:6])
    assert place == pytest.approx(READ[:2], abs=1e-6)
    assert (float(gga[9]), gga[7].decode()) == READ[2:4]
    assert (float(rmc[7]), float(rmc[8])) == READ[6:]


def test_the_other_sides_of_the_earth() -> None:
    lines = sentences(replace(TOLD, lat_deg=0.999999999, lon_deg=-9.5))
    fields = fields_of(lines.splitlines(keepends=True)[0])
    assert fields[2:6] == [b"0100.00000", b"N", b"00930.00000", b"W"]


def test_without_a_position_none_is_told() -> None:
    gga, rmc = (fields_of(line) for line in no_fix(TOLD.t_s).splitlines(keepends=True))
    assert gga[6] == b"0"
    assert rmc[2] == b"V"
    assert gga[2] == rmc[3] == b""
