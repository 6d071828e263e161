"""A small writer of GRIB messages, editions 1 and 2, in simple packing, by WMO-No. 306."""

import struct
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
KINDS = {
    "gph_m": (3, 5),
    "t_k": (0, 0),
    "u_mps": (2, 2),
    "v_mps": (2, 3),
    "rh": (1, 1),
    "q": (1, 0),
}
NUMBERS = {"gph_m": 7, "t_k": 11, "u_mps": 33, "v_mps": 34, "rh": 52}


def signed(value: int, n: int) -> bytes:
    """Return a GRIB integer: sign bit and magnitude."""
    return (abs(value) | (1 << (8 * n - 1) if value < 0 else 0)).to_bytes(n, "big")


@dataclass(frozen=True, kw_only=True)
class Even:
    """A grid of even steps; the first row and column are the first in the file."""

    lats_deg: tuple[float, float] = (50.0, 40.0)  # of the first and the last row
    lons_deg: tuple[float, float] = (10.0, 30.0)
    shape: tuple[int, int] = (3, 5)
    scanning: int = 0x00
    component_flags: int = 0x30
    negative: bool = False  # whether longitudes are written from -180 to 180

    def body(self) -> bytes:
        """Return section 3 after its number."""
        n_rows, n_columns = self.shape
        lons = [self._lon(lon) * 1e6 for lon in self.lons_deg]
        step = ((self.lons_deg[1] - self.lons_deg[0]) % 360.0) / (n_columns - 1)
        lat_step = abs(self.lats_deg[1] - self.lats_deg[0]) / (n_rows - 1)
        return (
            struct.pack(">BIBBH", 0, n_rows * n_columns, 0, 0, 0)
            + bytes([6] + [0] * 15)
            + struct.pack(">IIII", n_columns, n_rows, 0, 0xFFFFFFFF)
            + signed(round(self.lats_deg[0] * 1e6), 4)
            + signed(round(lons[0]), 4)
            + bytes([self.component_flags])
            + signed(round(self.lats_deg[1] * 1e6), 4)
            + signed(round(lons[1]), 4)
            + struct.pack(">IIB", round(step * 1e6), round(lat_step * 1e6), self.scanning)
        )

    def section_1(self, pv: Sequence[float]) -> bytes:
        """Return section 2 of GRIB 1, with its coefficients."""
        n_rows, n_columns = self.shape
        step = ((self.lons_deg[1] - self.lons_deg[0]) % 360.0) / (n_columns - 1)
        lat_step = abs(self.lats_deg[1] - self.lats_deg[0]) / (n_rows - 1)
        lats = [signed(round(lat * 1e3), 3) for lat in self.lats_deg]
        lons = [signed(round(self._lon(lon) * 1e3), 3) for lon in self.lons_deg]
        body = bytes([len(pv), 33 if pv else 255, 0]) + struct.pack(">HH", n_columns, n_rows)
        body += lats[0] + lons[0] + b"\x80" + lats[1] + lons[1]
        body += struct.pack(">HHB", round(step * 1e3), round(lat_step * 1e3), self.scanning)
        body += bytes(4) + b"".join(ibm(one) for one in pv)
        return (len(body) + 3).to_bytes(3, "big") + body

    def _lon(self, lon_deg: float) -> float:
        return (lon_deg + 180.0) % 360.0 - 180.0 if self.negative else lon_deg % 360.0


@dataclass(frozen=True, kw_only=True)
class Lambert:
    """A Lambert conformal map; the first point is its lower left corner."""

    first_deg: tuple[float, float] = (30.0, 255.0)  # latitude, longitude
    lon_up_deg: float = 265.0
    parallels_deg: tuple[float, float] = (25.0, 25.0)
    step_m: float = 100_000.0
    shape: tuple[int, int] = (9, 12)
    along_grid: bool = True

    def body(self) -> bytes:
        """Return section 3 after its number."""
        n_rows, n_columns = self.shape
        first, second = (signed(round(x * 1e6), 4) for x in self.parallels_deg)
        return (
            struct.pack(">BIBBH", 0, n_rows * n_columns, 0, 0, 30)
            + bytes([6] + [0] * 15)
            + struct.pack(">II", n_columns, n_rows)
            + signed(round(self.first_deg[0] * 1e6), 4)
            + signed(round(self.first_deg[1] * 1e6), 4)
            + bytes([0x38 if self.along_grid else 0x30])
            + first
            + signed(round(self.lon_up_deg * 1e6), 4)
            + struct.pack(">II", round(self.step_m * 1e3), round(self.step_m * 1e3))
            + bytes([0, 0x40])
            + first + second + signed(-90_000_000, 4) + signed(0, 4)
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Made:
    """One made-up field; its values in the order of the points, rows first."""

    kind: tuple[int, int]
    values: Floats
    p_pa: float = 50_000.0
    grid: Even | Lambert = field(default_factory=Even)
    hours: int = 6
    run: tuple[int, int, int, int] = (2020, 1, 1, 0)
    member: tuple[int, int] | None = None  # kind and number
    centre: int = 7
    level_type: int = 100
    pv: tuple[float, ...] = ()
    mask: NDArray[np.bool_] | None = None  # where there is a value
    packing: int = 0
    template: int | None = None  # of the product, where it is another one


def grib2(fields: Sequence[Made]) -> bytes:
    """Return one message for each field."""
    return b"".join(message([one]) for one in fields)


def message(fields: Sequence[Made]) -> bytes:
    """Return one message that holds all the fields, on the grid of the first."""
    first = fields[0]
    head = struct.pack(">HHBBBHBBBBBBB", first.centre, 0, 2, 1, 1, *first.run, 0, 0, 0, 1)
    sections = _section(1, head) + _section(3, first.grid.body())
    sections += b"".join(_field_2(one) for one in fields)
    length = 16 + len(sections) + 4
    return b"GRIB\0\0\0\2" + length.to_bytes(8, "big") + sections + b"7777"


def _section(number: int, body: bytes) -> bytes:
    return struct.pack(">IB", len(body) + 5, number) + body


def _field_2(made: Made) -> bytes:
    template = made.template if made.template is not None else (0 if made.member is None else 1)
    product = struct.pack(
        ">HHBBBBBHBBI", len(made.pv), template, *made.kind, 2, 0, 96, 0, 0, 1, made.hours
    )
    product += struct.pack(">BBIBBI", made.level_type, 0, round(made.p_pa), 255, 0, 0)
    if template == 1 and made.member is not None:
        product += bytes([*made.member, 31])
    if template == 2 and made.member is not None:
        product += bytes([made.member[0], 31])
    product += struct.pack(f">{len(made.pv)}f", *made.pv)
    told = made.values.ravel() if made.mask is None else made.values[made.mask]
    low = float(np.float32(np.floor(told.min())))
    packed = np.round((told - low) * 1000.0).astype(">u4").tobytes()
    how = struct.pack(">IHf", len(told), made.packing, low * 1000.0)
    how += signed(0, 2) + signed(3, 2) + bytes([32, 0])
    bitmap = b"\xff" if made.mask is None else b"\0" + np.packbits(made.mask.ravel()).tobytes()
    return _section(4, product) + _section(5, how) + _section(6, bitmap) + _section(7, packed)


def ibm(value: float) -> bytes:
    """Return a number as 32 bits with an exponent of 16."""
    if value == 0.0:
        return bytes(4)
    exponent, fraction = 64, abs(value)
    while fraction >= 1.0:
        fraction, exponent = fraction / 16.0, exponent + 1
    while fraction < 1.0 / 16.0:
        fraction, exponent = fraction * 16.0, exponent - 1
    bits = (exponent << 24) | round(fraction * (1 << 24))
    return (bits | (1 << 31 if value < 0.0 else 0)).to_bytes(4, "big")


def message_1(
    number: int, made: Made, version: int = 2, local: tuple[int, ...] = (), indicator: int = 0
) -> bytes:
    """Return a field as a message of edition 1; `local` are the octets from 41 on."""
    year, month, day, hour = made.run
    level = round(made.p_pa / 100.0) if made.level_type == 100 else round(made.p_pa)
    body = bytes([version, made.centre, 0, 255, 0x80, number, made.level_type])
    body += struct.pack(">H", level)
    body += bytes([(year - 1) % 100 + 1, month, day, hour, 0, 1, made.hours, 0, indicator])
    body += bytes([0, 0, 0, (year - 1) // 100 + 1, 0]) + signed(2, 2)
    body += bytes(12 if local else 0) + bytes(local)
    product = (len(body) + 3).to_bytes(3, "big") + body
    assert isinstance(made.grid, Even)
    told = made.values.ravel()
    low = float(np.floor(told.min()))
    packed = np.round((told - low) * 100.0).astype(">u4").tobytes()
    data = bytes([0]) + signed(0, 2) + ibm(low * 100.0) + bytes([32]) + packed
    data += bytes(-(len(data) + 3) % 2)
    data = (len(data) + 3).to_bytes(3, "big") + data
    sections = product + made.grid.section_1(made.pv) + data
    return b"GRIB" + (len(sections) + 12).to_bytes(3, "big") + b"\x01" + sections + b"7777"


AIR = {50_000.0: (5574.0, 252.0), 10_000.0: (16_180.0, 217.0), 1000.0: (31_055.0, 228.0)}
"""Height and temperature by pressure, US Standard Atmosphere 1976, rounded."""


def slope(shape: tuple[int, int], base: float, row: float = 1.0, column: float = 0.1) -> Floats:
    """Return values that rise evenly along rows and columns: bilinear ones are exact."""
    rows, columns = np.indices(shape, dtype=np.float64)
    return base + row * rows + column * columns


def air(grid: Even | Lambert | None = None, **changed: object) -> list[Made]:
    """Return height, temperature and winds on three levels."""
    grid = grid or Even()
    made = []
    for p_pa, (gph_m, t_k) in AIR.items():
        bases = {"gph_m": gph_m, "t_k": t_k, "u_mps": 10.0 + p_pa / 1e4, "v_mps": -5.0}
        for name, base in bases.items():
            values = slope(grid.shape, base)
            made.append(Made(kind=KINDS[name], values=values, p_pa=p_pa, grid=grid, **changed))  # type: ignore[arg-type]
    return made
