"""Records of what was fetched: written whole, read back, and held against the files."""

import json
from pathlib import Path

import pytest

from farglide.gather.fetch.addresses import read_addresses
from farglide.gather.fetch.record import (
    RECORD,
    Fetched,
    Record,
    read_record,
    record_of,
    record_text,
    sha256_of,
    whole_parts,
    write_record,
)

RUN_S = 1_800_684_000.0


@pytest.fixture
def record(tmp_path: Path) -> Record:
    """Return the record of one file in the folder of the test."""
    path = tmp_path / "f003.grib2"
    path.write_bytes(b"abc")
    fetched = Fetched(
        address="http://a.example/f003", fetched_t_s=RUN_S + 20_000.0, step_h=3, member="",
        n_bytes=3, sha256=sha256_of(path),
    )  # fmt: skip
    return record_of(read_addresses()[0], RUN_S).with_part("f003.grib2", fetched)


def test_the_checksum_is_that_of_the_standard(record: Record) -> None:
    # FIPS 180-2, appendix B.1: the digest of "abc".
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert record.parts["f003.grib2"].sha256 == expected


def test_what_is_written_is_read_back(record: Record, tmp_path: Path) -> None:
    assert read_record(tmp_path) is None
    write_record(record, tmp_path)
    assert read_record(tmp_path) == record
    assert sorted(one.name for one in tmp_path.iterdir()) == ["f003.grib2", RECORD]


def test_origin_run_licence_and_attribution_stand_in_it(record: Record) -> None:
    document = json.loads(record_text(record))
    assert document["run_at"] == "2027-01-23T06:00:00Z"
    assert document["licence"] == "U.S. public domain"
    assert document["attribution"] == "GFS, NOAA/NCEP"
    assert document["producer"].startswith("NOAA")
    part = document["parts"]["f003.grib2"]
    assert part["fetched_at"] == "2027-01-23T11:33:20Z"
    assert part["address"] == "http://a.example/f003"


def test_only_files_that_are_as_they_came_count(record: Record, tmp_path: Path) -> None:
    path = tmp_path / "f003.grib2"
    assert [*whole_parts(record, tmp_path)] == ["f003.grib2"]
    for data in (b"abd", b"ab"):
        path.write_bytes(data)
        assert whole_parts(record, tmp_path) == {}
    path.rename(tmp_path / "other")
    (tmp_path / "other").write_bytes(b"abc")
    assert whole_parts(record, tmp_path) == {}
    path.symlink_to(tmp_path / "other")
    assert whole_parts(record, tmp_path) == {}


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"form": "farglide origin 1"}', "[" * 100_000, '{"form": 1}', "\x00"]
)
def test_a_record_that_cannot_be_read_counts_as_none(tmp_path: Path, text: str) -> None:
    (tmp_path / RECORD).write_text(text)
    assert read_record(tmp_path) is None
