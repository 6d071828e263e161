"""Library: what the server has for a path: files as they lie, or one for every run and hour."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final, NamedTuple
from urllib.parse import parse_qs, unquote

from bench.forecastserver.fields import Edges, World, index_of, read_world
from bench.forecastserver.written import NUMBERS, Stamp, restamped

_GFS: Final = re.compile(r"gfs\.(\d{8})/(\d\d)/atmos/gfs\.t\d\dz\.pgrb2\.(\dp\d\d)\.f(\d{3})")
_GEFS: Final = re.compile(
    r"gefs\.(\d{8})/(\d\d)/atmos/pgrb2[ab]p5/ge[cp](\d\d)\.t\d\dz\.pgrb2[ab]\.(\dp\d\d)\.f(\d{3})"
)
_CROPS: Final = "/cgi-bin/filter_"
_EVERYWHERE: Final = Edges(90.0, -90.0, 0.0, 357.5)


class Named(NamedTuple):
    """What the name of a file tells: run, hour, member and grid."""

    stamp: Stamp
    step_deg: float


class Found(NamedTuple):
    """An answer, and whether parts of it may be asked for."""

    data: bytes
    takes_ranges: bool


@dataclass(slots=True)
class Library:
    """A folder served as it lies, or one file that stands in for every run and hour.

    `is_there`: whether the file of a run and an hour is there yet.
    """

    folder: Path | None = None
    stand_in: Path | None = None
    is_there: Callable[[Stamp], bool] = lambda _: True
    _world: World | None = None
    _made: dict[str, bytes] = field(default_factory=dict)

    def find(self, target: str) -> Found | None:
        """Return what is at a path with its question mark, None where nothing is."""
        path, _, query = target.partition("?")
        if path.startswith(_CROPS):
            data = self._cropped(query)
            return None if data is None else Found(data, takes_ranges=False)
        if path.endswith(".idx"):
            data = self._whole(path.removesuffix(".idx"))
            return None if data is None else Found(self._index(path, data), takes_ranges=True)
        data = self._whole(path)
        return None if data is None else Found(data, takes_ranges=True)

    def _whole(self, path: str) -> bytes | None:
        if self.folder is not None:
            return self._file(self.folder, unquote(path).strip("/"))
        named = named_by(path)
        if self.stand_in is None or named is None or not self.is_there(named.stamp):
            return None
        if named.stamp.member is None:
            return restamped(self.stand_in.read_bytes(), named.stamp)
        if path not in self._made:
            world = self._read()
            self._made[path] = world.cut(world.fields, _EVERYWHERE, world.step, named.stamp)
        return self._made[path]

    def _cropped(self, query: str) -> bytes | None:
        asked = {key: values[0] for key, values in parse_qs(query, keep_blank_values=True).items()}
        path = f"{asked.get('dir', '')}/{asked.get('file', '')}"
        named = named_by(path)
        if named is None or self._whole(path) is None:
            return None
        fields = [key[4:] for key in asked if key.startswith("var_")]
        levels = [float(key[4:-3]) for key in asked if key.startswith("lev_")]
        edges = Edges(
            *(float(asked[key]) for key in ("toplat", "bottomlat", "leftlon", "rightlon"))
        )
        pairs = [(one, hpa) for hpa in levels for one in fields if one in NUMBERS]
        world = self._read(path)
        return world.cut(pairs, edges, named.step_deg, named.stamp)

    def _read(self, path: str = "") -> World:
        """Return the decoded fields of the stand-in, else of a file of the folder."""
        if self.stand_in is None:
            assert self.folder is not None
            return read_world(self.folder / path.strip("/"))
        if self._world is None:
            self._world = read_world(self.stand_in)
        return self._world

    def _index(self, path: str, data: bytes) -> bytes:
        if self.folder is not None and (own := self._file(self.folder, path.strip("/"))):
            return own
        with TemporaryDirectory() as folder:
            copy = Path(folder) / "copy.grib2"
            copy.write_bytes(data)
            return index_of(copy).encode()

    @staticmethod
    def _file(folder: Path, name: str) -> bytes | None:
        path = (folder / name).resolve()
        is_ours = path.is_relative_to(folder.resolve()) and path.is_file()
        return path.read_bytes() if is_ours else None


def named_by(path: str) -> Named | None:
    """Return what a path tells of a forecast, None where it names none."""
    if found := _GFS.search(path):
        date, hour, grid, step = found.groups()
        return Named(Stamp(_run_t_s(date, hour), int(step)), _degrees(grid))
    if found := _GEFS.search(path):
        date, hour, member, grid, step = found.groups()
        return Named(Stamp(_run_t_s(date, hour), int(step), int(member)), _degrees(grid))
    return None


def _run_t_s(date: str, hour: str) -> float:
    return datetime.strptime(date + hour, "%Y%m%d%H").replace(tzinfo=UTC).timestamp()


def _degrees(grid: str) -> float:
    return float(grid.replace("p", "."))
