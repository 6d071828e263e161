"""Weaker links in words: what is left of reach and chance, and from where it is heard again."""

from collections.abc import Sequence
from typing import Final

from farglide.outlook.outlook import Outlook
from farglide.outlook.weaker import HeardAgain, SeenPhase, WeakerLink
from farglide.present.lines import fact_lines, row_lines, table_lines, wrapped
from farglide.present.part import Column, Part, Table
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.text import FlightClock, duration_words, plus_minutes
from farglide.sortie.words import chance_words, km_text

HEAD: Final = "If a link is weaker"
TOLD_DB: Final = 9.0
"""Of the losses that a plan tries, the one whose places it names."""
_NAME: Final = 30
_SHORT_COLUMNS: Final = (
    Column("link", -_NAME), Column("reach km", 10), Column("least dB", 10), Column("at", 7),
    Column("chance", 14), Column("  from", -_NAME),
)  # fmt: skip
_AGAIN_COLUMNS: Final = (
    Column("at", -_NAME), Column("heard", 12), Column("chance", 14), Column("drive", 7),
    Column("leave by", 9), Column("first", 9), Column("chance", 14),
)  # fmt: skip
PHASES: Final = {"weakest": "at its weakest", "release": "at the release", "end": "at the end"}
ROAD_NOTE: Final = (
    "Drives are those stated, or 50 km/h on 1.35 times the straight line; where a barrier lies on "
    "that line the road may be far longer: look at the map, and keep to the legal speed. First: "
    "the first contact of a car that leaves at the release, and its chance. Leave by: the latest "
    "for any contact. The chances count where the drawn flights go and the doubt about the budget."
)


def less_words(loss_db: float) -> str:
    """Return how much weaker a link is.

    >>> less_words(0.0), less_words(9.0), less_words(6.02)
    ('as budgeted', '9 dB less', '6.02 dB less')
    """
    return f"{loss_db:g} dB less" if loss_db else "as budgeted"


def weaker_table(links: Sequence[WeakerLink], field: str) -> list[str]:
    """Return a short table: what each loss leaves of the reach, the margin and the chance."""
    if not links:
        return []
    least = f"Least dB: the smallest margin at {links[0].stand}, once it is manned."
    note = f"{least} Where each can be received again: --less-db."
    head = f"{HEAD}: the chance of {field} then" if field else HEAD
    table = Table(columns=_SHORT_COLUMNS, rows=[*map(_weaker_cells, links)])
    return [head, *table_lines(table), *wrapped(note, 2, 2)]


def _weaker_cells(one: WeakerLink) -> tuple[str, ...]:
    (weakest,) = (phase for phase in one.seen if phase.phase == "weakest")
    chance = "–" if one.chance_ratio is None else chance_words(one.chance_ratio)
    return (
        f"{one.link}, {less_words(one.loss_db)}", km_text(one.reach_m, 0),
        decibel_text(weakest.margin_db), plus_minutes(weakest.after_launch_s), chance,
        f"  {one.chance_stand or '–'}",
    )  # fmt: skip


def weaker_lines(
    links: Sequence[WeakerLink], field: str, release_s: float, clock: FlightClock
) -> list[str]:
    """Return all about weaker picture and command links, and where to drive."""
    told = [one for one in links if one.purpose in ("picture", "command")]
    lines = [line for one in told for line in (*_link_lines(one, field, release_s, clock), "")]
    return [*lines, *wrapped(ROAD_NOTE, 0, 0)] if lines else []


def _link_lines(one: WeakerLink, field: str, release_s: float, clock: FlightClock) -> list[str]:
    reach = f"it reaches {km_text(one.reach_m, 0)} km in free space"
    head = f"{one.link}, {less_words(one.loss_db)}: {reach}"
    facts = [f"from {one.stand}: " + ", ".join(map(phase_words, one.seen))]
    if one.chance_ratio is not None:
        stand = f", best from {one.chance_stand}" if one.chance_stand else ""
        facts.append(f"chance of {field} then: {chance_words(one.chance_ratio)}{stand}")
    lines = [*wrapped(head, 0, 4), *fact_lines(facts)]
    if not one.heard_again:
        return lines
    heard = "reached" if one.purpose == "command" else "received"
    at = f"after a release at {clock.both(release_s)} that nobody steers"
    lines.append(f"  Where it can be {heard} again {at}")
    columns = tuple(c._replace(head=heard) if c.head == "heard" else c for c in _AGAIN_COLUMNS)
    lines += row_lines(columns, [column.head for column in columns], 4)
    for story, rows in _by_story(one).items():
        lines += [f"   {story}", *story_lines(rows, clock)]
    return lines


def _by_story(one: WeakerLink) -> dict[str, list[HeardAgain]]:
    stories: dict[str, list[HeardAgain]] = {}
    for row in one.heard_again:
        stories.setdefault(row.story, []).append(row)
    return stories


def phase_words(phase: SeenPhase) -> str:
    """Return the margin of one phase, with the grade of a picture."""
    grade = ""
    if phase.grade is not None:
        grade = f" (picture {phase.grade})" if phase.grade else " (no picture)"
    at = f" {plus_minutes(phase.after_launch_s)}" if phase.phase == "weakest" else ""
    return f"{decibel_text(phase.margin_db)} dB{grade} {PHASES[phase.phase]}{at}"


def story_lines(rows: Sequence[HeardAgain], clock: FlightClock) -> list[str]:
    """Return the places that hear one story, then those that do not, and what to do if none can."""
    lines = [line for row in rows if row.spans for line in _row_lines(row, clock)]
    never = [f"{row.place} {chance_words(row.heard_ratio)}" for row in rows if not row.spans]
    if never:
        lines += wrapped(
            f"not if all goes as planned; the chance even so: {', '.join(never)}", 4, 6
        )
    if all(row.contact_after_launch_s is None for row in rows):
        words = (
            "no place in time from the release on: leave earlier, or drive to where it comes down"
        )
        lines += wrapped(words, 4, 6)
    return lines


def _row_lines(row: HeardAgain, clock: FlightClock) -> list[str]:
    off_s, contact_s = row.set_off_after_launch_s, row.contact_after_launch_s
    cells = (
        f"{row.place}{' (field)' if row.at == 'field' else ''}",
        _heard_text(row, clock), chance_words(row.heard_ratio),
        f"{round(row.drive_s / 60.0)} min" if row.drive_s else "there",
        clock.local(off_s) if off_s is not None and row.drive_s else "–",
        clock.local(contact_s) if contact_s is not None else "too late",
        chance_words(row.in_time_ratio),
    )  # fmt: skip
    lines = row_lines(_AGAIN_COLUMNS, cells, 4)
    if len(row.spans) > 1:
        lines.append(f"      with gaps: {', '.join(clock.span(*span) for span in row.spans)}")
    if row.barriers:
        lines.append(f"      {' and '.join(row.barriers)} on the straight line")
    return lines


def _heard_text(row: HeardAgain, clock: FlightClock) -> str:
    return clock.span(row.spans[0][0], row.spans[-1][1])


def weaker_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what weaker links leave, a line for each, then from where they are heard again."""
    facts = []
    then = f", and the chance of {outlook.release.field} then" if outlook.release else ""
    for name in dict.fromkeys(one.link for one in outlook.weaker if one.chance_ratio is not None):
        told = (_short_words(one) for one in outlook.weaker if one.link == name)
        facts.append(f"{name}{then}: {'; '.join(told)}")
    for one in outlook.weaker:
        if one.purpose == "picture" and one.loss_db == TOLD_DB:
            facts += again_words(one, clock)
    return Part(title=HEAD, note="times local", facts=facts)


def _short_words(one: WeakerLink) -> str:
    chance = "" if one.chance_ratio is None else f", {chance_words(one.chance_ratio)}"
    return f"{less_words(one.loss_db)} reaches {km_text(one.reach_m, 0)} km{chance}"


def again_words(one: WeakerLink, clock: FlightClock) -> list[str]:
    """Return from where each story is heard, with the loss, in one sentence each."""
    told = []
    for story, rows in _by_story(one).items():
        where = "; ".join(_place_words(row, clock) for row in rows if row.spans)
        heard = f"receivable at {where}" if where else "receivable nowhere"
        told.append(f"{one.link} {less_words(one.loss_db)}, {story}: {heard}")
    return told


def _place_words(row: HeardAgain, clock: FlightClock) -> str:
    """Return one place that hears a story, when, and the way there."""
    heard = f"{row.place} {_heard_text(row, clock)}"
    if not row.drive_s:
        return f"{heard} (the car is there)"
    by_s = row.set_off_after_launch_s
    there = "" if by_s is None else f", leave by {clock.local(by_s)}"
    way = f", {' and '.join(row.barriers)} in between" if row.barriers else ""
    return f"{heard} ({duration_words(row.drive_s)} to drive{way}{there})"
