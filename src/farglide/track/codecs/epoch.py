"""Epoch: what the sentences of one moment say together, each kind of sentence its own part."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, NamedTuple

from farglide.track.codecs.moments import midnight_t_s
from farglide.track.codecs.sentence import clock_s, latitude_deg, longitude_deg, metres, number
from farglide.track.codecs.tally import Cause, UnreadError
from farglide.units import KNOT_MPS

Fields = list[bytes]
_NO_FIX_QUALITY: Final = (b"0", b"6", b"7", b"8", b"")  # none, dead reckoned, typed in, made up
_NO_FIX_MODES: Final = frozenset(b"NEMS")
_KMPH_MPS: Final = 1.0 / 3.6


@dataclass(slots=True)
class Epoch:
    """What is known so far of one moment; None for what was not said."""

    day_s: float | None = None
    midnight_t_s: float | None = None
    lat_deg: float | None = None
    lon_deg: float | None = None
    height_m: float | None = None
    separation_m: float | None = None
    speed_mps: float | None = None
    track_deg: float | None = None
    n_satellites: int | None = None
    is_flat: bool = False  # of the height nothing is known
    has_no_fix: bool = False

    @property
    def is_blank(self) -> bool:
        """Tell whether no position was said."""
        return self.lat_deg is None or self.lon_deg is None or self.has_no_fix


class Kind(NamedTuple):
    """One kind of sentence: where its clock time stands (0: it has none), and what it says."""

    clock: int
    n_fields: int
    read: Callable[[Fields, Epoch], None]


def day_s_of(fields: Fields, kind: Kind) -> float | None:
    """Return the time of day that a sentence says, None for a kind that has none."""
    if len(fields) < kind.n_fields:
        raise UnreadError(Cause.HALF)
    return clock_s(fields[kind.clock]) if kind.clock else None


def _place(epoch: Epoch, lat: Fields, lon: Fields) -> None:
    lat_deg, lon_deg = latitude_deg(*lat), longitude_deg(*lon)
    epoch.lat_deg, epoch.lon_deg = lat_deg, lon_deg


def _no_fix(epoch: Epoch) -> None:
    epoch.has_no_fix = True
    raise UnreadError(Cause.NO_FIX)


def _count(value: bytes) -> int | None:
    n = number(value)
    if n is not None and n % 1.0:
        raise UnreadError(Cause.RANGE)
    return None if n is None else int(n)


def _gga(fields: Fields, epoch: Epoch) -> None:
    """Time, latitude, N/S, longitude, E/W, quality, satellites, dilution, height, M, geoid, M."""
    if fields[6] in _NO_FIX_QUALITY:
        _no_fix(epoch)
    _place(epoch, fields[2:4], fields[4:6])
    epoch.n_satellites = _count(fields[7])
    epoch.height_m = metres(fields[9], fields[10])
    epoch.separation_m = metres(fields[11], fields[12])


def _gns(fields: Fields, epoch: Epoch) -> None:
    """Time, latitude, N/S, longitude, E/W, modes, satellites, dilution, height, geoid."""
    if set(fields[6]) <= _NO_FIX_MODES:
        _no_fix(epoch)
    _place(epoch, fields[2:4], fields[4:6])
    epoch.n_satellites = _count(fields[7])
    epoch.height_m, epoch.separation_m = number(fields[9]), number(fields[10])


def _rmc(fields: Fields, epoch: Epoch) -> None:
    """Time, A/V, latitude, N/S, longitude, E/W, knots, track, date, variation, E/W, mode."""
    if fields[2] != b"A" or _has_no_mode(fields, 12):
        _no_fix(epoch)
    if len(fields[9]) != 6 or not fields[9].isdigit():
        raise UnreadError(Cause.RANGE)
    date = fields[9]
    epoch.midnight_t_s = midnight_t_s(2000 + int(date[4:]), int(date[2:4]), int(date[:2]))
    _place(epoch, fields[3:5], fields[5:7])
    epoch.speed_mps = _times(number(fields[7]), KNOT_MPS)
    epoch.track_deg = number(fields[8])


def _gll(fields: Fields, epoch: Epoch) -> None:
    """Latitude, N/S, longitude, E/W, time, A/V, mode."""
    if fields[6] != b"A" or _has_no_mode(fields, 7):
        _no_fix(epoch)
    _place(epoch, fields[1:3], fields[3:5])


def _vtg(fields: Fields, epoch: Epoch) -> None:
    """True track, T, magnetic track, M, knots, N, km/h, K, mode."""
    if _has_no_mode(fields, 9):
        _no_fix(epoch)
    epoch.track_deg = number(fields[1])
    knots = _times(number(fields[5]), KNOT_MPS)
    epoch.speed_mps = _times(number(fields[7]), _KMPH_MPS) if knots is None else knots


def _gsa(fields: Fields, epoch: Epoch) -> None:
    """A/M, 1 no fix, 2 in the plane, 3 in space; the numbers of the satellites, dilutions."""
    if fields[2] == b"1":
        _no_fix(epoch)
    epoch.is_flat = fields[2] == b"2"


def _zda(fields: Fields, epoch: Epoch) -> None:
    """Time, day, month, year."""
    if not all(one.isdigit() and len(one) <= 4 for one in fields[2:5]):
        raise UnreadError(Cause.RANGE)
    day, month, year = map(int, fields[2:5])
    epoch.midnight_t_s = midnight_t_s(year, month, day)


def _has_no_mode(fields: Fields, at: int) -> bool:
    """Tell whether a mode is said, which old receivers leave out, and it is no fix."""
    return len(fields) > at and fields[at] != b"" and fields[at][0] in _NO_FIX_MODES


def _times(value: float | None, scale: float) -> float | None:
    return None if value is None else value * scale


KINDS: Final[dict[bytes, Kind]] = {
    b"GGA": Kind(1, 13, _gga), b"GNS": Kind(1, 11, _gns), b"RMC": Kind(1, 10, _rmc),
    b"GLL": Kind(5, 7, _gll), b"VTG": Kind(0, 9, _vtg), b"GSA": Kind(0, 3, _gsa),
    b"ZDA": Kind(1, 5, _zda),
}  # fmt: skip
"""Kinds of sentences by the last three letters, whoever talks."""
