"""IGC, the FAI's flight-recorder format: one feed, its fixes as B records."""

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from typing import Final

from farglide.track.heights import amsl_m, hae_m, palt_m
from farglide.track.reports import Fix
from farglide.track.trackfiles.times import time_text

MAKER: Final = "AXXX001farglide\r\n"
COMMENT: Final = "LXXXFEED:"
"""XXX is the code of whoever makes no approved recorder: such a file proves no flight."""
_LOWEST_M, _HIGHEST_M = -9999, 99_999
_THOUSANDTHS: Final = 60_000  # of a minute in a degree


def igc_lines(fixes: Iterable[Fix]) -> Iterator[str]:
    """Yield an IGC file; without fixes its header only.

    Positions to a thousandth of a minute (1.9 m), heights to a metre, times to a thousandth of a
    second (extension TDS). The GNSS column is above the ellipsoid, as the format has it, if every
    fix with such a height tells that; else above sea level, which `HFALG` then says. A fix
    without a height of that kind is a 2D fix (validity V). The pressure column is that of a fix
    that tells a pressure altitude. Sorted by time, since a step back is read as the next midnight.
    It is not signed: no proof of a flight.
    Source: FAI IGC flight recorder specification, appendix A (from memory: A2.5 header records,
    A4.1 B record, A3.1 I record); checked by aerofiles 1.5.6.
    """
    held = sorted((fix for fix in fixes if time_text(fix.t_s)), key=lambda fix: fix.t_s or 0.0)
    is_above_ellipsoid = _is_above_ellipsoid(held)
    yield MAKER
    if held:
        yield f"HFDTEDATE:{_when(held[0]):%d%m%y},01\r\n"
    yield "HFDTMGPSDATUM:WGS84\r\n"
    yield f"HFALGALTGPS:{'ELL' if is_above_ellipsoid else 'GEO'}\r\n"
    yield "HFALPALTPRESSURE:ISA\r\n"
    yield "HFFTYFRTYPE:farglide\r\n"
    yield "I013638TDS\r\n"
    if held:
        yield f"{COMMENT}{_plain(held[0].feed)}\r\n"
    for fix in held:
        yield _record(fix, hae_m(fix) if is_above_ellipsoid else amsl_m(fix))


def n_without_time(fixes: Iterable[Fix]) -> int:
    """Return how many fixes the format cannot hold: those whose time is not known."""
    return sum(not time_text(fix.t_s) for fix in fixes)


def n_without_height(fixes: Iterable[Fix]) -> int:
    """Return how many fixes tell a height that neither column can hold beside the others."""
    held = [fix for fix in fixes if time_text(fix.t_s) and fix.height_m is not None]
    height = hae_m if _is_above_ellipsoid(held) else amsl_m
    return sum(height(fix) is None and palt_m(fix) is None for fix in held)


def _is_above_ellipsoid(fixes: Iterable[Fix]) -> bool:
    return not any(amsl_m(fix) is not None and hae_m(fix) is None for fix in fixes)


def _record(fix: Fix, gnss_m: float | None) -> str:
    when = _when(fix)
    lat, lon = _angle(fix.lat_deg, "NS", 2), _angle(fix.lon_deg, "EW", 3)
    validity = "V" if gnss_m is None else "A"
    heights = f"{_height(palt_m(fix))}{_height(gnss_m)}"
    return f"B{when:%H%M%S}{lat}{lon}{validity}{heights}{when.microsecond // 1000:03d}\r\n"


def _when(fix: Fix) -> datetime:
    """Return the time of a fix to the nearest thousandth of a second."""
    return datetime.fromtimestamp(round(1000.0 * (fix.t_s or 0.0)) / 1000.0, UTC)


def _angle(angle_deg: float, sides: str, n_digits: int) -> str:
    """Return degrees, minutes and thousandths of these with the side.

    >>> _angle(-46.999_999_9, "NS", 2), _angle(8.5, "EW", 3)
    ('4700000S', '00830000E')
    """
    whole, thousandths = divmod(round(abs(angle_deg) * _THOUSANDTHS), _THOUSANDTHS)
    return f"{whole:0{n_digits}d}{thousandths:05d}{sides[angle_deg < 0.0]}"


def _height(height_m: float | None) -> str:
    """Return a height in five signs; 00000 for none."""
    return f"{min(max(round(height_m or 0.0), _LOWEST_M), _HIGHEST_M):05d}"


def _plain(text: str) -> str:
    return "".join(c if " " <= c <= "~" else "?" for c in text)
