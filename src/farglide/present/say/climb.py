"""The climb in words: when and where it ends, the levels to call, and the fill."""

from math import isfinite
from typing import Final

from farglide.outlook.ascent import AscentOutlook, BurstOutlook, LevelPassage, Spread
from farglide.outlook.decision import DecisionOutlook
from farglide.outlook.outlook import Outlook
from farglide.present.part import Cell, Column, Part, Table
from farglide.present.say.text import (
    FlightClock,
    compass_words,
    grams_text,
    height_spread,
    place_text,
    plus_minutes,
)
from farglide.sortie.words import chance_words, km_text, number_text

_WIDTHS: Final = (8, 8, 8, 8, 17, 22, 22)
LEVEL_HEADS: Final = ("level", "T+", "local", "UTC", "8 in 10, local", "near", "9 in 10 within, km")


def climb_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return the burst and the flight levels; on paper each level with its place and spread."""
    ascent = outlook.ascent
    facts = [
        f"burst by the clock: {clock.spread(ascent.burst.after_launch_s)}",
        f"burst by height: {height_spread(ascent.burst.height_amsl_m)}",
        *early_words(ascent.burst),
        f"{_speed_words(ascent.mean_mps)}at its farthest {farthest_words(outlook)} of the launch",
    ]
    levels = [(one.flight_level, one.after_launch_s.p50) for one in ascent.levels]
    passed = ", ".join(f"FL{level} at {clock.local(after_s)}" for level, after_s in levels)
    facts += [f"passes {passed}"] if passed else []
    rows = [_level_row(level, clock) for level in ascent.levels]
    table = Table(columns=[*map(Column, LEVEL_HEADS)], rows=rows)
    return Part(title="Levels", note="to call", head="Climb", facts=facts, table=table)


def levels_part(ascent: AscentOutlook, clock: FlightClock, note: str) -> Part:
    """Return the flight levels passed, each with its time and place."""
    rows = [_level_row(level, clock) for level in ascent.levels]
    columns = [Column(head, width) for head, width in zip(LEVEL_HEADS, _WIDTHS, strict=True)]
    return Part(title="Levels", note=note, table=Table(columns=columns, rows=rows))


def early_words(burst: BurstOutlook) -> tuple[str, ...]:
    """Return how many balloons are taken to burst early, and where that comes from.

    >>> burst = BurstOutlook(
    ...     height_amsl_m=(), after_launch_s=(), lat_deg=0.0, lon_deg=0.0, by_time=(), by_height=(),
    ...     within_60_s=(), early_ratio=0.03, early_from="a guess",
    ... )  # type: ignore[arg-type]
    >>> early_words(burst)
    ('1 in 20 are taken to burst early, anywhere on the way up (a guess)',)
    """
    if burst.early_ratio <= 0.0:
        return ()
    share = chance_words(burst.early_ratio)
    return (f"{share} are taken to burst early, anywhere on the way up ({burst.early_from})",)


def _speed_words(speed: Spread) -> str:
    if not isfinite(speed.p50):  # none bursts, so none has climbed from the ground to its burst
        return ""
    slow, half, fast = (number_text(one, 1) for one in (speed.p10, speed.p50, speed.p90))
    return f"climbs at {half} m/s (8 in 10 between {slow} and {fast}), "


def farthest_words(outlook: Outlook) -> str:
    """Return how far the balloon drifts from the launch, and whereto."""
    towards = compass_words(outlook.side.axis_deg)
    return f"{number_text(outlook.ascent.farthest_km)} km {towards}"


def _level_row(level: LevelPassage, clock: FlightClock) -> tuple[str, ...]:
    at = level.after_launch_s
    return (
        f"FL{level.flight_level}", plus_minutes(at.p50), clock.local(at.p50), clock.utc(at.p50),
        clock.span(at.p10, at.p90), place_text(level.lat_deg, level.lon_deg),
        km_text(level.radius_m),
    )  # fmt: skip


def fill_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what to hang on the neck, and what follows from that and from its neighbours."""
    fill = outlook.fill
    columns = (
        Column("hang, g", 8), Column(f"m at {clock.local(300.0)}", 14),
        Column("5 in 10 burst by, km", 22, short="5 in 10 burst by km"), Column("at", 8),
        Column("drift, km", 11),
    )  # fmt: skip
    rows = []
    for row in fill.rows:
        mark = "on" if abs(row.neck_lift_kg - fill.neck_lift_kg) < 5e-4 else ""
        cells = (
            grams_text(row.neck_lift_kg), number_text(row.height_at_5_min_amsl_m),
            km_text(row.burst_amsl_m), clock.local(row.burst_after_launch_s),
            km_text(row.drift_m, 0),
        )  # fmt: skip
        rows.append([Cell(words, mark=mark) for words in cells])
    table = Table(columns=columns, rows=rows)
    lift = f"free lift {grams_text(fill.free_lift_kg)} g"
    return Part(title="Fill", note=gas_words(outlook), facts=(lift,), table=table)


def hang_words(outlook: DecisionOutlook) -> str:
    """Return how to fill: the weight that must just float."""
    weight = grams_text(outlook.fill.neck_lift_kg)
    return f"hang {weight} g on the neck: it must just float"


def gas_words(outlook: DecisionOutlook) -> str:
    """Return which gas, and how much of it."""
    return f"{number_text(outlook.fill.volume_m3, 2)} m³ of {outlook.fill.gas}"


def bottle_words(outlook: DecisionOutlook) -> str:
    """Return how much of a bottle that is, and what it lifts."""
    fill = outlook.fill
    return f"{number_text(fill.bottle_ratio, 2)} of a 50 l bottle at 200 bar"
