"""Packing: every file that a flight names goes in, under a name inside, whole or not at all."""

import os
import resource
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from farglide.air.sounding import Sounding
from farglide.errors import InputError, SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.packing import check_packing, copies_of, pack_into
from farglide.packfile.packfile import open_pack
from farglide.sortie.files import named_files, with_files
from farglide.sortie.pack import Pack
from farglide.sortie.sources import TerrainSource

CRASHES = """
import os, sys
from pathlib import Path
sys.path.insert(0, {tests!r})
import crash
sys.exit(crash.survived(Path({folder!r})))
"""


def naming(flight: FlightFile, home: Path, *names: str) -> FlightFile:
    """Return the flight as a file in `home` that names files of the ground."""
    paths = tuple(str(home / name) for name in names)
    sortie = replace(flight.sortie, terrain=TerrainSource(paths=paths))
    return replace(flight, path=home / "mine.toml", sortie=sortie)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Return a folder three deep with a flight file, and files of the ground in it and round it."""
    folder = tmp_path / "a" / "b" / "home"
    (folder / "maps").mkdir(parents=True)
    (folder / "mine.toml").write_text("text")
    for name in ("maps/in.tif", "flight.toml", "../../up.tif", "../../../up.tif"):
        (folder / name).write_text(f"heights of {name}")
    return folder


@pytest.fixture
def pack(demo_sounding: Sounding) -> Pack:
    return Pack(sounding=demo_sounding, flight_text="text\r\n")


def test_files_keep_their_names_or_get_one_inside(demo_flight: FlightFile, home: Path) -> None:
    full = str(home.parent.parent / "up.tif")
    names = ("maps/in.tif", "../../up.tif", "../../../up.tif", "flight.toml", full, "maps/in.tif")
    copies = copies_of(naming(demo_flight, home, *names))
    assert [copy.part for copy in copies] == [
        "maps/in.tif", "files/up.tif", "files/2/up.tif", "files/flight.toml", "files/3/up.tif",
    ]  # fmt: skip
    # under a full path that leads into the folder, the file may be named in two ways
    assert copies[0].named == ("maps/in.tif", str(home / "maps/in.tif"))
    assert copies[4].named == (full,)


def test_a_pack_holds_what_lies_elsewhere_and_finds_it_again(
    demo_flight: FlightFile, home: Path, pack: Pack, tmp_path: Path
) -> None:
    names = ("maps/in.tif", "../../up.tif", str(tmp_path / "up.tif"))
    flight, folder = naming(demo_flight, home, *names), tmp_path / "deep" / "pack"
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    pack_into(flight, pack, folder)
    assert {path: path.read_bytes() for path in before} == before
    opened = open_pack(folder)
    assert opened.pack.flight_text == "text\r\n"
    sortie = with_files(naming(demo_flight, folder, *names).sortie, opened.files)
    found = [Path(one.path) for one in named_files(sortie)]
    assert all(path.is_relative_to(folder) for path in found)
    assert [path.read_text() for path in found] == [
        "heights of maps/in.tif", "heights of ../../up.tif", "heights of ../../../up.tif",
    ]  # fmt: skip


def test_files_that_are_not_there_are_named_before_anything_is_written(
    demo_flight: FlightFile, home: Path, pack: Pack, tmp_path: Path
) -> None:
    flight = naming(demo_flight, home, "maps/in.tif", "gone.tif")
    with pytest.raises(InputError, match=r"gone\.tif; allowed: files that are there"):
        check_packing(flight, tmp_path / "pack")
    with pytest.raises(InputError, match="Without it the pack is without the ground"):
        pack_into(flight, pack, tmp_path / "pack")
    assert not (tmp_path / "pack").exists()


def test_a_hand_written_flight_file_is_not_replaced(
    demo_flight: FlightFile, home: Path, pack: Pack
) -> None:
    flight = naming(demo_flight, home, "maps/in.tif")
    with pytest.raises(InputError, match=r"It holds flight\.toml, maps, mine\.toml, not as any"):
        check_packing(flight, home)
    with pytest.raises(InputError):
        pack_into(flight, pack, home)
    assert (home / "flight.toml").read_text() == "heights of flight.toml"


def test_a_file_too_large_for_the_disk_leaves_the_old_pack(
    demo_flight: FlightFile, home: Path, pack: Pack, tmp_path: Path
) -> None:
    flight, folder = naming(demo_flight, home, "maps/in.tif"), tmp_path / "pack"
    pack_into(flight, pack, folder)
    (home / "maps" / "in.tif").write_bytes(bytes(3_000_000))
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (2_000_000, hard))
    try:
        with pytest.raises(SourceError, match=r"cannot be written: File too large\. What was"):
            pack_into(flight, replace(pack, flight_text="new"), folder)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert open_pack(folder).pack.flight_text == "text\r\n"
    assert [one.name for one in tmp_path.iterdir() if "pack" in one.name] == ["pack"]


@pytest.mark.slow
def test_ended_at_any_step_a_gather_leaves_the_old_pack_or_the_new(tmp_path: Path) -> None:
    code = CRASHES.format(tests=str(Path(__file__).parent), folder=str(tmp_path))
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, env=dict(os.environ)
    )
    assert done.returncode == 0, done.stderr
    n_ends, n_old, n_new = map(int, done.stdout.split())
    assert n_ends == n_old + n_new
    assert min(n_old, n_new) >= 3  # ends were met before and after the exchange
