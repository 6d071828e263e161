"""The whole plan as lines for a terminal: the decision first, then what carries it."""

from collections.abc import Iterable
from math import isfinite
from textwrap import wrap
from typing import Final

from farglide.outlook.outlook import FieldOutlook, Gain, Outlook, ReleaseOutlook, Spread
from farglide.present.say.gains import (
    BETTER_HEAD,
    UNKNOWNS_HEAD,
    WORSE_HEAD,
    base_words,
    chosen,
    gain_words,
    parted,
)
from farglide.present.say.hardware import heat_facts
from farglide.present.say.links.aim import aim_lines
from farglide.present.say.links.car import car_words, no_picture_words
from farglide.present.say.links.causes import HEAD as CAUSES_HEAD
from farglide.present.say.links.causes import cause_words
from farglide.present.say.links.weaker import HEAD as WEAKER_HEAD
from farglide.present.say.links.weaker import weaker_words
from farglide.present.say.places.barriers import HEAD as BARRIERS_HEAD
from farglide.present.say.places.barriers import barrier_words
from farglide.present.say.sentences import (
    FLATTEST,
    FLATTEST_SPIRAL,
    bands_told,
    ends_told,
    gap_text,
    late_words,
)
from farglide.present.say.speeds import (
    SPEED_NOTE,
    flown_words,
    second_way,
    speed_cells,
    timely_words,
)
from farglide.present.say.text import (
    FlightClock,
    bearing_text,
    compass_words,
    duration_words,
    grams_text,
    height_spread,
    km_text,
    latest_launch_words,
    number_text,
    odds_words,
    permission_words,
    plus_minutes,
    sentence,
    sun_words,
)
from farglide.present.say.unsteered import seconds_left_words, unsteered_row

WIDTH: Final = 100
NAME_WIDTH: Final = 18
ENDING_WORDS: Final = {
    "burst": "the burst",
    "reach": "the way back",
    "packs": "the packs",
    "light": "the light",
    "command": "the command link",
    "picture": "the picture link",
}
WHAT_WIDTH: Final = 30
LAST_WORD: Final = (
    "Advice from a forecast and a model that may be wrong. The pilot and the authorities decide; "
    "the last word is to your eyes."
)


def answer_lines(outlook: Outlook) -> list[str]:
    """Return the plan in plain lines of at most 100 columns."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    better, worse = parted(outlook)
    field = chosen(outlook)
    blocks = [
        _decision(outlook),
        _origin(outlook, clock),
        _fields(outlook, clock),
        _release(outlook, clock),
        _list("Car and links", car_words(outlook, clock)),
        aim_lines(outlook, _release_s(outlook), clock),
        _list("No picture, still on the line", no_picture_words(outlook, clock)),
        _list(BARRIERS_HEAD, barrier_words(outlook)),
        _climb(outlook, clock),
        _fill(outlook, clock),
        _day(outlook, clock),
        _list("Heat and cold", heat_facts(outlook, clock)),
        _speeds(outlook),
        _unsteered(outlook, clock),
        _list(CAUSES_HEAD, cause_words(outlook, clock)),
        _list(WEAKER_HEAD, weaker_words(outlook, clock)),
        _base(outlook) if outlook.gains else [],
        _gains(BETTER_HEAD, better, field),
        _gains(WORSE_HEAD, worse, field),
        _gains(UNKNOWNS_HEAD, outlook.unknowns, field),
        _list("Notes", notes_told(outlook)),
        _list("Cautions", outlook.cautions),
        _paragraph(LAST_WORD),
    ]
    lines: list[str] = []
    for block in blocks:
        if block:
            lines += [*block, ""]
    return lines[:-1]


def _decision(outlook: Outlook) -> list[str]:
    lines: list[str] = []
    if not outlook.cleared:
        lines.append("NOT CLEARED")
        lines += _bullets(f"missing: {permission_words(item)}" for item in outlook.missing)
        lines.append("")
    lines += _paragraph(outlook.verdict)
    lines += _paragraph(outlook.why)
    if outlook.would_open:
        lines += _paragraph("What would open it: " + "; ".join(outlook.would_open) + ".")
    return lines


def _origin(outlook: Outlook, clock: FlightClock) -> list[str]:
    launch = f"{outlook.name}, {clock.date()}, launch {clock.both(0.0)} at {outlook.launch_name}."
    return [*_paragraph(launch), *_paragraph(winds_text(outlook))]


def winds_text(outlook: Outlook) -> str:
    """Return where the winds come from, how old they are, and how many draws bear the odds."""
    age = "age unknown"
    if isfinite(outlook.wind_age_s):
        after = " after the launch" if outlook.wind_age_s < 0.0 else " old at launch"
        age = duration_words(abs(outlook.wind_age_s)) + after
        if abs(outlook.wind_age_s) < 30.0:
            age = "for the time of the launch"
    draws = f"{number_text(outlook.n_draws)} draws, seed {outlook.seed}"
    return f"Winds: {outlook.wind_origin}, {age}. {draws}."


def _fields(outlook: Outlook, clock: FlightClock) -> list[str]:
    head = f"{'Field':<{NAME_WIDTH}}{'state':<9}{'T+':<8}{'local':<12}{'height km':<11}why"
    lines = [head, "-" * WIDTH]
    for n, field in enumerate(outlook.fields, start=1):
        lines += _field(n, field, clock)
    if not outlook.fields:
        lines.append("no field prepared")
    lines += _paragraph(f"Any field: {gap_text(outlook, clock)}.")
    half_s = outlook.ascent.burst.after_launch_s.p50
    if isfinite(half_s):
        lines += _paragraph(
            "States are for a whole balloon: the burst, which half have met by "
            f"{clock.local(half_s)}, comes on top."
        )
    return lines


def _field(n: int, field: FieldOutlook, clock: FlightClock) -> list[str]:
    lines, name = [], f"{n} {field.name}"
    for band in bands_told(field):
        start, end = band.from_after_launch_s, band.to_after_launch_s
        minutes = f"{plus_minutes(start)[2:]}–{plus_minutes(end)[2:]}"
        heights = f"{km_text(band.from_amsl_m)}–{km_text(band.to_amsl_m)}"
        first = f"{name[: NAME_WIDTH - 1]:<{NAME_WIDTH}}{band.state:<9}{minutes:<8}"
        first += f"{clock.span(start, end):<12}{heights:<11}"
        words = wrap(band.reason, WIDTH - len(first)) or [""]
        lines.append((first + words[0]).rstrip())
        lines += [" " * len(first) + more for more in words[1:]]
        name = ""
    return lines


def _release(outlook: Outlook, clock: FlightClock) -> list[str]:
    return ["Release", *_bullets(release_facts(outlook, clock))]


def release_facts(outlook: Outlook, clock: FlightClock) -> list[str]:
    """Return what there is to say about the release, one fact a line."""
    release = outlook.release
    if release is None:
        return ["no release meets what you ask"]
    window = release.window
    start, end = window.from_after_launch_s, window.to_after_launch_s
    low, high = km_text(window.from_amsl_m), km_text(window.to_amsl_m)
    over = release.over_field_after_launch_s
    flattest = "; ".join(
        f"{name} {clock.local(after)}{late}"
        for after, name, late in reversed(ends_told(outlook))
        if name in (FLATTEST, FLATTEST_SPIRAL)
    )
    facts = [
        f"window {clock.span(start, end)} ({plus_minutes(start)} to {plus_minutes(end)[2:]}), "
        f"{low} to {high} km",
        f"release by {clock.both(release.release_by_after_launch_s)}, near "
        f"{km_text(release.release_by_amsl_m)} km: then {ENDING_WORDS[release.bound_by]} "
        f"{'end' if release.bound_by == 'packs' else 'ends'} the window",
        f"{release.field}: {odds_words(release.odds_ratio)}; {_record_words(release)}",
        f"burst by then {odds_words(release.burst_ratio)}; if still whole, in two minutes more "
        f"{odds_words(release.burst_within_120_s_ratio)}",
        f"{km_text(release.spare_m, 0)} km to spare over {release.field}; quickest to "
        f"{release.arrival_agl_m:.0f} m over it {clock.local(over)}{late_words(outlook, over)}",
    ]
    facts += [words for words in (timely_words(outlook, clock), flattest) if words]
    return [*facts, *flown_words(outlook, clock)]


def _release_s(outlook: Outlook) -> float:
    release = outlook.release
    return release.release_by_after_launch_s if release else float("inf")


def _speeds(outlook: Outlook) -> list[str]:
    if not outlook.speeds:
        return []
    lines = [
        f"What to fly, by height ({SPEED_NOTE})",
        f"  {'':>10}{'quickest':>24}{second_way(outlook):>30}",
        f"  {'height km':>10}{'ground':>10}{'sink':>8}{'EAS':>8}"
        f"{'ground':>14}{'sink':>8}{'EAS':>8}",
    ]
    for row in outlook.speeds:
        cells = speed_cells(outlook, row)
        lines.append(
            f"  {cells[0]:>10}{cells[1]:>10}{cells[2]:>8}{cells[3]:>8}"
            f"{cells[4]:>14}{cells[5]:>8}{cells[6]:>8}"
        )
    return lines


def _record_words(release: ReleaseOutlook) -> str:
    if not isfinite(release.product_ratio):
        return "no record of both releases and pull-outs, so the share that works is unknown"
    return f"with the record of releases and pull-outs {odds_words(release.product_ratio)}"


def _speed_words(speed: Spread) -> str:
    if not isfinite(speed.p50):  # none bursts, so none has climbed from the ground to its burst
        return ""
    return (
        f"climb {number_text(speed.p50, 1)} m/s (8 in 10 between {number_text(speed.p10, 1)} and "
        f"{number_text(speed.p90, 1)}), "
    )


def _climb(outlook: Outlook, clock: FlightClock) -> list[str]:
    ascent = outlook.ascent
    speed = ascent.mean_mps
    towards = compass_words(outlook.side.axis_deg)
    facts = [
        f"burst: {clock.spread(ascent.burst.after_launch_s)}",
        f"burst height: {height_spread(ascent.burst.height_amsl_m)}",
        f"{_speed_words(speed)}farthest {number_text(ascent.farthest_km)} km, {towards}",
    ]
    facts += [
        f"FL{level.flight_level}: {clock.both(level.after_launch_s.p50)}" for level in ascent.levels
    ]
    return ["Climb", *_bullets(facts)]


def _fill(outlook: Outlook, clock: FlightClock) -> list[str]:
    fill = outlook.fill
    bottles = number_text(fill.bottle_ratio, 2)
    lines = [
        "Fill",
        *_bullets(
            [
                f"hang {grams_text(fill.neck_lift_kg)} g: it must just float "
                f"({fill.gas}, {number_text(fill.volume_m3, 2)} m³, {bottles} of a 50 l bottle "
                f"at 200 bar; free lift {grams_text(fill.free_lift_kg)} g)"
            ]
        ),
        f"  {'hang g':>8}{'m at ' + clock.local(300.0):>14}{'half burst km':>16}{'at':>8}"
        f"{'drift km':>11}",
    ]
    lines += [
        f"  {grams_text(row.neck_lift_kg):>8}{number_text(row.height_at_5_min_amsl_m):>14}"
        f"{km_text(row.burst_amsl_m):>16}{clock.local(row.burst_after_launch_s):>8}"
        f"{km_text(row.drift_m, 0):>11}"
        for row in fill.rows
    ]
    return lines


def _day(outlook: Outlook, clock: FlightClock) -> list[str]:
    facts = [f"{name} {clock.both(after)}{late}" for after, name, late in ends_told(outlook)]
    sun = outlook.sun
    when = "the release" if outlook.release else "the burst"
    facts.append(
        f"sun at {when} {sun_words(sun.azimuth_deg, sun.elevation_deg)}; "
        f"{sun.field} bears {bearing_text(sun.field_bearing_deg)}, "
        f"{km_text(sun.field_distance_m, 0)} km"
    )
    if outlook.release is None:  # then there is nothing to be late for
        return ["The day", *_bullets(facts)]
    if outlook.latest_launch_delay_s is not None:
        facts.append(latest_launch_words(outlook.latest_launch_delay_s))
    facts += [
        f"waiting {duration_words(hold.delay_s)} with the packs on: {chosen(outlook)} "
        f"{odds_words(hold.odds_ratio)}"
        for hold in outlook.holds
        if hold.delay_s > 0.0
    ]
    return ["The day", *_bullets(facts)]


def _unsteered(outlook: Outlook, clock: FlightClock) -> list[str]:
    lines = _bullets(seconds_left_words(outlook))
    if outlook.unsteered:
        head = ("", "from km", "down", "8 in 10", "drift km", "near", "within km")
        lines.append(_row(head))
        for one in outlook.unsteered:
            row = unsteered_row(one, clock)
            first, *more = wrap(row[0], WHAT_WIDTH - 1)
            lines.append(_row((first, *row[1:])))
            lines += [f"    {words}" for words in more]
        lines.append("  within: 9 in 10 come down that near")
    return ["If nobody steers", *lines] if lines else []


def _row(cells: tuple[str, ...]) -> str:
    what, start, down, span, drift, near, radius = cells
    return f"  {what:<{WHAT_WIDTH}}{start:>7}{down:>7}{span:>13}{drift:>10}{near:>20}{radius:>11}"


def _gains(head: str, gains: Iterable[Gain], field: str) -> list[str]:
    return _list(head, (gain_words(gain, field) for gain in gains))


def _base(outlook: Outlook) -> list[str]:
    return _paragraph(f"What changes are told against: {base_words(outlook)}.")


def notes_told(outlook: Outlook) -> list[str]:
    """Return what a reader must know about inputs and limits, one sentence a line."""
    notes = [outlook.levels_note, *outlook.notes]
    amsl_m = outlook.ascent.beyond_amsl_m
    if amsl_m is not None:
        notes.append(f"above {km_text(amsl_m)} km the winds are an extension of the sounding")
    return [sentence(note) for note in notes if note.strip()]


def _list(head: str, items: Iterable[str]) -> list[str]:
    lines = _bullets(item for item in items if item)
    return [head, *lines] if lines else []


def _bullets(items: Iterable[str]) -> list[str]:
    lines: list[str] = []
    for item in items:
        lines += wrap(item, WIDTH, initial_indent="  ", subsequent_indent="    ")
    return lines


def _paragraph(words: str) -> list[str]:
    return wrap(words, WIDTH)
