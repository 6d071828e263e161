"""Cuts the files of winds that the tests read out of packages of the public registry.

Run once, by hand, in a folder with the packages unpacked beside each other:

    pip download --no-deps act-atmos==0.0.2                      (wheel: unzip)
    pip download --no-deps --no-binary :all: pybufrkit==0.2.25
    pip download --no-deps --no-binary :all: pdbufr==0.11.0
    pip download --no-deps --no-binary :all: siphon==0.11.0
    pip download --no-deps --no-binary :all: --no-build-isolation pygrib==2.1.4
    python make_extracts.py FOLDER extracts
    python make_extracts.py FOLDER points      (needs the package eccodes, in its own environment)

What each extract is and under which licence stands in winds_origin.txt.
"""

import base64
import io
import sys
import zipfile
from pathlib import Path

HERE = Path(__file__).parent
GFS_JANUARY = "pygrib-2.1.4/sampledata/gfs.t12z.pgrbf120.2p5deg.grib2"
GFS_OCTOBER = "pygrib-2.1.4/sampledata/gfs.grb"
LEVELS_HPA = (1000, 850, 700, 500, 300, 250, 200, 100, 50, 30, 20, 10)
FEW_LEVELS_HPA = (500, 100, 10)
TEMP_MESSAGES = (0, 14, 170, 353, 419)  # among them both layouts of the file
DARWIN_VARIABLES = (
    "base_time", "time_offset", "pres", "tdry", "rh", "u_wind", "v_wind", "alt", "lat", "lon",
)  # fmt: skip
POINTS = (
    (40.0, 255.0), (0.0, 0.0), (-35.0, 150.0), (60.0, 180.0), (90.0, 0.0), (-90.0, 90.0),
    (50.0, 357.5), (50.0, 0.0), (52.5, 357.5), (52.5, 0.0),
)  # fmt: skip


def extracts(folder: Path) -> None:
    """Write every extract but the table of points."""
    whole = {
        "giles_20160403.bufr": "pybufrkit-0.2.25/tests/data/IUSK73_AMMC_040000.bufr",
        "prague_20071120.bufr": "pybufrkit-0.2.25/tests/benchmark_data/IUSD40_OKLI.bufr",
    }
    for name, source in whole.items():
        (HERE / name).write_bytes((folder / source).read_bytes())
    temp = (folder / "pdbufr-0.11.0/tests/sample-data/temp.bufr").read_bytes()
    (HERE / "temp_network_20081208.bufr").write_bytes(temp)
    messages = bufr_messages(temp)
    (HERE / "temp_20081208.bufr").write_bytes(b"".join(messages[i] for i in TEMP_MESSAGES))
    (HERE / "igra_barrow_201006.txt").write_bytes(igra(folder))
    for name, levels in (("january", LEVELS_HPA), ("october", FEW_LEVELS_HPA)):
        source = GFS_JANUARY if name == "january" else GFS_OCTOBER
        (HERE / f"gfs_{name}_2011.grib2").write_bytes(gfs((folder / source).read_bytes(), levels))
    for stamp in ("20060119.231600", "20060119.050300", "20060124.051500"):
        darwin(folder / f"act/tests/data/twpsondewnpnC3.b1.{stamp}.custom.cdf", stamp)


def bufr_messages(data: bytes) -> list[bytes]:
    """Return the messages of a file, by the length each states in octets 5 to 7."""
    found = []
    start = data.find(b"BUFR")
    while start >= 0:
        end = start + int.from_bytes(data[start + 4 : start + 7], "big")
        found.append(data[start:end])
        start = data.find(b"BUFR", end)
    return found


def igra(folder: Path) -> bytes:
    """Return the text in the zip in the recorded answer among the tests of siphon."""
    lines = (folder / "siphon-0.11.0/tests/fixtures/igra2_sounding").read_text().splitlines()
    start = next(i for i, line in enumerate(lines) if "!!binary" in line) + 1
    packed = ""
    for line in lines[start:]:
        if ":" in line:
            break
        packed += line.strip()
    archive = zipfile.ZipFile(io.BytesIO(base64.b64decode(packed)))
    return archive.read(archive.namelist()[0])


def gfs(data: bytes, levels_hpa: tuple[int, ...]) -> bytes:
    """Return whole GRIB 2 messages of height, temperature, humidity and wind at pressure levels."""
    wanted = {(3, 5), (0, 0), (2, 2), (2, 3)}
    kept = []
    start = 0
    while start < len(data):
        end = start + int.from_bytes(data[start + 8 : start + 16], "big")
        fields = grib2_fields(data[start:end])
        is_wanted = all(field[:2] in wanted and field[2] in levels_hpa for field in fields)
        is_humid = fields[0][:2] == (1, 1) and fields[0][2] in (1000, 500)
        if is_wanted or is_humid:
            kept.append(data[start:end])
        start = end
    return b"".join(kept)


def grib2_fields(message: bytes) -> list[tuple[int, int, float]]:
    """Return category, number and pressure in hPa (0 on other levels) of each field."""
    fields = []
    place = 16
    while message[place : place + 4] != b"7777":
        length = int.from_bytes(message[place : place + 4], "big")
        section = message[place : place + length]
        if section[4] == 4:
            exponent, scaled = section[23], int.from_bytes(section[24:28], "big")
            is_isobaric = section[22] == 100 and message[6] == 0
            fields.append(
                (section[9], section[10], scaled / 10**exponent / 100 if is_isobaric else 0.0)
            )
        place += length
    return fields


def darwin(source: Path, stamp: str) -> None:
    """Write every tenth sample of one flight, and the last, with the variables a reader needs."""
    import netCDF4
    import numpy as np

    target = HERE / f"darwin_{stamp.replace('.', '_')}.cdf"
    with (
        netCDF4.Dataset(source) as whole,
        netCDF4.Dataset(target, "w", format="NETCDF3_CLASSIC") as cut,
    ):
        n = len(whole.dimensions["time"])
        rows = np.unique(np.append(np.arange(0, n, 10), n - 1))
        cut.createDimension("time", len(rows))
        cut.facility_id = whole.facility_id
        cut.comment = "every tenth sample and the last of " + source.name
        for name in DARWIN_VARIABLES:
            variable = whole[name]
            variable.set_auto_mask(False)
            copy = cut.createVariable(name, variable.dtype, variable.dimensions)
            for attribute in ("units", "long_name", "missing_value"):
                if attribute in variable.ncattrs():
                    copy.setncattr(attribute, variable.getncattr(attribute))
            copy[...] = variable[rows] if variable.dimensions else variable[...]


def points(folder: Path) -> None:
    """Write what another GRIB decoder reads at grid points of the January forecast."""
    import eccodes

    eccodes.codes_grib_multi_support_on()
    values: dict[tuple[float, float, int], dict[str, float]] = {}
    with (folder / GFS_JANUARY).open("rb") as file:
        while (handle := eccodes.codes_grib_new_from_file(file)) is not None:
            name, level = (eccodes.codes_get(handle, key) for key in ("shortName", "level"))
            kind = eccodes.codes_get(handle, "typeOfLevel")
            if kind == "isobaricInhPa" and name in ("gh", "t", "u", "v") and level in LEVELS_HPA:
                for lat_deg, lon_deg in POINTS:
                    nearest = eccodes.codes_grib_find_nearest(handle, lat_deg, lon_deg)[0]
                    values.setdefault((lat_deg, lon_deg, level), {})[name] = nearest.value
            eccodes.codes_release(handle)
    version = eccodes.codes_get_api_version()
    rows = [
        "# Values at grid points of gfs_january_2011.grib2 (run 2011-01-10 12 UTC + 120 h), read",
        f"# by ecCodes {version} (Apache-2.0, ECMWF) from the whole file of pygrib==2.1.4 that",
        "# winds_origin.txt names. Written by make_extracts.py.",
        "lat_deg,lon_deg,p_hpa,gph_m,t_k,u_mps,v_mps",
    ]
    for (lat_deg, lon_deg, level), at in values.items():
        rows.append(
            f"{lat_deg},{lon_deg},{level},{at['gh']:.3f},{at['t']:.3f},{at['u']:.3f},{at['v']:.3f}"
        )
    (HERE / "gfs_points.csv").write_text("\n".join(rows) + "\n")


if __name__ == "__main__":
    {"extracts": extracts, "points": points}[sys.argv[2]](Path(sys.argv[1]))
