"""The tables of the second sheet: every number of the plan that the card has no room for."""

from dataclasses import dataclass

from farglide.present.answer import UNKNOWNS_HEAD, release_facts, winds_text
from farglide.present.sentences import ends
from farglide.present.text import (
    FlightClock,
    duration_words,
    grams_text,
    km_text,
    number_text,
    odds_words,
    place_text,
    plus_minutes,
    shift_words,
)
from farglide.sortie.outlook import Gain, Outlook

Heads = tuple[tuple[str, bool], ...]  # words, and whether the column stands flush left


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One table or list of the second sheet."""

    title: str
    note: str = ""
    heads: Heads = ()
    rows: tuple[tuple[str, ...], ...] = ()
    items: tuple[str, ...] = ()
    wide: bool = True
    long: bool = False  # may break across pages


def parts(outlook: Outlook) -> list[list[Part]]:
    """Return the second sheet in groups that stand side by side."""
    clock = FlightClock(launch_t_s=outlook.launch_t_s, zone=outlook.zone)
    groups = [
        [_gains("What would make it better", outlook.gains)],
        [_gains(UNKNOWNS_HEAD, outlook.unknowns)],
        [_release(outlook, clock), _waiting(outlook)],
        [_launch_spots(outlook), _ends(outlook, clock)],
        [_glider(outlook)],
        [_levels(outlook, clock)],
        [_notes(outlook), _cautions(outlook)],
        [_fields(outlook, clock)],
    ]
    filled = [[part for part in group if part.rows or part.items] for group in groups]
    return [group for group in filled if group]


def _gains(title: str, gains: tuple[Gain, ...]) -> Part:
    heads = (
        ("change" if "better" in title else "guess", True),
        ("home", False),
        ("home shut", False),
        ("last release", False),
        ("what to do", True),
    )
    rows = tuple(
        (
            gain.what,
            odds_words(gain.odds_ratio),
            duration_words(gain.shut_s),
            shift_words(gain.release_by_shift_s),
            gain.advice,
        )
        for gain in gains
    )
    return Part(title=title, heads=heads, rows=rows)


def _release(outlook: Outlook, clock: FlightClock) -> Part:
    items: tuple[str, ...] = ("no release meets what you ask",)
    if outlook.release is not None:
        items = tuple(release_facts(outlook.release, clock))
    return Part(title="Release", items=items, wide=False)


def _waiting(outlook: Outlook) -> Part:
    rows = tuple((duration_words(h.delay_s), odds_words(h.odds_ratio)) for h in outlook.holds)
    note = ""
    if outlook.latest_launch_delay_s is not None:
        note = f"launch at most {duration_words(outlook.latest_launch_delay_s)} late"
    heads = (("wait", True), ("home", False))
    title = "Waiting with the packs on"
    return Part(title=title, note=note, heads=heads, rows=rows, wide=False)


def _launch_spots(outlook: Outlook) -> Part:
    heads = (("up the drift, km", True), ("across, km", False), ("home", False), ("shut", False))
    rows = tuple(
        (
            km_text(spot.up_drift_m, 0),
            km_text(spot.across_m, 0),
            odds_words(spot.odds_ratio),
            duration_words(spot.shut_s),
        )
        for spot in outlook.launch_spots
    )
    return Part(title="Launch elsewhere", heads=heads, rows=rows, wide=False)


def _ends(outlook: Outlook, clock: FlightClock) -> Part:
    heads = (("what ends", True), ("T+", False), ("local", False), ("UTC", False))
    rows = [
        (name, plus_minutes(after), clock.local(after), clock.utc(after))
        for after, name in ends(outlook)
    ]
    for pack in outlook.packs:
        early, late = pack.after_launch_s.p10, pack.after_launch_s.p90
        rows.append((f"{pack.name}, 8 in 10", "", clock.span(early, late), ""))
    return Part(title="The end of the day", heads=heads, rows=tuple(rows), wide=False)


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
        for band in field.bands:
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
    items = [winds_text(outlook)]
    if outlook.levels_note:
        items.append(outlook.levels_note)
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
