"""The fields in words: the state of each over the climb, and when there is nowhere to land."""

from math import isfinite
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.present.part import Column, Part, Table
from farglide.present.say.sentences import bands_told, gap_text
from farglide.present.say.text import FlightClock, km_text, plus_minutes

COLUMNS: Final = (
    Column("field", -18, left=True, short="Field"),
    Column("state", -9, left=True),
    Column("T+", -8),
    Column("local", -12),
    Column("UTC"),
    Column("height, km", -11),
    Column("why", 100, prose=True),
)


def fields_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return each field band by band, if the glider is released then."""
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
    return Part(
        title="Each field, if released then",
        note="the burst left out",
        head="",
        table=Table(columns=COLUMNS, rows=tuple(rows), rule=True),
        after=_after(outlook, clock),
        margin=0,
        long=True,
    )


def _after(outlook: Outlook, clock: FlightClock) -> tuple[str, ...]:
    half_s = outlook.ascent.burst.after_launch_s.p50
    whole = (
        "States are for a whole balloon: the burst, which half have met by "
        f"{clock.local(half_s)}, comes on top."
    )
    return (
        "" if outlook.fields else "no field prepared",
        f"Any field: {gap_text(outlook, clock)}.",
        whole if isfinite(half_s) else "",
    )
