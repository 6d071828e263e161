"""The files of one run: their addresses, names, order and size."""

from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest

from farglide.earth.box import Box
from farglide.errors import InputError
from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.batch import about_bytes, batch_of
from farglide.gather.fetch.inventory import read_index, spans_of
from farglide.gather.fetch.wanted import Wanted

from .server import real_index

SOURCES = {one.key: one for one in read_addresses()}
RUN_S = 1_800_662_400.0  # 2027-01-23 00 UTC
ROOT = Path("root")


def test_the_server_that_cuts_is_told_area_levels_and_fields(wanted: Wanted) -> None:
    batch = batch_of(SOURCES["gfs_cropped"], wanted, RUN_S, ROOT)
    url = urlsplit(batch.parts[0].addresses[0])
    assert (url.scheme, url.netloc) == ("https", "nomads.ncep.noaa.gov")
    query = parse_qs(url.query, keep_blank_values=True)
    assert query["dir"] == ["/gfs.20270123/00/atmos"]
    assert query["file"] == ["gfs.t00z.pgrb2.0p25.f008"]
    assert [key for key in query if key.startswith("var_")] == [
        "var_HGT", "var_TMP", "var_UGRD", "var_VGRD", "var_RH",
    ]  # fmt: skip
    levels = [key for key in query if key.startswith("lev_")]
    assert (levels[0], levels[-1], len(levels)) == ("lev_1000_mb", "lev_7_mb", 29)
    edges = [float(query[key][0]) for key in ("bottomlat", "toplat", "leftlon", "rightlon")]
    assert edges == [-51.75, -41.5, 100.0, 116.5]
    assert batch.parts[0].indices == ()


def test_an_area_across_the_date_line_has_its_east_beyond_180(wanted: Wanted) -> None:
    box = Box(south_deg=-18.0, west_deg=179.0, north_deg=-17.0, east_deg=-179.5)
    batch = batch_of(SOURCES["gfs_cropped"], replace(wanted, box=box), RUN_S, ROOT)
    query = parse_qs(urlsplit(batch.parts[0].addresses[0]).query)
    assert (query["leftlon"], query["rightlon"]) == (["179"], ["180.5"])


def test_whole_fields_have_an_index_and_a_mirror(wanted: Wanted) -> None:
    part = batch_of(SOURCES["gfs_whole"], wanted, RUN_S, ROOT).parts[0]
    file = "gfs.20270123/00/atmos/gfs.t00z.pgrb2.0p25.f008"
    assert part.addresses == (
        f"https://noaa-gfs-bdp-pds.s3.amazonaws.com/{file}",
        f"https://storage.googleapis.com/global-forecast-system/{file}",
    )
    assert part.indices == tuple(f"{one}.idx" for one in part.addresses)


def test_hours_follow_each_other_but_the_last_is_asked_first(wanted: Wanted) -> None:
    batch = batch_of(SOURCES["gfs_cropped"], wanted, RUN_S, ROOT)
    assert [part.step_h for part in batch.parts] == [*range(8, 16)]
    assert [part.step_h for part in batch.in_order] == [15, *range(8, 15)]
    assert batch.parts[0].name == "f008.grib2"


def test_members_have_their_names_in_addresses_and_files(wanted: Wanted) -> None:
    batch = batch_of(SOURCES["gefs_whole"], wanted, RUN_S, ROOT, 3)
    assert len(batch.parts) == 3 * 4  # hours 6, 9, 12, 15
    assert batch.parts[4].name == "gep01-f006.grib2"
    assert "/gep01.t00z.pgrb2a.0p50.f006" in batch.parts[4].addresses[0]
    assert {part.step_h for part in batch.in_order[:3]} == {15}
    for n_members in (0, 32):
        with pytest.raises(InputError, match="1 to 31, the members of gefs_whole"):
            batch_of(SOURCES["gefs_whole"], wanted, RUN_S, ROOT, n_members)


def test_the_size_told_before_is_near_that_of_the_real_index() -> None:
    source = SOURCES["gfs_whole"]
    pairs = source.pairs(source.levels_hpa)
    spans = spans_of(read_index(real_index("gfs_0p25_20260723.idx"), ""), pairs)
    real = sum(span.length or 0 for span in spans)
    box = Box(south_deg=40.0, west_deg=0.0, north_deg=50.0, east_deg=10.0)
    assert about_bytes(source, box, pairs) == pytest.approx(real, rel=0.1)


def test_an_area_of_600_km_weighs_some_hundred_thousand_bytes_an_hour(wanted: Wanted) -> None:
    # The producers' documentation, as the project took it down: 0.1 to 0.3 MB a step.
    source = SOURCES["gfs_cropped"]
    box = Box(south_deg=44.3, west_deg=0.0, north_deg=49.7, east_deg=8.0)
    assert 80_000 <= about_bytes(source, box, source.pairs(source.levels_hpa)) <= 300_000


def test_another_area_goes_into_another_folder(wanted: Wanted) -> None:
    source = SOURCES["gfs_cropped"]
    here = batch_of(source, wanted, RUN_S, ROOT).folder
    assert here.name.startswith("gfs_cropped-2027012300-")
    other = replace(wanted, box=replace(wanted.box, south_deg=-53.0))
    assert batch_of(source, other, RUN_S, ROOT).folder != here
    higher = replace(wanted, top_hpa=2.0)
    assert batch_of(source, higher, RUN_S, ROOT).folder != here
    later = replace(wanted, stretches=wanted.stretches * 2)
    assert batch_of(source, later, RUN_S, ROOT).folder == here
    whole = SOURCES["gfs_whole"]  # whole fields are the same for every area
    assert batch_of(whole, wanted, RUN_S, ROOT).folder == batch_of(whole, other, RUN_S, ROOT).folder
