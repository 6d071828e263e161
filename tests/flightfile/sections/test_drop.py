"""Drop and crew of a flight file, each on its own."""

import pytest

from farglide.flightfile.sections.drop import CREW, DROP, drop_of, speed_problems
from farglide.flightfile.sections.glider import GLIDER
from farglide.sortie.known import Known, Tag

from ..conftest import Entered, Told

GLIDER_9 = "[glider]\nmass_g = 680\narea_dm2 = 15\nlift_max = 0.8575\n"  # stalls at 9.2 m/s


def test_drop_and_crew_make_one_spec(entered: Entered) -> None:
    drop = entered(DROP, "[drop]\npull_eas_mps = 13\nheading_min = 2")
    crew = entered(CREW, "[crew]\nreaction_s = 6\nn_releases = 20\nn_release_failures = 1")
    spec = drop_of(drop, crew)
    assert (spec.pull_eas_mps, spec.pull_load, spec.level_angle_deg) == (13.0, 2.0, 8.0)
    assert spec.heading_s == Known(value=120.0, sd=36.0)
    assert (spec.drop_drag.sd, spec.drop_drag.tag) == (pytest.approx(0.03), Tag.GUESS)
    assert spec.reaction_s.value == 6.0
    assert (spec.n_releases, spec.n_release_failures, spec.n_pullouts) == (20, 1, 0)


@pytest.mark.parametrize("what", ["release", "pullout"])
def test_more_failures_than_tries_are_refused(what: str, told: Told) -> None:
    text = f"[crew]\nn_{what}s = 2\nn_{what}_failures = 3"
    assert told(CREW, text) == [
        f"[crew] n_{what}_failures: is 3, more than n_{what}s. "
        f"n_{what}s counts all tries, failed ones too."
    ]


@pytest.mark.parametrize(
    ("pull", "top", "words"),
    [
        ("pull_eas_mps = 13", "top_eas_mps = 14", ""),
        ("pull_eas_mps = 13", "", ""),
        ("pull_eas_mps = 9", "top_eas_mps = 14", "is 9.0 m/s, below the stall at 9.2 m/s."),
        ("pull_eas_mps = 15", "top_eas_mps = 14", "is 15.0 m/s, above top_eas, 14.0 m/s."),
        ("pull_eas_mps = 10", "top_eas_mps = 11", "is 11.0 m/s, but it stalls at 9.2 m/s."),
    ],
)
def test_speeds_that_the_stall_leaves_no_room_for_are_refused(
    pull: str, top: str, words: str, entered: Entered
) -> None:
    drop, glider = entered(DROP, f"[drop]\n{pull}"), entered(GLIDER, GLIDER_9 + top)
    found = [problem.what for problem in speed_problems(drop, glider)]
    assert found == [words] * bool(words)


def test_an_impossible_stall_is_told_once(entered: Entered) -> None:
    glider = entered(GLIDER, "[glider]\nmass_g = 680\narea_dm2 = 15\nstall_eas_mps = 3")
    assert not list(speed_problems(entered(DROP, "[drop]\npull_eas_mps = 3"), glider))


def test_a_pull_out_harder_than_the_law_allows_is_refused_in_the_file(told: Told) -> None:
    (words,) = told(DROP, "[drop]\npull_load = 8.1")
    assert words.startswith("[drop] pull_load: is 8.1; allowed: 1.1 to 8")
    assert told(DROP, "[drop]\npull_load = 8") == []
