"""Speeds and flown flights in words: dashes where there is nothing to fly, no bare percentages."""

from dataclasses import replace
from typing import Any, Final

import pytest

from farglide.outlook.outlook import Outlook
from farglide.outlook.release import DownOutlook, TimelyOutlook
from farglide.present.say.speeds import (
    down_words,
    flown_words,
    limit_words,
    loss_words,
    speed_cells,
    speeds_part,
    stay_words,
    timely_words,
)
from farglide.present.say.text import FlightClock

from ...reading import answer_lines

SPIRAL: Final = DownOutlook(
    seconds=1500.0,
    firm_spiral=True,
    farthest_m=120.0,
    comes_back=True,
    legs_between_amsl_m=(8_300.0, 4_100.0),
    faced_between_amsl_m=None,
    beaten_between_amsl_m=None,
)


def _second_head(outlook: Outlook) -> str:
    table = speeds_part(outlook).table
    assert table is not None
    return table.columns[4].head


def test_a_row_where_the_flattest_way_circles_has_dashes(samples: Any) -> None:
    outlook = samples.sample()
    row = outlook.speeds[0]
    assert speed_cells(outlook, row) == ("10", "14", "20", "31", "–", "–", "–")
    flat = replace(row, flat_eas_mps=10.3, flat_ground_mps=21.4, flat_sink_mps=4.2)
    assert speed_cells(outlook, flat)[4:] == ("21", "4", "10")


def test_a_flattest_way_that_ends_too_late_gives_way_to_the_one_in_time(samples: Any) -> None:
    outlook = samples.sample()
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    assert timely_words(outlook, clock) == ""
    assert _second_head(outlook) == "flattest: over ground"
    timely = TimelyOutlook(
        spare_m=8_600.0,
        over_field_after_launch_s=100.0 * 60.0,
        down_after_launch_s=125.0 * 60.0,
        down=SPIRAL,
    )
    late = replace(outlook, release=replace(outlook.release, timely=timely))
    assert timely_words(late, clock) == (
        "in time with most height it is over Harrowend at 18:20, 9 km high; down in the firm "
        "spiral, with legs into the wind between 8 and 4 km, landed 18:45"
    )
    assert _second_head(late) == "in time: over ground"
    row = replace(late.speeds[0], timely_eas_mps=24.3, timely_ground_mps=17.4, timely_sink_mps=12.2)
    assert speed_cells(late, row)[4:] == ("17", "12", "24")
    assert stay_words(late) == ""
    assert "in time with most height it is over Harrowend at 18:20, 9 km high" in "\n".join(
        answer_lines(late)
    )


def test_the_way_down_over_the_field_is_told(outlook: Outlook) -> None:
    release = outlook.release
    assert release is not None
    assert release.timely is None
    assert stay_words(replace(outlook, release=replace(release, down=None))) == ""
    down = replace(SPIRAL, firm_spiral=False, legs_between_amsl_m=None)
    told = replace(outlook, release=replace(release, down=down))
    assert stay_words(told) == "over Harrowend: down in gentle circles"
    assert stay_words(told) in "\n".join(answer_lines(told))


def test_how_it_stays_in_a_jet_is_told() -> None:
    legs = "down in the firm spiral, with legs into the wind between 8 and 4 km"
    assert down_words(SPIRAL) == legs
    faced = replace(SPIRAL, faced_between_amsl_m=(6_900.0, 5_200.0))
    assert down_words(faced) == f"{legs} and no circle between 7 and 5 km"
    # less than a kilometre of it is not worth a word
    assert down_words(replace(SPIRAL, faced_between_amsl_m=(6_100.0, 5_900.0))) == legs
    blown = replace(SPIRAL, beaten_between_amsl_m=(6_900.0, 6_400.0), farthest_m=9_120.0)
    assert down_words(blown) == (
        f"{legs}; between 6.9 and 6.4 km the wind is faster than it can fly: it is blown up to 9.1 "
        "km off and flies back"
    )
    assert down_words(replace(blown, comes_back=False)).endswith("off and does not come back")


def test_flown_flights_are_told_in_odds(samples: Any) -> None:
    outlook = samples.sample()
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    (words,) = flown_words(outlook, clock)
    assert "19 in 20 reach Harrowend at 12 to 18 km" in words
    assert "in gentle circles and legs into the wind they land about " in words
    assert "%" not in words
    assert flown_words(replace(outlook, flown=None), clock) == []


def test_the_answer_holds_the_speeds(samples: Any) -> None:
    lines = answer_lines(samples.sample())
    (head,) = [i for i, line in enumerate(lines) if line.startswith("What to fly")]
    assert lines[head + 3].split() == ["10", "14", "20", "31", "–", "–", "–"]
    assert all(len(line) <= 100 for line in lines)


def test_limits_that_hold_a_way_back_are_named(outlook: Outlook) -> None:
    row = outlook.speeds[0]
    rows = (
        replace(row, amsl_m=20_000.0, quick_held_by="Mach", timely_held_by="Mach"),
        replace(row, amsl_m=12_000.0, quick_held_by="top speed", timely_held_by=None),
        replace(row, amsl_m=4_000.0, quick_held_by="top speed", timely_held_by=None),
        replace(row, amsl_m=2_000.0, quick_held_by=None, timely_held_by=None),
    )
    assert limit_words(replace(outlook, speeds=rows)) == (
        "the quickest way is held back by the top speed, less its margin, at 4 to 12 km",
        "the quickest way is held back by the Mach limit, less its margin, at 20 km",
        "the way in time is held back by the Mach limit, less its margin, at 20 km",
    )
    assert limit_words(replace(outlook, speeds=rows[3:])) == ()


@pytest.mark.parametrize(("lost_m", "words"), [(2_100.0, "2.1 km"), (20.0, "less than 0.1 km")])
def test_what_the_straight_way_costs_is_told(outlook: Outlook, lost_m: float, words: str) -> None:
    assert outlook.release is not None
    told = replace(outlook, release=replace(outlook.release, straight_loss_m=lost_m))
    (sentence,) = loss_words(told)
    assert sentence == f"flown straight home, it gets {words} less far than on the best path of all"
    unknown = replace(outlook.release, straight_loss_m=float("nan"))
    assert loss_words(replace(outlook, release=unknown)) == []
