"""Epochs: what each kind of sentence says, and when it says that there is no fix."""

import pytest

from farglide.track.codecs.epoch import KINDS, Epoch, day_s_of
from farglide.track.codecs.tally import Cause, UnreadError


def read(body: str, epoch: Epoch | None = None) -> Epoch:
    epoch, fields = epoch or Epoch(), body.encode().split(b",")
    kind = KINDS[fields[0][-3:]]
    epoch.day_s = day_s_of(fields, kind)
    kind.read(fields, epoch)
    return epoch


@pytest.mark.parametrize(
    "body",
    [
        "GPGGA,120000,4807.0,N,01131.0,E,0,00,,,M,,M,,",
        "GPGGA,120000,4807.0,N,01131.0,E,6,08,0.9,545.4,M,46.9,M,,",
        "GPGGA,,,,,,0,00,,,M,,M,,",
        "GPRMC,120000,V,4807.0,N,01131.0,E,,,230127,,,N",
        "GPRMC,120000,A,4807.0,N,01131.0,E,1.0,2.0,230127,,,E",
        "GPGLL,4807.0,N,01131.0,E,120000,V",
        "GNGNS,120000,4807.0,N,01131.0,E,NN,00,,,,,",
        "GPVTG,,T,,M,,N,,K,N",
        "GPGSA,A,1,,,,,,,,,,,,,,,",
    ],
)
def test_no_fix_is_told_as_such(body: str) -> None:
    with pytest.raises(UnreadError, match="no fix yet"):
        read(body)


@pytest.mark.parametrize(
    ("body", "cause"),
    [
        ("GPGGA,120000,4807.0,N", Cause.HALF),
        ("GPGGA,250000,4807.0,N,01131.0,E,1,08,0.9,545.4,M,46.9,M,,", Cause.RANGE),
        ("GPGGA,1200,4807.0,N,01131.0,E,1,08,0.9,545.4,M,46.9,M,,", Cause.RANGE),
        ("GPGGA,120000,4807.0,N,01131.0,E,1,08,0.9,545.4,F,46.9,M,,", Cause.RANGE),
        ("GPGGA,120000,4807.0,N,01131.0,E,1,08,0.9,1e3,M,46.9,M,,", Cause.RANGE),
        ("GPRMC,120000,A,4807.0,N,01131.0,E,1.0,2.0,320127,,", Cause.RANGE),
        ("GPRMC,120000,A,4807.0,N,01131.0,E,1.0,2.0,23012,,", Cause.RANGE),
        ("GPZDA,120000,23,13,2027,00,00", Cause.RANGE),
        ("GPZDA,120000,,,,00,00", Cause.RANGE),
    ],
)
def test_what_cannot_be_says_why(body: str, cause: Cause) -> None:
    with pytest.raises(UnreadError, match=cause.value):
        read(body)


def test_a_height_in_the_plane_is_none() -> None:
    assert read("GPGSA,A,2,04,05,,09,12,,,24,,,,,2.5,1.3,2.1").is_flat
    assert not read("GPGSA,A,3,04,05,,09,12,,,24,,,,,2.5,1.3,2.1").is_flat


def test_kilometres_an_hour_stand_in_for_knots() -> None:
    assert read("GPVTG,90.0,T,,M,,N,36.0,K").speed_mps == pytest.approx(10.0)


def test_a_date_with_four_digits_of_its_year() -> None:
    assert read("GPZDA,120000,23,01,2027,00,00").midnight_t_s == 1800662400.0


def test_old_receivers_say_no_mode() -> None:
    assert not read("GPGLL,4807.0,N,01131.0,E,120000,A").is_blank
    assert not read("GPRMC,120000,A,4807.0,N,01131.0,E,1.0,2.0,230127,,").is_blank
