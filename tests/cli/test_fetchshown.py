"""Addresses shown: every one that would be asked, and none is."""

import socket
from pathlib import Path

import pytest

from .commands import Said, assert_refused


@pytest.fixture(autouse=True)
def alone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """See to it that nothing is asked, and that nobody's own addresses count."""

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("a network was asked")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))


def test_every_address_is_shown_with_its_size_and_licence(said: Said, flight: Path) -> None:
    code, out, err = said("gather", flight, "--show", "--members", 2)
    assert (code, err) == (0, "")
    lines = [line.strip() for line in out.splitlines()]
    cut = [
        one for one in lines if one.startswith("https://nomads.ncep.noaa.gov/cgi-bin/filter_gfs")
    ]
    assert len(cut) == 8
    assert "run of 2027-01-23 00 UTC, 8 files, about 2.7 MB" in out
    whole = (
        "https://noaa-gfs-bdp-pds.s3.amazonaws.com/gfs.20270123/00/atmos/gfs.t00z.pgrb2.0p25.f008"
    )
    assert whole in lines
    assert f"{whole}.idx" in lines
    assert sum("/gec00.t00z" in one or "/gep01.t00z" in one for one in lines) >= 16
    assert "U.S. public domain" in out
    assert "with the package ecmwf-opendata" in out
    assert "S47_00_E107_00" in out
    assert f"farglide gather {flight} --winds winds.grib2 --pack DIR" in " ".join(out.split())


def test_a_coarse_grid_shows_its_own_addresses(said: Said, flight: Path) -> None:
    out = said("gather", flight, "--show", "--grid-deg", 1)[1]
    assert "pgrb2.1p00.f006" in out
    assert "0p25.f" not in out
    assert_refused(said("gather", flight, "--show", "--grid-deg", 3), "grid of 3 degrees")
