"""The tables of the second sheet: every number of the plan that the card has no room for."""

from dataclasses import dataclass, replace
from typing import Final

from farglide.outlook.links import LostPicture
from farglide.outlook.outlook import Gain, Outlook
from farglide.present.say.answer import notes_told, release_facts, winds_text
from farglide.present.say.gains import BETTER_HEAD, UNKNOWNS_HEAD, WORSE_HEAD, chosen, parted
from farglide.present.say.links.aim import AIM_HEADS, aim_cells, aim_points, main_link, stand_of
from farglide.present.say.links.car import car_words, no_picture_words
from farglide.present.say.links.causes import CAUSE_HEADS, cause_rows, expected_words
from farglide.present.say.links.causes import HEAD as CAUSES_HEAD
from farglide.present.say.links.sky import degree_text
from farglide.present.say.links.weaker import HEAD as WEAKER_HEAD
from farglide.present.say.links.weaker import weaker_words
from farglide.present.say.places.barriers import BARRIER_HEADS, barrier_rows, decision_words
from farglide.present.say.places.barriers import HEAD as BARRIERS_HEAD
from farglide.present.say.sentences import bands_told, ends_told
from farglide.present.say.speeds import SPEED_NOTE, speed_cells, speed_heads
from farglide.present.say.text import (
    FlightClock,
    duration_words,
    grams_text,
    km_text,
    latest_launch_words,
    number_text,
    odds_words,
    place_text,
    plus_minutes,
    sentence,
    shift_words,
    wait_words,
)
from farglide.present.say.unsteered import burst_km, never_left, seconds_text, unsteered_row
from farglide.report.grid import NOTE, Grid, launch_grid

Heads = tuple[tuple[str, bool], ...]  # words, and whether the column stands flush left
N_NARROW: Final = 4  # columns that half a sheet holds


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One table or list of the second sheet."""

    title: str
    note: str = ""
    heads: Heads = ()
    rows: tuple[tuple[str, ...], ...] = ()
    items: tuple[str, ...] = ()
    grid: Grid | None = None
    wide: bool = True
    long: bool = False  # may break across pages


def parts(outlook: Outlook) -> list[list[Part]]:
    """Return the second sheet in groups that stand side by side, in order of use."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    groups = [
        [_release(outlook, clock), _ends(outlook, clock)],
        [_unsteered(outlook, clock)],
        [_car(outlook, clock), _no_picture(outlook, clock)],
        [_causes(outlook, clock)],
        [_weaker(outlook, clock)],
        [_aim(outlook, clock)],
        [_lost_pictures(outlook)],
        [_barriers(outlook)],
        [_seconds_left(outlook), _waiting(outlook)],
        *_changes(outlook),
        [_gains(UNKNOWNS_HEAD, "guess", outlook.unknowns, chosen(outlook))],
        [_launch_spots(outlook)],
        [_fields(outlook, clock)],
        [_levels(outlook, clock)],
        [_speeds(outlook)],
        [_glider(outlook)],
        [_notes(outlook), _cautions(outlook)],
    ]
    filled = [[part for part in group if part.rows or part.items or part.grid] for group in groups]
    return [group for group in filled if group]


def _changes(outlook: Outlook) -> list[list[Part]]:
    """Return the changes for better and for worse: side by side unless they need the width."""
    found = [
        _gains(head, "change", (outlook.as_planned, *gains) if gains else (), chosen(outlook))
        for head, gains in zip((BETTER_HEAD, WORSE_HEAD), parted(outlook), strict=True)
    ]
    narrow = not any(len(part.heads) > N_NARROW for part in found)
    return [[replace(part, wide=False) for part in found]] if narrow else [[part] for part in found]


def _gains(title: str, first: str, gains: tuple[Gain, ...], field: str) -> Part:
    heads: Heads = (
        (first, True),
        (field, False),
        ("not open", False),
        ("last release", False),
    )
    rows: list[tuple[str, ...]] = [
        (
            gain.what,
            odds_words(gain.odds_ratio),
            duration_words(gain.shut_s),
            shift_words(gain.release_by_shift_s),
        )
        for gain in gains
    ]
    if any(gain.advice for gain in gains):
        heads = (*heads, ("what to do", True))
        rows = [(*row, sentence(gain.advice)) for row, gain in zip(rows, gains, strict=True)]
    return Part(title=title, heads=heads, rows=tuple(rows))


def _release(outlook: Outlook, clock: FlightClock) -> Part:
    return Part(title="Release", items=tuple(release_facts(outlook, clock)), wide=False)


def _waiting(outlook: Outlook) -> Part:
    rows = tuple((wait_words(h.delay_s), odds_words(h.odds_ratio)) for h in outlook.holds)
    note = ""
    if outlook.latest_launch_delay_s is not None and outlook.release is not None:
        note = latest_launch_words(outlook.latest_launch_delay_s)
    heads = (("wait", True), (chosen(outlook), False))
    title = "Waiting with the packs on"
    return Part(title=title, note=note, heads=heads, rows=rows, wide=False)


def _seconds_left(outlook: Outlook) -> Part:
    title = "Burst, the glider still tied on"
    if not outlook.seconds_left:
        return Part(title=title)
    note = f"from {burst_km(outlook)} km: send release at once"
    rows = [(left.field, seconds_text(left)) for left in outlook.seconds_left]
    rows += [(name, "not at all") for name in never_left(outlook)]
    heads = (("field", True), ("in reach for", False))
    return Part(title=title, note=note, heads=heads, rows=tuple(rows), wide=False)


def _unsteered(outlook: Outlook, clock: FlightClock) -> Part:
    heads = (
        ("what", True),
        ("from, km", False),
        ("down", False),
        ("8 in 10", False),
        ("drift, km", False),
        ("near", False),
        ("9 in 10 within, km", False),
    )
    rows = tuple(unsteered_row(one, clock) for one in outlook.unsteered)
    return Part(title="If nobody steers", note="times local", heads=heads, rows=rows)


def _car(outlook: Outlook, clock: FlightClock) -> Part:
    items = tuple(sentence(words) for words in car_words(outlook, clock))
    return Part(title="Car and links", items=items, wide=False)


def _no_picture(outlook: Outlook, clock: FlightClock) -> Part:
    items = tuple(sentence(words) for words in no_picture_words(outlook, clock))
    return Part(title="No picture, still on the line", items=items, wide=False)


def _causes(outlook: Outlook, clock: FlightClock) -> Part:
    note = sentence(expected_words(outlook.expected[0])) if outlook.expected else ""
    heads = tuple((words, True) for words in CAUSE_HEADS)
    rows = tuple(cause_rows(outlook, clock))
    return Part(title=CAUSES_HEAD, note=note, heads=heads, rows=rows)


def _weaker(outlook: Outlook, clock: FlightClock) -> Part:
    items = tuple(sentence(words) for words in weaker_words(outlook, clock))
    return Part(title=WEAKER_HEAD, note="times local", items=items)


def _aim(outlook: Outlook, clock: FlightClock) -> Part:
    link = main_link(outlook)
    if link is None:
        return Part(title="Where to aim")
    stand, release = stand_of(outlook, link), outlook.release
    until_s = release.release_by_after_launch_s if release else float("inf")
    rows = tuple(aim_cells(point, clock) for point in aim_points(stand, until_s))
    heads = tuple((words, words == AIM_HEADS[0]) for words in AIM_HEADS)
    note = f"from {stand.name}; dB: in hand of the {link.name}"
    return Part(title="Where to aim", note=note, heads=heads, rows=rows, long=True)


def _lost_pictures(outlook: Outlook) -> Part:
    told = [field for field in outlook.fields if field.lost_picture_agl_m]
    if not told:
        return Part(title="Where the picture is lost")
    heads: Heads = (("field", True), *((one.stand, False) for one in told[0].lost_picture_agl_m))
    rows = tuple((field.name, *map(_lost_text, field.lost_picture_agl_m)) for field in told)
    skies = {one.stand: degree_text(one.highest_deg) for one in outlook.skies}
    if skies:
        names = [one.stand for one in told[0].lost_picture_agl_m]
        rows += (("highest ground round it", *(skies.get(name, "–") for name in names)),)
    ground = "over your ground" if outlook.ground else "flat ground assumed"
    note = f"below m over the field, by stand; {ground}"
    return Part(title="Where the picture is lost", note=note, heads=heads, rows=rows)


def _lost_text(lost: LostPicture) -> str:
    return "everywhere" if lost.agl_m is None else number_text(lost.agl_m)


def _barriers(outlook: Outlook) -> Part:
    heads: Heads = tuple((words, k < 2) for k, words in enumerate(BARRIER_HEADS))
    told = [decision_words(way) for way in outlook.barriers]
    if told:
        odds = odds_words(outlook.barriers[0].open_ratio)
        told.append(f"At odds of {odds}, in brackets if nothing is off; by height alone.")
    note = " ".join(told)
    rows = tuple(row for way in outlook.barriers for row in barrier_rows(way))
    return Part(title=BARRIERS_HEAD, note=note, heads=heads, rows=rows)


def _launch_spots(outlook: Outlook) -> Part:
    return Part(title="Launch elsewhere", note=NOTE, grid=launch_grid(outlook))


def _ends(outlook: Outlook, clock: FlightClock) -> Part:
    heads = (("what ends", True), ("T+", False), ("local", False), ("UTC", False))
    rows = [
        (name + late, plus_minutes(after), clock.local(after), clock.utc(after))
        for after, name, late in ends_told(outlook)
    ]
    for pack in outlook.packs:
        early, late = (clock.local(t) for t in (pack.after_launch_s.p10, pack.after_launch_s.p90))
        if early != late:
            rows.append((f"{pack.name}: 8 in 10 end", "", f"{early}–{late}", ""))
    return Part(title="The end of the day", heads=heads, rows=tuple(rows), wide=False)


def _speeds(outlook: Outlook) -> Part:
    heads = tuple((head, i == 0) for i, head in enumerate(speed_heads(outlook)))
    rows = tuple(speed_cells(outlook, row) for row in outlook.speeds)
    return Part(title="What to fly, by height", note=SPEED_NOTE, heads=heads, rows=rows)


def _glider(outlook: Outlook) -> Part:
    heads = (
        ("height, km", True),
        ("stall, TAS", False),
        ("best, TAS", False),
        ("best, EAS", False),
        ("glide ratio", False),
        ("sink, m/s", False),
        ("top, TAS", False),
        ("Mach", False),
        ("Reynolds, 1000", False),
        ("turn radius, m", False),
        ("pull-out, m", False),
    )
    rows = tuple(
        (
            km_text(row.amsl_m, 0),
            number_text(row.stall_tas_mps),
            number_text(row.best_tas_mps),
            number_text(row.best_eas_mps, 1),
            number_text(row.glide_ratio, 1),
            number_text(row.sink_mps, 1),
            number_text(row.top_tas_mps),
            number_text(row.mach, 2),
            number_text(row.reynolds / 1000.0),
            number_text(row.turn_radius_m),
            number_text(row.pullout_m),
        )
        for row in outlook.glider
    )
    return Part(title="The glider by height", note="speeds in m/s", heads=heads, rows=rows)


def _levels(outlook: Outlook, clock: FlightClock) -> Part:
    heads = (
        ("level", True),
        ("T+", False),
        ("local", False),
        ("UTC", False),
        ("8 in 10, local", False),
        ("near", False),
        ("9 in 10 within, km", False),
    )
    rows = tuple(
        (
            f"FL{level.flight_level}",
            plus_minutes(level.after_launch_s.p50),
            clock.local(level.after_launch_s.p50),
            clock.utc(level.after_launch_s.p50),
            clock.span(level.after_launch_s.p10, level.after_launch_s.p90),
            place_text(level.lat_deg, level.lon_deg),
            km_text(level.radius_m),
        )
        for level in outlook.ascent.levels
    )
    return Part(title="Levels", note="to call", heads=heads, rows=rows)


def _fields(outlook: Outlook, clock: FlightClock) -> Part:
    heads = (
        ("field", True),
        ("state", True),
        ("T+", False),
        ("local", False),
        ("UTC", False),
        ("height, km", False),
        ("why", True),
    )
    rows = []
    for n, field in enumerate(outlook.fields, start=1):
        name = f"{n} {field.name}"
        for band in bands_told(field):
            start, end = band.from_after_launch_s, band.to_after_launch_s
            minutes = f"{plus_minutes(start)[2:]}–{plus_minutes(end)[2:]}"
            utc = f"{clock.utc(start)}–{clock.utc(end)}"
            heights = f"{km_text(band.from_amsl_m)}–{km_text(band.to_amsl_m)}"
            local = clock.span(start, end)
            rows.append((name, band.state, minutes, local, utc, heights, band.reason))
            name = ""
    title = "Each field, if released then"
    return Part(title=title, note="the burst left out", heads=heads, rows=tuple(rows), long=True)


def _notes(outlook: Outlook) -> Part:
    fill = outlook.fill
    items = [winds_text(outlook), *notes_told(outlook)]
    items.append(
        f"Gas: {number_text(fill.volume_m3, 2)} m³ of {fill.gas}, "
        f"{number_text(fill.bottle_ratio, 2)} of a 50 l bottle at 200 bar; free lift "
        f"{grams_text(fill.free_lift_kg)} g."
    )
    items.append(
        f"Burst: {clock_words(outlook)}, most likely near "
        f"{place_text(outlook.ascent.burst.lat_deg, outlook.ascent.burst.lon_deg)}."
    )
    return Part(title="Notes", items=tuple(items), wide=False)


def clock_words(outlook: Outlook) -> str:
    """Return the spread of the burst on the clock, in words."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    return clock.spread(outlook.ascent.burst.after_launch_s)


def _cautions(outlook: Outlook) -> Part:
    return Part(title="Cautions", items=outlook.cautions, wide=False)
