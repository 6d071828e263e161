"""Contours: from their line a field is only just in reach."""

from dataclasses import replace

import numpy as np
import pytest

from farglide.chances.chances import Chances
from farglide.chances.ensemble import Ensemble
from farglide.chances.window import decide
from farglide.plan.places.contours import CONTOUR_KM, contour, contours
from farglide.sim.core.release import begin_glide, field_offset
from farglide.sim.core.step import Offset, apart_m
from farglide.sim.core.tracks import Point
from farglide.sim.fly.passage import aim
from farglide.sim.reach.reach import Descent

HOME, TANSY, BRACKMOOR, CORRAND = range(4)


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
            margins.append(aim(plain.reach.ways.free, descent, away).margin_m)
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
