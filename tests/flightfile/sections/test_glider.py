"""The glider of a flight file and the glides timed with it, each on its own."""

import tomllib

import pytest

from farglide.flightfile.entries import Entry
from farglide.flightfile.flightfile import understood
from farglide.flightfile.sections.glider import (
    GLIDER,
    GLIDES,
    glide_amsl_m,
    glide_problems,
    glider_of,
    glider_problems,
    timed_glide,
)
from farglide.flightfile.wing import flattest_ratio
from farglide.glider.fit import TimedGlide
from farglide.sortie.known import Known, Tag

from ..conftest import Entered, Told

WING = "[glider]\nmass_g = 680\narea_dm2 = 15\nchord_cm = 17\naspect_ratio = 5.2\n"
SLOW = "[[glider.timed_glides]]\nfrom_agl_m = 60\nduration_s = 50\nspeed_eas_mps = 9\n"


def test_a_glider_is_read(entered: Entered) -> None:
    spec = glider_of(entered(GLIDER, WING + "spin_sink_eas_mps = 8\nlift_max = 0.9"))
    assert (spec.mass_kg, spec.area_m2, spec.aspect_ratio) == (0.68, 0.15, 5.2)
    assert (spec.chord_m, spec.lift_max) == (pytest.approx(0.17), 0.9)
    assert (spec.span_efficiency, spec.zero_lift_drag, spec.flown_ratio) == (0.75, 0.035, 0.85)
    assert spec.glide_factor == Known(value=1.0, sd=0.25, tag=Tag.GUESS)
    assert spec.spin_sink_eas_mps == Known(value=8.0, sd=0.15 * 8.0)
    assert (spec.spiral_sink_eas_mps, spec.hands_off_sink_eas_mps) == (None, None)


def test_one_stall_is_stated_once(told: Told) -> None:
    assert told(GLIDER, WING + "lift_max = 0.9\nstall_eas_mps = 9") == [
        "[glider] lift_max and stall_eas: say the same thing twice. Keep one of them."
    ]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", ""),
        ("span_m = 0.88", ""),
        ("span_m = 2", "is 0.15 m², but span × chord gives 0.34 m²."),
        ("zero_lift_drag = 0.004\nspan_efficiency_ratio = 1", "a best glide ratio of 32.0."),
        # 0.5 sqrt(pi 5.2 0.75 / 0.01) is 17.5
        ("zero_lift_drag = 0.01\nglide_factor = 1.9", "makes 33.3 of a best glide ratio of 17.5."),
        ("zero_lift_drag = 0.01\nglide_factor = 1.7", ""),
        ("zero_lift_drag = 0.2\nglide_factor = 0.4", "makes 1.6 of a best glide ratio of 3.9."),
        ("stall_eas_mps = 3", "asks for a lift coefficient of 8.06"),
    ],
)
def test_wings_and_polars_that_cannot_be_are_refused(
    text: str, words: str, entered: Entered
) -> None:
    found = "".join(problem.what for problem in glider_problems(entered(GLIDER, WING + text)))
    assert words in found
    assert bool(found) is bool(words)


def test_a_heavy_wing_is_refused(entered: Entered) -> None:
    one = entered(GLIDER, "[glider]\nmass_kg = 20\narea_dm2 = 15")
    (problem,) = glider_problems(one)
    assert problem.what == "and area make a wing loading of 133 kg/m²; allowed: 0.3 to 60.0."


def test_a_timed_glide_is_read(entered: Entered) -> None:
    one = entered(GLIDES, SLOW)
    assert timed_glide(one) == TimedGlide(
        height_lost_m=60.0, duration_s=50.0, eas_mps=9.0, distance_m=None
    )
    assert glide_amsl_m(one, 400.0) == 430.0
    assert glide_amsl_m(entered(GLIDES, SLOW + "ground_amsl_m = 1000"), 400.0) == 1030.0


def test_glides_that_tell_no_polar_are_refused(entered: Entered) -> None:
    bare, stated = entered(GLIDER, WING), entered(GLIDER, WING + "zero_lift_drag = 0.03")
    slow: Entry = entered(GLIDES, SLOW)
    both = entered(GLIDES, SLOW + "distance_m = 2500")
    assert not list(glide_problems(stated, []))
    assert not list(glide_problems(bare, [slow] * 3))
    (few,) = glide_problems(bare, [slow] * 2)
    assert few.what == "are 2; allowed: three or more, at three speeds."
    (twice,) = glide_problems(stated, [slow] * 3)
    assert twice.where == "[glider] zero_lift_drag"
    two, far = glide_problems(bare, [slow, slow, both])
    assert two.what == "needs the distance or the airspeed, one of them."
    assert (far.where, far.what) == (
        both.title, "makes 41.7 m of way in a metre of height.",
    )  # fmt: skip


GLIDED = "mass_g = 540\nspan_cm = 92\nchord_cm = 16.5\n"


def test_one_glide_sets_the_drag_and_is_trusted_more_than_a_guess(entered: Entered) -> None:
    glide = entered(GLIDER, f"[glider]\n{GLIDED}glided_m = 420\nglided_from_agl_m = 50")
    assert flattest_ratio(glide.numbers) == pytest.approx(8.4, rel=1e-6)
    assert glide.numbers["zero_lift_drag"].tag is Tag.TYPICAL
    assert glide.numbers["glide_factor"].tag is Tag.TYPICAL
    assert glide.numbers["glide_factor"].sd == 0.15
    assert not list(glider_problems(glide))


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("glided_m = 420", "glided_from_agl_m: is missing: a glide has its way and its height."),
        ("glided_from_agl_m = 50", "glided_m: is missing"),
        (
            "glided_m = 420\nglided_from_agl_m = 50\nzero_lift_drag = 0.03",
            "zero_lift_drag: and glided_m say the same thing twice.",
        ),
        (
            "glided_km = 2\nglided_from_agl_m = 50",
            "glided_km: makes 40.0 m of way in a metre of height. Allowed: 2 to ",
        ),
        ("glided_m = 60\nglided_from_agl_m = 50", "makes 1.2 m of way in a metre of height"),
    ],
)
def test_one_glide_that_cannot_be_is_refused(entered: Entered, more: str, told: str) -> None:
    problems = glider_problems(entered(GLIDER, f"[glider]\n{GLIDED}{more}"))
    assert any(told in str(one) for one in problems)


@pytest.mark.parametrize(
    ("way", "height"), [("nan", "50"), ("420", "nan"), ("nan", "nan"), ("420", "-1")]
)
def test_a_refused_glide_is_told_once(way: str, height: str) -> None:
    text = f"[glider]\n{GLIDED}glided_m = {way}\nglided_from_agl_m = {height}"
    problems, _ = understood(tomllib.loads(text))
    told = [one.where for one in problems if one.where.startswith("[glider]")]
    wrong = [one for one in (way, height) if one in ("nan", "-1")]
    assert len(told) == len(wrong)
    assert all("glided" in one for one in told)
