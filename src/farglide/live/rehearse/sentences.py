"""Sentences: NMEA 0183 as a satellite receiver writes it of a place at a moment."""

from dataclasses import dataclass
from typing import Final

from farglide.earth.clock import local_datetime
from farglide.track.codecs.sentence import checksum
from farglide.units import KNOT_MPS

_N_SATELLITES: Final = 11
_DILUTION: Final = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a receiver tells at one moment; `t_s`: UTC seconds by its clock."""

    t_s: float
    lat_deg: float
    lon_deg: float
    amsl_m: float
    speed_mps: float  # over ground
    track_deg: float


def sentences(told: Told) -> bytes:
    """Return GGA and RMC of one moment, in that order.

    Source: as `farglide.track.codecs.sentence`, which reads them. Degrees and minutes to 1e-5 of a
    minute, heights to 0.1 m, times to 0.01 s.
    """
    moment = local_datetime(round(told.t_s, 2), "UTC")
    clock = f"{moment:%H%M%S}.{moment.microsecond // 10_000:02d}"
    place = f"{_minutes(told.lat_deg, 2, 'NS')},{_minutes(told.lon_deg, 3, 'EW')}"
    knots = f"{told.speed_mps / KNOT_MPS:.2f},{told.track_deg % 360.0:.1f}"
    height = f"{_N_SATELLITES:02d},{_DILUTION},{told.amsl_m:.1f},M,,M,,"
    return b"".join((
        _line(f"GNGGA,{clock},{place},1,{height}"),
        _line(f"GNRMC,{clock},A,{place},{knots},{moment:%d%m%y},,,A"),
    ))  # fmt: skip


def no_fix(t_s: float) -> bytes:
    """Return what a receiver writes that has no position."""
    moment = local_datetime(round(t_s, 2), "UTC")
    clock = f"{moment:%H%M%S}.{moment.microsecond // 10_000:02d}"
    return _line(f"GNGGA,{clock},,,,,0,00,,,M,,M,,") + _line(
        f"GNRMC,{clock},V,,,,,,,{moment:%d%m%y},,,N"
    )


def _minutes(deg: float, n_digits: int, sides: str) -> str:
    """Return an angle as whole degrees and minutes, and its side."""
    hundred_thousandths = round(abs(deg) * 6_000_000.0)
    whole, rest = divmod(hundred_thousandths, 6_000_000)
    return f"{whole:0{n_digits}d}{rest / 100_000.0:08.5f},{sides[deg < 0.0]}"


def _line(body: str) -> bytes:
    data = body.encode("ascii")
    return b"$%s*%02X\r\n" % (data, checksum(data))
