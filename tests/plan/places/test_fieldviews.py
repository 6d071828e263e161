"""Field outlooks: when each field is open, and why not."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from farglide.chances.case import Case
from farglide.chances.chances import Chances
from farglide.chances.decision import decide
from farglide.chances.ensemble import Ensemble
from farglide.chances.heights import STEP_M
from farglide.chances.spells import state_of
from farglide.outlook.fields import FieldOutlook
from farglide.plan.places.fieldviews import (
    CONTOUR_KM,
    bands,
    contour,
    contours,
    field_outlooks,
    spells_of,
)
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.reach.reach import Descent
from farglide.sim.reach.straight import made_good

HOME, TANSY, BRACKMOOR, CORRAND = range(4)


@pytest.fixture(scope="module")
def outlooks(case: Case, chances: Chances) -> tuple[FieldOutlook, ...]:
    return field_outlooks(case, chances, case.drawn)


def test_fields_lie_where_the_scenario_has_them(outlooks: tuple[FieldOutlook, ...]) -> None:
    places = [(one.east_m / 1e3, one.north_m / 1e3) for one in outlooks]
    wanted = [(0.0, 0.0), (18.8, -11.8), (30.1, -27.9), (47.6, -33.5)]
    for found, there in zip(places, wanted, strict=True):
        assert found == pytest.approx(there, abs=0.3)  # on a sphere there, on an ellipsoid here


def test_bands_follow_one_another_and_keep_one_state(
    outlooks: tuple[FieldOutlook, ...], case: Case, chances: Chances
) -> None:
    for i, one in enumerate(outlooks):
        told = [(band.state, band.from_after_launch_s) for band in one.bands]
        bare = bands(case.drawn, chances, i, {})
        assert told == [(band.state, band.from_after_launch_s) for band in bare]
        assert one.bands[0].from_after_launch_s == 0.0
        for band, following in pairwise(one.bands):
            assert band.to_after_launch_s == following.from_after_launch_s
            assert band.state != following.state
        for band in one.bands:
            within = (chances.after_launch_s >= band.from_after_launch_s) & (
                chances.after_launch_s < band.to_after_launch_s
            )
            states = [state_of(p, case.sortie.wish) for p in chances.open_ratio[within, i]]
            # what is shorter than a minute is told as what is around it
            assert states.count(band.state) >= len(states) - 1
            assert band.to_after_launch_s - band.from_after_launch_s >= 60.0
            assert (band.reason == "") == (band.state == "open")


def test_a_state_of_less_than_a_minute_is_that_of_its_neighbours(
    case: Case, chances: Chances
) -> None:
    n = len(chances.after_launch_s)
    k = n // 2

    def told(*shares: float) -> list[tuple[str, int, int]]:
        """Return the spells of a field open but for some moments from the middle on."""
        opened = np.ones((n, 1))
        opened[k : k + len(shares), 0] = shares
        few = replace(chances, open_ratio=opened, after_launch_s=30.0 * np.arange(n))
        return [tuple(one) for one in spells_of(case.drawn, few, 0)]

    end = int(chances.is_told.sum())
    assert told(0.7) == [("open", 0, end)]
    assert told(0.7, 0.7) == [("open", 0, k), ("doubtful", k, k + 2), ("open", k + 2, end)]
    # between two states the more careful one
    assert told(0.7, 0.2, 0.2) == [("open", 0, k), ("shut", k, k + 3), ("open", k + 3, end)]


def test_home_is_shut_by_the_head_wind_of_the_jet(outlooks: tuple[FieldOutlook, ...]) -> None:
    """36 m/s from 303 degrees at 10 km, and home to the north-west of the drift."""
    shut = [band for band in outlooks[0].bands if band.state == "shut"]
    longest = max(shut, key=lambda band: band.to_after_launch_s - band.from_after_launch_s)
    assert longest.from_after_launch_s / 60.0 == pytest.approx(28.5, abs=4.0)
    assert longest.to_after_launch_s / 60.0 == pytest.approx(62.5, abs=4.0)
    assert "head wind 3" in longest.reason
    assert "at 10 km" in longest.reason


def test_steps_come_every_quarter_of_a_kilometre_and_spares_every_sixth(
    outlooks: tuple[FieldOutlook, ...],
) -> None:
    steps = outlooks[0].steps
    assert {b.amsl_m - a.amsl_m for a, b in pairwise(steps[1:])} == {STEP_M}
    for j, step in enumerate(steps):
        assert step.chance_ratio <= step.open_ratio + 1e-9
        assert step.open_ratio <= step.timely_ratio + 1e-9 <= step.reach_ratio + 2e-9
        if j % 6:
            assert math.isnan(step.spare_m)
    assert any(step.spare_m > 10e3 for step in steps)


@pytest.mark.parametrize("amsl_m", [6_000.0, 12_000.0, 20_000.0, 26_000.0])
@pytest.mark.parametrize("field", [HOME, CORRAND])
def test_from_the_line_of_a_contour_the_field_is_only_just_in_reach(
    plain: Ensemble, field: int, amsl_m: float
) -> None:
    line = contour(plain, field, amsl_m)
    if line is None:  # no place at all from where it could be held
        assert amsl_m < 10_000.0
        return
    assert line.field == plain.sortie.fields[field].name
    assert line.amsl_m == amsl_m
    frame = plain.air.scene.frame
    goal = field_offset(plain.goals, field)
    centre_east = np.mean([east for east, _ in line.points])
    centre_north = np.mean([north for _, north in line.points])
    margins = []
    for share in (0.95, 1.0, 1.05):
        for east_m, north_m in line.points[::6]:
            east_m = centre_east + share * (east_m - centre_east)
            north_m = centre_north + share * (north_m - centre_north)
            north_rad = north_m / frame.meridian_m
            parallel_m = (frame.normal_m + frame.normal_slope_m * north_rad) * np.cos(
                frame.lat_rad + 0.5 * north_rad
            )
            at = Point(0.0, amsl_m, north_rad, east_m / parallel_m)
            at = begin_glide(plain.air.scene, plain.released, 0, at)
            away = apart_m(frame, Offset(at.north_rad, at.east_rad), goal)
            descent = Descent(at.amsl_m, float(plain.goals.arrival_amsl_m[field]))
            margins.append(made_good(plain.reach.reaches.free, descent, away).inside_m)
    inside, edge, outside = np.array(margins).reshape(3, -1)
    size_m = max(np.hypot(e - centre_east, n - centre_north) for e, n in line.points)
    assert (inside > 0.0).all()
    assert np.abs(edge) == pytest.approx(0.0, abs=0.01 * size_m)
    assert (outside < 0.0).all()


def test_a_contour_grows_with_the_height_and_ends_below_the_arrival(plain: Ensemble) -> None:
    areas = []
    for amsl_m in (12_000.0, 20_000.0, 26_000.0):
        line = contour(plain, HOME, amsl_m)
        assert line is not None
        east, north = np.array(line.points).T
        areas.append(0.5 * abs(np.sum(east * np.roll(north, -1) - north * np.roll(east, -1))))
    assert areas == sorted(areas)
    assert contour(plain, HOME, 500.0) is None


def test_lines_are_of_the_chosen_field_and_of_the_next_that_opens(
    ensemble: Ensemble, plain: Ensemble, chances: Chances
) -> None:
    found = contours(plain, chances, None)
    assert {line.field for line in found} == {"Harrowend strip", "Tansy Lea"}
    assert {line.amsl_m for line in found} <= {1000.0 * km for km in CONTOUR_KM}
    assert found == tuple(
        line
        for field in (HOME, TANSY)
        for km in CONTOUR_KM
        if (line := contour(plain, field, 1000.0 * km)) is not None
    )
    decision = decide(ensemble, chances)
    assert decision is not None
    chosen = contours(plain, chances, replace(decision, field=CORRAND))
    assert {line.field for line in chosen} == {"Harrowend strip", "Corrand strip"}
    # where no other is ever open, the chosen one stands alone
    never = replace(chances, open_ratio=np.zeros_like(chances.open_ratio))
    assert {line.field for line in contours(plain, never, None)} == {"Harrowend strip"}
