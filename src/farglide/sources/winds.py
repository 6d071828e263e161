"""Winds from a file of any format that is read here, recognised by what stands in it."""

from dataclasses import replace
from pathlib import Path
from typing import Final, Literal

import numpy as np

from farglide.air.sounding import Sounding
from farglide.earth.geodesy import geodesic
from farglide.earth.state import Place
from farglide.sources.files import beginning, refused, utc_words
from farglide.sources.levels.levels import counted

Format = Literal["GRIB", "BUFR", "NetCDF", "IGRA", "CSV"]

HOURS_PER_KM: Final = 6.0 / 80.0
"""How many hours of age cost as much as a kilometre of distance, to choose among soundings.

Common practice, no source; over 30 pairs of real soundings, winds 6 h old and winds taken some
80 km away were off by about as much.
"""

_FOREIGN: Final = {
    b"PK\x03\x04": "a zip archive", b"\x1f\x8b": "a gzip archive", b"BZh": "a bzip2 archive",
    b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture",
}  # fmt: skip
_EDITIONS: Final = (b"\x01", b"\x02", b"\x03", b"\x04", b"\x05")
_EXTENSIONS: Final[dict[str, Format]] = {
    ".grib": "GRIB", ".grib2": "GRIB", ".grb": "GRIB", ".grb2": "GRIB", ".bufr": "BUFR",
    ".nc": "NetCDF", ".cdf": "NetCDF", ".csv": "CSV",
}  # fmt: skip


def read_winds(path: Path, place: Place | None, t_s: float | None) -> Sounding:
    """Return the sounding, or the forecast column over `place`, that fits `place` and `t_s` best.

    `t_s` are UTC seconds since 1970. What was left out or assumed stands in the notes.
    """
    sounding = _read(path, place, t_s)
    _check_degrees(sounding, place, path)
    return sounding


def format_of(path: Path) -> Format:
    """Return the format of a file, told by its content, or by its name where it begins oddly."""
    head = beginning(path)
    for magic, what in _FOREIGN.items():
        if head.startswith(magic):
            raise refused(path, f"is {what}, not a file of winds.", "Unpack it or export the data.")
    if head.startswith((b"CDF\x01", b"CDF\x02", b"CDF\x05", b"\x89HDF\r\n\x1a\n")):
        return "NetCDF"
    by_name = _EXTENSIONS.get(path.suffix.lower())
    if _holds_message(head, b"GRIB") or (by_name == "GRIB" and b"GRIB" in head):
        return "GRIB"
    if _holds_message(head, b"BUFR") or (by_name == "BUFR" and b"BUFR" in head):
        return "BUFR"
    if by_name in ("GRIB", "BUFR", "NetCDF"):
        what = f"is named like {by_name} but does not begin like it ({head[:16]!r})."
        raise refused(path, what, "Fetch it again, as binary.")
    from farglide.sources.soundings.igra import HEADER

    first = head.lstrip(b"\xef\xbb\xbf \t\r\n").split(b"\n", 1)[0].decode("latin-1")
    return "IGRA" if HEADER.match(first) else "CSV"


def _holds_message(head: bytes, magic: bytes) -> bool:
    """Tell whether a message begins here, or soon: after a bulletin heading of some 40 bytes.

    Both codes have their edition, a small number, in octet 8; the mere word in a text has a letter.
    """
    place = head.find(magic)
    return place == 0 or (0 < place < 256 and head[place + 7 : place + 8] in _EDITIONS)


def _read(path: Path, place: Place | None, t_s: float | None) -> Sounding:
    """Import only the reader that is needed: each brings a large library with it."""
    match format_of(path):
        case "GRIB":
            from farglide.sources.grib.grib import read_grib_column
            from farglide.sources.grids.gribfile import check_packings

            if place is None:
                what = "covers an area, and no place is given."
                raise refused(path, what, "Give the launch place.")
            check_packings(path)
            return read_grib_column(path, place, t_s)
        case "BUFR":
            return _nearest_of_bufr(path, place, t_s)
        case "NetCDF":
            from farglide.sources.soundings.netcdf_sounding import read_netcdf_sounding

            return read_netcdf_sounding(path, place)
        case "IGRA":
            from farglide.sources.soundings.igra import read_igra_sounding

            return read_igra_sounding(path, t_s)
        case "CSV":
            from farglide.sources.soundings.csv_sounding import read_csv_sounding

            return read_csv_sounding(path, place)


def _nearest_of_bufr(path: Path, place: Place | None, t_s: float | None) -> Sounding:
    """Return the sounding nearest in place and time, with a note that there were others."""
    from farglide.sources.soundings.bufr_temp import read_nearest_bufr

    def cost_h(lat_deg: float, lon_deg: float, at_s: float) -> float:
        """Return age and distance as hours; without a time asked for, the newest costs least."""
        away_km = 0.0 if place is None else _away_km(lat_deg, lon_deg, place)
        if not np.isfinite(at_s):
            return away_km * HOURS_PER_KM
        age_h = abs(at_s - t_s) / 3600.0 if t_s is not None else -at_s / 3600.0
        return away_km * HOURS_PER_KM + age_h

    found, notes = read_nearest_bufr(path, lambda spot: cost_h(*spot)), list[str]()
    if found.n_skipped:
        usable = "without usable wind and temperature skipped"
        notes.append(f"{counted(found.n_skipped, 'report')} {usable}")
    if found.n_reports > 1:
        why = ", the nearest in place and time" if place is not None or t_s is not None else ""
        taken = found.sounding.origin.removeprefix("sounding ")
        notes.append(f"{found.n_reports} reports in the file: took {taken}{why}")
    return replace(found.sounding, notes=(*notes, *found.sounding.notes))


def distance_km(sounding: Sounding, place: Place) -> float:
    """Return how far the sounding was launched from a place; 0 where its file does not say."""
    return _away_km(sounding.lat_deg, sounding.lon_deg, place)


def _away_km(lat_deg: float, lon_deg: float, place: Place) -> float:
    if not (np.isfinite(lat_deg) and np.isfinite(lon_deg)):
        return 0.0
    there = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=0.0)
    return geodesic(place, there).distance_m / 1000.0


def _check_degrees(sounding: Sounding, place: Place | None, path: Path) -> None:
    """Raise when the sounding would lie at the place if its degrees were radians."""
    if place is None:
        return
    lat_deg, lon_deg = np.degrees(sounding.lat_deg), np.degrees(sounding.lon_deg)
    near_as_radians = abs(lat_deg - place.lat_deg) < 2.0 and abs(lon_deg - place.lon_deg) < 2.0
    if near_as_radians and distance_km(sounding, place) > 500.0:
        where = f"latitude {sounding.lat_deg:g}, longitude {sounding.lon_deg:g}"
        far = "far from the launch place; as radians it would lie beside it"
        remedy = "Write latitude and longitude in degrees."
        raise refused(path, f"was taken at {where}, {far}.", remedy, where=utc_words(sounding.t_s))
