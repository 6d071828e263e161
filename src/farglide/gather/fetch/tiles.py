"""Tiles: the ground of an area as files of a degree each; over the sea there are none."""

import math
import struct
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NamedTuple

from farglide.earth.box import Box
from farglide.errors import FetchError, InputError, Unfetched
from farglide.gather.fetch.client import Client
from farglide.gather.fetch.download import Asking, disk_errors, download
from farglide.gather.fetch.record import (
    Fetched,
    Record,
    read_record,
    record_of,
    sha256_of,
    whole_parts,
    write_record,
)
from farglide.gather.fetch.source import Kind, Source
from farglide.gather.fetch.templates import filled

MOST_TILES: Final = 64
"""More is no flight's ground: eight degrees each way, and 2 GB."""
_HEADS: Final = {b"II*\0": "<I", b"MM\0*": ">I"}
"""How a file begins, and how it writes its numbers. Source: TIFF revision 6.0, section 2."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """The file of one degree."""

    name: str
    addresses: tuple[str, ...]

    def check(self, path: Path, address: str) -> None:
        """Refuse a file that is no TIFF, or whose directory lies beyond its end."""
        head = _head(path)
        order = _HEADS.get(head[:4])
        is_whole = order is not None and len(head) == 8 and (
            8 <= struct.unpack(order, head[4:])[0] < path.stat().st_size
        )  # fmt: skip
        if not is_whole:
            what = "sends no whole TIFF file."
            raise FetchError(Unfetched.WRONG, address, "", what, "Fetch it again later.")


class Ground(NamedTuple):
    """The tiles of an area on the disk, and those that the producer does not have."""

    folder: Path
    record: Record
    paths: tuple[Path, ...]
    sea: tuple[str, ...]


def tiles_of(source: Source, box: Box) -> tuple[Tile, ...]:
    """Return the tiles of a degree each that an area touches, from south to north and west to east.

    Valid: up to 64 of them.
    """
    lats = range(math.floor(box.south_deg), math.ceil(box.north_deg))
    lons = range(math.floor(box.west_deg), math.ceil(box.west_deg + box.width_deg))
    if len(lats) * len(lons) > MOST_TILES:
        told = f"{len(lats) * len(lons)} tiles of a degree"
        remedy = "Are launch, fields and stands right? Else bring the ground as files."
        raise InputError("the ground", told, f"{MOST_TILES}", remedy)
    return tuple(_tile(source, lat, (lon + 180) % 360 - 180) for lat in lats for lon in lons)


def terrain_source(sources: Sequence[Source]) -> Source:
    """Return the first source of tiles."""
    found = next((one for one in sources if one.kind is Kind.TILES), None)
    if found is None:
        allowed = 'a section with kind = "tiles" in the file of addresses'
        raise InputError("a source", "missing for terrain", allowed)
    return found


def fetch_tiles(
    client: Client, source: Source, box: Box, root: Path, tell: Callable[[int, int, int], None]
) -> Ground:
    """Return the tiles of an area once they are on the disk; those of the sea are not there.

    `tell` is told bytes that came, tiles that are done and how many there are. Raises `FetchError`
    where an address fails, or has none of them.
    """
    tiles, folder = tiles_of(source, box), root / source.key
    record = read_record(folder) or record_of(source, None)
    there, sea, came = whole_parts(record, folder), list[str](), [0]
    with disk_errors(folder):
        folder.mkdir(parents=True, exist_ok=True)
    for k, tile in enumerate(tiles):

        def add(n_bytes: int, k: int = k) -> None:
            came[0] += n_bytes
            tell(came[0], k, len(tiles))

        if tile.name in there:
            continue
        try:
            fetched = _fetched(client, tile, folder, Asking(source.pause_s, add))
        except FetchError as error:
            if error.cause is not Unfetched.NOT_THERE or len(sea) + 1 == len(tiles):
                raise
            sea.append(tile.name)
            continue
        record = record.with_part(tile.name, fetched)
        write_record(record, folder)
    paths = tuple(folder / tile.name for tile in tiles if tile.name not in sea)
    return Ground(folder, record, paths, tuple(sea))


def _fetched(client: Client, tile: Tile, folder: Path, asking: Asking) -> Fetched:
    path = folder / tile.name
    got = download(client, tile, (), path, asking)
    return Fetched(
        address=got.address, fetched_t_s=client.now_t_s(), step_h=0, member="",
        n_bytes=got.n_bytes, sha256=sha256_of(path),
    )  # fmt: skip


def _tile(source: Source, lat: int, lon: int) -> Tile:
    values = tile_values(lat, lon)
    addresses = tuple(filled(one, values) for one in source.addresses)
    return Tile(name=f"{values['lat_tile']}-{values['lon_tile']}.tif", addresses=addresses)


def tile_values(lat: int, lon: int) -> dict[str, str]:
    """Return what stands for the tile north and east of whole degrees.

    >>> tile_values(-47, 108)
    {'lat_tile': 'S47', 'lon_tile': 'E108'}
    """
    return {"lat_tile": _words(lat, "NS", 2), "lon_tile": _words(lon, "EW", 3)}


def _words(degrees: int, signs: str, width: int) -> str:
    return f"{signs[degrees < 0]}{abs(degrees):0{width}d}"


def _head(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(8)
