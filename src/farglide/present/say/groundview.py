"""On the ground on the ride's screen: before it leaves the hand, and where it lies afterwards."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.rideview import LiesAt, RideView
from farglide.present.say.fitting import Fact
from farglide.present.say.text import FlightClock, bearing_text, duration_words, place_text
from farglide.sortie.words import compass_words, number_text

_HERE_M: Final = 30.0


def hand_facts(view: RideView, clock: FlightClock) -> Iterator[Fact]:
    """Yield when the launch is due, and what to type until then and at it."""
    left_s = view.launch_t_s - view.now_t_s
    if view.launch_off_s is not None:
        when = f"{_gap_words(abs(left_s))} {'ahead' if left_s > 0.0 else 'ago'}"
        yield Fact(f"LOOK AGAIN. The flight file's launch is {when}: {clock.date()}.")
        yield Fact(
            "If you fly now: end this ride (q), state the launch of today in the flight file, take "
            "today's winds, begin again. Else its winds, packs and light are of another day."
        )
    if left_s >= 0.5:
        yield Fact(f"Launch at {clock.launch()}, in {_gap_words(left_s)}.")
    else:
        yield Fact(f"Launch was due at {clock.launch()}, {_gap_words(-left_s)} ago.")
    yield Fact("Type launched, or l, at the moment it leaves the hand.")
    yield Fact("If it is put off: late 20 (minutes after the time of the flight file).", 1)
    yield Fact("If the neck was weighed: neck 1.6 (kg). Where the crew is: at STAND.", 2)
    yield Fact("Look: is each feed below heard, and fresh?", 2)


def off_words(off_s: float) -> str:
    """Return that it was launched hours off the flight file, and what to do about it."""
    side = "after" if off_s > 0.0 else "before"
    return (
        f"Launched {_gap_words(abs(off_s))} {side} the flight file's time: its winds and light are "
        "of another hour. Trust chances less, or begin anew with a file of today."
    )


def lies_sentence(lies: LiesAt) -> str:
    """Return where to go, in nine words or fewer."""
    if lies.car_away_m is None or lies.car_bearing_deg is None:
        where = "is reckoned to lie" if lies.is_reckoned else "was seen last"
        return f"It is down. Go where it {where}."
    if lies.car_away_m < _HERE_M:
        return "It is down, where the car stands."
    return f"Go to it: {_away(lies.car_away_m)}, bearing {bearing_text(lies.car_bearing_deg)}."


def lies_facts(lies: LiesAt, clock: FlightClock) -> Iterator[Fact]:
    """Yield where it lies and how sure that is, and what to do next, one after the other."""
    at = place_text(lies.lat_deg, lies.lon_deg, 5)
    within = _away(lies.within_m)
    yield Fact(f"Go to   {at}. 9 in 10: it lies within {within} of it.")
    if lies.car_away_m is None or lies.car_bearing_deg is None:
        yield Fact("From    The car is not heard: type at STAND for the way from there.", 1)
    else:
        side = compass_words(lies.car_bearing_deg)
        bearing = bearing_text(lies.car_bearing_deg)
        yield Fact(
            f"From    the car {_away(lies.car_away_m)} straight, bearing {bearing} ({side})."
        )
    down = clock.local(lies.landed_t_s - clock.launch_t_s)
    yield Fact(_seen_words(lies, clock) + f" Landed, as marked, at {down}.")
    yield Fact("Next    1. Write the place down on paper before you drive.")
    yield Fact("        2. Ask the owner before you enter land.")
    yield from _search_facts(lies, clock)
    yield Fact("        4. Found? Type q: the ride ends, its log is then finished.", 1)
    yield Fact("        If it still flies: u takes the mark back.", 1)


def _seen_words(lies: LiesAt, clock: FlightClock) -> str:
    """Return where it was seen last, and that the place is another one."""
    if lies.seen is None:
        return "Seen    never with its height: the place is reckoned."
    at = clock.local(lies.seen.t_s - clock.launch_t_s)
    words = f"Seen    last at {at}, {number_text(lies.seen.agl_m)} m above the ground."
    return f"{words} The place is reckoned from there." if lies.is_reckoned else words


def _search_facts(lies: LiesAt, clock: FlightClock) -> Iterator[Fact]:
    """Yield by which command the search is planned, from where it was seen, not reckoned."""
    seen = lies.seen
    if seen is None:
        yield Fact("        3. Not there? Look along the line on which it was heard last.")
        return
    last = f"{seen.lat_deg:.5f}, {seen.lon_deg:.5f}, {seen.amsl_m:.0f} m"
    at = clock.local(seen.t_s - clock.launch_t_s)
    yield Fact("        3. Not there? In a second terminal, for where to look first:")
    yield Fact(f'        farglide search FLIGHT --last "{last}" --at {at}')


def _away(distance_m: float) -> str:
    """Return a distance as one drives or walks it.

    >>> _away(63.0), _away(1240.0), _away(18_300.0)
    ('60 m', '1.2 km', '18 km')
    """
    if distance_m < 1000.0:
        return f"{10.0 * max(round(distance_m / 10.0), 1):.0f} m"
    return f"{distance_m / 1000.0:.{1 if distance_m < 10_000.0 else 0}f} km"


def _gap_words(gap_s: float) -> str:
    days = round(gap_s / 86_400.0)
    return f"{days} days" if days >= 2 else duration_words(max(gap_s, 1.0))
