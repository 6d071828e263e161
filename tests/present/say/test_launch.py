"""Launch spots as a terminal has them: the spots compared, what they change, the area."""

from dataclasses import replace
from types import ModuleType

import pytest

from farglide.outlook.launch import TOO_FAR, LaunchArea
from farglide.outlook.outlook import Outlook
from farglide.present.lines import part_lines
from farglide.present.say.launch import launch_parts, told_spots
from farglide.present.say.text import FlightClock


@pytest.fixture
def area(samples: ModuleType) -> LaunchArea:
    made = samples.launch_area()
    assert isinstance(made, LaunchArea)
    return made


def said(outlook: Outlook, area: LaunchArea | None) -> str:
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    parts = launch_parts(replace(outlook, launch=area), clock)
    return " ".join(" ".join(line for part in parts for line in part_lines(part)).split())


def test_the_advised_spot_is_told_with_its_ways(outlook: Outlook, area: LaunchArea) -> None:
    text = said(outlook, area)
    for words in (
        "Harrowend there none 9 in 10 over 49 in 50 19 in 20",
        "best spot, 46.33° S 107.70° E 30 km NW 49 min 19 in 20 over 49 in 50 19 in 20",
        "30 km NW of home, 30 km NW of the launch, 49 min to drive from home, guessed from the "
        "straight line",
        "it is the one with the shortest drive of those within 0.02 of the best on the map; its "
        "chance was asked again, at every height",
        "nothing is known of the ground there: look, and ask the owner first",
        "from there drive 1 h 15 min on to Stile Gap, which is set up at 17:58",
        "chances of the other fields from there: Tansy Lea over 49 in 50",
        "from there home is shut or doubtful for 7 min of the climb, from the stated launch shut "
        "or doubtful for 34 min of the climb",
        "leave home by 15:51 or earlier: the filling is not counted",
        "each minute that the launch is later takes one from the packs and from the light",
    ):
        assert words in text
    assert "of driving from home are left out" not in text
    assert "no stand is manned" not in text
    assert said(outlook, None) == ""


def test_the_area_is_a_grid_with_bars(outlook: Outlook, area: LaunchArea) -> None:
    text = said(outlook, area)
    assert "Chance of home by km that the launch lies upwind of home, released above 20 km" in text
    assert "km aside −30 90" in text
    assert "40 left" in text
    assert "40 right x" in text  # barred


def test_limits_and_stands_out_of_time_are_told(
    samples: ModuleType, outlook: Outlook, area: LaunchArea
) -> None:
    text = said(outlook, replace(samples.launch_area(may_drive_s=3600.0), n_unmanned=4))
    assert "spots beyond 1 h of driving from home are left out" in text
    assert "from 4 of 15 spots the car reaches no stand before the climb ends" in text
    assert area.free is not None
    deaf = replace(area.free, stand="", stand_drive_s=None, links_ratio=0.0)
    assert "no stand is manned in time from there" in said(outlook, replace(area, advised=deaf))
    plain = replace(deaf, links_ratio=None)
    assert "no stand is manned" not in said(outlook, replace(area, advised=plain))


def test_who_mans_the_stand_is_told(outlook: Outlook, area: LaunchArea) -> None:
    assert area.free is not None
    second = replace(area.free, stand_drive_s=None)
    words = "Stile Gap is manned by the second crew from the launch on"
    assert words in said(outlook, replace(area, advised=second))
    there = replace(area.free, stand_drive_s=0.0)
    assert "Stile Gap is manned from the launch on" in said(outlook, replace(area, advised=there))


def test_a_prepared_place_is_told_with_its_ground(outlook: Outlook, area: LaunchArea) -> None:
    assert area.free is not None
    place = replace(
        area.free, kind="place", name="Fern Moor", owner="agreed", surface="heather",
        trees_upwind="pines 20 m high", obstacles="a wire", drive_guessed=False,
    )  # fmt: skip
    refused = replace(place, name="Mill Meadow", owner="refused", barred="refused by the owner")
    prepared = replace(area, places=(place, refused), advised=place)
    text = said(outlook, prepared)
    assert (
        "owner: agreed; heather; trees upwind: pines 20 m high; obstacles downwind: a wire" in text
    )
    assert "Mill Meadow (refused by the 30 km NW" in text  # goes on in the next line
    assert "guessed from the straight line" not in text
    assert [one.name for one in told_spots(prepared)] == [
        "Harrowend", "Fern Moor", "Mill Meadow", "best spot",
    ]  # fmt: skip


def test_at_home_and_with_nothing_left_it_says_so(outlook: Outlook, area: LaunchArea) -> None:
    here = replace(area, free=area.stated, advised=area.stated)
    assert said(outlook, here).startswith("Chance of home by km")  # no other spot is better
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    paper = launch_parts(replace(outlook, launch=here), clock)[0].paper
    assert "the stated launch, at home" in str(paper[0])
    none = replace(area, free=None, advised=area.stated)
    assert "barriers bar every spot but the stated launch" in said(outlook, none)
    low = said(outlook, replace(area, from_amsl_m=0.0))
    assert "released at any height" in low
    always = replace(area.stated.fields[0], shut_s=0.0)
    open_ = replace(area, stated=replace(area.stated, fields=(always,)))
    assert "from the stated launch open all the way up" in said(outlook, open_)
    never = replace(always, chance_ratio=0.0)
    shut = replace(area, stated=replace(area.stated, fields=(never,)))
    assert "from the stated launch never open" in said(outlook, shut)
    far = tuple(replace(one, barred=TOO_FAR) for one in area.spots)
    undriven = said(outlook, replace(none, spots=far))
    assert "within the drive that you allow there is no other spot" in undriven
