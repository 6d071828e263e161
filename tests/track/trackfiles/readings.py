"""What general libraries read in the sample tracks, from tests/authorities/track_readings.csv."""

import csv
from typing import NamedTuple

from farglide.track.trackfiles.forms import Form

from .samples import FOLDER


class Reading(NamedTuple):
    """One point as another library reads it; None for what that does not see."""

    what: str
    t_s: float
    lat_deg: float
    lon_deg: float
    height: float | None
    second: float | None


def readings(name: str, form: Form) -> list[Reading]:
    """Return the points that another library found in a sample."""
    lines = (FOLDER.parent / "track_readings.csv").read_text(encoding="utf-8").splitlines()
    rows = [row for row in csv.DictReader(lines[1:]) if row["file"] == f"{name}.{form}"]
    return [
        Reading(
            row["what"], *(float(row[key]) for key in ("t_s", "lat_deg", "lon_deg")),
            *(float(row[key]) if row[key] else None for key in ("height", "second")),
        )
        for row in rows
    ]  # fmt: skip
