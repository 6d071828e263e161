"""The release section: a height seen, its limit and errors, and what a burst leaves."""

import pytest

from farglide.flightfile.sections.release import RELEASE, reading_problems, release_of
from farglide.sortie.release import ReleaseSpec

from ..conftest import Entered, Told


def test_left_out_a_satellite_receiver_is_read_all_the_way(entered: Entered) -> None:
    assert release_of(entered(RELEASE, "[release]")) == ReleaseSpec()


def test_what_is_stated_is_taken(entered: Entered) -> None:
    text = (
        '[release]\nseen_by = "pressure"\nseen_to_amsl_ft = 60000\nseen_error_m = 40\n'
        "gauge_error_hpa = 2\nfree_after_burst_percent = 20"
    )
    found = release_of(entered(RELEASE, text))
    assert found == ReleaseSpec(
        seen_by="pressure",
        seen_to_amsl_m=18_288.0,
        seen_error_m=40.0,
        gauge_error_pa=200.0,
        free_after_burst_ratio=0.2,
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('seen_by = "radar"', "[release] seen_by"),
        ("seen_to_amsl_m = 70000", "[release] seen_to_amsl_m"),
        ("seen_error_m = -1", "[release] seen_error_m"),
        ("gauge_error_hpa = 60", "[release] gauge_error_hpa"),
        ("free_after_burst_ratio = 1.1", "[release] free_after_burst_ratio"),
    ],
)
def test_what_cannot_be_is_refused(text: str, words: str, told: Told) -> None:
    (problem,) = told(RELEASE, f"[release]\n{text}")
    assert problem.startswith(words)


def test_an_error_of_a_gauge_that_is_not_read_is_refused(entered: Entered) -> None:
    (problem,) = reading_problems(entered(RELEASE, "[release]\ngauge_error_hpa = 1"))
    assert problem.what == 'is stated, but seen_by is "gnss".'
    read = entered(RELEASE, '[release]\nseen_by = "pressure"\ngauge_error_hpa = 1')
    assert not list(reading_problems(read))
