"""The car in words, and the links beside chart and strip."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest

from farglide.outlook.links import HeardPoint
from farglide.outlook.outlook import Outlook
from farglide.present.draw.ladder import ladder
from farglide.present.draw.ladder.frame import PAPER, ChartFrame
from farglide.present.draw.ladder.links import pack_bands, rungs, wire
from farglide.present.draw.strip import strip
from farglide.present.say.links.aim import (
    COLUMNS,
    aim_cells,
    aim_part,
    aim_points,
    aim_words,
    car_stand,
    fist_words,
    hour_words,
    main_link,
    manned,
    sun_side_text,
)
from farglide.present.say.links.car import (
    car_part,
    car_sentences,
    leave_words,
    no_picture_words,
)
from farglide.present.say.sentences import held_sentence
from farglide.present.say.text import FlightClock
from farglide.report.brief import render_brief

from ....reading import answer_lines

NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def linked(samples: ModuleType) -> Outlook:
    made = samples.with_links()
    assert isinstance(made, Outlook)
    return made


@pytest.fixture
def clock(linked: Outlook) -> FlightClock:
    return FlightClock(launch_t_s=linked.launch_t_s, zone=linked.zone)


def test_the_car_is_told_with_its_set_off_time_and_the_price_of_moving(
    linked: Outlook, clock: FlightClock
) -> None:
    text = " | ".join(map(str, car_part(linked, clock).facts))
    first = " | ".join(car_sentences(linked, clock))
    assert "Leave the launch for Wether Knap by 17:12 (38 min to drive, 4 min to set up)." in first
    assert "links hold to the field: command over 49 in 50, picture 19 in 20." in first
    assert "all chances count a car that leaves at the launch and is set up at 17:22" in text
    assert "the picture of a glider coming down at Harrowend is lost 391 m over it" in text
    assert "with an upright antenna on the roof of the moving car: picture −9 dB" in text
    assert "more than 70° up" not in text  # before the car is there
    assert "going on to Stile Gap would keep the picture down to 6 m, after 18 min with" in text
    # what the first screen says stands on paper again
    assert list(car_part(linked, clock).paper)[:2] == list(car_sentences(linked, clock))


def test_too_late_to_set_off_is_said_as_late(linked: Outlook, clock: FlightClock) -> None:
    assert linked.car is not None
    late = replace(linked.car, set_off_after_launch_s=-600.0)
    assert "at the launch, and even then the car is 10 min late" in leave_words(late, clock)
    stays = leave_words(replace(late, set_off_after_launch_s=None), clock)
    assert stays == "the car stays at Wether Knap: no drive"


def test_a_picture_that_holds_to_the_ground_is_no_picture_that_never_holds(
    linked: Outlook, clock: FlightClock
) -> None:
    assert linked.car is not None
    for agl_m, words in ((0.0, "holds down to the ground"), (None, "never holds there")):
        plan = replace(linked, car=replace(linked.car, lost_agl_m=agl_m))
        told = " ".join(map(str, car_part(plan, clock).facts))
        assert f"the picture of a glider coming down at Harrowend {words}" in told


def test_where_to_aim_is_told_by_compass_by_sun_and_by_speed(
    linked: Outlook, clock: FlightClock
) -> None:
    link = main_link(linked)
    assert link is not None
    assert link.name == "picture"
    stand = car_stand(linked, link)
    points = aim_points(stand.margin_db, 75.5 * 60.0, 1.0)
    assert points[-1] is stand.margin_db[-1]
    cells = dict(zip((one.head for one in COLUMNS), aim_cells(points[2], clock), strict=True))
    assert cells == {
        "T+": "T+60", "local": "17:40", "azimuth": "127°", "of the sun": "130° left",
        "up": "29°", "km": "40", "°/min": "3", "dB": "+6",
    }  # fmt: skip
    assert sun_side_text(replace(points[2], sun_azimuth_deg=None)) == "–"
    assert sun_side_text(replace(points[2], azimuth_deg=10.0, sun_azimuth_deg=350.0)) == "20° right"


def table_note(plan: Outlook) -> str:
    return aim_part(plan, 75.5 * 60.0, FlightClock(launch_t_s=0.0, zone="UTC")).note


@pytest.mark.parametrize("least_deg", [0.5, 3.0, 7.0, 40.0])
def test_no_line_left_out_is_farther_off_than_a_third_of_the_beam(
    linked: Outlook, least_deg: float
) -> None:
    some = linked.links[0].stands[0].margin_db[0]
    rng = np.random.default_rng(5)
    walk = np.cumsum(rng.normal(0.0, 2.5, (2, 80)), axis=1)
    points = [
        replace(some, after_launch_s=60.0 * k, azimuth_deg=float(walk[0, k] % 360.0),
                elevation_deg=float(np.clip(40.0 + walk[1, k], -1.0, 89.0)))
        for k in range(80)
    ]  # fmt: skip
    kept = aim_points(points, 40.0 * 60.0 + 4.0, least_deg)  # the clock of the climb is coarser
    assert kept[0] is points[0]
    assert kept[-1] is points[-1]
    assert points[40] in kept
    last = points[0]
    for point in points:
        last = point if point in kept else last
        assert apart_deg(last, point) <= least_deg + 1e-9
    assert len(kept) < len(points) or least_deg < 1.0


def test_a_sun_that_moves_has_a_line_too(linked: Outlook) -> None:
    some = linked.links[0].stands[0].margin_db[0]
    suns = (100.0, 103.0, 106.0, 108.0)
    points = [
        replace(some, after_launch_s=60.0 * k, elevation_deg=0.0, sun_azimuth_deg=sun)
        for k, sun in enumerate(suns)
    ]
    assert aim_points(points, 1e9, 5.0) == [points[0], points[1], points[3]]


def apart_deg(a: HeardPoint, b: HeardPoint) -> float:
    """Return the angle between two directions, by their unit vectors."""
    one, other = (
        np.array([np.cos(e) * np.sin(z), np.cos(e) * np.cos(z), np.sin(e)])
        for z, e in (np.radians((p.azimuth_deg, p.elevation_deg)) for p in (a, b))
    )
    return float(np.degrees(np.arctan2(np.linalg.norm(np.cross(one, other)), one @ other)))


def test_the_aim_begins_when_somebody_is_there_and_ends_on_the_ground(
    linked: Outlook, clock: FlightClock
) -> None:
    (link, *_), car = linked.links, linked.car
    assert car is not None
    (stand,) = link.stands
    last = stand.margin_db[-1]
    down = tuple(
        replace(last, after_launch_s=last.after_launch_s + 600.0 * n, amsl_m=last.amsl_m / (n + 1))
        for n in range(4)
    )
    landed = replace(stand, down=down)
    points = manned(landed)
    assert points[0].after_launch_s >= car.ready_after_launch_s
    assert points[-1] is down[-1]
    assert points.count(last) == 1  # where the glide ends and the way down begins
    plan = replace(linked, links=(replace(link, stands=(landed,)), *linked.links[1:]))
    table = aim_part(plan, 75.5 * 60.0, clock).table
    assert table is not None
    # the way down is all in one direction: its last line alone is told
    assert [row[0] for row in table.rows] == ["T+60", "T+75", "T+95", "T+125"]
    assert "A line wherever the aim moves by 7°, a third of the beam" in table_note(plan)
    assert manned(replace(landed, manned_after_launch_s=1e9)) == []


@pytest.mark.parametrize(
    ("right_deg", "words"),
    [
        (45.0, "half past one"),
        (0.0, "twelve o'clock"),
        (359.0, "twelve o'clock"),
        (90.0, "three o'clock"),
        (-90.0, "nine o'clock"),
        (180.0, "six o'clock"),
        (7.4, "twelve o'clock"),
        (7.6, "half past twelve"),
    ],
)
def test_directions_are_hours_from_the_nose(right_deg: float, words: str) -> None:
    assert hour_words(right_deg) == words


def test_elevations_are_fists_at_arm_s_length() -> None:
    assert [fist_words(x) for x in (25.0, 22.0, 12.0, 10.0, 5.0, 2.0, -3.0)] == [
        "two and a half fists up", "two fists up", "one fist up", "one fist up",
        "half a fist up", "level", "level",
    ]  # fmt: skip
    assert aim_words(60.0, 25.0, 0.0) == "two o'clock, two and a half fists up"


def test_without_a_picture_it_says_until_when_to_look_and_what_to_send(
    linked: Outlook, clock: FlightClock
) -> None:
    first, second = no_picture_words(linked, clock)
    assert first.startswith("try to get it back until 17:55 from Wether Knap: aim 130°, 38° up, ")
    assert first.endswith("; if no height is seen either, count on from the last one")
    assert linked.car is not None
    parked = replace(linked, car=replace(linked.car, nose_deg=70.0))
    assert "Wether Knap: two o'clock, four fists up; aim 130°" in no_picture_words(parked, clock)[0]
    assert second == ("then send the release unseen and repeat it; nobody knows whether it arrives")
    assert no_picture_words(replace(linked, release=None), clock) == []
    assert no_picture_words(replace(linked, car=None), clock) == []


def test_rungs_are_as_long_as_the_grade_and_the_wire_breaks(linked: Outlook) -> None:
    chart = ChartFrame(linked, PAPER, "key")
    body = rungs(chart, 100.0)
    drawn = ET.fromstring(f'<svg xmlns="http://www.w3.org/2000/svg">{body}</svg>')
    lengths = [
        (float(one.get("y1", "0")), float(one.get("x2", "0")) - 100.0)
        for one in drawn.iter(f"{NS}line")
    ]
    assert len(lengths) > 30
    by_km = {chart.height_km(y): 5.0 * length / PAPER.link_px for y, length in lengths}
    steps = [step for step in linked.held if step.amsl_m < 1e3 * chart.cap_km]
    for km, grade in by_km.items():
        below = [step for step in steps if step.amsl_m / 1e3 <= km]
        if below:
            assert grade == pytest.approx(below[-1].grade, abs=0.01)

    def wired(command_db: float) -> str:
        held = tuple(replace(step, command_db=command_db) for step in linked.held)
        return wire(ChartFrame(replace(linked, held=held), PAPER, "key"), 0.0)

    assert "dasharray" not in wired(15.0)
    assert "dasharray" in wired(5.0)
    assert "<line" in wired(15.0)
    assert "<line" not in wired(1.0)


def test_packs_last_where_those_in_reach_are_in_time(linked: Outlook) -> None:
    field = linked.fields[0]
    steps = tuple(
        replace(step, reach_ratio=1.0, timely_ratio=ratio)
        for step, ratio in zip(field.steps, [0.95] * 5 + [0.7] * 5 + [0.2] * 90, strict=False)
    )
    plan = replace(linked, release=None, fields=(replace(field, steps=steps),))
    bands = pack_bands(plan)
    assert [band[0] for band in bands] == ["open", "doubtful", "shut"]
    assert bands[0][2] == pytest.approx(steps[5].amsl_m / 1e3)
    strict = pack_bands(replace(plan, open_ratio=0.96, doubtful_ratio=0.1))
    assert [band[0] for band in strict] == ["doubtful"]
    none = tuple(replace(step, reach_ratio=0.05) for step in steps)
    assert pack_bands(replace(plan, fields=(replace(field, steps=none),))) == []


def test_chart_and_strip_show_links_only_where_there_are_some(
    linked: Outlook, outlook: Outlook
) -> None:
    chart, rows = ladder.ladder_svg(linked), strip.strip_svg(linked)
    assert 'data-column="packs"' in chart
    for word in ("picture", "command"):
        assert f'data-column="{word}"' in chart
        assert f">{word}<" in rows
    assert ">car<" in rows
    assert "leave by 17:12 for Wether Knap" in rows
    assert held_sentence(linked.held) in chart.replace("&quot;", '"')
    bare = ladder.ladder_svg(outlook) + strip.strip_svg(outlook)
    assert "data-column" not in bare
    assert ">car<" not in bare


def test_a_climb_on_which_no_stand_is_manned_is_said_in_words(linked: Outlook) -> None:
    nobody = tuple(
        replace(step, stand="", grade=0, picture_db=None, command_db=None) for step in linked.held
    )
    assert held_sentence(nobody) == "No stand is manned while the balloon climbs."


def test_answer_and_brief_carry_aim_card_and_lost_heights(linked: Outlook) -> None:
    lines = answer_lines(linked)
    assert all(len(line) <= 100 for line in lines)
    said = "\n".join(lines)
    assert "Where to aim from Wether Knap" in said
    assert "No picture    Try to get it back until" in said
    page = render_brief(linked)
    for words in ("Where to aim", "Where the picture is lost", "No picture, still on the line"):
        assert words in page
    assert "Try to get it back until" in page
    assert "everywhere" in page  # Stile Gap sees nothing of it in the sample
