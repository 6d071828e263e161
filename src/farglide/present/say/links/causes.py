"""Causes in words: how to tell distance, aim, damage, overhead and the own command apart."""

from typing import Final, NamedTuple

from farglide.outlook.links import NEAR_M, OVERHEAD_DEG, FlightLinks
from farglide.outlook.outlook import Outlook
from farglide.outlook.weaker import (
    ExpectedPhase,
    ExpectedPicture,
    GradeSeen,
    Phase,
    WeakerLink,
)
from farglide.present.part import Column, Part, Table
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.links.weaker import PHASES, TOLD_DB
from farglide.present.say.text import FlightClock, plus_minutes, sentence
from farglide.sortie.words import number_text

COLUMNS: Final = (
    Column("cause"), Column("what it looks like", left=True), Column("the test", left=True),
)  # fmt: skip

HasCauses = Outlook | FlightLinks
"""What is told of weaker pictures: of a whole plan, or of the links alone."""


class Cause(NamedTuple):
    """Why a picture may be bad, what that looks like on this flight, and one test."""

    name: str
    looks: str
    test: str


def causes_part(outlook: HasCauses, clock: FlightClock) -> Part:
    """Return what picture is expected, and how to tell the causes of a worse one apart."""
    expected = [expected_words(one) for one in outlook.expected[:1]]
    rows = cause_rows(outlook, clock)
    told = [*expected, *(f"{one.name}: {one.looks}. Test: {one.test}" for one in rows)]
    title, table = "Picture worse than it should be", Table(columns=COLUMNS, rows=rows)
    return Part(title=title, note="".join(map(sentence, expected)), facts=told, table=table)


def cause_rows(outlook: HasCauses, clock: FlightClock) -> list[Cause]:
    """Return the causes of a bad picture of the first picture link.

    That causes behave so is common practice, no source; the numbers are the plan's.
    """
    if not outlook.expected:
        return []
    one = outlook.expected[0]
    per_minute = number_text(60.0 * one.fastest_dbps, 1)
    until = "up to the release" if _released(one) else "on the climb"
    slow = f"it fades slowly: {until} never more than {per_minute} dB a minute"
    aim = "it comes and goes with the hand at the antenna; half a beam off costs 3 dB"
    swap = "try another receiver, cable, antenna; if nothing changes, count on the smaller reach"
    high = "wait until it is lower; stand farther aside next time"
    rows = [
        Cause("distance", slow, "compare it with the grade expected now"),
        Cause("aim", aim, "turn a beam to each side, slowly, and back"),
        Cause("damage", _damage_words(one, outlook.weaker), swap),
        Cause("overhead", _overhead_words(one, clock), high),
    ]
    if any(link.purpose == "command" for link in outlook.weaker):
        silent = "it is as good as expected while no command is sent"
        test = "stop sending for ten seconds, unless a release is due"
        rows.append(Cause("own command", silent, test))
    return rows


def expected_words(one: ExpectedPicture) -> str:
    """Return the picture expected from the car's stand, and what a worse one stands for."""
    released = _released(one)
    each = ", ".join(_phase_words(phase, released is not None) for phase in one.phases)
    worse = ", ".join(map(seen_words, (released or one.phases[-1]).worse))
    when = "at the release" if released else "then"
    missing = f"; if it is worse {when}, {worse}" if worse else ""
    scale = "5 is faultless, 1 hardly a picture"
    return f"expected at {one.stand} ({scale}): {each}{missing}"


def _released(one: ExpectedPicture) -> ExpectedPhase | None:
    """Return the moment of the release, None where there is none."""
    return next((phase for phase in one.phases if phase.phase == "release"), None)


def _phase_words(phase: ExpectedPhase, is_released: bool) -> str:
    of = " of the climb" if phase.phase == "end" and not is_released else ""
    when = f"{PHASES[phase.phase]}{of} {plus_minutes(phase.after_launch_s)}"
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
    'picture 2 stands for 6 to 7 dB missing'
    >>> seen_words(GradeSeen(grade=0, least_db=7.9, most_db=None))
    'no picture stands for 8 dB or more missing'
    """
    least = number_text(seen.least_db)
    most = None if seen.most_db is None else number_text(seen.most_db)
    span = f"{least} dB or more" if most is None else f"{least} to {most} dB"
    span = f"about {least} dB" if most == least else span
    return f"{grade_words(seen.grade)} stands for {span} missing"


def _damage_words(one: ExpectedPicture, weaker: tuple[WeakerLink, ...]) -> str:
    words = "it drops in a step and stays so, near and far"
    ends: tuple[Phase, ...] = ("release", "end")
    for link in weaker:
        if link.link == one.link and link.loss_db == TOLD_DB:
            grades = {phase.phase: phase.grade or 0 for phase in link.seen}
            told = (
                f"{grade_words(grades[phase])} {PHASES[phase]}" for phase in ends if phase in grades
            )
            words += f"; with {TOLD_DB:g} dB less, {' and '.join(told)}"
    return words


def _overhead_words(one: ExpectedPicture, clock: FlightClock) -> str:
    only = f"it can only be where the glider stands over {OVERHEAD_DEG:.0f}° high"
    high = f"{number_text(one.highest_deg)}°"
    if one.overhead:
        spans = ", ".join(clock.span(*span) for span in one.overhead)
        return f"{only}: from {one.stand} at {spans}, up to {high}"
    if one.highest_deg <= OVERHEAD_DEG:
        return f"{only}; from {one.stand} never, it stands {high} at most"
    near = f"where it is that high it is nearer than {NEAR_M / 1000.0:.0f} km, and loud"
    return f"{only}; from {one.stand} never: {near}"
