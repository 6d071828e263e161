"""Forecasts in GRIB: real ones against another decoder, made-up ones with something special."""

import csv
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio

from farglide.earth.state import Place
from farglide.errors import SourceError
from farglide.sources.grib import grib
from farglide.sources.grib.grib import read_grib_column
from farglide.sources.grib.messages import GribMessage, grib_messages

Writer = Callable[[str, str | bytes], Path]
Encoder = Callable[[Sequence[Any]], bytes]

KINDS = {"gph_m": (3, 5), "t_k": (0, 0), "u_mps": (2, 2), "v_mps": (2, 3), "rh": (1, 1)}
AIR = {50_000: (5574.0, 252.0), 10_000: (16_180.0, 217.0), 1000: (31_055.0, 228.0)}  # US76, rounded
JANUARY_S = 1295092800.0  # 2011-01-15 12:00 UTC
OCTOBER_S = 1318291200.0  # 2011-10-11 00:00 UTC


def place(lat_deg: float, lon_deg: float, amsl_m: float = 0.0) -> Place:
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=amsl_m)


def points(authorities: Path) -> dict[tuple[float, float], dict[float, dict[str, float]]]:
    """Return ecCodes' values by place and pressure."""
    lines = (authorities / "gfs_points.csv").read_text().splitlines()
    table: dict[tuple[float, float], dict[float, dict[str, float]]] = {}
    for row in csv.DictReader(line for line in lines if not line.startswith("#")):
        values = {name: float(text) for name, text in row.items()}
        at = table.setdefault((values["lat_deg"], values["lon_deg"]), {})
        at[100.0 * values["p_hpa"]] = values
    return table


def test_grid_points_agree_with_another_decoder(authorities: Path) -> None:
    table = points(authorities)
    assert len(table) == 10
    for (lat_deg, lon_deg), levels in table.items():
        sounding = read_grib_column(
            authorities / "gfs_january_2011.grib2", place(lat_deg, lon_deg), None
        )
        assert sounding.p_pa.tolist() == sorted(levels, reverse=True)
        for i, p_pa in enumerate(sounding.p_pa):
            # The table is rounded to 0.001; packed values are exact to about that.
            assert sounding.gph_m[i] == pytest.approx(levels[p_pa]["gph_m"], abs=0.01)
            assert sounding.t_k[i] == pytest.approx(levels[p_pa]["t_k"], abs=0.002)
            assert sounding.u_mps[i] == pytest.approx(levels[p_pa]["u_mps"], abs=0.002)
            assert sounding.v_mps[i] == pytest.approx(levels[p_pa]["v_mps"], abs=0.002)


def test_between_grid_points_across_the_zero_meridian(authorities: Path) -> None:
    table = points(authorities)
    sounding = read_grib_column(authorities / "gfs_january_2011.grib2", place(51.0, -0.5), None)
    # 51 N lies 0.4 of the way from 50 to 52.5; 0.5 W lies 0.8 of the way from 2.5 W to 0.
    weights = {
        (50.0, 357.5): 0.6 * 0.2, (50.0, 0.0): 0.6 * 0.8, (52.5, 357.5): 0.4 * 0.2,
        (52.5, 0.0): 0.4 * 0.8,
    }  # fmt: skip
    for i, p_pa in enumerate(sounding.p_pa):
        for name in ("gph_m", "t_k", "u_mps", "v_mps"):
            expected = sum(w * table[corner][p_pa][name] for corner, w in weights.items())
            assert getattr(sounding, name)[i] == pytest.approx(expected, abs=0.01)


def test_known_point_of_both_forecasts(authorities: Path) -> None:
    january = read_grib_column(
        authorities / "gfs_january_2011.grib2", place(40.0, -105.0, 1600.0), None
    )
    # Read with another decoder when the files were chosen: 10 hPa at 30385 and 30964 gpm.
    assert january.gph_m[-1] == pytest.approx(30_385.0, abs=0.5)
    assert january.u_mps[-1] == pytest.approx(21.3, abs=0.01)
    assert january.v_mps[-1] == pytest.approx(-9.4, abs=0.01)
    october = read_grib_column(authorities / "gfs_october_2011.grib2", place(40.0, -105.0), None)
    assert october.gph_m[-1] == pytest.approx(30_964.0, abs=0.5)


def test_origin_notes_place_and_time(authorities: Path) -> None:
    sounding = read_grib_column(
        authorities / "gfs_january_2011.grib2", place(40.0, 255.0, 1600.0), JANUARY_S
    )
    assert sounding.origin == "forecast run 2011-01-10 12:00 UTC + 120 h"
    assert (sounding.lat_deg, sounding.lon_deg) == (40.0, -105.0)
    assert sounding.t_s == JANUARY_S
    assert "12 pressure levels, 1000 to 10 hPa, valid 2011-01-15 12:00 UTC" in sounding.notes
    assert any("2 levels below the ground" in note for note in sounding.notes)
    assert np.isfinite(sounding.relative_humidity_ratio[[0, 3]]).all()  # 1000 and 500 hPa
    assert sounding.elapsed_s is None


def test_time_asked_for_is_far_from_the_only_valid_one(authorities: Path) -> None:
    sounding = read_grib_column(
        authorities / "gfs_january_2011.grib2", place(40.0, -105.0), JANUARY_S + 7200.0
    )
    assert sounding.t_s == JANUARY_S
    assert "nearest valid time: 2 h before the time asked for" in sounding.notes


@pytest.fixture
def both(authorities: Path, written: Writer) -> Path:
    names = ("gfs_january_2011.grib2", "gfs_october_2011.grib2")
    return written("both.grib2", b"".join((authorities / name).read_bytes() for name in names))


def test_two_valid_times_are_mixed_by_time(both: Path, authorities: Path) -> None:
    here = place(40.0, -105.0)
    january = read_grib_column(authorities / "gfs_january_2011.grib2", here, None)
    october = read_grib_column(authorities / "gfs_october_2011.grib2", here, None)
    t_s = JANUARY_S + 0.25 * (OCTOBER_S - JANUARY_S)
    mixed = read_grib_column(both, here, t_s)
    assert mixed.t_s == t_s
    assert mixed.p_pa.tolist() == [50_000.0, 10_000.0, 1000.0]  # the levels of October
    shared = np.isin(january.p_pa, mixed.p_pa)
    for name in ("gph_m", "t_k", "u_mps", "v_mps"):
        expected = 0.75 * getattr(january, name)[shared] + 0.25 * getattr(october, name)
        np.testing.assert_allclose(getattr(mixed, name), expected, atol=1e-6)
    assert sum("in one of the two valid times only" in note for note in mixed.notes) == 9
    assert any("between those valid 2011-01-15 12:00 UTC and 2011-10-11" in n for n in mixed.notes)


@pytest.mark.parametrize(
    ("t_s", "valid_s"),
    [
        (JANUARY_S - 1e5, JANUARY_S),
        (OCTOBER_S + 1e5, OCTOBER_S),
        (OCTOBER_S, OCTOBER_S),
        (None, JANUARY_S),
    ],
)
def test_outside_two_valid_times_the_nearest_is_taken(
    t_s: float | None, valid_s: float, both: Path
) -> None:
    assert read_grib_column(both, place(40.0, -105.0), t_s).t_s == valid_s


def test_forecast_in_the_other_order_is_the_same(both: Path, written: Writer) -> None:
    data = both.read_bytes()
    cut = len(data) // 2
    start = data.index(b"GRIB", cut)
    swapped = written("swapped.grib2", data[start:] + data[:start])
    for t_s in (JANUARY_S, JANUARY_S + 1e6):
        first = read_grib_column(both, place(-35.0, 150.0), t_s)
        second = read_grib_column(swapped, place(-35.0, 150.0), t_s)
        np.testing.assert_array_equal(first.u_mps, second.u_mps)


def fields(make: type[Any], leave_out: tuple[str, int] | None = None, **changes: Any) -> list[Any]:
    """Return made-up air: heights and temperatures of AIR, u = latitude, v = column number."""
    rows, columns = np.meshgrid(np.array([50.0, 45.0, 40.0]), np.arange(5.0), indexing="ij")
    if changes.get("scanning") == 0x40:
        rows, columns = rows[::-1], columns[::-1]
        changes["lats_deg"] = (40.0, 50.0)
    made = []
    for p_pa, (gph_m, t_k) in AIR.items():
        flat = {"gph_m": gph_m, "t_k": t_k}
        for name in ("gph_m", "t_k", "u_mps", "v_mps"):
            if leave_out == (name, p_pa):
                continue
            values = (
                np.full((3, 5), flat[name])
                if name in flat
                else (rows if name == "u_mps" else columns)
            )
            made.append(make(kind=KINDS[name], p_pa=p_pa, values=values.copy(), **changes))
    return made


@pytest.mark.parametrize("scanning", [0x00, 0x40])
@pytest.mark.parametrize("lon_deg", [183.0, -177.0])
def test_date_line_and_both_orders_of_rows(
    scanning: int, lon_deg: float, grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    path = written("made.grib2", grib2(fields(made_field, scanning=scanning)))
    sounding = read_grib_column(path, place(43.0, lon_deg), None)
    np.testing.assert_allclose(sounding.u_mps, 43.0, atol=0.01)  # u is the latitude
    np.testing.assert_allclose(sounding.v_mps, 13.0 / 5.0, atol=0.01)  # columns are 5 deg from 170
    np.testing.assert_allclose(sounding.gph_m, [5574.0, 16_180.0, 31_055.0], atol=0.1)
    assert sounding.origin == "forecast run 2020-01-01 00:00 UTC + 6 h"


def test_place_outside_names_the_bounds(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    path = written("made.grib2", grib2(fields(made_field)))
    reason = r"latitude 43, longitude 8; its grid has latitude 40 to 50, longitude 170 to 190"
    with pytest.raises(SourceError, match=reason):
        read_grib_column(path, place(43.0, 8.0), None)


def test_incomplete_level_is_left_out_and_named(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    extra = [
        made_field(kind=KINDS[name], p_pa=70_000, values=np.full((3, 5), value))
        for name, value in (("gph_m", 3012.0), ("t_k", 268.6), ("u_mps", 5.0))
    ]
    path = written("made.grib2", grib2(fields(made_field) + extra))
    sounding = read_grib_column(path, place(43.0, 180.0), None)
    assert 70_000.0 not in sounding.p_pa
    assert "level 700 hPa 2020-01-01 06:00 UTC left out: no v wind" in sounding.notes


def test_two_complete_levels_are_too_few(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    path = written("made.grib2", grib2(fields(made_field, leave_out=("t_k", 1000))))
    with pytest.raises(SourceError, match="reported at 2 of 2 levels"):
        read_grib_column(path, place(43.0, 180.0), None)


def test_other_levels_are_not_pressure_levels(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    path = written("made.grib2", grib2(fields(made_field, level_type=103)))  # above ground
    with pytest.raises(SourceError, match="no pressure level with height, temperature and both"):
        read_grib_column(path, place(43.0, 180.0), None)


def test_newer_run_of_the_same_time_is_taken(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    old = fields(made_field, hours=12, run=(2019, 12, 31, 18))
    for item in old:
        if item.kind == KINDS["u_mps"]:
            item.values[:] = 99.0
    path = written("made.grib2", grib2(old + fields(made_field)))
    sounding = read_grib_column(path, place(43.0, 180.0), None)
    assert sounding.u_mps[0] == pytest.approx(43.0, abs=0.01)
    assert "12 fields of older runs for the same time left out" in sounding.notes


def test_members_of_an_ensemble_are_refused(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    second = fields(made_field)
    second[2].values[:] = 7.0  # the u wind at 500 hPa
    path = written("made.grib2", grib2(fields(made_field) + second))
    with pytest.raises(
        SourceError, match=r"gives u_mps at 500 hPa .* again, 7 after 43.*one member"
    ):
        read_grib_column(path, place(43.0, 180.0), None)
    twice = written("twice.grib2", grib2(fields(made_field) * 2))
    assert len(read_grib_column(twice, place(43.0, 180.0), None).p_pa) == 3


def test_missing_grid_point_drops_the_level(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    broken = fields(made_field)
    broken[4].values[:] = 40_000.0  # the height of 100 hPa, contradicting the other two
    path = written("made.grib2", grib2(broken))
    with pytest.raises(SourceError, match="height does not rise"):
        read_grib_column(path, place(43.0, 180.0), None)


@pytest.mark.parametrize("scanning", [0x80, 0x20, 0x10, 0xC0])
def test_odd_orders_of_points_are_refused(
    scanning: int, grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    path = written("made.grib2", grib2(fields(made_field, scanning=scanning)))
    with pytest.raises(SourceError, match=f"message 1: .*scanning mode {scanning:#04x}"):
        read_grib_column(path, place(43.0, 180.0), None)


def test_two_grids_in_one_file_are_refused(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    path = written(
        "made.grib2", grib2(fields(made_field) + fields(made_field, lons_deg=(0.0, 20.0)))
    )
    with pytest.raises(SourceError, match="message 13: is on another grid"):
        read_grib_column(path, place(43.0, 180.0), None)


@pytest.mark.parametrize("n_bytes", [10, 30, 1000, 300_000, 599_375])
def test_cut_short_file_is_refused(n_bytes: int, authorities: Path, written: Writer) -> None:
    data = (authorities / "gfs_january_2011.grib2").read_bytes()
    with pytest.raises(SourceError, match=r"message at byte \d+: is cut short.*fetch it again"):
        read_grib_column(written("cut.grib2", data[:n_bytes]), place(40.0, -105.0), None)


def test_bulletin_heading_before_and_between_is_passed_over(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    heading = b"\x01\r\r\n001\r\r\nHTXX01 ABCD 010000\r\r\n"
    data = b"".join(heading + grib2([item]) for item in fields(made_field))
    sounding = read_grib_column(written("made.grib2", data), place(43.0, 180.0), None)
    assert len(sounding.p_pa) == 3


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"GRIB\0\0\x20\x03" + b"\0" * 24 + b"7777", "edition 3; allowed: 1 and 2"),
        (b"GRIB\0\0\x20\x01" + b"\0" * 30, "does not end with '7777'"),
        (b"no message at all in here", "holds no GRIB message"),
        (b"GRIB\0\0\x24\x01" + b"\0" * 24 + b"7777", "no message that defines its grid"),
    ],
)
def test_damaged_messages_are_named(data: bytes, reason: str, written: Writer) -> None:
    with pytest.raises(SourceError, match=reason):
        read_grib_column(written("bad.grib", data), place(0.0, 0.0), None)


def test_other_kinds_of_grid_are_named(
    grib2: Encoder, made_field: type[Any], written: Writer
) -> None:
    data = bytearray(grib2(fields(made_field)))
    section = data.index(b"\x03", 37)  # number of the third section
    data[section + 8 : section + 10] = (30).to_bytes(2, "big")
    with pytest.raises(SourceError, match="message 1: is on a grid of the kind Lambert conformal"):
        read_grib_column(written("made.grib2", bytes(data)), place(43.0, 180.0), None)


def test_a_forecast_on_a_map_projection_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "projected.tif"
    with rasterio.open(
        path, "w", driver="GTiff", width=3, height=3, count=1, dtype="float32",
        crs="EPSG:3857", transform=rasterio.Affine(1000.0, 0.0, 0.0, 0.0, -1000.0, 0.0),
    ) as out:  # fmt: skip
        out.write(np.zeros((1, 3, 3), np.float32))
    with (
        rasterio.open(path) as dataset,
        pytest.raises(SourceError, match="evenly spaced latitude/longitude grid"),
    ):
        grib._grid(dataset, path)


def test_a_forecast_that_the_disk_does_not_give_is_refused(
    written: Writer, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = written("a.grib", b"GRIB")

    def broken(*_: object) -> bytes:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(Path, "open", broken)
    with pytest.raises(SourceError, match="Input/output error"):
        grib_messages(path)


def test_a_grid_larger_than_any_is_refused_before_room_is_made(
    authorities: Path, written: Writer
) -> None:
    path = authorities / "gfs_january_2011.grib2"
    grid = grib_messages(path)[0].grid
    along, across = (int.from_bytes(grid[a : a + 4], "big") for a in (30, 34))
    assert grib_messages(path)[0].n_points == along * across
    wide = grid[:30] + (60_000).to_bytes(4, "big") * 2 + grid[38:]
    huge = written("huge.grib2", path.read_bytes().replace(grid, wide))
    with pytest.raises(SourceError, match="announces a grid of 3600000000 points"):
        read_grib_column(huge, Place(lat_deg=40.0, lon_deg=-105.0, amsl_m=0.0), None)
    old = bytes(6) + (65_535).to_bytes(2, "big") * 2
    assert GribMessage(length=32, edition=1, grid=old).n_points == 65_535**2
