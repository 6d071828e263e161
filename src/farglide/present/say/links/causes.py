"""Causes in words: how to tell distance, aim, damage, overhead and the own command apart."""

from typing import Final, Protocol

from farglide.outlook.links import NEAR_M, OVERHEAD_DEG
from farglide.outlook.weaker import ExpectedPhase, ExpectedPicture, GradeSeen, WeakerLink
from farglide.present.part import Column, Part, Table
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.links.weaker import PHASES, TOLD_DB
from farglide.present.say.text import FlightClock, number_text, plus_minutes, sentence

COLUMNS: Final = (
    Column("cause"),
    Column("what it looks like", left=True),
    Column("the test", left=True),
)

Row = tuple[str, str, str]


class HasCauses(Protocol):
    """What is told of weaker pictures: of a whole plan, or of the links alone."""

    @property
    def expected(self) -> tuple[ExpectedPicture, ...]:
        """Return the pictures expected."""

    @property
    def weaker(self) -> tuple[WeakerLink, ...]:
        """Return the links with less than budgeted."""


def causes_part(outlook: HasCauses, clock: FlightClock) -> Part:
    """Return what picture is expected, and how to tell the causes of a worse one apart."""
    expected = [expected_words(one) for one in outlook.expected[:1]]
    rows = cause_rows(outlook.expected, outlook.weaker, clock)
    return Part(
        title="Picture worse than it should be",
        note="".join(map(sentence, expected)),
        facts=(*expected, *(f"{cause}: {looks}. Test: {test}" for cause, looks, test in rows)),
        table=Table(columns=COLUMNS, rows=tuple(rows)),
    )


def cause_rows(
    expected: tuple[ExpectedPicture, ...], weaker: tuple[WeakerLink, ...], clock: FlightClock
) -> list[Row]:
    """Return each cause of a bad picture, what it looks like on this flight, and one test.

    For the first picture link. That causes behave so is common practice, no source; the numbers
    are the plan's.
    """
    if not expected:
        return []
    one = expected[0]
    per_minute = number_text(60.0 * one.fastest_dbps, 1)
    slow = f"slow: up to the release never more than {per_minute} dB a minute"
    aim = "comes and goes with the hand at the antenna; half a beam off costs 3 dB"
    swap = "other receiver, feed line, antenna; no change: count on the smaller reach"
    rows = [
        ("distance", slow, "compare with the grade expected now"),
        ("aim", aim, "a beam to each side, slowly, and back"),
        ("damage", _damage_words(one, weaker), swap),
        ("overhead", _overhead_words(one, clock), "wait until it is lower; move aside next time"),
    ]
    if any(link.purpose == "command" for link in weaker):
        silent = "as good as expected while the command is silent"
        test = "stop sending for ten seconds, unless a release is due"
        rows.append(("own command", silent, test))
    return rows


def expected_words(one: ExpectedPicture) -> str:
    """Return the picture expected from the car's stand, and what a worse one stands for."""
    phases = {phase.phase: phase for phase in one.phases}
    released = phases["release"]
    each = ", ".join(_phase_words(phase) for phase in one.phases)
    worse = ", ".join(seen_words(seen) for seen in released.worse)
    missing = f"; at the release, {worse}" if worse else ""
    return f"expected from {one.stand}, 5 being faultless and 1 hardly a picture: {each}{missing}"


def _phase_words(phase: ExpectedPhase) -> str:
    when = f"{PHASES[phase.phase]} {plus_minutes(phase.after_launch_s)}"
    return f"{grade_words(phase.grade)} {when} ({decibel_text(phase.margin_db)} dB)"


def grade_words(grade: int) -> str:
    """Return a grade of the picture.

    >>> grade_words(3), grade_words(0)
    ('picture 3', 'no picture')
    """
    return f"picture {grade}" if grade else "no picture"


def seen_words(seen: GradeSeen) -> str:
    """Return what a grade that is seen leaves missing.

    >>> seen_words(GradeSeen(grade=2, least_db=5.6, most_db=7.1))
    'picture 2 is 6 to 7 dB missing'
    >>> seen_words(GradeSeen(grade=0, least_db=7.9, most_db=None))
    'no picture is 8 dB or more missing'
    """
    upper = "" if seen.most_db is None else number_text(seen.most_db)
    least = number_text(seen.least_db)
    span = f"{least} dB or more" if not upper else f"{least} to {upper} dB"
    return f"{grade_words(seen.grade)} is {span} missing"


def _damage_words(one: ExpectedPicture, weaker: tuple[WeakerLink, ...]) -> str:
    words = "a step that stays, near and far"
    for link in weaker:
        if link.link == one.link and link.loss_db == TOLD_DB:
            grades = {phase.phase: phase.grade or 0 for phase in link.seen}
            words += (
                f"; {TOLD_DB:g} dB less is {grade_words(grades['release'])} at the release, "
                f"{grade_words(grades['end'])} at the end"
            )
    return words


def _overhead_words(one: ExpectedPicture, clock: FlightClock) -> str:
    high = f"{number_text(one.highest_deg)}°"
    if not one.overhead:
        if one.highest_deg > OVERHEAD_DEG:
            near = f"where it is that high it is nearer than {NEAR_M / 1000.0:.0f} km, and loud"
            return f"only above {OVERHEAD_DEG:.0f}°; from {one.stand} never: {near}"
        return f"only above {OVERHEAD_DEG:.0f}°; from {one.stand} never, it stands {high} at most"
    spans = ", ".join(clock.span(a, b) for a, b in one.overhead)
    return f"only above {OVERHEAD_DEG:.0f}°: from {one.stand} at {spans}, up to {high}"
