"""Grids of a pack: written and read again, and every damage found where it is read."""

import json
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from farglide.air.windgrid import FIELDS, WindGrid
from farglide.errors import SourceError
from farglide.packfile.grids import grid_between, stored_grid, write_grid
from farglide.packfile.manifest import sha256_of

TIMES_S = 3600.0 * np.arange(5.0)


def forecast(humid: bool = True) -> WindGrid:
    shape = (2, 5, 3, 4, 6)
    rng = np.random.default_rng(7)
    fields: dict[str, Any] = {
        name: rng.normal(size=shape).astype(np.float32) for name in FIELDS[: 5 if humid else 4]
    }
    fields["u_mps"][1, 2, 0, 0, 0] = np.nan
    return WindGrid(
        times_s=TIMES_S, p_pa=np.array([1e5, 5e4, 1e3]), lat_deg=47.0 + 0.25 * np.arange(4),
        lon_deg=179.0 + 0.25 * np.arange(6), members=("gec00", "gep01"), run_t_s=-7200.0,
        origin="a forecast", licence="public", attribution="the office", notes=("one note",),
        **fields,
    )  # fmt: skip


def same(a: WindGrid, b: WindGrid, times: slice = slice(None)) -> None:
    for name in FIELDS:
        one, other = getattr(a, name), getattr(b, name)
        assert (one is None) == (other is None)
        if one is not None:
            np.testing.assert_array_equal(one, other[:, times])
    for name in ("p_pa", "lat_deg", "lon_deg"):
        np.testing.assert_array_equal(getattr(a, name), getattr(b, name))
    np.testing.assert_array_equal(a.times_s, b.times_s[times])
    for name in ("members", "run_t_s", "origin", "licence", "attribution", "notes"):
        assert getattr(a, name) == getattr(b, name)


@pytest.mark.parametrize("humid", [True, False])
def test_what_is_written_is_read_again(tmp_path: Path, humid: bool) -> None:
    parts = write_grid(forecast(humid), tmp_path, "forecast")
    assert parts == {name: sha256_of(tmp_path / name) for name in ("forecast.npy", "forecast.json")}
    same(grid_between(stored_grid(tmp_path, "forecast"), -1e9, 1e9), forecast(humid))


@pytest.mark.parametrize(
    ("first_s", "last_s", "times"),
    [
        (4000.0, 7000.0, slice(1, 3)),
        (3600.0, 7200.0, slice(1, 3)),
        (-5.0, 100.0, slice(0, 2)),
        (20_000.0, 30_000.0, slice(4, 5)),
        (-9000.0, -8000.0, slice(0, 1)),
    ],
)
def test_only_the_times_round_a_flight_are_read(
    tmp_path: Path, first_s: float, last_s: float, times: slice
) -> None:
    write_grid(forecast(), tmp_path, "forecast")
    same(grid_between(stored_grid(tmp_path, "forecast"), first_s, last_s), forecast(), times)


def test_a_damage_is_found_where_it_is_read(tmp_path: Path) -> None:
    write_grid(forecast(), tmp_path, "forecast")
    path = tmp_path / "forecast.npy"
    data = bytearray(path.read_bytes())
    data[-10] ^= 1  # of the last member and time
    path.write_bytes(data)
    stored = stored_grid(tmp_path, "forecast")
    same(grid_between(stored, 0.0, 7200.0), forecast(), slice(0, 3))
    with pytest.raises(SourceError, match=r"checksum differs, of member 2, time 5\..*Gather"):
        grid_between(stored, 0.0, 14_400.0)


@pytest.mark.parametrize("n_bytes", [0, 10, 90, 500])
def test_an_array_cut_short_is_refused(tmp_path: Path, n_bytes: int) -> None:
    write_grid(forecast(), tmp_path, "forecast")
    path = tmp_path / "forecast.npy"
    path.write_bytes(path.read_bytes()[:n_bytes])
    with pytest.raises(SourceError, match=r"forecast\.npy.* is damaged"):
        grid_between(stored_grid(tmp_path, "forecast"), 0.0, 7200.0)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("form", "farglide grid 9"), ("fields", ["u_mps", "u_mps"]), ("fields", ["fog"]),
        ("members", []), ("times_s", [0.0, "x"]), ("sha256", ["00"]), ("lat_deg", [[47.0]]),
        ("notes", "no list"), ("run_t_s", "yesterday"), ("p_pa", None),
    ],
)  # fmt: skip
def test_a_description_of_something_else_is_refused(tmp_path: Path, key: str, value: Any) -> None:
    write_grid(forecast(), tmp_path, "forecast")
    path = tmp_path / "forecast.json"
    path.write_text(json.dumps(json.loads(path.read_text()) | {key: value}))
    with pytest.raises(SourceError, match=r"forecast\.json.* is damaged"):
        stored_grid(tmp_path, "forecast")


def test_axes_that_do_not_fit_the_array_are_refused(tmp_path: Path) -> None:
    write_grid(forecast(), tmp_path, "forecast")
    path = tmp_path / "forecast.json"
    changed = json.loads(path.read_text()) | {"p_pa": [1e5, 1e3]}
    path.write_text(json.dumps(changed))
    with pytest.raises(SourceError, match="it holds float32"):
        grid_between(stored_grid(tmp_path, "forecast"), 0.0, 7200.0)


@given(at=st.integers(0, 4000), byte=st.integers(0, 255), cut=st.integers(0, 4000))
@settings(max_examples=150, deadline=None)
def test_whatever_stands_there_ends_in_a_grid_or_in_a_plain_error(
    tmp_path_factory: pytest.TempPathFactory, at: int, byte: int, cut: int
) -> None:
    folder = tmp_path_factory.mktemp("grid")
    write_grid(forecast(), folder, "forecast")
    for name in ("forecast.json", "forecast.npy"):
        path = folder / name
        data = bytearray(path.read_bytes())
        data[at % len(data)] = byte
        path.write_bytes(data[: len(data) - cut % 7] if cut % 3 == 0 else data)
    with suppress(SourceError):
        grid_between(stored_grid(folder, "forecast"), 0.0, 7200.0)
