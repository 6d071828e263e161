"""The page of the ride: every feed that it shows how to wire is read without a problem."""

import re
import tomllib
from pathlib import Path
from textwrap import dedent

import pytest

from farglide.errors import Problem
from farglide.flightfile.entered import read_entries
from farglide.flightfile.sections.feeds import FEEDS, feed_of, feed_problems
from farglide.track import oddpair, oddplace
from farglide.track.codecs.codecs import codec_of

PAGE = (Path(__file__).parents[2] / "docs" / "ride.rst").read_text(encoding="utf-8")
BLOCKS = [
    dedent(one) for one in re.findall(r"code-block:: toml\n\n((?:   .*\n|\n)+)", PAGE)
]  # fmt: skip


def test_every_usual_source_is_shown() -> None:
    assert len(BLOCKS) == 5


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: block.split('"')[1])
def test_a_feed_that_is_shown_is_read(block: str) -> None:
    problems: list[Problem] = []
    (one,) = read_entries(tomllib.loads(block), [FEEDS], problems).of["feeds"]
    assert problems == []
    assert list(feed_problems([one])) == []
    assert codec_of(feed_of(one, Path())).tally.n_bytes == 0


def test_the_limits_of_suspicions_are_those_of_the_program() -> None:
    for told in (
        f"{oddplace.FAR_M / 1000:.0f} km from the launch",
        f"within {oddplace.NEAR_M / 1000:.0f} km of it",
        f"{oddplace.FASTEST_UP_MPS:.0f} m/s up, {oddplace.FASTEST_DOWN_MPS:.0f} m/s down or "
        f"{oddplace.FASTEST_ALONG_MPS:.0f} m/s along",
        f"more than {oddplace.AHEAD_S:.0f} s ahead of this machine's or {oddplace.BEHIND_S:.0f} s",
        f"tracker is {oddpair.WELL_ABOVE_M:.0f} m above it",
    ):
        assert told in " ".join(PAGE.split()), told
