"""Fetch the open data once: `python -m bench.odds.fetch` asks the package registry by name.

The folder is that of FARGLIDE_OPEN_DATA, else `farglide-open-data` in the user's cache.
"""

import os
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path
from typing import Final, NamedTuple

HOW: Final = "Run `python -m bench.odds.fetch` once; it needs the network and takes a minute."


class Archive(NamedTuple):
    """A release of the public registry, and which of its files hold data."""

    name: str
    version: str
    wheel: bool  # a built one of pure Python; else the source
    wanted: str  # pattern of the paths inside
    needs: tuple[str, ...] = ()  # what must be there before its source tells even its name


DARWIN: Final = Archive("act-atmos", "0.0.2", True, "act/tests/data/*sondewnpn*.cdf")
GILES_PRAGUE: Final = Archive("pybufrkit", "0.2.25", False, "*/tests/*data/IUS*_*")
DROPSONDES: Final = Archive("pydropsonde", "0.4.1", False, "*/example_data/*QC.nc")
NETWORK: Final = Archive("pdbufr", "0.11.0", False, "*/tests/sample-data/temp.bufr")
GFS: Final = Archive(
    "pygrib", "2.1.4", False, "*/sampledata/gfs.*", ("setuptools", "wheel", "numpy", "cython")
)
MODEL_LEVELS: Final = Archive("metview", "1.16.2", False, "*/examples/forecast_ml.grib")
LAMBERT_MEMBERS: Final = Archive("cfgrib", "0.9.15.1", False, "cfgrib-0.9.15.1/[en][ra][am]*.grib*")
RUNS: Final = Archive("earthkit-data", "1.3.0", False, "*/docs/source/tutorials/pl_regular_ll.grib")
FORECASTS: Final = (GFS, MODEL_LEVELS, LAMBERT_MEMBERS, RUNS)
ARCHIVES: Final = (DARWIN, GILES_PRAGUE, DROPSONDES, NETWORK, *FORECASTS)


class DataMissingError(Exception):
    """Open data that has not been fetched; its text says how to get it."""


def data_folder() -> Path:
    """Return where the data lies, outside the repository."""
    stated = os.environ.get("FARGLIDE_OPEN_DATA")
    if stated:
        return Path(stated)
    cache = os.environ.get("XDG_CACHE_HOME")
    return (Path(cache) if cache else Path.home() / ".cache") / "farglide-open-data"


def unpacked(archive: Archive) -> Path:
    """Return the folder in which an archive's data stands."""
    return data_folder() / f"{archive.name}-{archive.version}"


def files_of(archive: Archive) -> list[Path]:
    """Return the data files of an archive, sorted by path; raise where they were not fetched."""
    folder = unpacked(archive)
    found = sorted(path for path in folder.rglob("*") if path.is_file())
    if not found:
        raise DataMissingError(f"No data of {archive.name}=={archive.version} in {folder}. {HOW}")
    return found


def fetch(archive: Archive) -> Path:
    """Return the folder of an archive's data, downloaded and unpacked where it is not there yet."""
    folder = unpacked(archive)
    if not folder.is_dir():
        _unpack(_downloaded(archive), archive, folder)
    return folder


def _downloaded(archive: Archive) -> Path:
    downloads = data_folder() / "downloads"
    downloads.mkdir(parents=True, exist_ok=True)
    stem = f"{archive.name.replace('-', '_')}-{archive.version}"
    if not list(downloads.glob(stem + "*")):
        kind = ["--only-binary", ":all:"] if archive.wheel else ["--no-binary", ":all:"]
        what = [f"{archive.name}=={archive.version}", "--no-deps", *kind, "-d", str(downloads)]
        _pip("download", *what, needs=archive.needs)
    return next(downloads.glob(stem + "*"))


def _pip(*what: str, needs: tuple[str, ...]) -> None:
    """Run pip; with what a source needs beside it, and without a room of its own to build in."""
    pip = [sys.executable, "-m", "pip"]
    if not needs:
        subprocess.run([*pip, what[0], "--quiet", *what[1:]], check=True)
        return
    with tempfile.TemporaryDirectory() as beside:
        subprocess.run([*pip, "install", "--quiet", "--target", beside, *needs], check=True)
        env = {**os.environ, "PYTHONPATH": beside}
        how = ["--quiet", "--no-build-isolation"]
        subprocess.run([*pip, what[0], *how, *what[1:]], check=True, env=env)


def _unpack(package: Path, archive: Archive, folder: Path) -> None:
    """Write the wanted files alone; complete or not at all."""
    part = folder.with_name(folder.name + ".part")
    for inside, data in _members(package):
        if fnmatch(inside, archive.wanted) and ".." not in Path(inside).parts:
            target = part / inside
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(data)
    part.rename(folder)


def _members(package: Path) -> Iterator[tuple[str, bytes]]:
    """Yield the files of a wheel or of a packed source as path and bytes."""
    if zipfile.is_zipfile(package):
        with zipfile.ZipFile(package) as packed:
            for name in packed.namelist():
                if not name.endswith("/"):
                    yield name, packed.read(name)
        return
    with tarfile.open(package) as packed_tar:
        for member in packed_tar:
            data = packed_tar.extractfile(member)
            if member.isfile() and data is not None:
                yield member.name, data.read()


if __name__ == "__main__":
    for one in ARCHIVES:
        fetch(one)
        print(f"{one.name}=={one.version}: {len(files_of(one))} files")
