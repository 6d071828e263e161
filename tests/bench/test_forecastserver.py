"""The server of forecasts: what it writes is read by others, what it says is what it has."""

from pathlib import Path

import numpy as np
import pytest
import rasterio
import urllib3
from bench.forecastserver.__main__ import addresses_text, is_there
from bench.forecastserver.fields import Edges, index_of, read_world
from bench.forecastserver.library import Library, named_by
from bench.forecastserver.server import Manner, serving
from bench.forecastserver.written import Stamp, restamped

from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.contents import contents_of

REAL = Path(__file__).parents[1] / "authorities" / "gfs_january_2011.grib2"
RUN_S = 1_800_684_000.0  # 2027-01-23 06 UTC
NAME = "gfs.20270123/06/atmos/gfs.t06z.pgrb2.0p25.f009"


def test_what_is_cut_out_is_read_by_a_general_decoder(tmp_path: Path) -> None:
    world = read_world(REAL)
    path = tmp_path / "cut.grib2"
    path.write_bytes(
        world.cut(
            [("TMP", 500.0), ("UGRD", 10.0)], Edges(50.0, 45.0, -5.0, 5.0), 2.5, Stamp(RUN_S, 9)
        )
    )
    with rasterio.open(str(path), driver="GRIB") as cut, rasterio.open(str(REAL)) as whole:
        assert (cut.count, cut.shape) == (2, (3, 5))
        assert cut.tags(1)["GRIB_REF_TIME"].split()[0] == f"{RUN_S:.0f}"
        assert cut.tags(1)["GRIB_FORECAST_SECONDS"].split()[0] == "32400"
        band = next(
            k for k in range(1, whole.count + 1)
            if whole.tags(k)["GRIB_ELEMENT"] == "UGRD"
            and whole.descriptions[k - 1].startswith("1000[")
        )  # fmt: skip
        rows, columns = zip(*(whole.index(lon, 50.0) for lon in (-5.0, 5.0)), strict=True)
        expected = whole.read(band)[rows[0] : rows[0] + 3, columns[0] : columns[1] + 1]
        np.testing.assert_allclose(cut.read(2), expected, atol=0.01)


def test_between_the_points_values_are_between_those_of_the_points() -> None:
    world = read_world(REAL)
    at = Edges(50.0, 47.5, 357.5, 362.5)  # across Greenwich
    coarse = world.cut([("HGT", 500.0)], at, 2.5, Stamp(RUN_S, 0))
    fine = world.cut([("HGT", 500.0)], at, 0.25, Stamp(RUN_S, 0))
    assert len(fine) - 200 > 30 * (len(coarse) - 200)


def test_times_are_set_and_nothing_else_changes(tmp_path: Path) -> None:
    data = restamped(REAL.read_bytes(), Stamp(RUN_S, 9))
    path = tmp_path / "stamped.grib2"
    path.write_bytes(data)
    before, after = contents_of(REAL), contents_of(path)
    assert [one[:2] for one in after] == [one[:2] for one in before]
    assert {(one.run_t_s, one.lead_s) for one in after} == {(RUN_S, 32_400.0)}
    assert sum(a != b for a, b in zip(data, REAL.read_bytes(), strict=True)) < 10 * len(after)


def test_a_folder_is_served_as_it_lies_with_an_index(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.parent.mkdir(parents=True)
    path.write_bytes(restamped(REAL.read_bytes(), Stamp(RUN_S, 9)))
    library = Library(folder=tmp_path)
    whole, index = library.find(f"/{NAME}"), library.find(f"/{NAME}.idx")
    assert whole is not None
    assert index is not None
    assert whole.data == path.read_bytes()
    assert index.data.decode() == index_of(path)
    assert "1.1:0:" in index.data.decode() or index.data.startswith(b"1:0:d=2027012306:HGT")
    cut = library.find(
        "/cgi-bin/filter_gfs_0p25.pl?dir=%2Fgfs.20270123%2F06%2Fatmos&file=gfs.t06z.pgrb2.0p25.f009"
        "&var_HGT=on&lev_10_mb=on&subregion=&toplat=50&leftlon=0&rightlon=5&bottomlat=45"
    )
    assert cut is not None
    assert cut.data.startswith(b"GRIB")
    for target in ("/../secret", "/gfs.20270123/06/atmos/none", "/cgi-bin/filter_x.pl?file=none"):
        assert library.find(target) is None


def test_names_tell_run_hour_and_member() -> None:
    assert named_by(NAME) == (Stamp(RUN_S, 9), 0.25)
    member = "gefs.20270123/06/atmos/pgrb2ap5/gep17.t06z.pgrb2a.0p50.f012"
    assert named_by(member) == (Stamp(RUN_S, 12, 17), 0.5)
    assert named_by("elsewhere") is None


def test_the_newest_run_is_written_hour_by_hour(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("time.time", lambda: RUN_S + 4.1 * 3600.0)
    assert is_there(Stamp(RUN_S, 9))
    assert not is_there(Stamp(RUN_S, 12))
    assert is_there(Stamp(RUN_S - 6 * 3600.0, 384))
    assert not is_there(Stamp(RUN_S - 11 * 86400.0, 9))


def test_its_addresses_lead_to_it(tmp_path: Path) -> None:
    with serving(Manner(Library(stand_in=REAL))) as base:
        own = tmp_path / "addresses.toml"
        own.write_text(addresses_text(base, REAL), encoding="utf-8")
        sources = read_addresses(own)
        assert {one.addresses[0].partition("/g")[0].partition("/c")[0] for one in sources} == {base}
        assert urllib3.PoolManager().request("GET", f"{base}/{NAME}").status == 200
        assert urllib3.PoolManager().request("GET", f"{base}/none").status == 404
