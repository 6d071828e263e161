"""The fill: any two of neck lift, mean ascent and burst height give the third, or are refused."""

from dataclasses import replace

import pytest

from farglide.air.sounding import Sounding
from farglide.errors import ContradictionError
from farglide.flightfile.flightfile import FlightFile
from farglide.flightfile.standins import DRAG_TABLE
from farglide.plan.fill import _root, error_free_climb, with_solved_fill
from farglide.sortie.known import Tag


def climbed(flight: FlightFile, sounding: Sounding) -> tuple[float, float]:
    """Return mean ascent and burst height of a flight without errors."""
    at_s, amsl_m = error_free_climb(flight.sortie, sounding)
    return (amsl_m - flight.sortie.launch.amsl_m) / at_s, amsl_m


def stated(
    flight: FlightFile,
    ascent_mps: float | None = None,
    burst_m: float | None = None,
    neck: bool = False,
) -> FlightFile:
    return replace(
        flight,
        neck_lift_given=neck,
        stated_mean_ascent_mps=ascent_mps,
        stated_burst_amsl_m=burst_m,
    )


def test_nothing_stated_beside_a_neck_lift_changes_nothing(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    assert with_solved_fill(demo_flight, demo_sounding) == demo_flight


@pytest.mark.parametrize("neck_kg", [1.3, 1.6, 2.2])
def test_neck_lift_to_mean_ascent_and_back(
    demo_flight: FlightFile, demo_sounding: Sounding, neck_kg: float
) -> None:
    balloon = demo_flight.sortie.balloon
    known = replace(balloon.neck_lift_kg, value=neck_kg)
    sortie = replace(demo_flight.sortie, balloon=replace(balloon, neck_lift_kg=known))
    ascent, burst = climbed(replace(demo_flight, sortie=sortie), demo_sounding)
    by_ascent = with_solved_fill(stated(demo_flight, ascent_mps=ascent), demo_sounding)
    assert by_ascent.sortie.balloon.neck_lift_kg.value == pytest.approx(neck_kg, rel=1e-5)
    by_burst = with_solved_fill(stated(demo_flight, burst_m=burst), demo_sounding)
    assert by_burst.sortie.balloon.neck_lift_kg.value == pytest.approx(neck_kg, rel=1e-3)


def test_known_fills_of_the_demo_balloon(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    # Neck lift 1.4/1.5/1.6/1.7 kg: mean 5.3/5.7/6.0/6.3 m/s, burst 30.5/30.2/29.9/29.7 km. Source:
    # constant-drag balloon from height 0, computed apart from this code; rounded as printed.
    for neck, mean, burst_km in (
        (1.4, 5.3, 30.5), (1.5, 5.7, 30.2), (1.6, 6.0, 29.9), (1.7, 6.3, 29.7),
    ):  # fmt: skip
        solved = with_solved_fill(stated(demo_flight, burst_m=1e3 * burst_km), demo_sounding)
        assert solved.sortie.balloon.neck_lift_kg.value == pytest.approx(neck, abs=0.035)
        ascent, _ = climbed(solved, demo_sounding)
        assert ascent == pytest.approx(mean, abs=0.12)


def test_mean_ascent_and_burst_height_give_neck_lift_and_diameter(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    solved = with_solved_fill(stated(demo_flight, 6.0, 31_000.0), demo_sounding)
    ascent, burst = climbed(solved, demo_sounding)
    assert ascent == pytest.approx(6.0, rel=1e-5)
    assert burst == pytest.approx(31_000.0, abs=5.0)
    assert solved.sortie.balloon.burst_diameter_m.value > 6.6
    assert solved.sortie.balloon.burst_diameter_m.spread_ratio == pytest.approx(0.06)


def test_a_rate_beside_a_neck_lift_refits_the_drag(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    free = replace(demo_flight, drag_given=False)
    for wanted in (4.0, 5.5, 6.8):
        solved = with_solved_fill(stated(free, ascent_mps=wanted, neck=True), demo_sounding)
        assert climbed(solved, demo_sounding)[0] == pytest.approx(wanted, rel=1e-4)
        assert solved.sortie.balloon.neck_lift_kg.value == 1.6
        # At constant drag the speed goes as the root of 1/C_d; the demo itself climbs 6.02 m/s.
        assert solved.sortie.balloon.drag_factor.value == pytest.approx(
            (6.015 / wanted) ** 2, rel=0.01
        )


def test_a_burst_height_beside_a_neck_lift_refits_the_diameter(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    for wanted in (27_000.0, 30_000.0, 33_000.0):
        flight = replace(demo_flight, burst_diameter_given=False)
        solved = with_solved_fill(stated(flight, burst_m=wanted, neck=True), demo_sounding)
        assert climbed(solved, demo_sounding)[1] == pytest.approx(wanted, abs=2.0)


def test_all_three_hold_together_or_are_refused(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    ascent, burst = climbed(demo_flight, demo_sounding)
    kept = with_solved_fill(stated(demo_flight, ascent, burst, neck=True), demo_sounding).sortie
    assert kept.balloon.drag_factor.value == pytest.approx(1.0, rel=1e-3)
    assert kept.balloon.burst_diameter_m.value == pytest.approx(6.6, rel=1e-4)
    with pytest.raises(ContradictionError) as caught:
        with_solved_fill(stated(demo_flight, 3.0, None, neck=True), demo_sounding)
    assert str(caught.value) == (
        "The mean climb of 3 m/s (mean_ascent_mps) and the stated neck lift and drag exclude each "
        "other: that climb "
        "needs 4.02 times the drag, more than two standard deviations (0.20) away. Leave one of "
        "the three out."
    )
    with pytest.raises(ContradictionError) as caught:
        with_solved_fill(stated(demo_flight, None, 34_000.0, neck=True), demo_sounding)
    assert (
        "(burst_height_amsl_m) and the bursting diameter of 6.6 m (burst_diameter_m) exclude each"
        in str(caught.value)
    )


def test_a_refit_that_moves_far_is_told(demo_flight: FlightFile, demo_sounding: Sounding) -> None:
    ascent, burst = climbed(demo_flight, demo_sounding)
    guessed = replace(demo_flight, drag_given=False, burst_diameter_given=False)
    found = with_solved_fill(stated(guessed, ascent, burst, neck=True), demo_sounding)
    assert found.notes == demo_flight.notes
    slow = with_solved_fill(stated(guessed, 0.85 * ascent, None, neck=True), demo_sounding)
    factor = slow.sortie.balloon.drag_factor.value
    assert factor > 1.2
    (told,) = set(slow.notes) - set(demo_flight.notes)
    assert f"takes {factor:.2f} times the usual drag" in told
    low = with_solved_fill(stated(guessed, None, 0.9 * burst, neck=True), demo_sounding)
    (told,) = set(low.notes) - set(demo_flight.notes)
    assert f"{low.sortie.balloon.burst_diameter_m.value:.2f} m" in told


@pytest.mark.parametrize("ascent", [0.4, 40.0])
def test_rates_that_no_lift_gives_are_refused(
    demo_flight: FlightFile, demo_sounding: Sounding, ascent: float
) -> None:
    with pytest.raises(ContradictionError) as caught:
        with_solved_fill(stated(demo_flight, ascent_mps=ascent), demo_sounding)
    assert (
        f"The mean climb wanted (mean_ascent_mps) is {ascent:g} m/s, which no neck lift up to 15 kg"
        in str(caught.value)
    )


@pytest.mark.parametrize("burst", [8_000.0, 36_000.0])
def test_burst_heights_that_no_lift_gives_are_refused(
    demo_flight: FlightFile, demo_sounding: Sounding, burst: float
) -> None:
    with pytest.raises(ContradictionError) as caught:
        with_solved_fill(stated(demo_flight, burst_m=burst), demo_sounding)
    assert (
        f"The burst height wanted (burst_height_amsl_m) is {burst:.0f} m, which no neck lift"
        in str(caught.value)
    )


def test_a_rate_no_drag_gives_and_a_burst_far_off_are_refused(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    free = replace(demo_flight, drag_given=False, burst_diameter_given=False)
    with pytest.raises(ContradictionError, match="which this fill gives at no drag"):
        with_solved_fill(stated(free, ascent_mps=60.0, neck=True), demo_sounding)
    with pytest.raises(ContradictionError, match="needs a bursting diameter far from"):
        with_solved_fill(stated(free, burst_m=5_000.0, neck=True), demo_sounding)


def test_a_drag_curve_that_varies_is_solved_as_well(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    # Small lifts never burst within the time followed; they must not hide the answer beyond them.
    balloon = replace(demo_flight.sortie.balloon, drag_table=DRAG_TABLE)
    flight = replace(demo_flight, sortie=replace(demo_flight.sortie, balloon=balloon))
    solved = with_solved_fill(stated(flight, ascent_mps=5.0), demo_sounding)
    assert climbed(solved, demo_sounding)[0] == pytest.approx(5.0, rel=1e-4)


def test_a_guessed_rate_gives_a_guessed_lift(
    demo_flight: FlightFile, demo_sounding: Sounding
) -> None:
    tags = {**demo_flight.sortie.tags, "balloon.mean_ascent_mps": Tag.GUESS}
    guessed = replace(demo_flight, sortie=replace(demo_flight.sortie, tags=tags))
    solved = with_solved_fill(stated(guessed, ascent_mps=5.5), demo_sounding)
    assert solved.sortie.balloon.neck_lift_kg.tag is Tag.GUESS
    solved = with_solved_fill(stated(demo_flight, ascent_mps=5.5), demo_sounding)
    assert solved.sortie.balloon.neck_lift_kg.tag is Tag.MEASURED


def test_a_jump_over_zero_is_no_root() -> None:
    none = ContradictionError("none.", "State another.")
    with pytest.raises(ContradictionError, match="none"):
        _root(lambda x: -1.0 if x < 2.0 else 1.0, 1.0, 10.0, none)
    assert _root(lambda x: x - 2.0, 1.0, 10.0, none) == pytest.approx(2.0, rel=1e-6)
    nan = float("nan")
    assert _root(lambda x: nan if x < 1.9 else x - 3.0, 1.0, 10.0, none) == pytest.approx(3.0)
