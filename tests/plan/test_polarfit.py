"""Polar fit: the timed glides of a flight file turned into its polar."""

import math
from pathlib import Path

import pytest

from farglide.plan.polarfit import with_fitted_polar
from farglide.sortie.known import Tag

from ..conftest import glides, least, timed


def test_timed_glides_become_the_polar(tmp_path: Path) -> None:
    flight = least(tmp_path, glider=glides(timed(9.0), timed(12.0), timed(16.0)))
    assert len(flight.timed_glides) == 3
    assert flight.sortie.tags["glider.zero_lift_drag"] is Tag.GUESS
    fitted = with_fitted_polar(flight)
    assert fitted.sortie.glider.zero_lift_drag == pytest.approx(0.04, rel=1e-3)
    k = 1.0 / (math.pi * 5.2 * fitted.sortie.glider.span_efficiency)
    assert k == pytest.approx(0.08, rel=1e-3)
    assert fitted.sortie.tags["glider.zero_lift_drag"] is Tag.MEASURED
    # at least the 5 % that no glide near the ground tells of the stratosphere
    assert 0.05 < fitted.sortie.glider.glide_factor.sd < 0.06
    shown = {line.row.key: line.number for line in fitted.inputs if line.section == "glider"}
    assert shown["zero_lift_drag"].value == fitted.sortie.glider.zero_lift_drag
    assert shown["zero_lift_drag"].tag is Tag.MEASURED


@pytest.mark.parametrize("stated", ["", "ground_amsl_m = 1500"])
def test_glides_timed_high_up_are_in_thin_air(tmp_path: Path, stated: str) -> None:
    """Over ground at 1 500 m, in air of 1.055 kg/m3 (standard, at 1 530 m), the way is longer."""
    rows = []
    for eas_mps in (9.0, 12.0, 16.0):
        weight_n, force_n, sine = 0.68 * 9.80665, 0.5 * 1.225 * eas_mps**2 * 0.15, 0.0
        for _ in range(50):
            lift = weight_n * math.sqrt(1.0 - sine**2) / force_n
            sine = force_n * (0.04 + 0.08 * lift**2) / weight_n
        tas_mps = eas_mps * math.sqrt(1.225 / 1.0550)
        lasts_s = 60.0 / (tas_mps * sine)
        way_m = tas_mps * math.sqrt(1.0 - sine**2) * lasts_s
        rows.append(
            f"from_agl_m = 60\nduration_s = {lasts_s:.4f}\ndistance_m = {way_m:.3f}\n{stated}"
        )
    launch = "" if stated else "amsl_m = 1500\n"
    fitted = with_fitted_polar(least(tmp_path, launch=launch, glider=glides(*rows)))
    assert fitted.sortie.glider.zero_lift_drag == pytest.approx(0.04, rel=2e-3)
    k = 1.0 / (math.pi * 5.2 * fitted.sortie.glider.span_efficiency)
    assert k == pytest.approx(0.08, rel=2e-3)


def test_stated_doubt_outlives_the_fit(tmp_path: Path) -> None:
    rows = glides(timed(9.0), timed(12.0), timed(16.0))
    fitted = with_fitted_polar(least(tmp_path, glider="glide_factor_spread_ratio = 0.2\n" + rows))
    assert fitted.sortie.glider.glide_factor.sd == pytest.approx(0.2)


def test_flight_without_glides_keeps_its_polar(tmp_path: Path) -> None:
    flight = least(tmp_path)
    assert with_fitted_polar(flight) is flight
