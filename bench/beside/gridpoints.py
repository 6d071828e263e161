"""Writes what other readers tell at points of open forecast files: `grid_points.csv`.

Run once, by hand, in an environment of its own, since these libraries and the project's do not
share a process: `pip install eccodes earthkit-meteo`, then, with the folder of the open data
(see bench/odds/fetch.py): `python bench/beside/gridpoints.py FOLDER`.

Values of levels of pressure and of a Lambert map are ecCodes' own at its points. On model levels,
pressures and heights are earthkit-meteo's, and what it interpolates, linear in the logarithm of
pressure, to the pressures that these levels have over a ground at 101 325 Pa.
"""

import csv
import sys
from collections.abc import Iterator
from importlib.metadata import version
from pathlib import Path

import earthkit.meteo.vertical.array as vertical
import eccodes
import numpy as np

FILES = {
    "gfs_january": "pygrib-2.1.4/pygrib-2.1.4/sampledata/gfs.t12z.pgrbf120.2p5deg.grib2",
    "gfs_october": "pygrib-2.1.4/pygrib-2.1.4/sampledata/gfs.grb",
    "runs": "earthkit-data-1.3.0/earthkit_data-1.3.0/docs/source/tutorials/pl_regular_ll.grib",
    "members": "cfgrib-0.9.15.1/cfgrib-0.9.15.1/era5-levels-members.grib",
    "lambert": "cfgrib-0.9.15.1/cfgrib-0.9.15.1/nam.t00z.awp21100.tm00.grib2",
}
MODEL = "metview-1.16.2/metview-1.16.2/examples/forecast_ml.grib"
WANTED = ("gh", "z", "t", "u", "v", "r")
LEVELS_HPA = (1000, 850, 500, 300, 100, 10)
POINTS = ((40.0, -105.0), (0.0, 0.0), (-30.0, 150.0), (60.0, 180.0), (90.0, 0.0), (-90.0, 90.0))
LAMBERT_POINTS = ((40.0, -105.0), (25.0, -80.0), (50.0, -120.0), (55.0, -60.0))
MODEL_POINTS = ((48.0, 9.0), (46.5, 10.5), (60.0, -15.0))  # a plain, the Alps, the sea
MODEL_LEVELS = (1, 2, 10, 20, 29, 40, 60, 80, 100, 120, 130, 137)

Row = tuple[str, str, float, int, str, float, float, float]


def messages(path: Path) -> Iterator[int]:
    """Yield each field of a file."""
    eccodes.codes_grib_multi_support_on()
    with path.open("rb") as file:
        while (handle := eccodes.codes_grib_new_from_file(file)) is not None:
            yield handle
            eccodes.codes_release(handle)


def valid_s(handle: int) -> int:
    """Return when a field is valid, in UTC seconds since 1970."""
    date, time = (eccodes.codes_get(handle, key) for key in ("validityDate", "validityTime"))
    text = f"{date:08d}"
    day = np.datetime64(f"{text[:4]}-{text[4:6]}-{text[6:]}", "s").astype(int)
    return int(day) + time // 100 * 3600 + time % 100 * 60


def pressure_rows(folder: Path) -> Iterator[Row]:
    """Yield values on levels of pressure at the points nearest to those named."""
    for name, path in FILES.items():
        points = LAMBERT_POINTS if name == "lambert" else POINTS
        for handle in messages(folder / path):
            what, level = (eccodes.codes_get(handle, key) for key in ("shortName", "level"))
            if eccodes.codes_get(handle, "typeOfLevel") != "isobaricInhPa":
                continue
            if what not in WANTED or level not in LEVELS_HPA:
                continue
            member = str(eccodes.codes_get(handle, "number")) if name == "members" else ""
            for lat_deg, lon_deg in points[:2] if name in ("runs", "members") else points:
                at = eccodes.codes_grib_find_nearest(handle, lat_deg, lon_deg)[0]
                yield (
                    name, what, 100.0 * level, valid_s(handle), member,
                    round(at.lat, 6), round(at.lon, 6), at.value,
                )  # fmt: skip


def model_rows(folder: Path) -> Iterator[Row]:
    """Yield air on model levels and, as `..._at_p`, on pressures."""
    fields: dict[tuple[str, int], np.ndarray] = {}
    for handle in messages(folder / MODEL):
        key = (eccodes.codes_get(handle, "shortName"), eccodes.codes_get(handle, "level"))
        fields[key] = np.array(
            [eccodes.codes_grib_find_nearest(handle, *at)[0].value for at in MODEL_POINTS]
        )
        pv, moment = eccodes.codes_get_array(handle, "pv"), valid_s(handle)
    a, b = pv[: len(pv) // 2], pv[len(pv) // 2 :]
    n = len(a) - 1
    whole = {name: np.stack([fields[name, k + 1] for k in range(n)]) for name in "tuvq"}
    ground_pa, ground = np.exp(fields["lnsp", 1]), fields["z", 1]
    options = {"output": "full"}
    p_pa = vertical.pressure_on_hybrid_levels(ground_pa, a, b, **options)
    standard_pa = vertical.pressure_on_hybrid_levels(np.array([101_325.0]), a, b, **options)[:, 0]
    z = vertical.geopotential_on_hybrid_levels(whole["t"], whole["q"], ground, ground_pa, a, b)
    whole["gh"] = z / 9.80665
    wanted_pa = np.array([standard_pa[k - 1] for k in MODEL_LEVELS])
    for name, values in whole.items():
        there = vertical.interpolate_hybrid_to_pressure_levels(
            values, wanted_pa, ground_pa, a, b, interpolation="log"
        )
        for i, (lat_deg, lon_deg) in enumerate(MODEL_POINTS):
            for j, level in enumerate(MODEL_LEVELS):
                at = (moment, "", lat_deg, lon_deg)
                yield ("model", name, float(level), *at, float(values[level - 1, i]))
                yield ("model", f"{name}_at_p", float(wanted_pa[j]), *at, float(there[j, i]))
    for i, (lat_deg, lon_deg) in enumerate(MODEL_POINTS):
        for level in MODEL_LEVELS:
            yield ("model", "p", level, moment, "", lat_deg, lon_deg, float(p_pa[level - 1, i]))


def main() -> None:
    """Write all rows under a header."""
    folder = Path(sys.argv[1])
    used = ", ".join(f"{name}=={version(name)}" for name in ("eccodes", "earthkit-meteo"))
    lines = [
        f"# What {used} (Apache-2.0, ECMWF) tell at points of open forecasts, written by",
        "# make_grid_points.py. Files of pygrib==2.1.4 (MIT; data NCEP, public domain),",
        "# cfgrib==0.9.15.1, earthkit-data==1.3.0 and metview==1.16.2 (Apache-2.0; data ECMWF and",
        "# NCEP). Longitudes as the files count them; levels in Pa, of the model by number.",
    ]
    with (Path(__file__).parents[2] / "tests" / "authorities" / "grid_points.csv").open(
        "w", newline=""
    ) as out:
        out.write("\n".join(lines) + "\n")
        table = csv.writer(out, lineterminator="\n")
        table.writerow(
            ("file", "name", "level", "valid_s", "member", "lat_deg", "lon_deg", "value")
        )
        for *at, value in (*pressure_rows(folder), *model_rows(folder)):
            table.writerow((*at, f"{value:.7g}"))


if __name__ == "__main__":
    main()
