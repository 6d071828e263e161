"""Moments typed on a command line: clock of the launch, or minutes after it."""

from dataclasses import replace

import pytest

from farglide.cli.moments import moment_of
from farglide.errors import InputError
from farglide.sortie.spec import Launch, Sortie


@pytest.fixture
def launch(sortie: Sortie) -> Launch:
    """Return a launch at 16:40 in the crew's zone."""
    return replace(sortie.launch, t_s=1_800_697_200.0, zone="UTC+07:00")


@pytest.mark.parametrize(
    ("text", "after_min"),
    [("T+60", 60.0), ("t + 61,5", 61.5), ("16:40", 0.0), ("17:40:30", 60.5), ("00:10", 450.0),
     ("12:00", -280.0)],
)  # fmt: skip
def test_a_time_is_that_of_the_flight(launch: Launch, text: str, after_min: float) -> None:
    assert moment_of("--at", text, launch) == launch.t_s + 60.0 * after_min


@pytest.mark.parametrize("text", ["", "noon", "25:00", "17:61", "T+", "T-5", "17.40", "٣:٤٠"])
def test_what_is_no_time_is_refused_by_the_option(launch: Launch, text: str) -> None:
    with pytest.raises(InputError, match=r"--at is .*; allowed: HH:MM on the clock of the launch"):
        moment_of("--at", text, launch)
