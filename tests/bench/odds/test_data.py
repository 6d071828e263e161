"""Open data: what was measured is told from what a reader laid between, and unpacked whole."""

import zipfile
from pathlib import Path

import numpy as np
import pytest
from bench.odds.data import own_winds, region
from bench.odds.fetch import Archive, DataMissingError, data_folder, fetch, files_of

from farglide.air.sounding import Sounding
from farglide.sources.soundings.bufr_temp import read_bufr

TINY = Archive("tiny-winds", "1.0", True, "tiny/data/*.cdf")


def sounding(u_mps: list[float]) -> Sounding:
    n = len(u_mps)
    return Sounding(
        gph_m=np.linspace(0.0, 8000.0, n),
        p_pa=np.geomspace(100_000.0, 35_000.0, n),
        t_k=np.full(n, 270.0),
        relative_humidity_ratio=np.full(n, np.nan),
        u_mps=np.array(u_mps),
        v_mps=np.zeros(n),
        lat_deg=50.0,
        lon_deg=14.0,
        t_s=0.0,
        origin="made up",
    )


def test_winds_laid_between_are_told_from_reported_ones() -> None:
    # even steps in the logarithm of pressure: 6 and 8 lie on the line from 4 to 10
    assert own_winds(sounding([4.0, 6.0, 8.0, 10.0, 3.0])).tolist() == [
        True, False, False, True, True,
    ]  # fmt: skip


def test_winds_of_the_network_are_partly_laid_between(authorities: Path) -> None:
    # The reader says of the first message how many winds it interpolated: just these are found.
    first = read_bufr(authorities / "temp_20081208.bufr")[0][0]
    (told,) = (note for note in first.notes if "winds interpolated" in note)
    assert (~own_winds(first)).sum() == int(told.split()[0])


def test_a_region_is_a_box_of_thirty_degrees() -> None:
    assert region(59.9, 0.1) == "network 30 0"
    assert region(-0.1, -0.1) == "network -30 -30"


def test_a_package_is_unpacked_as_far_as_it_is_wanted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FARGLIDE_OPEN_DATA", str(tmp_path))
    (tmp_path / "downloads").mkdir()
    with zipfile.ZipFile(tmp_path / "downloads" / "tiny_winds-1.0-py3-none-any.whl", "w") as packed:
        packed.writestr("tiny/data/one.cdf", b"winds")
        packed.writestr("tiny/code.py", b"")
    with pytest.raises(DataMissingError, match=r"python -m bench\.odds\.fetch"):
        files_of(TINY)
    fetch(TINY)
    (only,) = files_of(TINY)
    assert only.read_bytes() == b"winds"


def test_data_lies_in_the_cache_of_the_user(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("FARGLIDE_OPEN_DATA", raising=False)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert data_folder() == tmp_path / "farglide-open-data"
