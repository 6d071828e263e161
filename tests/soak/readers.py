"""Readers under soak: what each is handed whole, and how it is asked."""

import io
import json
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final, get_args

import netCDF4
import numpy as np
import rasterio
from rasterio.transform import Affine
from tests.track.typed.fuzz import KNOWN

from farglide.earth.box import Box
from farglide.earth.state import Place
from farglide.errors import FarglideError
from farglide.flightfile.flightfile import read_flight_file
from farglide.packfile.manifest import Manifest, manifest_text, read_manifest, sha256_of
from farglide.packfile.packfile import open_pack
from farglide.packfile.winds import winds_text
from farglide.sortie.feeds import FeedFormat
from farglide.sources.antenna_pattern import read_antenna_pattern
from farglide.sources.elevation.elevation import read_elevation_within
from farglide.sources.places.places import read_places
from farglide.sources.winds import read_winds
from farglide.track.journal.head import head_payload
from farglide.track.trackfiles.forms import read_track
from farglide.track.typed.typed import typed

from .feeds import fed, streams
from .logs import FIX, HEAD, ask_fix, ask_head, ask_log, log_bytes, old_tables, tracks

AUTHORITIES: Final = Path(__file__).parents[1] / "authorities"
ASSETS: Final = Path(__file__).parents[2] / "src" / "farglide" / "flightfile" / "assets"
PLACE: Final = Place(lat_deg=50.0, lon_deg=14.4, amsl_m=300.0)
T_S: Final = 1195514100.0
_PATTERN: Final = "angle_deg,gain_dbi\n" + "".join(f"{a},{6 - a / 20}\n" for a in range(0, 181, 15))
_RING: Final = [[14.4, 50.0], [14.5, 50.0], [14.5, 50.1], [14.4, 50.0]]
_POINT: Final = '<wpt lat="50" lon="14.4"><ele>300</ele><name>Meadow</name><type>field</type></wpt>'
_SEGMENT: Final = "".join(f'<trkpt lat="50.{i}" lon="14.{i}"/>' for i in range(9))
_TRACK: Final = f"<trk><name>Road</name><trkseg>{_SEGMENT}</trkseg></trk>"
_GPX: Final = f'<?xml version="1.0"?><gpx>{_POINT}{_TRACK}</gpx>'
_CORNERS: Final = "14.4,50,300 14.5,50,300 14.5,50.1,300 14.4,50,300"
_KML: Final = f"""<?xml version="1.0" encoding="UTF-8"?><kml><Document><Folder><name>wood</name>
<Placemark><name>Wood</name><ExtendedData><Data name="kind"><value>no landing</value></Data>
</ExtendedData><Polygon><outerBoundaryIs><LinearRing><coordinates>{_CORNERS}</coordinates>
</LinearRing></outerBoundaryIs></Polygon></Placemark><Placemark><name>Lea</name><Point>
<altitudeMode>absolute</altitudeMode><coordinates>14.4,50,300</coordinates></Point></Placemark>
</Folder></Document></kml>"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """One reader: how many mutated files it must bear, whole ones, and what reads one."""

    n_asked: int
    wholes: Callable[[], list[bytes]]
    ask: Callable[[Path], object]
    suffix: str


def _winds(path: Path) -> object:
    return read_winds(path, PLACE, T_S)


def _authority(*names: str) -> Callable[[], list[bytes]]:
    return lambda: [(AUTHORITIES / name).read_bytes() for name in names]


def _csv() -> list[bytes]:
    demo = (ASSETS / "amber-evening-winds.csv").read_bytes()
    other = demo.replace(b",", b";").replace(b"wind_mps", b"wind_kt").replace(b"t_c", b"t_k")
    return [demo, other, b"gph_m,u_mps,v_mps\n" + b"".join(b"%d,3,4\n" % z for z in range(99))]


def _igra() -> list[bytes]:
    return [(AUTHORITIES / "igra_barrow_201006.txt").read_bytes()[:20_000]]


def _netcdf() -> list[bytes]:
    """Return a small flight in three formats, and a real one."""
    names = {"pres": "hPa", "tdry": "C", "alt": "m", "u_wind": "m/s", "v_wind": "m/s", "rh": "%"}
    z = np.arange(0.0, 20_000.0, 500.0)
    values = (1013.0 * np.exp(-z / 7000.0), 15.0 - z / 200.0, z, z / 999.0, z / 999.0, 50.0 + 0 * z)
    found = []
    for kind in ("NETCDF3_CLASSIC", "NETCDF3_64BIT_DATA", "NETCDF4"):
        dataset = netCDF4.Dataset("memory", "w", format=kind, memory=10_000)
        dataset.createDimension("time", None if kind == "NETCDF4" else len(z))
        for (name, unit), value in zip(names.items(), values, strict=True):
            one = dataset.createVariable(name, "f4", ("time",), zlib=kind == "NETCDF4")
            one.units, one[:] = unit, value
        found.append(bytes(dataset.close()))
    return found


_FROM: Final = Affine(1 / 600, 0.0, 14.35, 0.0, -1 / 600, 50.05)


def _tif() -> list[bytes]:
    heights = np.arange(3600, dtype=np.int16).reshape(60, 60) % 900
    found = []
    for more in ({}, {"compress": "deflate", "tiled": True, "blockxsize": 16, "blockysize": 16}):
        with rasterio.MemoryFile() as held:
            with held.open(
                driver="GTiff", width=60, height=60, count=1, dtype="int16", crs="EPSG:4326",
                transform=_FROM, **more,
            ) as dataset:  # fmt: skip
                dataset.write(heights, 1)
            found.append(bytes(held.read()))
    return found


def _hgt() -> list[bytes]:
    tile = (np.arange(1201**2) % 500).astype(">i2").tobytes()
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("N50E014.hgt", tile)
    return [held.getvalue()]


def _ground(path: Path) -> object:
    box = Box(south_deg=50.0, west_deg=14.38, north_deg=50.02, east_deg=14.42)
    return read_elevation_within([path], box)


def _geojson() -> list[bytes]:
    shapes = [
        {"type": "Point", "coordinates": [14.4, 50.0, 300.0]},
        {"type": "Polygon", "coordinates": [_RING]},
        {"type": "MultiLineString", "coordinates": [_RING, _RING]},
        {"type": "GeometryCollection", "geometries": [{"type": "Polygon", "coordinates": [_RING]}]},
    ]
    features = [
        {"type": "Feature", "geometry": one, "properties": {"name": f"a {i}", "amsl_m": 300}}
        for i, one in enumerate(shapes)
    ]
    return [json.dumps({"type": "FeatureCollection", "features": features}).encode()]


def _places(path: Path) -> object:
    return read_places([path], PLACE, lambda *_: 300.0)


def _flights() -> list[bytes]:
    plans = ASSETS.parents[3] / "docs" / "plans"
    return [(ASSETS / "amber-evening.toml").read_bytes(), (plans / "giles.toml").read_bytes()]


def _pack(path: Path) -> object:
    """Open a pack with these winds, under checksums that hold: somebody may have gathered them."""
    folder = path.parent / "pack"
    folder.mkdir(exist_ok=True)
    (folder / "flight.toml").write_text("")
    (folder / "winds.json").write_bytes(path.read_bytes())
    parts = {name: sha256_of(folder / name) for name in ("flight.toml", "winds.json")}
    (folder / "pack.json").write_text(manifest_text(Manifest(parts=parts, files={})))
    return open_pack(folder)


def _pack_winds() -> list[bytes]:
    return [winds_text(read_winds(ASSETS / "amber-evening-winds.csv", None, None)).encode()]


def _manifest(path: Path) -> object:
    return read_manifest(path.rename(path.with_name("pack.json")).parent)


def _manifests() -> list[bytes]:
    names = ("flight.toml", "winds.json", "files/a.tif")
    parts = dict.fromkeys(names, "0123456789abcdef" * 4)
    return [manifest_text(Manifest(parts=parts, files={"/a.tif": "files/a.tif"})).encode()]


def _feed(form: FeedFormat) -> Reader:
    return Reader(
        n_asked=100_000, wholes=partial(streams, form), ask=partial(fed, form), suffix=".bin"
    )


_ENTRIES: Final = (
    "12340 46 30.74 S 179 59.3 E 22 kmh 11.1v", "-46,5123 179,9985", ".5123 .9985 12340", "q3",
    "a gap 2 o'clock 3 fists", "a 245 32", "sun 10:30", "wood left", "burst", "undo",
    "neck 1600 g", "late -10", "moved 46.6 S 179.9 E", "road gap-knap +25", "refused tansy",
)  # fmt: skip


def _typed(path: Path) -> object:
    """Type every line of a file; the first that is asked again is told when all were typed."""
    refused = list[FarglideError]()
    for line in path.read_bytes().decode("utf-8", "replace").split("\n"):
        try:
            typed(line, KNOWN)
        except FarglideError as error:
            refused.append(error)
    if refused:
        raise refused[0]
    return None


READERS: Final[dict[str, Reader]] = {
    "csv": Reader(n_asked=20_000, wholes=_csv, ask=_winds, suffix=".csv"),
    "igra": Reader(n_asked=20_000, wholes=_igra, ask=_winds, suffix=".txt"),
    "netcdf": Reader(n_asked=20_000, wholes=_netcdf, ask=_winds, suffix=".nc"),
    "bufr": Reader(
        n_asked=5_000, suffix=".bufr", ask=_winds,
        wholes=_authority("prague_20071120.bufr", "temp_20081208.bufr"),
    ),
    "grib": Reader(
        n_asked=5_000, suffix=".grib2", ask=_winds,
        wholes=_authority("gfs_october_2011.grib2", "gfs_january_2011.grib2"),
    ),
    "tif": Reader(n_asked=20_000, wholes=_tif, ask=_ground, suffix=".tif"),
    "hgt": Reader(n_asked=20_000, wholes=_hgt, ask=_ground, suffix=".zip"),
    "geojson": Reader(n_asked=20_000, wholes=_geojson, ask=_places, suffix=".geojson"),
    "kml": Reader(n_asked=20_000, wholes=lambda: [_KML.encode()], ask=_places, suffix=".kml"),
    "gpx": Reader(n_asked=20_000, wholes=lambda: [_GPX.encode()], ask=_places, suffix=".gpx"),
    "antenna": Reader(
        n_asked=20_000, suffix=".csv", ask=read_antenna_pattern,
        wholes=lambda: [_PATTERN.encode(), _PATTERN.replace(",", ";").encode()],
    ),
    "flight": Reader(n_asked=20_000, wholes=_flights, ask=read_flight_file, suffix=".toml"),
    "pack": Reader(n_asked=20_000, wholes=_pack_winds, ask=_pack, suffix=".json"),
    "typed": Reader(
        n_asked=100_000, suffix=".txt", ask=_typed,
        wholes=lambda: [one.encode() for one in _ENTRIES],
    ),
    "manifest": Reader(n_asked=20_000, wholes=_manifests, ask=_manifest, suffix=".json"),
    "log": Reader(n_asked=100_000, wholes=lambda: [log_bytes()], ask=ask_log, suffix=".log"),
    "log fix": Reader(n_asked=100_000, wholes=lambda: [FIX], ask=ask_fix, suffix=".log"),
    "log head": Reader(
        n_asked=100_000, suffix=".log", ask=ask_head, wholes=lambda: [head_payload(HEAD)]
    ),
    "gpx track": Reader(n_asked=100_000, wholes=tracks("gpx"), ask=read_track, suffix=".gpx"),
    "kml track": Reader(n_asked=100_000, wholes=tracks("kml"), ask=read_track, suffix=".kml"),
    "csv track": Reader(n_asked=100_000, wholes=old_tables, ask=read_track, suffix=".csv"),
    "igc track": Reader(n_asked=100_000, wholes=tracks("igc"), ask=read_track, suffix=".igc"),
    "geojson track": Reader(
        n_asked=100_000, wholes=tracks("geojson"), ask=read_track, suffix=".geojson"
    ),
    **{f"feed-{form}": _feed(form) for form in get_args(FeedFormat)},
}  # fmt: skip
