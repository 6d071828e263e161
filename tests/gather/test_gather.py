"""Gathering: winds too old or too far are refused unless accepted, and then doubted more."""

import math
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
import rasterio
from rasterio.windows import Window

from farglide.atlas.terrain import Terrain
from farglide.chances.making import air_of
from farglide.errors import SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather, gather_terrain
from farglide.sortie.grain import Grain
from farglide.sortie.sources import TerrainSource, WindSource
from farglide.sortie.spec import Sortie

Winds = Callable[..., Path]


@pytest.fixture
def sortie(demo_flight: FlightFile) -> Sortie:
    return demo_flight.sortie


@pytest.fixture
def winds(tmp_path: Path, sortie: Sortie) -> Winds:
    """Return a function that writes winds of some age and some kilometres north of the launch."""

    def write(age_h: float | None = 0.0, north_km: float | None = 0.0) -> Path:
        lines = ["amsl_m,p_hpa,t_k,wind_from_deg,wind_mps"]
        lines += [f"{1000 * k},{1013.0 * math.exp(-k / 7.0)},250,270,10" for k in range(30)]
        if age_h is not None:
            at = datetime.fromtimestamp(sortie.launch.t_s, UTC) - timedelta(hours=age_h)
            lines.insert(0, f"# time: {at:%Y-%m-%dT%H:%M:%SZ}")
        if north_km is not None:
            lat = sortie.launch.lat_deg + north_km / 111.15  # at 46 deg, WGS84
            lines.insert(0, f"# lon_deg: {sortie.launch.lon_deg}")
            lines.insert(0, f"# lat_deg: {lat}")
        path = tmp_path / "winds.csv"
        path.write_text("\n".join(lines) + "\n")
        return path

    return write


def accepting(sortie: Sortie, age_h: float = 3.0, distance_km: float = 100.0) -> Sortie:
    source = WindSource(path="", accept_age_h=age_h, accept_distance_km=distance_km)
    return replace(sortie, wind=source)


def test_fresh_near_winds_are_taken_as_they_are(sortie: Sortie, winds: Winds) -> None:
    for age_h, north_km in ((0.0, 0.0), (2.9, 95.0), (-2.9, -95.0)):
        pack = gather(sortie, winds(age_h, north_km), "text")
        assert pack.flight_text == "text"
        assert pack.sounding.notes == ()


@pytest.mark.parametrize("age_h", [3.2, 26.6, -5.5])
def test_old_and_future_winds_are_refused_unless_accepted(
    sortie: Sortie, winds: Winds, age_h: float
) -> None:
    with pytest.raises(SourceError) as caught:
        gather(sortie, winds(age_h))
    assert (
        f"is {abs(age_h):.1f} h from the launch; 3 h is accepted. Take a nearer wind, or accept it "
        f"with accept_age_h = {math.ceil(abs(age_h))} in [wind]." in str(caught.value)
    )
    # What the message says helps.
    pack = gather(accepting(sortie, age_h=math.ceil(abs(age_h))), winds(age_h))
    assert pack.sounding.t_s == sortie.launch.t_s - 3600.0 * age_h


def test_far_winds_are_refused_unless_accepted(sortie: Sortie, winds: Winds) -> None:
    with pytest.raises(SourceError) as caught:
        gather(sortie, winds(0.0, 250.0))
    assert "is 250 km from the launch; 100 km is accepted." in str(caught.value)
    assert "accept_distance_km = 25" in str(caught.value)
    pack = gather(accepting(sortie, distance_km=260.0), winds(0.0, 250.0))
    assert pack.sounding.lat_deg > sortie.launch.lat_deg + 2.0


def test_a_narrower_acceptance_counts(sortie: Sortie, winds: Winds) -> None:
    with pytest.raises(SourceError, match="1 h is accepted"):
        gather(accepting(sortie, age_h=1.0), winds(2.5))
    assert gather(accepting(sortie, age_h=3.0), winds(2.5)).sounding.notes == ()


def test_without_a_wind_section_the_free_limits_hold(sortie: Sortie, winds: Winds) -> None:
    bare = replace(sortie, wind=None)
    assert gather(bare, winds(1.0)).sounding.notes == ()
    with pytest.raises(SourceError, match="3 h is accepted"):
        gather(bare, winds(4.0))


def test_winds_without_time_or_place_are_taken_and_it_is_said(sortie: Sortie, winds: Winds) -> None:
    pack = gather(sortie, winds(None, None))
    said = " ".join(pack.sounding.notes)
    assert "do not say when they were taken" in said
    assert "do not say where they were taken" in said


@pytest.mark.parametrize(("age_h", "north_km"), [(12.0, 0.0), (0.0, 400.0), (27.0, 400.0)])
def test_age_and_distance_widen_the_winds_of_the_draws(
    sortie: Sortie, winds: Winds, age_h: float, north_km: float
) -> None:
    willing, grain = accepting(sortie, age_h=30.0, distance_km=500.0), Grain(n_draws=50)
    near, far = (
        air_of(willing, gather(willing, winds(*one)).sounding, grain).column.doubt_by_layer
        for one in ((0.0, 0.0), (age_h, north_km))
    )
    assert (far.deep_mps[:250] > 2.0 * near.deep_mps[:250]).all()


def punched(sortie: Sortie, path: Path, window: Window) -> Sortie:
    """Return a flight over its own ground with a hole, `window`: columns and rows of its file."""
    assert sortie.terrain is not None
    with rasterio.open(sortie.terrain.paths[0]) as source:
        heights, profile = source.read(1), source.profile
    profile.update(nodata=-9999)
    heights[window.toslices()] = -9999
    with rasterio.open(path, "w", **profile) as out:
        out.write(heights, 1)
    return replace(sortie, terrain=TerrainSource(paths=(str(path),)))


def ground(sortie: Sortie) -> Terrain:
    terrain = gather_terrain(sortie)
    assert terrain is not None
    return terrain


def on_the_ridge(sortie: Sortie, n_columns: int, n_rows: int) -> Window:
    """Return a window with the highest ground of a flight in its middle."""
    assert sortie.terrain is not None
    terrain = ground(sortie)
    heights = terrain.heights_amsl_m
    down, right = np.unravel_index(np.argmax(heights), heights.shape)
    lon_deg = terrain.west_deg + int(right) * terrain.step_lon_deg
    lat_deg = terrain.north_deg - int(down) * terrain.step_lat_deg
    with rasterio.open(sortie.terrain.paths[0]) as source:
        row, column = source.index(lon_deg, lat_deg)
    return Window(column - n_columns // 2, row - n_rows // 2, n_columns, n_rows)


def test_a_ground_without_holes_is_as_its_files_have_it(demo_flight: FlightFile) -> None:
    assert "filled" not in ground(demo_flight.sortie).origin


@pytest.mark.parametrize("size", [(6, 6), (1, 40), (5, 12)])
def test_narrow_holes_are_closed_near_the_truth(
    demo_flight: FlightFile, tmp_path: Path, size: tuple[int, int]
) -> None:
    sortie = demo_flight.sortie
    whole = ground(sortie).heights_amsl_m
    holed = ground(punched(sortie, tmp_path / "holed.tif", on_the_ridge(sortie, *size)))
    found = holed.heights_amsl_m
    changed = found != whole
    assert np.isfinite(found).all()
    assert holed.origin.endswith(
        f"; {size[0] * size[1]} missing posts filled from their neighbours"
    )
    assert 0 < changed.sum() <= size[0] * size[1]
    assert float(np.median(np.abs(found - whole)[changed])) < 20.0  # of the 250 m it stands up


def test_a_wide_hole_stays_open_in_its_middle(demo_flight: FlightFile, tmp_path: Path) -> None:
    window = on_the_ridge(demo_flight.sortie, 20, 20)
    terrain = ground(punched(demo_flight.sortie, tmp_path / "holed.tif", window))
    assert np.isnan(terrain.heights_amsl_m).sum() == 14 * 14
