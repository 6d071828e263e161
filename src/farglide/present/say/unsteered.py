"""If something fails, in words: seconds left after a burst, and where unsteered things land."""

from math import floor
from typing import Final

from farglide.outlook.faults import SecondsLeft, Unsteered
from farglide.outlook.outlook import Outlook
from farglide.present.say.text import FlightClock, km_text, number_text, place_text

HANDS_OFF: Final = "glider, hands off"


def seconds_text(left: SecondsLeft) -> str:
    """Return the seconds left in whole tens, rounded down: a deadline is never told too late."""
    tens = 10 * floor(left.seconds_s / 10.0 + 1e-9)
    return f"{number_text(tens)} s" if tens else "under 10 s"


def burst_km(outlook: Outlook) -> str:
    """Return the height of the burst that the seconds left are told for, in whole km."""
    return km_text(outlook.seconds_left[0].burst_amsl_m, 0)


def never_left(outlook: Outlook) -> list[str]:
    """Return the fields that such a burst leaves out of reach from the start."""
    known = {left.field for left in outlook.seconds_left}
    return [field.name for field in outlook.fields if field.name not in known]


def seconds_left_words(outlook: Outlook) -> list[str]:
    """Return how long each field stays in reach after a burst with the glider still tied on."""
    if not outlook.seconds_left:
        return []
    each = ", ".join(f"{left.field} {seconds_text(left)}" for left in outlook.seconds_left)
    never = "".join(f", {name} not at all" for name in never_left(outlook))
    return [
        f"burst at {burst_km(outlook)} km with the glider still tied on: send release at once; "
        f"in reach for {each}{never}"
    ]


def hands_off(outlook: Outlook) -> Unsteered | None:
    """Return where the glider comes down that nobody steers, if the crew measured how it flies."""
    return next((one for one in outlook.unsteered if one.what == HANDS_OFF), None)


def hands_off_words(outlook: Outlook, clock: FlightClock) -> str:
    """Return in one sentence where the glider comes down that nobody steers."""
    one = hands_off(outlook)
    if one is None:
        return "no hands-off flight measured, so nobody knows where it comes down."
    return (
        f"down {clock.local(one.down_after_launch_s.p50)} near "
        f"{place_text(one.lat_deg, one.lon_deg)}, {km_text(one.drift_m, 0)} km on, 9 in 10 within "
        f"{km_text(one.radius_m, 0)} km."
    )


def unsteered_row(one: Unsteered, clock: FlightClock) -> tuple[str, ...]:
    """Return one thing that nobody steers: what, from km, down, 8 in 10, drift, near, within."""
    down = one.down_after_launch_s
    return (
        one.what,
        km_text(one.from_amsl_m, 0),
        clock.local(down.p50),
        clock.span(down.p10, down.p90),
        km_text(one.drift_m, 0),
        place_text(one.lat_deg, one.lon_deg),
        km_text(one.radius_m, 0),
    )
