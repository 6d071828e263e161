"""Files for the tests of the readers: the authorities, and a writer of small GRIB files."""

import struct
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True)
class MadeField:
    """One made-up field on a latitude/longitude grid, first point as the scanning mode says."""

    kind: tuple[int, int]  # (3, 5) height, (0, 0) temperature, (2, 2) u, (2, 3) v
    p_pa: int
    values: NDArray[np.float64]  # (n_rows, n_columns) in the order of the points
    lats_deg: tuple[float, float] = (50.0, 40.0)  # of the first and last point
    lons_deg: tuple[float, float] = (170.0, 190.0)
    step_deg: float = 5.0
    hours: int = 6
    run: tuple[int, int, int, int] = (2020, 1, 1, 0)
    scanning: int = 0x00
    level_type: int = 100


@pytest.fixture(scope="session")
def authorities() -> Path:
    """Return the folder of files that others wrote."""
    return Path(__file__).parent.parent / "authorities"


@pytest.fixture
def written(tmp_path: Path) -> Callable[[str, str | bytes], Path]:
    """Return a function that writes a file and returns its path."""

    def write(name: str, content: str | bytes) -> Path:
        path = tmp_path / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return write


@pytest.fixture(scope="session")
def made_field() -> type[MadeField]:
    """Return the kind of field that `grib2` takes."""
    return MadeField


@pytest.fixture(scope="session")
def grib2() -> Callable[[Sequence[MadeField]], bytes]:
    """Return a function that writes fields as GRIB 2 messages, in simple packing of 0.001."""
    return lambda fields: b"".join(_message(made) for made in fields)


def _signed(value: int, n: int) -> bytes:
    """Return a GRIB integer: sign bit and magnitude."""
    return (abs(value) | (1 << (8 * n - 1) if value < 0 else 0)).to_bytes(n, "big")


def _message(made: MadeField) -> bytes:
    n_rows, n_columns = made.values.shape
    low = float(np.float32(np.floor(made.values.min())))
    packed = np.round((made.values.ravel() - low) * 1000.0).astype(">u4").tobytes()
    lat = [round(x * 1e6) for x in made.lats_deg]
    lon = [round(x % 360.0 * 1e6) for x in made.lons_deg]
    step = round(made.step_deg * 1e6)
    year, month, day, hour = made.run
    bodies = [
        (1, struct.pack(">HHBBBHBBBBBBB", 7, 0, 2, 1, 1, year, month, day, hour, 0, 0, 0, 1)),
        (
            3,
            struct.pack(">BIBBH", 0, n_rows * n_columns, 0, 0, 0)
            + bytes([6] + [0] * 15)
            + struct.pack(">IIII", n_columns, n_rows, 0, 0xFFFFFFFF)
            + _signed(lat[0], 4) + lon[0].to_bytes(4, "big") + b"\x30"
            + _signed(lat[1], 4) + lon[1].to_bytes(4, "big")
            + struct.pack(">IIB", step, step, made.scanning),
        ),
        (
            4,
            struct.pack(">HHBBBBBHBBI", 0, 0, *made.kind, 2, 0, 96, 0, 0, 1, made.hours)
            + struct.pack(">BBIBBI", made.level_type, 0, made.p_pa, 255, 0, 0),
        ),
        (
            5,
            struct.pack(">IHf", n_rows * n_columns, 0, low * 1000.0)
            + _signed(0, 2) + _signed(3, 2) + bytes([32, 0]),
        ),
        (6, b"\xff"),
        (7, packed),
    ]  # fmt: skip
    sections = b"".join(struct.pack(">IB", len(body) + 5, k) + body for k, body in bodies)
    length = 16 + len(sections) + 4
    return b"GRIB\0\0\0\2" + length.to_bytes(8, "big") + sections + b"7777"
