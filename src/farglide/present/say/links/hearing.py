"""Hearing in words: budgets, the weakest moment from each stand, and where to aim."""

import math
from typing import Final

from farglide.outlook import links
from farglide.present.lines import blocks, fact_lines, part_lines, row_lines, wrapped
from farglide.present.part import Column
from farglide.present.say.antennas import antenna_lines, bounce_line, ground_test_lines
from farglide.present.say.links.aim import aim_part, decibel_text
from farglide.present.say.links.causes import causes_part
from farglide.present.say.links.sky import sky_lines
from farglide.present.say.links.weaker import weaker_lines
from farglide.present.say.text import FlightClock, plus_minutes
from farglide.sortie.words import km_text, number_text

ASSUMED: Final = (
    "An antenna of which no more is stated is taken as well aimed, whole and matched. Woods, "
    "houses and reflections are not in these numbers. Nor are they a licence: ask which bands "
    "and powers you may use."
)
_COLUMNS: Final = (
    Column("stand", -20), Column("least dB", 10), Column("at", 8), Column("release", 10),
    Column("end", 8),
)  # fmt: skip
_SHORT_S: Final = 60.0


def hearing_lines(heard: links.FlightLinks) -> list[str]:
    """Return every link with its stands, and the aim from the stand of the car."""
    if not heard.outlook.links:
        return ["No link is stated: write [[links]] into the flight file."]
    clock = FlightClock(launch_t_s=heard.launch_t_s, zone=heard.zone)
    release_s = heard.release_after_launch_s
    released = f"No release is worth it; told is the climb up to {clock.both(release_s)}."
    if heard.field:
        home = "on the way that keeps most height and still ends in time"
        released = f"Released at {clock.both(release_s)}, flown to {heard.field} {home}."
    told = []
    for link, found in zip(heard.outlook.links, heard.antennas, strict=True):
        known = [*antenna_lines(found), *ground_test_lines(found), bounce_line(found)]
        told.append(_link_lines(link, known, release_s, clock))
    return blocks(
        [f"{heard.name}: the links along the flight as planned", *wrapped(released, 0, 0)], *told,
        sky_lines(heard.outlook.skies), part_lines(aim_part(heard.outlook, release_s, clock)),
        _neighbour_lines(heard.neighbours), _known_lines(heard),
    )  # fmt: skip


def what_if_lines(heard: links.FlightLinks) -> list[str]:
    """Return all about weaker links, what tells their causes apart, and what is assumed."""
    clock = FlightClock(launch_t_s=heard.launch_t_s, zone=heard.zone)
    lines = [f"{heard.name}: what if a link is weaker", ""]
    lines += weaker_lines(heard.weaker, heard.field, heard.release_after_launch_s, clock)
    causes = part_lines(causes_part(heard, clock))
    lines += ["", *causes] if causes else []
    return [*lines, "", *_known_lines(heard)]


def _known_lines(heard: links.FlightLinks) -> list[str]:
    ground = heard.outlook.ground
    words = f"Ground: {ground}." if ground else "Flat ground assumed: hills do not count."
    return wrapped(f"{words} {ASSUMED}", 0, 0)


def _link_lines(
    link: links.HeardLink, antennas: list[str], release_s: float, clock: FlightClock
) -> list[str]:
    name = link.name if link.name == link.purpose else f"{link.name} ({link.purpose})"
    words = (
        f"{name}: {number_text(link.eirp_dbm, 1)} dBm EIRP, works down to "
        f"{number_text(link.threshold_dbm, 1)} dBm; it reaches {km_text(link.reach_m, 0)} km in "
        f"free space, {km_text(link.half_reach_m, 0)} km with 6 dB margin"
    )
    lines = [*wrapped(words, 0, 2), *antennas]
    if link.budget is not None:
        lines += fact_lines([budget_words(link.budget, link.spread_db)])
    if not link.stands:
        return [*lines, "  no stand is stated: write [[stands]] into the flight file"]
    lines += row_lines(_COLUMNS, [column.head for column in _COLUMNS], 2)
    for stand in link.stands:
        lines += _stand_lines(stand, release_s, clock)
    return [*lines, *best_lines(link)]


def best_lines(link: links.HeardLink) -> list[str]:
    """Return the best stand of each phase; nothing where there is no choice."""
    if len(link.stands) < 2 or not link.best:
        return []
    each = (f"{one.phase}: {one.stand} {decibel_text(one.margin_db)} dB" for one in link.best)
    best = "best stand, if manned all the while, with its smallest margin"
    return fact_lines([f"{best}: {', '.join(each)}"])


def _stand_lines(stand: links.HeardStand, release_s: float, clock: FlightClock) -> list[str]:
    least, released = stand.weakest, stand.nearest(release_s)
    cells = (
        stand.name, decibel_text(least.p50), plus_minutes(least.after_launch_s),
        decibel_text(released.p50), decibel_text(stand.margin_db[-1].p50),
    )  # fmt: skip
    lines = row_lines(_COLUMNS, cells, 2)
    lost = ", ".join(
        f"{name} {'everywhere' if agl_m is None else f'{agl_m:.0f} m'}"
        for name, agl_m in stand.lost_agl_m
    )
    lines += wrapped(f"lost below these heights over the field: {lost}", 4, 6) if lost else []
    silent = [clock.span(*span) for span in stand.silent if span[1] - span[0] >= _SHORT_S]
    if silent:
        lines.append(f"    lost {', '.join(silent)}")
    if stand.overhead:
        lines.append("    it passes nearly overhead, where an upright antenna hardly hears it")
    return lines


def _neighbour_lines(found: links.Neighbours) -> list[str]:
    facts = []
    for clash in found.clashes:
        band = f"{clash.from_hz / 1e6:.2f} to {clash.to_hz / 1e6:.2f} MHz"
        facts.append(f"{clash.cause} falls into {clash.ear}, {band}")
    facts += [
        f"{one.sender} may deafen the receiver of {one.receiver} beside it: "
        f"{decibel_text(one.level_dbm)} dBm with {one.apart_m:g} m between them, more if nearer"
        for one in found.deaf
    ]
    facts = facts or [
        "your own links do not disturb one another by harmonics, mixtures or strength"
    ]
    facts += [_exposure_words(one) for one in found.exposures]
    return ["To test on the bench, all transmitters on", *fact_lines(facts)]


def _exposure_words(one: links.Exposure) -> str:
    words = f"{one.link}: {one.density_wpm2:.2f} W/m² {one.at_m:g} m before its antenna; "
    if one.keep_away_m is None or one.limit_wpm2 is None:
        return f"{words}compare it with the limit of your country, or state it (people_limit_wpm2)"
    away_m = math.ceil(10.0 * one.keep_away_m) / 10.0
    within = f"the limit that you state, {one.limit_wpm2:g} W/m², is reached within {away_m:.1f} m"
    return f"{words}{within}: nobody nearer while it sends, heads last of all"


def budget_words(line: links.BudgetLine, spread_db: float) -> str:
    """Return the items of one margin; `spread_db`: one standard deviation of the doubt."""
    floor_dbm = line.floor_dbm
    threshold = f"{number_text(line.threshold_dbm, 1)} dBm are needed"
    if floor_dbm is not None:
        over_db, needed_db = line.received_dbm - floor_dbm, line.threshold_dbm - floor_dbm
        noise = f"the noise of {number_text(floor_dbm, 1)} dBm"
        threshold = f"{number_text(over_db, 1)} dB over {noise}"
        threshold += f", where {number_text(needed_db, 1)} are needed"
    return (
        f"budget at {plus_minutes(line.after_launch_s)} from {line.stand}, "
        f"{km_text(line.range_m, 0)} km: {number_text(line.eirp_dbm, 1)} dBm EIRP "
        f"{_signed(-line.free_space_db)} free space {_signed(line.receiving_db)} receiving antenna "
        f"and cable {_signed(line.else_db)} else, {number_text(line.received_dbm, 1)} dBm "
        f"received; {threshold}: margin {decibel_text(line.margin_db)} dB, give or take "
        f"{number_text(spread_db, 1)}"
    )


def _signed(value_db: float) -> str:
    """Return decibels with their sign, as an item of a sum.

    >>> _signed(-133.57), _signed(16.0), _signed(-0.01)
    ('− 133.6', '+ 16.0', '− 0.0')
    """
    return f"{'−' if value_db < 0.0 else '+'} {abs(value_db):.1f}"
