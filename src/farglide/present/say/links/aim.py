"""Aim: where the flight stands as seen from the car, by compass, sun, the car's nose and fists."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.links import HeardLink, HeardPoint, HeardStand, LinksOutlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.text import FlightClock, plus_minutes
from farglide.sortie.words import km_text, number_text

COLUMNS: Final = (
    Column("T+", 7), Column("local", 8), Column("azimuth", 9), Column("of the sun", 12),
    Column("up", 6), Column("km off", 8), Column("°/min", 8), Column("dB", 6),
)  # fmt: skip
_AIM_RATIO: Final = 3.0
"""A third of the beamwidth off costs 1.3 dB of the 3 dB that half of it costs (12 (1/3)^2)."""
_PURPOSES: Final = {"picture": 0, "command": 1, "position": 2}
_NUMBERS: Final = (
    "twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven",
)  # fmt: skip
"""As a clock's face has them: twelve stands for none."""

HasLinks = DecisionOutlook | LinksOutlook
"""What is heard: of a whole plan, or of the links alone."""


def decibel_text(margin_db: float) -> str:
    """Return decibels with their sign.

    >>> decibel_text(5.6), decibel_text(-28.7), decibel_text(-0.2)
    ('+6', '−29', '0')
    """
    return f"{'+' if round(margin_db) > 0 else ''}{number_text(margin_db)}"


def main_link(heard: HasLinks) -> HeardLink | None:
    """Return the link that is aimed by: a picture, else a command."""
    known = [link for link in heard.links if link.stands]
    return min(known, key=lambda link: _PURPOSES.get(link.purpose, 3), default=None)


def car_stand(heard: HasLinks, link: HeardLink) -> HeardStand:
    """Return the stand of the car; without a release, the one whose weakest moment is best."""
    named = [stand for stand in link.stands if heard.car and stand.name == heard.car.stand]
    return named[0] if named else max(link.stands, key=lambda stand: stand.weakest.p50)


def manned(stand: HeardStand) -> list[HeardPoint]:
    """Return the moments from when somebody is at the stand until the glider is on the ground."""
    flown = [*stand.margin_db, *stand.down[1:]]
    return [p for p in flown if p.after_launch_s >= stand.manned_after_launch_s - 0.5]


def step_deg(link: HeardLink) -> float:
    """Return how far the aim may move before the table has another line."""
    return link.beam_deg / _AIM_RATIO


def aim_points(
    points: Sequence[HeardPoint], release_s: float, least_deg: float
) -> list[HeardPoint]:
    """Return the moments worth a line: none left out is farther off the line before it than said.

    The first, the last and the release have their lines. What counts is the way to turn the
    antenna, and that to turn away from the sun.
    """
    kept: list[HeardPoint] = list(points[:1])
    nearest = min(points, key=lambda one: abs(one.after_launch_s - release_s), default=None)
    told = [one for one in (nearest, *points[-1:]) if one is not None]
    for before, point in pairwise(points):
        if before is not kept[-1] and _moved_deg(kept[-1], point) > least_deg:
            kept.append(before)
        if any(point is one for one in told) or _moved_deg(kept[-1], point) > least_deg:
            kept.append(point)
    return kept


def _moved_deg(before: HeardPoint, after: HeardPoint) -> float:
    """Return by how much the aim moves between two moments, by compass or by the sun."""
    up, then_up = math.radians(before.elevation_deg), math.radians(after.elevation_deg)
    over = math.cos(up) * math.cos(then_up)
    aside_deg = after.azimuth_deg - before.azimuth_deg
    sun_deg = _off_sun_deg(after) - _off_sun_deg(before)
    return max(
        math.degrees(
            math.acos(
                min(math.sin(up) * math.sin(then_up) + over * math.cos(math.radians(side_deg)), 1.0)
            )
        )
        for side_deg in (aside_deg, sun_deg)
    )


def _off_sun_deg(point: HeardPoint) -> float:
    """Return how far to the right of the sun a moment is, 0 without a sun."""
    return 0.0 if point.sun_azimuth_deg is None else point.azimuth_deg - point.sun_azimuth_deg


def aim_cells(point: HeardPoint, clock: FlightClock) -> tuple[str, ...]:
    """Return one line of the aim table, as `COLUMNS` names its cells."""
    return (
        plus_minutes(point.after_launch_s), clock.local(point.after_launch_s),
        f"{point.azimuth_deg:.0f}°", sun_side_text(point), f"{number_text(point.elevation_deg)}°",
        km_text(point.range_m, 0), number_text(60.0 * point.slew_degps), decibel_text(point.p50),
    )  # fmt: skip


def sun_side_text(point: HeardPoint) -> str:
    """Return how far to the left or right of the sun to aim; a compass lies beside steel."""
    if point.sun_azimuth_deg is None:
        return "–"
    off_deg = (point.azimuth_deg - point.sun_azimuth_deg + 180.0) % 360.0 - 180.0
    return f"{abs(off_deg):.0f}° {'right' if off_deg >= 0.0 else 'left'}"


def aim_words(azimuth_deg: float, elevation_deg: float, nose_deg: float) -> str:
    """Return where to aim from the car, relative to its nose: a clock's hours and fists upward.

    A fist at arm's length is about ten degrees (common practice, no source).

    >>> aim_words(105.0, 25.85, 60.0), aim_words(60.0, 4.0, 60.0)
    ('half past one, two and a half fists up', "twelve o'clock, half a fist up")
    """
    return f"{hour_words(azimuth_deg - nose_deg)}, {fist_words(elevation_deg)}"


def hour_words(right_deg: float) -> str:
    """Return a direction to the right of the nose as on a clock, to the half hour.

    >>> hour_words(45.0), hour_words(-30.0), hour_words(355.0)
    ('half past one', "eleven o'clock", "twelve o'clock")
    """
    halves = round((right_deg % 360.0) / 15.0) % 24
    hour = _NUMBERS[(halves // 2) % 12]
    return f"half past {hour}" if halves % 2 else f"{hour} o'clock"


def side_words(right_deg: float) -> str:
    """Return a direction from the nose as on a clock, and in degrees to the nearest 15.

    >>> side_words(45.0), side_words(-60.0)
    ('half past one, 45° to the right', "ten o'clock, 60° to the left")
    >>> side_words(3.0), side_words(180.0)
    ("twelve o'clock, straight ahead", "six o'clock, straight behind")
    """
    off_deg = 15 * (round((right_deg % 360.0) / 15.0) % 24)
    if off_deg in (0, 180):
        where = "straight ahead" if off_deg == 0 else "straight behind"
    else:
        where = f"{off_deg}° to the right" if off_deg < 180 else f"{360 - off_deg}° to the left"
    return f"{hour_words(right_deg)}, {where}"


def fist_words(elevation_deg: float) -> str:
    """Return an elevation in fists at arm's length, to the half.

    >>> fist_words(25.85), fist_words(9.0), fist_words(-1.0)
    ('two and a half fists up', 'one fist up', 'level')
    """
    halves = round(elevation_deg / 5.0)
    if halves <= 0:
        return "level"
    whole, half = divmod(halves, 2)
    if not whole:
        return "half a fist up"
    words = _NUMBERS[whole] + (" and a half" if half else "")
    return f"{words} {'fist' if (whole, half) == (1, 0) else 'fists'} up"


def aim_part(heard: HasLinks, release_s: float, clock: FlightClock) -> Part:
    """Return the aim table of the car's stand; nothing in it without a link or stand."""
    link = main_link(heard)
    if link is None:
        return Part(title="Where to aim")
    stand = car_stand(heard, link)
    least_deg = step_deg(link)
    points = aim_points(manned(stand), release_s, least_deg)
    rows = [aim_cells(point, clock) for point in points]
    title, table = "Where to aim", Table(columns=COLUMNS, rows=rows)
    told = f"from {stand.name}; dB: margin of the {link.name}"
    rule = f"A line wherever the aim moves by {number_text(least_deg)}°, a third of the beam."
    note, head = f"{told}. {rule}", f"{title} {told}"
    return Part(title=title, note=note, head=head, table=table, after=(rule,), long=True)
