"""GRIB messages as they stand in a file: whole or cut short, and on which kind of grid."""

from collections.abc import Iterator
from dataclasses import dataclass
from mmap import ACCESS_READ, mmap
from pathlib import Path
from typing import Final

from farglide.sources.files import n_bytes, refused

LATITUDE_LONGITUDE: Final = 0
"""The kind of grid whose rows are parallels and whose columns are meridians, evenly spaced.

Source: WMO-No. 306, volume I.2: GRIB 2 template 3.0, GRIB 1 table 6 value 0.
"""

EASTWARD_ROWS: Final = (0x00, 0x40)
"""Scanning modes read here: rows from west to east, one after another, from north or from south.

The decoder below places columns that run west in the wrong half of the world without a word.
Source: WMO-No. 306, volume I.2: GRIB 2 flag table 3.4, GRIB 1 table 8.
"""

MOST_POINTS: Final = 30_000_000
"""The world at 0.05 degrees has 26 million; the decoder makes room for all before it looks."""

_GRID_NAMES: Final = {
    1: {1: "Mercator", 3: "Lambert conformal", 4: "Gaussian", 5: "polar stereographic",
        10: "rotated latitude/longitude", 50: "spherical harmonics"},
    2: {1: "rotated latitude/longitude", 10: "Mercator", 20: "polar stereographic",
        30: "Lambert conformal", 40: "Gaussian", 50: "spherical harmonics"},
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class GribMessage:
    """Where one message is and how long, and the section that defines its grid, if it has one."""

    start: int = 0
    length: int
    edition: int
    grid: bytes

    @property
    def grid_kind(self) -> int:
        """Return the number of the grid template of GRIB 2 or the data representation of GRIB 1."""
        if self.edition == 2:
            return int.from_bytes(self.grid[12:14], "big")
        return self.grid[5] if len(self.grid) > 5 else -1

    @property
    def n_points(self) -> int:
        """Return how many points a latitude/longitude grid says it has.

        Source: WMO-No. 306, volume I.2: GRIB 2 template 3.0, octets 31 to 38; GRIB 1, section 2,
        octets 7 to 10.
        """
        a, b, c = (30, 34, 38) if self.edition == 2 else (6, 8, 10)
        along, across = self.grid[a:b], self.grid[b:c]
        return int.from_bytes(along, "big") * int.from_bytes(across, "big")

    @property
    def scanning_mode(self) -> int:
        """Return the flags of the order of points in a latitude/longitude grid."""
        place = 71 if self.edition == 2 else 27
        return self.grid[place] if len(self.grid) > place else -1


def grib_messages(path: Path) -> list[GribMessage]:
    """Return all messages of the file; raise when one is cut short or does not end as it should.

    Source: WMO-No. 306, volume I.2: section 0 ("GRIB", edition in octet 8, total length in octets
    5 to 7 of GRIB 1 and 9 to 16 of GRIB 2) and the end section "7777".
    """
    n_bytes(path)  # an empty file cannot be mapped
    try:
        with path.open("rb") as file, mmap(file.fileno(), 0, access=ACCESS_READ) as data:
            messages = list(_messages(data, path))
    except OSError as error:
        raise refused(path, f"cannot be read: {error}.", "Fetch it again.") from error
    if not messages:
        raise refused(path, "holds no GRIB message.", "Fetch it again, as binary.")
    return messages


def check_grids(path: Path, messages: list[GribMessage]) -> None:
    """Raise unless all messages are on one plain latitude/longitude grid, its rows going east."""
    remedy = "Fetch the forecast on one regular latitude/longitude grid."
    first = next((message for message in messages if message.grid), None)
    if first is None:
        raise refused(path, "has no message that defines its grid.", remedy)
    for k, message in enumerate(messages, 1):
        where = f"message {k}"
        if message.grid and message.grid_kind != LATITUDE_LONGITUDE:
            name = _GRID_NAMES[message.edition].get(message.grid_kind, f"{message.grid_kind}")
            what = f"is on a grid of the kind {name}; allowed: evenly spaced latitude/longitude."
            raise refused(path, what, remedy, where=where)
        if message.grid and message.scanning_mode not in EASTWARD_ROWS:
            mode = f"scanning mode {message.scanning_mode:#04x}"
            allowed = "rows from west to east (0x00, 0x40)"
            what = f"has its points in the order of {mode}; allowed: {allowed}."
            raise refused(path, what, remedy, where=where)
        if message.grid and message.n_points > MOST_POINTS:
            what = f"announces a grid of {message.n_points} points; allowed: {MOST_POINTS}."
            raise refused(path, what, "Fetch the forecast of a smaller area.", where=where)
        if message.grid and message.grid != first.grid:
            what = "is on another grid than those before; allowed: one grid."
            raise refused(path, what, remedy, where=where)


def _messages(data: mmap, path: Path) -> Iterator[GribMessage]:
    """Yield one message after another; bulletin headings may stand between them."""
    start = data.find(b"GRIB")
    while start >= 0:
        message = _message(data, path, start)
        yield message
        start = data.find(b"GRIB", start + message.length)


def _message(data: mmap, path: Path, start: int) -> GribMessage:
    head, n_left = data[start : start + 16], len(data) - start
    where = f"message at byte {start}"
    edition = head[7] if len(head) == 16 else 0
    if len(head) == 16 and edition not in (1, 2):
        what = f"is of GRIB edition {edition}; allowed: 1 and 2."
        raise refused(path, what, "Fetch it again.", where=where)
    length = int.from_bytes(head[8:16] if edition == 2 else head[4:7], "big")
    if edition == 0 or length > n_left:
        what = f"is cut short: {n_left} bytes of {length or 'an unknown number'} are there."
        raise refused(path, what, "The download stopped early: fetch it again.", where=where)
    end = start + length
    if length < 32 or data[end - 4 : end] != b"7777":
        what = f"does not end with '7777' after its {length} bytes."
        raise refused(path, what, "The file is damaged: fetch it again, as binary.", where=where)
    grid = _grid_2(data, start + 16, end - 4) if edition == 2 else _grid_1(data, start + 8)
    return GribMessage(start=start, length=length, edition=edition, grid=grid)


def _grid_2(data: mmap, place: int, end: int) -> bytes:
    """Return section 3 of a GRIB 2 message, or nothing."""
    while place + 5 <= end:
        length = int.from_bytes(data[place : place + 4], "big")
        if length < 5 or place + length > end:
            return b""
        if data[place + 4] == 3:
            return data[place : place + length]
        place += length
    return b""


def _grid_1(data: mmap, place: int) -> bytes:
    """Return section 2 of a GRIB 1 message, if section 1 says that there is one."""
    if not data[place + 7] & 0x80:
        return b""
    place += int.from_bytes(data[place : place + 3], "big")
    length = int.from_bytes(data[place : place + 3], "big")
    return data[place : place + max(length, 3)]
