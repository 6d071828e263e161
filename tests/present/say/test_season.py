"""A comparison in words: the best in one sentence, tables by time and spot, what is too early."""

from dataclasses import replace

import pytest
from tests.season.made import CELL, EVEN, OUTLOOK, T_S

from farglide.outlook.season import Crossed, Early
from farglide.present.lines import WIDTH
from farglide.present.say.season import (
    best_by_spot,
    best_by_time,
    compared_words,
    first_sentence,
    season_lines,
)

LATER = replace(CELL, launch_t_s=T_S + 7200.0, spot=1, home_ratio=0.6, limit="wind",
                reason="41 m/s at 10 km: Home strip is out of reach")  # fmt: skip
FULL = replace(
    OUTLOOK,
    cells=(CELL, LATER),
    early=(Early(launch_t_s=T_S + 9e4, look_t_s=T_S, chance_ratio=0.5, then_ratio=0.95),),
    changes=("one more is as good within 2 in 100",),
    left_out=("80 km at 090°, Sun 24 Jan 10:00: it drifts out of the forecast",),
)


def text(**changed: object) -> str:
    return "\n".join(season_lines(replace(FULL, **changed)))  # type: ignore[arg-type]


def test_the_best_is_one_sentence() -> None:
    assert first_sentence(OUTLOOK) == (
        "Launch Sat 23 Jan 17:26 from Home strip, neck lift 1.60 kg: the chance of home is 9 in 10."
    )
    any_field = replace(OUTLOOK, bring_to="any")
    assert first_sentence(any_field).endswith("the chance of a field is 19 in 20.")
    poor = replace(OUTLOOK, cells=(replace(CELL, home_ratio=0.4),))
    assert first_sentence(poor).startswith("None of these is enough. The best is Sat 23 Jan 17:26")
    windy = replace(CELL, limit="ground wind", reason="ground wind 9 m/s")
    assert first_sentence(replace(OUTLOOK, cells=(windy,))) == (
        "No launch here is within your limits. The best, Sat 23 Jan 17:26 from Home strip: ground "
        "wind 9 m/s, your limit is 5 m/s."
    )
    assert first_sentence(replace(OUTLOOK, cells=())) == "No launch could be asked."


@pytest.mark.parametrize(
    "words",
    [
        "Compared: 2 launch times, 2 spots and 1 fill, 200 flights drawn of each, for home",
        "Release by Sat 23 Jan 18:38; home is shut for 30 min of the climb.",
        "It bursts about 29.9 km high after 1 h 23 min, 43 km off towards 134°;",
        "Wind 4 m/s at the launch, 4 from 328° landing. Light: down 2 h before dusk.",
        "From home to Home strip: no drive.",
        "The best spot of each launch time",
        "Sat 23 Jan 19:26 25 km at 270°",
        "One more is as good within 2 in 100.",
        "Sun 24 Jan 18:26: 5 in 10 as the winds are doubted now. Look again Sat 23 Jan 17:26:",
        "80 km at 090°, Sun 24 Jan 10:00: it drifts out of the forecast",
        "no line here clears one.",
    ],
)
def test_all_that_bears_it_is_told(words: str) -> None:
    assert words in text()


def test_lines_are_short_and_what_is_not_there_is_left_out() -> None:
    assert all(len(one) <= WIDTH for one in season_lines(FULL))
    bare = text(early=(), changes=(), left_out=())
    assert "Too early" not in bare
    assert "Not asked" not in bare
    dark = text(cells=(replace(CELL, light_left_s=-1200.0, landing_wind_mps=float("nan")),))
    assert "landing not told. Light: down 20 min after dusk." in dark
    assert "Light: no dusk." in text(cells=(replace(CELL, light_left_s=None),))
    crossed = (Crossed(name="State line", kind="border", chance_ratio=0.3),)
    assert "Over State line (border) in 3 in 10." in text(cells=(replace(CELL, crossed=crossed),))


def test_each_time_and_each_spot_has_its_best() -> None:
    worse = replace(CELL, home_ratio=0.5)
    one = replace(FULL, cells=(CELL, worse, LATER))
    assert best_by_time(one) == [CELL, LATER]
    assert best_by_spot(one) == [CELL, LATER]
    many = replace(one, spots=(OUTLOOK.spots[0], *(EVEN,) * 30),
                   cells=tuple(replace(CELL, spot=k) for k in range(31)))  # fmt: skip
    assert len(best_by_spot(many)) == 12
    assert "1 spot and" in compared_words(replace(one, spots=(EVEN,)))
