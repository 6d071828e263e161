"""Coverage: against whole profiles over real ground, and against what flights are told."""

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from farglide.atlas.groundline import profile
from farglide.atlas.terrain import Terrain, flat, height_amsl_m
from farglide.compute import on_threads
from farglide.earth.geodesy import geodesic
from farglide.earth.look import look
from farglide.earth.state import Place
from farglide.errors import InputError
from farglide.radio.link import Link, margin_db
from farglide.radio.path.diffraction import diffraction_loss_db
from farglide.radio.path.gas import gas_loss_db
from farglide.radio.path.parts import Profile
from farglide.sim.core.step import frame_of
from farglide.sim.core.tracks import Trails
from farglide.sim.hear.coverage import (
    FINE_STEP_DEG,
    clears_all_ground,
    coverage_db,
    points_db,
)
from farglide.sim.hear.ears import CLEAR_M, Ears, Listeners, ears_of, without_ground
from farglide.sim.hear.groundcircle import (
    FARTHEST_M,
    GroundCircle,
    GroundPoints,
    Level,
)
from farglide.sim.hear.hearing import margins_db
from farglide.sources.elevation.elevation import read_elevation

from ..conftest import CUT, EARTH_M, LINKS, WAVES

FloatArray = NDArray[np.float64]

STEP_M = 45.0  # half the spacing of the posts


def standing(terrain: Terrain, lat_deg: float, lon_deg: float, mast_m: float = 10.0) -> Place:
    ground = float(height_amsl_m(terrain, np.array(lat_deg), np.array(lon_deg)))
    return Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=ground + mast_m)


def ears_at(mast: Place, terrain: Terrain, radius_m: float) -> Ears:
    return ears_of([mast], terrain, radius_m, azimuth_step_deg=FINE_STEP_DEG)


def whole_profile_db(of: Link, terrain: Terrain, mast: Place, place: Place) -> tuple[float, float]:
    """Return the margin over one way by the laws themselves, and what the ground took."""
    seen = look(mast, place)
    low, high = sorted((mast.amsl_m, place.amsl_m))
    gases = gas_loss_db(of.frequency_hz, max(abs(seen.elevation_deg), 0.5), low, high)
    along = profile(terrain, mast, place, STEP_M)
    # ground so near to the stand is left out by the fan too: the crew looks for a free place
    lowered = np.minimum(along.ground_amsl_m, mast.amsl_m - 50.0)
    heights = np.where(along.distance_m < CLEAR_M, lowered, along.ground_amsl_m)
    ends = mast.amsl_m, max(place.amsl_m, float(heights[-1]))
    ground = diffraction_loss_db(of.frequency_hz, Profile(along.distance_m, heights), ends, EARTH_M)
    return margin_db(of, seen.range_m, gases + ground), ground


@pytest.fixture(scope="module")
def real(authorities: Path) -> Terrain:
    return read_elevation([authorities / "sierra_nevada_srtm3.tif"], CUT)


@pytest.mark.parametrize(
    ("agl_m", "median_db", "most_db"), [(100.0, 0.05, 0.6), (300.0, 0.05, 1.1), (1500.0, 0.25, 2.9)]
)
def test_over_real_mountains_it_is_what_whole_profiles_say(
    real: Terrain, agl_m: float, median_db: float, most_db: float
) -> None:
    """400 cells round two stands: over and under the profile's margin alike.

    Measured where the ground takes more than 1 dB: median 0.00, -0.01 and -0.14 dB, 95 % within
    0.4, 0.9 and 2.5 dB, at 100, 300 and 1500 m over the ground. At 1500 m only what stands next to
    the stand is in the way, and whole profiles in steps of 45, 20 and 5 m differ from each other by
    as much: 95 % by 1.5 to 3.3 dB.
    """
    rng, off, clear, swapped = np.random.default_rng(5), list[float](), list[float](), 0
    for lat_deg, lon_deg in ((36.92, -118.80), (36.89, -118.77)):
        mast = standing(real, lat_deg, lon_deg)
        circle = GroundCircle(middle=mast, radius_m=9000.0, n_rows=200, n_columns=200)
        found = coverage_db(
            Listeners(ears_at(mast, real, 9000.0), WAVES), real, circle, Level(agl_m=agl_m)
        )
        lats, lons = circle.points_deg
        for i, j in rng.integers(0, 200, (200, 2)):
            if math.isnan(found[0, i, j]):
                continue
            place = standing(real, lats[i, j], lons[i, j], agl_m)
            if geodesic(mast, place).distance_m < 2.0 * CLEAR_M:
                continue
            for k, of in enumerate(LINKS):
                expected, lost = whole_profile_db(of, real, mast, place)
                (off if lost > 1.0 else clear).append(float(found[k, i, j]) - expected)
                swapped += (expected >= 0.0) != (found[k, i, j] >= 0.0)
    assert len(off) > 100
    assert abs(np.median(off)) < median_db
    assert np.percentile(np.abs(off), 95) < most_db
    assert np.percentile(np.abs(clear), 95) < 0.05
    assert swapped <= 0.01 * (len(off) + len(clear))


def test_the_ground_takes_what_a_general_library_says(real: Terrain, authorities: Path) -> None:
    """80 ways by pycraf 2.1.0 (P.452-16): median 0.0 dB, 95 % within 0.7 dB, up to 66 dB lost."""
    table = authorities / "diffraction_sierra_nevada.csv"
    rows = np.genfromtxt(table, delimiter=",", names=True, skip_header=6)
    apart = []
    for lat_deg, lon_deg in ((36.92, -118.80), (36.89, -118.77)):
        mast = standing(real, lat_deg, lon_deg, 20.0)
        ears = ears_at(mast, real, 10_000.0)
        bare = without_ground(ears)
        for row in rows[rows["stand_lat_deg"] == lat_deg]:
            here = GroundPoints(np.array([[row["lat_deg"]]]), np.array([[row["lon_deg"]]]))
            k = [of.frequency_hz for of in LINKS].index(row["frequency_mhz"] * 1e6)
            level = Level(agl_m=float(row["agl_m"]))
            full, none = (
                points_db(Listeners(one, WAVES), real, here, level)[k, 0, 0] for one in (ears, bare)
            )
            apart.append(float(none - full - row["loss_db"]))
    assert len(apart) == 80
    assert (rows["loss_db"] > 1.0).sum() == 46
    assert abs(np.median(apart)) < 0.05
    assert np.percentile(np.abs(apart), 95) < 0.8


def test_high_up_it_is_what_a_flight_is_told(real: Terrain) -> None:
    mast = standing(real, 36.92, -118.80)
    heard = Listeners(ears_at(mast, real, 9000.0), WAVES)
    circle = GroundCircle(middle=mast, radius_m=8000.0, n_rows=9, n_columns=7)
    found = coverage_db(heard, real, circle, Level(amsl_m=26_000.0))
    lats, lons = circle.points_deg
    away = Trails(
        np.full((1, lats.size), 26_000.0),
        *(
            np.radians(points.ravel() - middle)[None, :]
            for points, middle in ((lats, mast.lat_deg), (lons, mast.lon_deg))
        ),
    )
    flights = margins_db(heard, frame_of(mast.lat_deg, mast.lon_deg), away)
    told = flights[0, 0].reshape(2, 9, 7)
    known = ~np.isnan(found)
    assert known[0].sum() > 30
    assert found[known] == pytest.approx(told[known], abs=1e-4)
    for k, of in enumerate(LINKS):
        place = Place(lat_deg=lats[2, 5], lon_deg=lons[2, 5], amsl_m=26_000.0)
        seen = look(mast, place)
        gases = gas_loss_db(of.frequency_hz, seen.elevation_deg, mast.amsl_m, 26_000.0)
        assert found[k, 2, 5] == pytest.approx(margin_db(of, seen.range_m, gases), abs=0.01)


def test_no_answer_under_the_ground_over_holes_and_outside(real: Terrain) -> None:
    mast = standing(real, 36.92, -118.80, 1500.0)
    heights = real.heights_amsl_m.copy()
    heights[20:40, 30:60] = np.nan
    holed = Terrain(
        heights_amsl_m=heights, north_deg=real.north_deg, west_deg=real.west_deg,
        step_lat_deg=real.step_lat_deg, step_lon_deg=real.step_lon_deg, datum="x", origin="holed",
    )  # fmt: skip
    circle = GroundCircle(middle=mast, radius_m=15_000.0, n_rows=150, n_columns=140)
    lats, lons = circle.points_deg
    ground = height_amsl_m(holed, lats, lons)
    far = np.array(
        [
            geodesic(mast, Place(lat_deg=lat, lon_deg=lon, amsl_m=0.0)).distance_m > 15_000.0
            for lat, lon in zip(lats.flat, lons.flat, strict=True)
        ]
    ).reshape(lats.shape)
    assert np.array_equal(circle.inside, ~far)
    for level, under in (
        (Level(amsl_m=2500.0), ground > 2500.0),
        (Level(agl_m=0.0), np.zeros_like(far)),
    ):
        found = coverage_db(Listeners(ears_at(mast, holed, 15_000.0), WAVES), holed, circle, level)
        nothing = np.isnan(ground) | under | far
        assert np.isnan(ground[~far]).any()
        assert found.shape == (2, 150, 140)
        assert np.array_equal(np.isnan(found[0]), nothing)
        assert np.array_equal(np.isnan(found[0]), np.isnan(found[1]))


def test_unknown_ground_matters_below_the_highest_only(real: Terrain) -> None:
    """Ground is known to 8.6 km: there the way to the rim must be above 9 km."""
    mast = standing(real, 36.92, -118.80)
    ears = ears_at(mast, real, 20_000.0)
    known_m = ears.step_m * int(np.argmax(np.isnan(ears.ground_amsl_m[0, :, 10:]).any(axis=0)) + 10)
    assert 7000.0 < known_m < 9500.0
    just_m = mast.amsl_m + (9000.0 - mast.amsl_m) * 20_000.0 / known_m
    for amsl_m, radius_m, expected in (
        (just_m + 200.0, 20_000.0, True),
        (just_m - 200.0, 20_000.0, False),
        (just_m + 200.0, 21_000.0, False),
        (9500.0, 5000.0, True),
        (8900.0, 5000.0, False),
    ):
        assert clears_all_ground(ears, Level(amsl_m=amsl_m), radius_m) is expected, amsl_m
    assert not clears_all_ground(ears, Level(agl_m=30_000.0), 5000.0)
    everywhere = ears_of([mast], flat(100.0), 20_000.0)
    assert clears_all_ground(everywhere, Level(amsl_m=9100.0), 20_000.0)


def test_one_thread_or_more_and_any_shape_give_the_same_bits(real: Terrain) -> None:
    mast = standing(real, 36.92, -118.80)
    heard = Listeners(ears_at(mast, real, 9000.0), WAVES)
    level = Level(agl_m=300.0)
    circle = GroundCircle(middle=mast, radius_m=9000.0, n_rows=31, n_columns=17)
    one, three = (coverage_db(heard, real, circle, level, on_threads(n)) for n in (1, 3))
    assert np.array_equal(one, three, equal_nan=True)
    part = GroundPoints(*(points[4:5, 3:9] for points in circle.points_deg))
    again = points_db(heard, real, part, level)
    inside = ~np.isnan(one[:, 4:5, 3:9])
    assert np.array_equal(again[inside], one[:, 4:5, 3:9][inside])


@pytest.mark.parametrize("lat_deg", [0.0, -46.5, 70.0])
def test_cells_fill_the_circle_and_know_no_180th_meridian(lat_deg: float) -> None:
    ground, level, found = flat(100.0), Level(agl_m=2000.0), []
    for lon_deg in (10.0, 179.9):
        mast = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=110.0)
        circle = GroundCircle(middle=mast, radius_m=30_000.0, n_rows=101, n_columns=101)
        heard = Listeners(ears_of([mast], ground, 30_000.0), WAVES)
        found.append(coverage_db(heard, ground, circle, level))
    assert np.array_equal(np.isnan(found[0]), np.isnan(found[1]))
    assert found[0] == pytest.approx(found[1], abs=1e-4, nan_ok=True)
    inside = ~np.isnan(found[0][0])
    # a circle in its square; its rim touches the middle of all four sides
    assert inside.mean() == pytest.approx(math.pi / 4.0, abs=0.01)
    for side in (inside[0], inside[-1], inside[:, 0], inside[:, -1]):
        assert side.any()
    # nearly even all round, and nowhere stronger than next to the stand
    rim = found[0][0][[0, 50, 50, 100], [50, 0, 100, 50]]
    assert np.ptp(rim) < 0.3
    assert np.nanmax(found[0][0]) == pytest.approx(found[0][0][50, 50], abs=0.05)


@given(
    st.floats(-85.0, 85.0), st.floats(-180.0, 180.0), st.floats(-500.0, 42_000.0),
    st.floats(1000.0, FARTHEST_M), st.integers(1, 9),
)  # fmt: skip
@settings(max_examples=40, deadline=None)
def test_whatever_is_allowed_has_an_answer(
    lat_deg: float, lon_deg: float, amsl_m: float, radius_m: float, n: int
) -> None:
    mast = Place(lat_deg=lat_deg, lon_deg=lon_deg, amsl_m=5.0)
    if abs(lat_deg) + math.degrees(radius_m / 6.33e6) > 85.0:  # the least radius of the meridian
        return
    circle = GroundCircle(middle=mast, radius_m=radius_m, n_rows=n, n_columns=10 - n)
    ears = ears_of([mast], flat(0.0), radius_m, azimuth_step_deg=10.0)
    found = coverage_db(Listeners(ears, WAVES), flat(0.0), circle, Level(amsl_m=amsl_m))
    assert found.shape == (2, n, 10 - n)
    assert np.isnan(found).all() == (amsl_m < 0.0) or n in (1, 9)
    assert (np.isnan(found) | (np.abs(found) < 400.0)).all()


def test_what_it_refuses() -> None:
    here = Place(lat_deg=46.0, lon_deg=10.0, amsl_m=10.0)
    heard = Listeners(ears_of([here], flat(0.0), 1000.0), WAVES)
    for points, words in (
        ((np.zeros(3), np.zeros(3)), "in rows and columns"),
        ((np.zeros((2, 3)), np.zeros((3, 2))), "as many of both"),
        ((np.full((1, 1), 86.0), np.zeros((1, 1))), "points_deg is beyond"),
        ((np.zeros((1, 1)), np.full((1, 1), np.nan)), "points_deg is beyond"),
    ):
        with pytest.raises(InputError, match=words):
            points_db(heard, flat(0.0), GroundPoints(*points), Level(agl_m=10.0))
    with pytest.raises(InputError, match="azimuth_step_deg is 0°"):
        ears_of([here], flat(0.0), 1000.0, azimuth_step_deg=0.0)
