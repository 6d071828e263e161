"""The first screen: eight answers on 40 lines, the beginning of which nothing later changes."""

import re
from dataclasses import fields, replace
from types import ModuleType

import pytest

from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.lines import WIDTH
from farglide.present.say.screen import (
    LINES,
    compared_lines,
    decision_lines,
    left_out,
    screen_lines,
)

from ...reading import answer_lines

VARIANTS = ("sample", "not_cleared", "no_release", "hostile", "with_links")
LONGEST = "x" * 28 + " " + "y" * 31  # 60 letters, the longest name of a flight file


def row(outlook: Outlook, label: str) -> str:
    """Return what the screen says behind a label, in one line; empty where it has no such row."""
    lines = screen_lines(outlook)
    at = next((k for k, line in enumerate(lines) if line.startswith(f"{label:<14}")), len(lines))
    told = [line[14:] for line in lines[at : at + 1]]
    for line in lines[at + 1 :]:
        if line[:14].strip() or not line:
            break
        told.append(line[14:])
    return " ".join(told).strip()


def decision_of(outlook: Outlook) -> DecisionOutlook:
    """Return what is known of an outlook before anything is compared."""
    return DecisionOutlook(**{f.name: getattr(outlook, f.name) for f in fields(DecisionOutlook)})


@pytest.mark.parametrize("variant", VARIANTS)
def test_it_fits_a_screen(samples: ModuleType, variant: str) -> None:
    lines = screen_lines(getattr(samples, variant)())
    assert len(lines) <= LINES
    assert max(map(len, lines)) <= WIDTH
    assert all(line == line.rstrip() for line in lines)


def test_it_is_narrower_where_the_terminal_is(samples: ModuleType) -> None:
    lines = screen_lines(samples.with_links(), 80)
    assert max(map(len, lines)) <= 80
    wide = " ".join(" ".join(screen_lines(samples.with_links())).split())
    assert wide.startswith(" ".join(" ".join(lines[:3]).split()))


def test_the_beginning_needs_nothing_that_is_compared(samples: ModuleType) -> None:
    for variant in VARIANTS:
        outlook = getattr(samples, variant)()
        first = decision_lines(decision_of(outlook))
        assert screen_lines(outlook) == [*first, *compared_lines(outlook)]


def test_it_answers_where_from_which_field_when_and_by_when(outlook: Outlook) -> None:
    first = " ".join(decision_lines(outlook)[:3])
    assert first == outlook.verdict
    assert row(outlook, "By when") == outlook.order
    launch = row(outlook, "Launch")
    assert launch.startswith("Harrowend, 46.500 S 108.000 E, ")
    assert "16:40 (09:40 UTC). Latest launch 17:20: later the packs, " in launch
    assert outlook.why.startswith(row(outlook, "Limit"))
    assert row(outlook, "Elsewhere") == outlook.elsewhere
    same = row(replace(outlook, elsewhere=""), "Elsewhere")
    assert same == "No other place to launch from is plainly better."


def test_it_answers_what_to_do_blind_and_when_the_car_leaves(samples: ModuleType) -> None:
    outlook = samples.with_links()
    blind = row(outlook, "No picture")
    assert blind.startswith("Try to get it back until 17:55 from ")
    assert "Then send the release unseen" in blind
    assert row(outlook, "Car").startswith("Leave the launch for ")
    bare = replace(outlook, links=(), car=None)
    assert row(bare, "Car") == "No link is stated, so nothing is known of the car."
    assert row(bare, "No picture").startswith("No picture link or stand is stated, so no step ")
    alone = replace(outlook, car=None)
    assert row(alone, "Car") == "No stand is stated, so nothing is known of the car."


def test_it_answers_what_is_missing_and_what_is_asked_for(outlook: Outlook) -> None:
    assert row(outlook, "Permissions") == "None is missing, and none is waiting for an answer."
    asked = replace(outlook, asked=("airspace", "land"))
    assert row(asked, "Permissions") == "Asked for, no answer yet: balloon in the airspace, land."
    short = replace(outlook, cleared=False, missing=("aircraft",))
    assert screen_lines(short)[0] == "NOT CLEARED. Missing: glider after the release."
    assert row(short, "Permissions") == ""


def test_it_answers_what_is_guessed_and_what_to_test_first(outlook: Outlook) -> None:
    assert row(outlook, "Guessed") == (
        "Bursting diameter, what the cold leaves of pack all. Usual values, not measured: balloon "
        "drag."
    )
    assert row(replace(outlook, guesses=(), usual=()), "Guessed") == "Nothing."
    many = replace(outlook, guesses=tuple(f"number {k}" for k in range(9)), usual=())
    assert row(many, "Guessed").endswith("number 5 and 3 more.")
    first = replace(outlook.unknowns[0], moved_ratio=0.21, advice="Ten test glides.")
    open_yet = replace(outlook, unknowns=(first, *outlook.unknowns[1:]))
    assert row(open_yet, "Test first") == (
        "Glide ratio, a guess, by ten test glides: until then the chance is between 7 in 10 and "
        "9 in 10. Then cold share of the pack and bursting diameter, typical."
    )


def test_the_ground_wind_stands_against_the_limit_of_the_crew(outlook: Outlook) -> None:
    assert row(outlook, "Ground wind") == "3.2 m/s at the fill, within your limit of 5 m/s."
    windy = replace(outlook, ground_wind_mps=6.0)
    assert row(windy, "Ground wind") == (
        "6 m/s at the fill, above your limit of 5 m/s: wait, or fill in shelter."
    )
    near = replace(outlook, ground_wind_mps=5.04)  # never "5.0, above your limit of 5"
    assert row(near, "Ground wind").startswith("5.04 m/s at the fill, above your limit of 5 m/s")


def test_the_winds_tell_source_age_distance_and_where_they_end(outlook: Outlook) -> None:
    origin = "Sounding of Friday 13:00, written by hand."
    assert row(outlook, "Winds").startswith(
        f"{origin} They are 2 h 40 min old at the launch and from 12 km away."
    )
    for change, words in (
        ({"wind_distance_m": 300.0}, "and from its place."),
        ({"wind_distance_m": None}, "and their place is not stated."),
        ({"wind_age_s": float("nan")}, "They are of unknown age"),
        ({"wind_age_s": -3600.0}, "They are from 1 h after the launch"),
        ({"wind_age_s": 5.0}, "They are for the time of the launch"),
    ):
        assert words in row(replace(outlook, **change), "Winds")
    high = replace(outlook, ascent=replace(outlook.ascent, beyond_amsl_m=24_000.0))
    told = "No winds are known above 24 km: the last are carried on."
    assert row(high, "Winds").endswith(told)


def test_fill_burst_and_a_glider_that_nobody_steers_are_told(outlook: Outlook) -> None:
    assert row(outlook, "Fill").startswith("Hang 1\u2009600 g on the neck: it must just float.")
    assert row(outlook, "Burst").endswith(
        "Harrowend stays in reach for 140 s, Tansy Lea for 260 s."
    )
    bare = replace(outlook, seconds_left=())
    assert row(bare, "Burst") == (
        "If it bursts with the glider still tied on, send the release at once."
    )
    assert row(outlook, "Not steered").startswith("Tell air traffic at once. Hands off, it comes ")
    assert "131 km downwind" in row(outlook, "Not steered")
    alone = replace(outlook, unsteered=())
    assert "nobody knows where it comes down" in row(alone, "Not steered")


def test_a_shut_day_says_what_would_open_it(samples: ModuleType) -> None:
    outlook = replace(samples.no_release(), order="")
    assert row(outlook, "By when") == ""
    assert row(outlook, "To open it") == "Launch 30 km upwind of home; or fly the day after."


def test_what_to_test_first_is_told_by_the_window_where_the_chance_stays(outlook: Outlook) -> None:
    first = replace(outlook.unknowns[0], chance_ratio=0.93, release_by_shift_s=-180.0)
    moved = replace(outlook, unknowns=(first,))
    assert row(moved, "Test first").endswith(
        "until then the window may end 3 min earlier, though the chance is the same."
    )
    still = replace(outlook, unknowns=(replace(first, release_by_shift_s=0.0),))
    assert row(still, "Test first").endswith("the chance is the same, the minutes are not.")
    nothing = "Nothing: no number that is still open would change this answer."
    assert row(replace(outlook, unknowns=()), "Test first") == nothing
    assert row(replace(moved, release=None), "Test first") == nothing


def test_long_names_fit_a_screen(samples: ModuleType) -> None:
    made = samples.with_links()
    name = LONGEST
    assert made.car is not None
    assert made.release is not None
    left = tuple(replace(one, field=name) for one in (*made.seconds_left, *made.seconds_left))
    links = tuple(
        replace(
            link,
            stands=tuple(replace(s, name=f"{k}{name}"[:60]) for k, s in enumerate(link.stands)),
        )
        for link in made.links
    )
    verdict, why = (
        re.sub("Harrowend|Tansy Lea|Brackmoor", name, one) for one in (made.verdict, made.why)
    )
    outlook = replace(
        made, launch_name=name, release=replace(made.release, field=name), links=links,
        car=replace(made.car, stand=links[0].stands[0].name), seconds_left=left, verdict=verdict,
        why=why, guesses=(name,) * 9, usual=(name,) * 9, missing=(name,) * 3, cleared=False,
        asked=(name,) * 2,
    )  # fmt: skip
    lines = screen_lines(outlook)
    assert len(lines) <= LINES
    assert max(map(len, lines)) <= WIDTH


def test_what_has_no_room_is_kept_for_the_rest(samples: ModuleType) -> None:
    made = replace(samples.sample(), unknowns=samples.sample().unknowns[:1])
    assert left_out(made) == []
    why = " ".join(f"Reason {k} is {LONGEST}, which is told at length." for k in range(9))
    told = left_out(replace(made, why=why))
    assert told[-1] == f"Limit: Reason 8 is {LONGEST}, which is told at length."
    assert 2 <= len(told) < 9  # the first ones are on the screen
    lines = answer_lines(replace(made, why=why))
    assert "What the first screen had no room for" in lines
    assert "What the first screen had no room for" not in answer_lines(made)


def test_a_short_word_with_a_capital_ends_no_sentence(outlook: Outlook) -> None:
    why = "Flying to St. Ann instead gains nothing. " + "Released higher, the chance falls. " * 12
    told = row(replace(outlook, why=why.strip()), "Limit")
    assert told.startswith("Flying to St. Ann instead gains nothing.")
    assert not told.endswith("St.")
