"""Sky in words, and in the brief beside where the picture is lost."""

from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.links import BestStand, StandSky
from farglide.present.say.links.hearing import best_lines
from farglide.present.say.links.sky import hidden_text, sky_lines
from farglide.report.brief import render_brief

SKY = StandSky(
    stand="Wether Knap", highest_deg=3.14, highest_azimuth_deg=298.0, hidden=((280.0, 310.0),)
)


@pytest.mark.parametrize(
    ("hidden", "said"),
    [
        ((), "nowhere"),
        (((0.0, 360.0),), "all round"),
        (((340.0, 20.0),), "340–20°"),
        (((175.0, 184.0), (200.0, 159.0)), "all round but 159–175°, 184–200°"),
        (((20.0, 340.0),), "all round but 340–20°"),
        (((10.0, 12.0), (40.0, 80.0), (100.0, 101.0), (200.0, 230.0), (300.0, 304.0)),
         "40–80°, 200–230°, 300–304° and 2 more"),
    ],
)  # fmt: skip
def test_the_widest_stretches_are_told(hidden: tuple[tuple[float, float], ...], said: str) -> None:
    assert hidden_text(replace(SKY, hidden=hidden)) == said


def test_each_stand_has_a_line() -> None:
    lines = sky_lines([SKY])
    assert len(lines) == 3
    assert lines[2].split() == ["Wether", "Knap", "3.1°", "298°", "280–310°"]
    assert sky_lines([]) == []


def test_the_brief_tells_the_highest_ground(samples: ModuleType) -> None:
    outlook = samples.with_links()
    assert "highest ground" not in render_brief(outlook)
    page = render_brief(replace(outlook, skies=(SKY,)))
    assert "highest ground round it" in page
    assert "3.1°" in page


def test_the_best_stand_of_each_phase_is_one_line(samples: ModuleType) -> None:
    link = samples.LINKS[0]
    best = tuple(
        BestStand(phase=phase, stand=stand, margin_db=db)
        for phase, stand, db in (("climb", "hill", 6.0), ("arrival", "home", -17.0))
    )
    two = replace(link, stands=(*link.stands, *link.stands), best=best)
    text = " ".join(" ".join(best_lines(two)).split())
    assert text == (
        "best stand, if manned all the while, with its smallest margin: "
        "climb: hill +6 dB, arrival: home −17 dB"
    )
    assert best_lines(replace(link, best=best)) == []  # one stand is no choice
