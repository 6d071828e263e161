"""Reads the sample tracks with general parser libraries, into tests/authorities/track_readings.csv.

Needs gpxpy, fastkml and aerofiles, which are not among the packages of the checks; and has the
first and the last write tracks of their own. The samples come from
``python -m tests.track.trackfiles.samples``.
"""

import csv
import json
import sys
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from importlib.metadata import version
from pathlib import Path

import aerofiles
import fastkml
import gpxpy
import gpxpy.gpx
from fastkml.validator import validate

AUTHORITIES = Path(__file__).parents[1] / "tests" / "authorities"
TRACKS = AUTHORITIES / "tracks"
NAMES = ("climb", "mixed", "none")
Row = tuple[object, ...]


def gpx_rows(path: Path) -> Iterator[Row]:
    """Yield track, time, latitude, longitude, height and geoid of each point by gpxpy."""
    with path.open(encoding="utf-8") as file:
        found = gpxpy.parse(file)
    for track in found.tracks:
        for segment in track.segments:
            for p in segment.points:
                t_s = p.time.timestamp() if p.time else ""
                yield track.name, t_s, p.latitude, p.longitude, p.elevation, p.geoid_height


def kml_rows(path: Path) -> Iterator[Row]:
    """Yield the same of each placemark with a time by fastkml, which checks it by the schema."""
    if not validate(file_to_validate=path):  # against the schema of OGC 07-147r2
        sys.exit(f"{path} is no KML 2.2")
    document = fastkml.KML.parse(path).features[0]
    for folder in document.features:
        for mark in folder.features:
            if mark.times is not None:
                x, y, *z = mark.geometry.coords[0]
                t_s = mark.times.timestamp.dt.timestamp()
                mode = mark.kml_geometry.altitude_mode
                height = z[0] if z and mode.value == "absolute" else ""
                yield folder.name, t_s, y, x, height, ""


def igc_rows(path: Path) -> Iterator[Row]:
    """Yield validity, time, latitude, longitude, GNSS and pressure height by aerofiles."""
    with path.open(encoding="ascii") as file:
        found = aerofiles.igc.Reader().read(file)
    errors = [value[0] for value in found.values() if isinstance(value, list) and value[0]]
    if errors or found["logger_id"][0]:
        sys.exit(f"{path}: {errors}")
    for one in found["fix_records"][1]:
        t_s = one["datetime"].timestamp() + one["TDS"] / 1000.0
        yield one["validity"], t_s, one["lat"], one["lon"], one["gps_alt"], one["pressure_alt"]


def geojson_rows(path: Path) -> Iterator[Row]:
    """Yield the same of each point by Python's own JSON."""
    for one in json.loads(path.read_text(encoding="utf-8"))["features"]:
        if one["geometry"]["type"] == "Point":
            x, y, *z = one["geometry"]["coordinates"]
            said = one["properties"]
            t_s = datetime.fromisoformat(said["time"]).timestamp()
            yield said["feed"], t_s, y, x, *(z or [""]), ""


def write_foreign() -> None:
    """Write a track by gpxpy and one by aerofiles, of the same made-up way."""
    gpx = gpxpy.gpx.GPX()
    track = gpxpy.gpx.GPXTrack(name="old glider")
    segment = gpxpy.gpx.GPXTrackSegment()
    began = datetime(2026, 5, 1, 22, 59, 58, tzinfo=UTC)
    for n in range(5):
        segment.points.append(
            gpxpy.gpx.GPXTrackPoint(
                47.25 + n / 128, 11.5 - n / 64, elevation=600.0 + n, time=began + timedelta(0, n)
            )
        )
    track.segments.append(segment)
    gpx.tracks.append(track)
    for form in ("1.0", "1.1"):
        (TRACKS / f"foreign-{form}.gpx").write_text(gpx.to_xml(version=form), encoding="utf-8")
    with (TRACKS / "foreign.igc").open("wb") as file:
        writer = aerofiles.igc.Writer(file)
        writer.write_headers(
            {
                "manufacturer_code": "XXX", "logger_id": "TBX", "date": date(2026, 5, 1),
                "fix_accuracy": 50, "pilot": "", "glider_type": "", "glider_id": "",
                "firmware_version": "1", "hardware_version": "1", "logger_type": "made up",
                "gps_receiver": "", "pressure_sensor": "",
            }
        )  # fmt: skip
        writer.write_fix_extensions([("FXA", 3), ("SIU", 2), ("TDS", 2)])
        for n in range(5):
            clock = time(23, 59, 57 + n) if n < 3 else time(0, 0, n - 3)
            more = ["050", "08", f"{25 * n:02d}"[:2]]
            writer.write_fix(
                clock, latitude=47.25 + n / 128, longitude=11.5 - n / 64, valid=n != 2,
                pressure_alt=580 + n, gps_alt=600 + n if n != 2 else 0, extensions=more,
            )  # fmt: skip


def main() -> None:
    """Write the readings of every sample, and the tracks of others."""
    write_foreign()
    readers = {
        "gpx": (f"gpxpy {version('gpxpy')}", gpx_rows),
        "kml": (f"fastkml {version('fastkml')}", kml_rows),
        "igc": (f"aerofiles {version('aerofiles')}", igc_rows),
        "geojson": ("json of Python", geojson_rows),
    }
    with (AUTHORITIES / "track_readings.csv").open("w", encoding="utf-8", newline="") as file:
        file.write(
            "# tests/authorities/tracks as general libraries read them: by scripts/read_tracks.py\n"
        )
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(("by", "file", "what", "t_s", "lat_deg", "lon_deg", "height", "second"))
        for form, (by, rows) in readers.items():
            for name in NAMES:
                path = TRACKS / f"{name}.{form}"
                writer.writerows((by, path.name, *row) for row in rows(path))


if __name__ == "__main__":
    main()
