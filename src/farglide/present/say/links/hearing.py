"""Hearing in words: budgets, the weakest moment from each stand, and where to aim."""

import math
from textwrap import wrap
from typing import Final

from farglide.outlook.links import Heard, HeardLink, HeardStand
from farglide.outlook.neighbours import Exposure, Neighbours
from farglide.present.say.antennas import antenna_lines, bounce_line, ground_test_lines
from farglide.present.say.links.aim import aim_lines, decibel_text
from farglide.present.say.links.budget import budget_words
from farglide.present.say.links.causes import HEAD as CAUSES_HEAD
from farglide.present.say.links.causes import cause_text, expected_words, picture_rows
from farglide.present.say.links.sky import sky_lines
from farglide.present.say.links.weaker import weaker_lines
from farglide.present.say.text import FlightClock, km_text, number_text, plus_minutes

ASSUMED: Final = (
    "What is not stated of an antenna counts as well aimed, whole and matched; woods, houses and "
    "reflections are not in these numbers. Nor are they a licence: ask which bands and powers are "
    "yours to use."
)
_WIDTH: Final = 100
_STAND_WIDTH: Final = 20
_SHORT_S: Final = 60.0


def hearing_lines(heard: Heard) -> list[str]:
    """Return every link with its stands, and the aim from the stand of the car."""
    if not heard.outlook.links:
        return ["No link is stated: write [[links]] into the flight file."]
    clock = FlightClock(launch_t_s=heard.launch_t_s, zone=heard.zone)
    lines = [f"{heard.name}: links along the flight without errors"]
    at = clock.both(heard.release_after_launch_s)
    lines.append(
        f"Released {at} for {heard.field}, then the way home with most height in time."
        if heard.field
        else f"No release is worth it; the climb up to {at}."
    )
    for link, gear in zip(heard.outlook.links, heard.gear, strict=True):
        lines += [
            "",
            *_link_lines(
                link,
                [*antenna_lines(gear), *ground_test_lines(gear), bounce_line(gear)],
                heard.release_after_launch_s,
                clock,
            ),
        ]
    lines += ["", *skies] if (skies := sky_lines(heard.outlook.skies)) else []
    aims = aim_lines(heard.outlook, heard.release_after_launch_s, clock)
    lines += ["", *aims] if aims else []
    lines += ["", *_neighbour_lines(heard.neighbours)]
    return [*lines, "", *wrap(f"{ground_words(heard)} {ASSUMED}", _WIDTH)]


def what_if_lines(heard: Heard) -> list[str]:
    """Return all about weaker links, what tells their causes apart, and what is assumed."""
    clock = FlightClock(launch_t_s=heard.launch_t_s, zone=heard.zone)
    release_s = heard.release_after_launch_s
    lines = [f"{heard.name}: what if a link is weaker", ""]
    lines += weaker_lines(heard.weaker, heard.field, release_s, clock)
    causes = picture_rows(heard.expected, heard.weaker, clock)
    if causes:
        lines += ["", CAUSES_HEAD]
        facts = [*(expected_words(one) for one in heard.expected[:1]), *map(cause_text, causes)]
        lines += [
            line
            for fact in facts
            for line in wrap(fact, _WIDTH, initial_indent="  ", subsequent_indent="    ")
        ]
    return [*lines, "", *wrap(f"{ground_words(heard)} {ASSUMED}", _WIDTH)]


def ground_words(heard: Heard) -> str:
    """Return which ground counts."""
    if heard.outlook.ground:
        return f"Ground: {heard.outlook.ground}."
    return "Flat ground assumed: hills do not count."


def _link_lines(
    link: HeardLink, antennas: list[str], release_s: float, clock: FlightClock
) -> list[str]:
    lines = wrap(
        f"{link.name} ({link.purpose}): {number_text(link.eirp_dbm, 1)} dBm EIRP, works down to "
        f"{number_text(link.threshold_dbm, 1)} dBm; in free space {km_text(link.reach_m, 0)} km, "
        f"{km_text(link.half_reach_m, 0)} km with 6 dB in hand",
        _WIDTH,
        subsequent_indent="  ",
    )
    lines += antennas
    if link.budget is not None:
        words = budget_words(link.budget, link.spread_db)
        lines += wrap(words, _WIDTH, initial_indent="  ", subsequent_indent="    ")
    if not link.stands:
        return [*lines, "  no stand is stated: write [[stands]] into the flight file"]
    lines.append(f"  {'stand':<{_STAND_WIDTH}}{'least dB':>10}{'at':>8}{'release':>10}{'end':>8}")
    for stand in link.stands:
        lines += _stand_lines(stand, release_s, clock)
    return [*lines, *best_lines(link)]


def best_lines(link: HeardLink) -> list[str]:
    """Return the best stand of each phase; nothing where there is no choice."""
    if len(link.stands) < 2 or not link.best:
        return []
    told = [(one.phase, one.stand, decibel_text(one.margin_db)) for one in link.best]
    each = ", ".join(f"{phase}: {stand} {margin} dB" for phase, stand, margin in told)
    words = f"best by phase, if manned all the while, at its weakest: {each}"
    return wrap(words, _WIDTH, initial_indent="  ", subsequent_indent="    ")


def _stand_lines(stand: HeardStand, release_s: float, clock: FlightClock) -> list[str]:
    least = stand.weakest
    released = stand.nearest(release_s)
    lines = [
        f"  {stand.name[: _STAND_WIDTH - 1]:<{_STAND_WIDTH}}{decibel_text(least.p50):>10}"
        f"{plus_minutes(least.after_launch_s):>8}{decibel_text(released.p50):>10}"
        f"{decibel_text(stand.margin_db[-1].p50):>8}"
    ]
    lost = ", ".join(
        f"{name} {'everywhere' if agl_m is None else f'{agl_m:.0f} m'}"
        for name, agl_m in stand.lost_agl_m
    )
    if lost:
        words = f"lost below, over the ground: {lost}"
        lines += wrap(words, _WIDTH, initial_indent="    ", subsequent_indent="      ")
    silent = [clock.span(*span) for span in stand.silent if span[1] - span[0] >= _SHORT_S]
    if silent:
        lines.append(f"    silent {', '.join(silent)}")
    if stand.overhead:
        lines.append("    passes nearly overhead: an upright antenna hears little there")
    return lines


def _neighbour_lines(found: Neighbours) -> list[str]:
    facts = [
        f"{clash.cause} falls into {clash.ear}, {megahertz_text(clash.from_hz)} to "
        f"{megahertz_text(clash.to_hz)} MHz"
        for clash in found.clashes
    ]
    facts += [
        f"{one.sender} may deafen the receiver of {one.receiver} beside it: "
        f"{decibel_text(one.level_dbm)} dBm with {one.apart_m:g} m between them, more if nearer"
        for one in found.deaf
    ]
    if not facts:
        facts = ["no harmonic, mixture or strong neighbour among your own links"]
    facts += [_exposure_words(one) for one in found.exposures]
    lines = ["To test on the bench, all transmitters on"]
    for fact in facts:
        lines += wrap(fact, _WIDTH, initial_indent="  ", subsequent_indent="    ")
    return lines


def _exposure_words(one: Exposure) -> str:
    words = f"{one.link}: {one.density_wpm2:.2f} W/m² {one.at_m:g} m before its antenna; "
    if one.keep_away_m is None or one.limit_wpm2 is None:
        return f"{words}compare the limit of your country, or state people_limit_wpm2"
    away_m = math.ceil(10.0 * one.keep_away_m) / 10.0
    return (
        f"{words}the limit that you state, {one.limit_wpm2:g} W/m², is reached within "
        f"{away_m:.1f} m: nobody nearer while it sends, heads last of all"
    )


def megahertz_text(frequency_hz: float) -> str:
    """Return megahertz to the hundredth.

    >>> megahertz_text(1301.76e6)
    '1301.76'
    """
    return f"{frequency_hz / 1e6:.2f}"
