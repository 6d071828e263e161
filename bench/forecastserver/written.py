"""Written: fields on a regular grid as GRIB 2 messages with simple packing.

Source: WMO-No. 306, volume I.2, FM 92 GRIB edition 2: templates 3.0, 4.0, 4.1, 5.0 and 7.0.
"""

import math
import struct
from datetime import UTC, datetime
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

NUMBERS: Final = {
    "HGT": (3, 5), "TMP": (0, 0), "UGRD": (2, 2), "VGRD": (2, 3), "RH": (1, 1),
}  # fmt: skip
"""Category and number of a field, of discipline 0: code table 4.2."""
_N_BITS: Final = 16


class Area(NamedTuple):
    """The outermost points of a grid, and how far apart its points are, in degrees."""

    north: float
    west: float
    step: float


class Stamp(NamedTuple):
    """Run, hours after it, and the number of the member; None: no ensemble."""

    run_t_s: float
    step_h: int
    member: int | None = None


def message(field: str, hpa: float, values: Values, area: Area, stamp: Stamp) -> bytes:
    """Return one field, (n_rows, n_columns), north first, as a message."""
    low, scale, packed = _packed(values)
    sections = [
        _section(1, _identification(stamp)),
        _section(3, _grid(values, area)),
        _section(4, _product(field, hpa, stamp)),
        _section(
            5, struct.pack(">IHfHHBB", values.size, 0, low, _signed(scale, 16), 0, _N_BITS, 0)
        ),
        _section(6, b"\xff"),
        _section(7, packed.astype(">u2").tobytes()),
    ]
    body = b"".join(sections) + b"7777"
    return b"GRIB\0\0\0\2" + struct.pack(">Q", 16 + len(body)) + body


def restamped(data: bytes, stamp: Stamp) -> bytes:
    """Return messages byte for byte but for the time of their run and the hours after it."""
    out, place = bytearray(data), 0
    while place < len(out):
        end = place + int.from_bytes(out[place + 8 : place + 16], "big")
        section = place + 16
        while section < end - 4:
            if out[section + 4] == 1:
                out[section + 12 : section + 19] = _time(stamp.run_t_s)
            elif out[section + 4] == 4:
                out[section + 17] = 1  # hours
                out[section + 18 : section + 22] = stamp.step_h.to_bytes(4, "big")
            section += int.from_bytes(out[section : section + 4], "big")
        place = end
    return bytes(out)


def _section(number: int, body: bytes) -> bytes:
    return struct.pack(">IB", 5 + len(body), number) + body


def _time(t_s: float) -> bytes:
    at = datetime.fromtimestamp(t_s, UTC)
    return struct.pack(">HBBBBB", at.year, at.month, at.day, at.hour, at.minute, at.second)


def _identification(stamp: Stamp) -> bytes:
    kind = 1 if stamp.member is None else 4  # forecast, or one that is perturbed
    return struct.pack(">HHBBB", 7, 0, 2, 1, 1) + _time(stamp.run_t_s) + bytes([0, kind])


def _grid(values: Values, area: Area) -> bytes:
    n_rows, n_columns = values.shape
    south = area.north - (n_rows - 1) * area.step
    east = area.west + (n_columns - 1) * area.step
    corners = [_micro(area.north), _micro(area.west % 360.0)]
    ends = [_micro(south), _micro(east % 360.0)]
    return struct.pack(
        ">BIBBHB15sIIIIIIBIIIIB", 0, values.size, 0, 0, 0, 6, bytes(15), n_columns, n_rows, 0,
        0xFFFFFFFF, *corners, 0x30, *ends, _micro(area.step), _micro(area.step), 0,
    )  # fmt: skip


def _product(field: str, hpa: float, stamp: Stamp) -> bytes:
    category, number = NUMBERS[field]
    template = 0 if stamp.member is None else 1
    body = struct.pack(
        ">HHBBBBBHBBIBBIBBI", 0, template, category, number, 2, 0, 96, 0, 0, 1, stamp.step_h,
        100, 0, round(100.0 * hpa), 255, 0, 0,
    )  # fmt: skip
    if stamp.member is None:
        return body
    return body + bytes([1 if stamp.member == 0 else 3, stamp.member, 30])


def _packed(values: Values) -> tuple[float, int, Values]:
    """Return reference, binary scale and the whole numbers: value = reference + number 2^scale."""
    low = float(np.nextafter(np.float32(values.min()), np.float32(-np.inf)))
    span = max(float(values.max()) - low, 1e-9)
    scale = math.ceil(math.log2(span / (2**_N_BITS - 1)))
    return low, scale, np.round((values - low) / 2.0**scale)


def _micro(degrees: float) -> int:
    return _signed(round(1e6 * degrees), 32)


def _signed(number: int, n_bits: int) -> int:
    """Return a number as GRIB writes it: its size, and the first bit for its sign."""
    return abs(number) | (1 << (n_bits - 1) if number < 0 else 0)
