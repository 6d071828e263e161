"""On the ground: when the launch is due, and where it lies and what to do next."""

from dataclasses import replace

from tests.present.say.test_rideview import CLOCK, T_S, VIEW, text

from farglide.outlook.rideview import LiesAt, SeenLast
from farglide.present.say.groundview import hand_facts, lies_facts, lies_sentence, off_words
from farglide.present.say.rideview import view_lines
from farglide.sortie.words import number_text

HAND = replace(VIEW, advice=None, phase="on the hand", why="On the hand.", now_t_s=T_S - 750.0)
LIES = LiesAt(
    landed_t_s=T_S + 6500.0, lat_deg=-46.50012, lon_deg=108.00034, within_m=120.0,
    is_reckoned=False, seen=SeenLast(
        t_s=T_S + 6490.0, lat_deg=-46.50012, lon_deg=108.00034, amsl_m=250.0, agl_m=10.0
    ), car_away_m=3230.0, car_bearing_deg=245.0,
)  # fmt: skip


def hand(off_s: float | None = None, now_s: float = -750.0) -> str:
    view = replace(HAND, now_t_s=T_S + now_s, launch_off_s=off_s)
    return " ".join(one.words for one in hand_facts(view, CLOCK))


def test_before_the_launch_it_is_counted_down_and_said_what_to_type() -> None:
    assert "Launch at 08:00 (08:00 UTC), in 12 min." in hand()
    assert "Launch was due at 08:00 (08:00 UTC), 14 min ago." in hand(now_s=854.0)
    assert "Launch was due at 08:00 (08:00 UTC), 1 s ago." in hand(now_s=0.0)
    assert "Type launched, or l, at the moment it leaves the hand." in hand()
    assert "LOOK AGAIN" not in hand()


def test_what_is_done_meanwhile_is_told() -> None:
    lines = view_lines(replace(HAND, doing="compiling (climbs; 40% done)"), 80, 24)
    assert lines[2] == "Meanwhile: compiling (climbs; 40% done)."


def test_a_file_of_another_day_is_told_with_what_to_do() -> None:
    told = hand(-20.0 * 86_400.0, -20.0 * 86_400.0)
    assert "LOOK AGAIN. The flight file's launch is 20 days ahead: " in told
    assert "end this ride (q), state the launch of today in the flight file" in told
    assert "is 3 h ago: " in hand(10_800.0, 10_800.0)


def test_a_launch_hours_off_is_told_in_the_air() -> None:
    assert off_words(-10_800.0).startswith("Launched 3 h before the flight file's time: its winds")
    found = text(replace(VIEW, launch_off_s=7300.0))
    assert "Launched 2 h 2 min after the flight file's time" in found
    assert "begin anew with a file of today." in " ".join(found.split())


def test_down_the_first_line_says_where_to_go() -> None:
    view = replace(VIEW, phase="down", is_loose=True, lies=LIES)
    lines = view_lines(view, 80, 24)
    assert lines[0] == "(o) DOWN  Go to it: 3.2 km, bearing 245°."
    found = "\n".join(lines)
    for words in (
        "Go to   46.50012 S 108.00034 E. 9 in 10: it lies within 120 m of it.",
        "From    the car 3.2 km straight, bearing 245° (south-west).",
        "Seen    last at 09:48, 10 m above the ground. Landed, as marked, at 09:48.",
        "Ask the owner before you enter land.",
        "In a second terminal, for where to look first:",
        'farglide search FLIGHT --last "-46.50012, 108.00034, 250 m" --at 09:48',
    ):
        assert words in found, words
    assert all(len(one) <= 80 for one in lines)


def test_a_place_that_nobody_has_seen_is_no_last_position() -> None:
    seen = SeenLast(
        t_s=T_S + 5900.0, lat_deg=-46.50012, lon_deg=108.0321, amsl_m=3900.0, agl_m=3660.0
    )
    reckoned = replace(LIES, is_reckoned=True, seen=seen, car_away_m=None)
    assert lies_sentence(reckoned) == "It is down. Go where it is reckoned to lie."
    told = " ".join(one.words for one in lies_facts(reckoned, CLOCK))
    assert "Go to   46.50012 S 108.00034 E." in told
    assert f"last at 09:38, {number_text(3660.0)} m above the ground. The place is" in told
    assert "The place is reckoned from there. Landed, as marked, at 09:48." in told
    assert '--last "-46.50012, 108.03210, 3900 m" --at 09:38' in told
    never = " ".join(one.words for one in lies_facts(replace(reckoned, seen=None), CLOCK))
    assert "Seen    never with its height: the place is reckoned. Landed" in never
    assert "--last" not in never


def test_without_a_car_and_beside_it() -> None:
    alone = replace(LIES, car_away_m=None, car_bearing_deg=None)
    assert lies_sentence(alone) == "It is down. Go where it was seen last."
    told = [one.words for one in lies_facts(alone, CLOCK)]
    assert any("type at STAND" in one for one in told)
    assert lies_sentence(replace(LIES, car_away_m=12.0)) == "It is down, where the car stands."
