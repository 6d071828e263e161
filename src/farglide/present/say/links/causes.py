"""Causes in words: how to tell distance, aim, damage, overhead and the own command apart."""

from typing import Final, NamedTuple

from farglide.outlook.links import NEAR_M, OVERHEAD_DEG, FlightLinks
from farglide.outlook.outlook import Outlook
from farglide.outlook.weaker import ExpectedPhase, ExpectedPicture, GradeSeen, WeakerLink
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
    slow = f"it fades slowly: up to the release never more than {per_minute} dB a minute"
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
    (released,) = (phase for phase in one.phases if phase.phase == "release")
    each = ", ".join(map(_phase_words, one.phases))
    worse = ", ".join(map(seen_words, released.worse))
    missing = f"; if it is worse at the release, {worse}" if worse else ""
    scale = "5 is faultless, 1 hardly a picture"
    return f"expected at {one.stand} ({scale}): {each}{missing}"


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
    'picture 2 stands for 6 to 7 dB missing'
    >>> seen_words(GradeSeen(grade=0, least_db=7.9, most_db=None))
    'no picture stands for 8 dB or more missing'
    """
    most = " dB or more" if seen.most_db is None else f" to {number_text(seen.most_db)} dB"
    return f"{grade_words(seen.grade)} stands for {number_text(seen.least_db)}{most} missing"


def _damage_words(one: ExpectedPicture, weaker: tuple[WeakerLink, ...]) -> str:
    words = "it drops in a step and stays so, near and far"
    for link in weaker:
        if link.link == one.link and link.loss_db == TOLD_DB:
            grades = {phase.phase: phase.grade or 0 for phase in link.seen}
            release, end = grade_words(grades["release"]), grade_words(grades["end"])
            words += f"; with {TOLD_DB:g} dB less, {release} at the release and {end} at the end"
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
