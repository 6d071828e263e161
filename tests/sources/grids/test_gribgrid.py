"""Grids from made-up GRIB files: axes, members, maps, model levels, and what is refused."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.sources.grids.encode import (
    KINDS,
    NUMBERS,
    Even,
    Lambert,
    Made,
    air,
    grib2,
    message,
    message_1,
    slope,
)

from farglide.earth.box import Box
from farglide.errors import SourceError
from farglide.sources.grids import stack
from farglide.sources.grids.gribgrid import read_grib_grid
from farglide.sources.grids.wanted import Wanted

Writer = Callable[[str, str | bytes], Path]
RUN_S = 1_577_836_800.0  # 2020-01-01 00:00 UTC
HOUR = 3600.0
FIELDS = ("gph_m", "t_k", "u_mps", "v_mps")


def edition_1(fields: Sequence[Made]) -> bytes:
    names = {kind: name for name, kind in KINDS.items()}
    return b"".join(message_1(NUMBERS[names[one.kind]], one) for one in fields)


@pytest.mark.parametrize("encoded", [grib2, edition_1])
@pytest.mark.parametrize("scanning", [0x00, 0x40])
def test_axes_rise_and_values_stand_at_their_places(
    encoded: Callable[[Sequence[Made]], bytes], scanning: int, written: Writer
) -> None:
    lats = (40.0, 50.0) if scanning else (50.0, 40.0)
    fields = air(Even(lats_deg=lats, scanning=scanning))
    grid = read_grib_grid([written("a.grib", encoded(fields[::-1]))], Wanted())
    assert grid.lat_deg.tolist() == [40.0, 45.0, 50.0]
    assert grid.lon_deg.tolist() == [10.0, 15.0, 20.0, 25.0, 30.0]
    assert grid.p_pa.tolist() == [50_000.0, 10_000.0, 1000.0]
    assert grid.times_s.tolist() == [RUN_S + 6 * HOUR]
    assert grid.run_t_s == RUN_S
    assert grid.origin == "forecast run 2020-01-01 00:00 UTC of NCEP"
    for k, name in enumerate(FIELDS):
        values = np.stack([fields[4 * level + k].values for level in range(3)])
        expected = values if scanning else values[:, ::-1]
        np.testing.assert_allclose(getattr(grid, name)[0, 0], expected, atol=0.006)
    assert grid.relative_humidity_ratio is None


def test_times_and_members_of_several_files(written: Writer) -> None:
    paths = []
    for number, hours in ((0, 6), (1, 6), (0, 12), (1, 12)):
        fields = air(member=(3 if number else 1, number), hours=hours)
        fields = [replace(one, values=one.values + number + hours / 100) for one in fields]
        paths.append(written(f"{number}-{hours}.grib", grib2(fields)))
    grid = read_grib_grid(paths, Wanted())
    assert grid.members == ("gec00", "gep01")
    assert grid.times_s.tolist() == [RUN_S + 6 * HOUR, RUN_S + 12 * HOUR]
    base = air()[1].values[::-1]
    for m, t, hours in ((0, 0, 6), (1, 0, 6), (0, 1, 12), (1, 1, 12)):
        expected = base + m + hours / 100
        np.testing.assert_allclose(grid.t_k[m, t, 0], expected, atol=1e-3)


def test_an_area_across_the_180th_meridian(written: Writer) -> None:
    fields = air(Even(lons_deg=(0.0, 355.0), shape=(3, 72)))
    box = Box(south_deg=41.0, west_deg=172.0, north_deg=44.0, east_deg=-171.0)
    grid = read_grib_grid([written("a.grib", grib2(fields))], Wanted(box=box))
    assert grid.lat_deg.tolist() == [40.0, 45.0]
    assert grid.lon_deg.tolist() == [170.0, 175.0, 180.0, 185.0, 190.0]
    expected = fields[1].values[::-1][:2, 34:39]
    np.testing.assert_allclose(grid.t_k[0, 0, 0], expected, atol=1e-3)


def test_two_headers_of_one_grid_are_one(written: Writer) -> None:
    some = air(Even(lons_deg=(180.0, 200.0)))
    other = air(Even(lons_deg=(180.0, 200.0), negative=True), hours=12)
    paths = [written("a.grib", grib2(some)), written("b.grib", grib2(other))]
    assert read_grib_grid(paths, Wanted()).shape == (1, 2, 3, 3, 5)


def test_two_grids_are_refused(written: Writer) -> None:
    other = air(Even(lons_deg=(20.0, 40.0)), hours=12)
    path = written("a.grib", grib2(air() + other))
    with pytest.raises(SourceError, match="message 13: is on another grid than message 1 of"):
        read_grib_grid([path], Wanted())


def test_fields_on_other_grids_that_are_not_used_do_no_harm(written: Writer) -> None:
    other = Made(kind=(19, 4), values=slope((9, 9), 1.0), grid=Even(shape=(9, 9)))
    fields = [other, *air()]
    grid = read_grib_grid([written("a.grib", grib2(fields))], Wanted())
    assert grid.shape == (1, 1, 3, 3, 5)


def test_humidity_of_either_kind(written: Writer) -> None:
    rh = Made(kind=KINDS["rh"], values=np.full((3, 5), 40.0))
    grid = read_grib_grid([written("a.grib", grib2([*air(), rh]))], Wanted())
    assert grid.relative_humidity_ratio is not None
    np.testing.assert_allclose(grid.relative_humidity_ratio[0, 0, 0], 0.4, atol=1e-5)
    assert np.isnan(grid.relative_humidity_ratio[0, 0, 1:]).all()
    assert "2 levels without humidity" in grid.notes
    q = Made(kind=KINDS["q"], values=np.full((3, 5), 0.001))
    moist = read_grib_grid([written("b.grib", grib2([*air(), q]))], Wanted())
    assert moist.relative_humidity_ratio is not None
    # 1 g/kg at 500 hPa is 80.3 Pa of vapour; saturated at 252 K over water it is 113 Pa.
    assert moist.relative_humidity_ratio[0, 0, 0, -1, 0] == pytest.approx(0.70, abs=0.02)


def test_two_fields_that_agree_are_one_and_two_that_do_not_are_refused(written: Writer) -> None:
    again = Made(kind=(3, 4), values=9.80665 * (slope((3, 5), 5574.0) + 2.0))
    grid = read_grib_grid([written("a.grib", grib2([*air(), again]))], Wanted())
    assert grid.gph_m[0, 0, 0, -1, 0] == pytest.approx(5574.0)
    wrong = replace(again, values=again.values + 98.0)
    path = written("b.grib", grib2([*air(), wrong]))
    told = r"field 13: gives gph_m at level 50000 2020-01-01 06:00 UTC again, up to 1\d\.\d+ off"
    with pytest.raises(SourceError, match=told):
        read_grib_grid([path], Wanted())


def test_single_values_that_are_missing_stay_so(written: Writer) -> None:
    mask = np.ones((3, 5), bool)
    mask[0, 4] = False
    fields = air()
    fields[2] = replace(fields[2], mask=mask)
    grid = read_grib_grid([written("a.grib", grib2(fields))], Wanted())
    assert np.isnan(grid.u_mps).sum() == 1
    assert np.isnan(grid.u_mps[0, 0, 0, 2, 4])


def test_an_area_that_is_not_covered_is_refused(written: Writer) -> None:
    box = Box(south_deg=41.0, west_deg=12.0, north_deg=44.0, east_deg=31.0)
    with pytest.raises(SourceError, match="does not cover the area in the east"):
        read_grib_grid([written("a.grib", grib2(air()))], Wanted(box=box))


def test_values_that_air_cannot_have_are_refused(written: Writer) -> None:
    fields = [
        replace(one, values=one.values - 273.15) if one.kind == (0, 0) else one for one in air()
    ]
    with pytest.raises(SourceError, match=r"values of t_k outside 120 to 350 K.*Check its units"):
        read_grib_grid([written("a.grib", grib2(fields))], Wanted())


def test_a_single_wild_value_is_told_as_unknown(written: Writer) -> None:
    grid = Even(shape=(11, 21), lats_deg=(50.0, 40.0))
    fields = air(grid)
    fields[2].values[3, 3] = 900.0
    found = read_grib_grid([written("a.grib", grib2(fields))], Wanted())
    assert np.isnan(found.u_mps).sum() == 1
    assert "1 value of u_mps outside -250 to 250 m/s told as unknown" in found.notes


def test_more_than_the_memory_should_hold_is_refused(
    written: Writer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stack, "MOST_VALUES", 100)
    with pytest.raises(SourceError, match="holds 180 values of what is asked for; allowed: 100"):
        read_grib_grid([written("a.grib", grib2(air()))], Wanted())


def test_a_file_without_pressure_levels_is_refused(written: Writer) -> None:
    path = written("a.grib", grib2(air(level_type=103)))
    with pytest.raises(SourceError, match="has no pressure level with height, temperature and"):
        read_grib_grid([path], Wanted())


def test_a_lambert_map_gives_winds_to_true_north(written: Writer) -> None:
    fields = air(Lambert())
    grid = read_grib_grid([written("a.grib", grib2(fields))], Wanted())
    speed = np.hypot(grid.u_mps, grid.v_mps)[0, 0, 0]
    assert any("Lambert conformal map brought to steps of 0.5" in note for note in grid.notes)
    i, j = np.argwhere(np.isfinite(speed))[0]
    # Of winds 15 m/s along the rows and 5 down the columns, the sum is left whole.
    plain = read_grib_grid([written("b.grib", grib2(air(Lambert(along_grid=False))))], Wanted())
    np.testing.assert_allclose(
        speed[i, j], np.hypot(plain.u_mps, plain.v_mps)[0, 0, 0, i, j], rtol=1e-5
    )
    angle = np.sin(np.radians(25.0)) * np.radians(grid.lon_deg[j] + 95.0)
    u, v = plain.u_mps[0, 0, 0, i, j], plain.v_mps[0, 0, 0, i, j]
    assert grid.u_mps[0, 0, 0, i, j] == pytest.approx(
        u * np.cos(angle) + v * np.sin(angle), abs=1e-3
    )
    assert not any("turned" in note for note in plain.notes)


PV_HALF = np.array([0.0, 1000.0, 10_000.0, 40_000.0, 80_000.0, 100_000.0])
PV_B = np.array([0.0, 0.0, 0.0, 0.2, 0.7, 1.0])
PV = (*(PV_HALF - 1e5 * PV_B).tolist(), *PV_B.tolist())


def model(levels: Sequence[int] = (1, 2, 3, 4, 5), **changed: Any) -> list[Made]:
    """Return air of 250 K on model levels, over a ground at 900 hPa and 1000 m."""
    fields = []
    for level in levels:
        for name, base in (("t_k", 250.0), ("u_mps", 10.0 * level), ("v_mps", -5.0)):
            values = np.full((3, 5), base)
            fields.append(
                Made(kind=KINDS[name], values=values, p_pa=level, level_type=105, pv=PV, **changed)
            )
    ground = {"p_pa": 1, "level_type": 105, "pv": PV}
    log_p = Made(kind=(3, 25), values=np.full((3, 5), np.log(90_000.0)), **ground)  # type: ignore[arg-type]
    z = Made(kind=(3, 4), values=np.full((3, 5), 9806.65), **ground)  # type: ignore[arg-type]
    return [*fields, log_p, z]


def by_steps(half_pa: np.ndarray) -> list[float]:  # type: ignore[type-arg]
    """Return the heights of full levels at 250 K over 1000 m, layer by layer from the lowest."""
    heights, height = [], 1000.0
    scale = 287.05287 / 9.80665 * 250.0
    for below, above in pairwise(half_pa):
        if above == 0.0:
            heights.append(height + scale * np.log(2.0))
            break
        ratio = np.log(below / above)
        heights.append(height + scale * (1.0 - above / (below - above) * ratio))
        height += scale * ratio
    return heights


def test_model_levels_become_pressures_with_heights(written: Writer) -> None:
    grid = read_grib_grid([written("a.grib", grib2(model()))], Wanted())
    full = PV_HALF - 1e5 * PV_B + 101_325.0 * PV_B
    full = 0.5 * (full[1:] + full[:-1])[::-1]
    np.testing.assert_allclose(grid.p_pa, full)
    over = np.exp(round(np.log(90_000.0), 3)) * PV_B + PV_HALF - 1e5 * PV_B
    told_pa = 0.5 * (over[1:] + over[:-1])[::-1]
    # Packed to a thousandth, the logarithm is that of 900.4 hPa.
    assert np.isnan(grid.gph_m[0, 0, 0]).all()  # 907 hPa, under a lowest level at 816
    heights = by_steps(over[::-1])
    x, told_x = -np.log(grid.p_pa[1:]), -np.log(told_pa)
    gph_m = np.interp(x, told_x, heights)
    np.testing.assert_allclose(grid.gph_m[0, 0, 1:, 0, 0], gph_m, rtol=1e-5)
    u = np.interp(x, told_x, [50.0, 40.0, 30.0, 20.0, 10.0])
    np.testing.assert_allclose(grid.u_mps[0, 0, 1:, 0, 0], u, rtol=1e-5)
    assert (
        "5 model levels brought to pressures; heights summed from the model's ground" in grid.notes
    )
    assert "1 level below the model's ground at some points: unknown there" in grid.notes


def test_model_levels_up_to_the_least_pressure(written: Writer) -> None:
    grid = read_grib_grid([written("a.grib", grib2(model()))], Wanted(least_p_pa=10_000.0))
    assert len(grid.p_pa) == 3


def test_model_levels_of_edition_1(written: Writer) -> None:
    numbers = {KINDS[name]: number for name, number in NUMBERS.items()}
    numbers |= {(3, 25): 152, (3, 4): 129}
    european = {11: 130, 33: 131, 34: 132, 152: 152, 129: 129}
    data = b"".join(
        message_1(european[numbers[one.kind]], replace(one, centre=98, level_type=109), version=128)
        for one in model()
    )
    grid = read_grib_grid([written("a.grib", data)], Wanted())
    new = read_grib_grid([written("b.grib", grib2(model()))], Wanted())
    np.testing.assert_allclose(grid.p_pa, new.p_pa, rtol=1e-6)
    np.testing.assert_allclose(grid.gph_m, new.gph_m, atol=50.0)  # lnsp to 0.01 alone
    assert grid.origin.endswith("of ECMWF")


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        (model((1, 2, 4, 5)), "levels 1 to 5 of 5, not all from 5 up"),
        ([one for one in model() if one.kind != (3, 25)], "tells no pressure of the ground"),
        ([one for one in model() if one.kind != (3, 4)], "tells no height of the ground"),
        (
            [
                replace(one, values=one.values - 4.0) if one.kind == (3, 25) else one
                for one in model()
            ],
            "pressures of the ground from 1649",
        ),
        (
            [
                replace(one, values=one.values + 900.0) if one.kind == (3, 25) else one
                for one in model()
            ],
            "pressures of the ground from 4.85165e.08 to",
        ),
        (
            [
                replace(one, values=one.values * 10.0) if one.kind == (3, 4) else one
                for one in model()
            ],
            "heights of the ground from 10000 to 10000 m",
        ),
    ],
)
def test_model_levels_without_what_they_need(
    fields: list[Made], reason: str, written: Writer
) -> None:
    with pytest.raises(SourceError, match=reason):
        read_grib_grid([written("a.grib", grib2(fields))], Wanted())


def test_winds_in_one_message(written: Writer) -> None:
    fields = air()
    data = b"".join(
        grib2(fields[4 * k : 4 * k + 2]) + message(fields[4 * k + 2 : 4 * k + 4]) for k in range(3)
    )
    grid = read_grib_grid([written("a.grib", data)], Wanted())
    one_by_one = read_grib_grid([written("b.grib", grib2(fields))], Wanted())
    for name in FIELDS:
        np.testing.assert_array_equal(getattr(grid, name), getattr(one_by_one, name))


def test_pressures_in_pascals_of_edition_1(written: Writer) -> None:
    fields = [replace(one, level_type=210) for one in air()]
    grid = read_grib_grid([written("a.grib", edition_1(fields))], Wanted())
    assert grid.p_pa.tolist() == [50_000.0, 10_000.0, 1000.0]
