"""Links that are told by half, twice, or by what no law takes."""

from collections.abc import Callable
from pathlib import Path

import pytest

from farglide.flightfile.sections.linkproblems import link_problems
from farglide.flightfile.sections.links import LINKS

from ...conftest import Document
from ..conftest import Entered
from .test_links import LINK, NEAR, changed, refused


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (NEAR + "power_w = 1", ""),
        ("power_w = 1", "states no threshold."),
        (NEAR, "is missing."),
        (NEAR + "power_w = 1\ntested_m = 100", "is told by half"),
        (NEAR + "power_w = 1\ntested_m = 1\ntested_margin_db = 1\noffset_db = 1", "a ground test"),
        (NEAR + "eirp_w = 1\neirp_dbm = 30", "is stated twice."),
    ],
)
def test_links_told_by_half_or_twice_are_refused(text: str, words: str, entered: Entered) -> None:
    found = [problem.what for problem in link_problems([entered(LINKS, LINK + text)])]
    assert len(found) == bool(words)
    assert words in "".join(found)


PAIR = {"tested_m": 1000, "tested_margin_db": 14}


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"tested_m": 1000}, "told by half"),
        ({"tested_margin_db": 14}, "told by half"),
        ({"tested_attenuator_db": 20}, "told by half"),
        ({**PAIR, "offset_db": -2}, "two answers to one question"),
        ({**PAIR, "tested_m": 0}, "allowed: 1 to 500000 m"),
        ({**PAIR, "tested_attenuator_db": -20}, "allowed: 0 to 120 dB"),
        ({**PAIR, "tested_margin_db": -60, "tested_attenuator_db": 0}, "offset_db"),
    ],
)
def test_half_a_test_or_two_answers_are_refused(
    linked: Callable[[dict[str, float]], Document],
    refusals: Callable[[Document], list[str]],
    more: dict[str, float],
    said: str,
) -> None:
    assert said in "\n".join(refusals(linked(more)))


def test_noise_without_a_bandwidth_is_refused_with_both_remedies(tmp_path: Path) -> None:
    told = refused(changed(tmp_path, "bandwidth_mhz = 16\n", ""))
    assert "[[links]] 1 bandwidth_mhz: is missing: how much noise" in told
    assert "or sensitivity_dbm in place of noise_figure_db and needed_ratio_db" in told
    assert "1 problem\n" in told
