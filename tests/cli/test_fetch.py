"""Gathering without a file of winds: fetched from a server on this computer, then planned."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from bench.forecastserver.__main__ import addresses_text
from bench.forecastserver.faults import Fault, Kind
from bench.forecastserver.library import Library
from bench.forecastserver.server import Manner, serving

from farglide.cli.fetch import Choice
from farglide.packfile.packfile import open_pack

from .commands import FEW, GROUND, Said, assert_refused, changed

REAL = Path(__file__).parents[1] / "authorities" / "gfs_january_2011.grib2"
Options = tuple[object, ...]


@pytest.fixture
def manner() -> Manner:
    return Manner(Library(stand_in=REAL))


@pytest.fixture
def options(manner: Manner, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Options]:
    """Return the options that lead to a running server; nothing waits."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    monkeypatch.setattr("farglide.cli.today.sleep_s", lambda _: None)
    with serving(manner) as base:
        addresses = tmp_path / "addresses.toml"
        addresses.write_text(addresses_text(base, REAL), encoding="utf-8")
        yield ("--addresses", addresses, "--fetched", tmp_path / "fetched")


@pytest.fixture
def bare(flight: Path) -> Path:
    """Return the demo's flight file without winds."""
    text = flight.read_text(encoding="utf-8")
    before, _, after = text.partition("[wind]\n")
    flight.write_text(before + after.partition("\n\n")[2], encoding="utf-8")
    return flight


def test_winds_that_nothing_names_are_fetched_and_planned(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    code, out, err = said("gather", bare, "--pack", pack, *options)
    assert code == 0, err
    assert "The forecast is of GFS, NOAA/NCEP; licence: U.S. public domain." in out
    assert "fetched: winds, run of 2027-01-23 00 UTC, hours 8 to 15, 2.3 MB in 8 files" in out
    assert "fetching winds: about " in err
    out = tmp_path / "out"
    code, answer, err = said("plan", "--pack", pack, *FEW, "--out", out)
    assert code == 0, err
    told = "run 2027-01-23 00:00 UTC of NCEP + 9.667 h (GFS, NOAA/NCEP)"
    assert f"Forecast {told}." in " ".join(answer.split())
    assert f"orecast {told}" in (out / "brief.html").read_text(encoding="utf-8")
    assert told in (out / "plan.json").read_text(encoding="utf-8")


def test_the_pack_holds_where_its_winds_come_from(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    code, out, _ = said("gather", bare, "--pack", pack, *options, "--members", 2)
    assert code == 0
    assert "fetched: members, 2 members, run of 2027-01-23 00 UTC, hours 6 to 15" in out
    opened = open_pack(pack)  # every part is held against its checksum
    assert opened.pack.sounding.run_t_s == 1_800_662_400.0
    winds, members = (
        json.loads((pack / f"origin-{one}.json").read_text()) for one in ("winds", "members")
    )
    assert winds["licence"] == members["licence"] == "U.S. public domain"
    assert len(winds["parts"]) == 8
    assert len(members["parts"]) == 8
    assert winds["parts"]["f008.grib2"]["fetched_at"] == "2027-01-23T08:40:00Z"
    assert said("check", pack)[0] == 0


def test_members_stand_for_what_the_winds_may_be_off_by(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    _, out, _ = said("gather", bare, "--pack", pack, *options, "--members", 2)
    assert "2 members tell too little of what the winds may be off by: 5 would." in out
    assert set(open_pack(pack).grids) == {"forecast"}
    code, out, _ = said("gather", bare, "--pack", pack, *options, "--members", 5)
    assert code == 0
    names = open_pack(pack).grids["members"].described["members"]
    assert names == ("gec00", "gep01", "gep02", "gep03", "gep04")
    assert said("plan", "--pack", pack, *FEW)[0] == 0


def test_a_damaged_forecast_is_found_where_it_is_read_and_by_a_check(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    said("gather", bare, "--pack", pack, *options)
    path = pack / "forecast.npy"
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)
    assert_refused(
        said("plan", "--pack", pack, *FEW), "forecast.npy", "checksum", "Gather it again"
    )
    assert_refused(said("check", pack), "forecast.npy is changed since it was gathered")


def test_a_flight_moved_in_its_pack_is_planned_in_the_winds_of_its_new_place(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    pack = tmp_path / "pack"
    said("gather", bare, "--pack", pack, *options)
    changed(pack / "flight.toml", "launch_at = 2027-01-23T16:40", "launch_at = 2027-01-23T17:40")
    out = tmp_path / "out"
    code, _, err = said("plan", "--pack", pack, *FEW, "--out", out)
    assert code == 0, err
    assert "UTC of NCEP + 10.67 h" in (out / "plan.json").read_text(encoding="utf-8")


def test_gathered_again_nothing_is_asked_twice(
    said: Said, bare: Path, options: Options, tmp_path: Path, manner: Manner
) -> None:
    pack = tmp_path / "pack"
    said("gather", bare, "--pack", pack, *options)
    n_requests = len(manner.requests)
    code, out, err = said("gather", bare, "--pack", pack, *options)
    assert code == 0
    assert "takes the place of the pack that was there" in out
    assert "all 8 files are there already" in err
    assert len(manner.requests) == n_requests


def test_where_the_network_is_gone_the_old_pack_stays(
    said: Said, bare: Path, options: Options, tmp_path: Path, manner: Manner
) -> None:
    pack = tmp_path / "pack"
    said("gather", bare, "--pack", pack, *options)
    before = {one.name: one.read_bytes() for one in pack.iterdir()}
    manner.faults.waiting.append(Fault(Kind.PAGE, times=99))
    refused = said("gather", bare, "--pack", pack, *options, "--days", 2)
    assert_refused(
        refused, 'a web page called "Sign in to the guest network"', "--show", progress=True
    )
    assert {one.name: one.read_bytes() for one in pack.iterdir()} == before
    manner.faults.waiting.clear()
    assert said("gather", bare, "--pack", pack, *options, "--days", 2)[0] == 0


def test_more_days_bring_more_hours(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    code, out, _ = said("gather", bare, "--pack", tmp_path / "pack", *options, "--days", 2)
    assert code == 0
    # From the run on; sunset of the second day is at 12:35 UTC, 36.6 h after the run; whole hours.
    assert "run of 2027-01-23 00 UTC, hours 0 to 37, " in out


def test_a_person_who_ends_it_is_told_where_it_stays(
    said: Said, bare: Path, options: Options, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def end(_: float) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("farglide.cli.today.sleep_s", end)
    code, out, err = said("gather", bare, "--pack", tmp_path / "pack", *options)
    assert (code != 0, out) == (True, "")
    assert f"What was fetched is kept in {tmp_path / 'fetched'}" in err
    assert "the same command goes on from there" in err
    assert not (tmp_path / "pack").exists()


def test_without_a_folder_only_addresses_are_shown(said: Said, bare: Path) -> None:
    assert_refused(said("gather", bare), "--pack is missing", "Only --show needs none")


def test_terrain_is_fetched_and_the_lines_that_name_it_are_told(
    said: Said, flight: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("farglide.cli.today.sleep_s", lambda _: None)
    served, root = tmp_path / "served", tmp_path / "fetched"
    served.mkdir()
    shutil.copy(GROUND, served / "S47E108.tif")
    with serving(Manner(Library(folder=served))) as base:
        own = tmp_path / "own.toml"
        own.write_text(f'[terrain]\naddress = "{base}/{{lat_tile}}{{lon_tile}}.tif"\n')
        options = ("--terrain", "--addresses", own, "--fetched", root)
        code, out, err = said("gather", flight, "--pack", tmp_path / "pack", *options)
    assert code == 0, err
    tile = root / "terrain" / "S47-E108.tif"
    assert f'    [terrain]\n    files = ["{tile.as_posix()}"]' in out
    assert "not there, as over the sea: S47-E107.tif" in out
    assert "Copernicus DEM GLO-30, (c) DLR" in out
    changed(flight, f'"{GROUND.name}"', f'"{tile.as_posix()}"')
    code, out, err = said("gather", flight, "--pack", tmp_path / "pack")
    assert code == 0, err
    assert "S47-E108.tif, the ground" in out


def test_fetched_files_lie_outside_the_pack(said: Said, bare: Path, tmp_path: Path) -> None:
    refused = said("gather", bare, "--pack", tmp_path / "p", "--fetched", tmp_path / "p" / "f")
    assert_refused(refused, "allowed: a folder outside that of the pack", "name one outside")


def test_what_a_fetch_can_do_is_refused_for_winds_of_a_file(
    said: Said, flight: Path, tmp_path: Path
) -> None:
    refused = said("gather", flight, "--pack", tmp_path / "pack", "--members", 3)
    assert_refused(
        refused, "named under [wind] in the flight file", "are for winds that are fetched"
    )
    winds = flight.parent / "amber-evening-winds.csv"
    refused = said("gather", flight, "--winds", winds, "--pack", tmp_path / "pack", "--days", 3)
    assert_refused(refused, "named on the command line")
    assert not Choice(addresses=Path("a"), fetched=Path("b")).is_stated


def test_a_flight_beyond_every_forecast_is_told_when_to_ask(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    changed(bare, "2027-01-23T16:40:00", "2027-03-23T16:40:00")
    refused = said("gather", bare, "--pack", tmp_path / "pack", *options)
    assert_refused(refused, "384 h after the run of 2027-01-23 00 UTC", "Ask again 44 days later")


def test_own_addresses_count_without_being_named(
    said: Said, bare: Path, options: Options, tmp_path: Path
) -> None:
    own = tmp_path / "settings" / "farglide"
    own.mkdir(parents=True)
    (own / "addresses.toml").write_text("[gfs_cropped]\npause_s = -1\n")
    refused = said("gather", bare, "--pack", tmp_path / "pack", "--fetched", tmp_path / "fetched")
    assert_refused(refused, f"{own / 'addresses.toml'}: 1 problem", "[gfs_cropped] pause_s")
