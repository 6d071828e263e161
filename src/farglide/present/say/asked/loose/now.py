"""Now in words after the release: all of an advice, where it is, and what is over."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.present.say.after import (
    age_text,
    aim_words,
    barrier_words,
    circle_words,
    circuit_words,
    ends_words,
    field_words,
    link_words,
    speed_words,
    stage_words,
    steer_words,
)
from farglide.present.say.asked.reply import Reply, joined
from farglide.present.say.spokenafter import is_low, is_over, is_too_low, spoken_after
from farglide.present.say.stories import story_words
from farglide.present.say.text import FlightClock, place_text
from farglide.sortie.words import chance_words

_BY_FIX_M: Final = 50.0
_JUST_S: Final = 30.0


def not_any_more(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return that a question is over, and what is to be done instead."""
    return Reply(
        answer="No whole balloon carries it any more: that question is over.",
        number=spoken_after(advice, after),
        why=stage_words(advice, after),
    )


def nothing_to_steer(advice: Advice, after: AfterNow, _: FlightClock) -> Reply:
    """Return that a question of its way is over, once it should be down, and where to go."""
    place = advice.place
    return Reply(
        answer="It should be down: nothing is left to steer.",
        number=joined(f"Go to {place_text(place.lat_deg, place.lon_deg, 5)}.", sure_words(advice)),
        why=stage_words(advice, after),
        change="It is still seen to fly.",
        more=(("Next", "<Ask park> for the way there, <search> for where to look first."),),
    )


def now_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return all of it: what to do, what it is worth, until when, and why."""
    steer = after.steer
    number, until, fly = "", "", ""
    if steer is not None:
        number, until = next(steer_words(steer, clock)), ends_words(steer, clock)
        if is_too_low(advice, after):
            away, chance = f"{steer.away_m / 1000.0:.0f} km off", chance_words(steer.chance_ratio)
            number = f"Best of them {steer.field}, {away}: {chance}."
        elif after.landing is not None and is_low(advice, after):
            fly = joined(*circuit_words(after.landing))
        elif is_over(steer):
            fly = circle_words(steer, advice, clock)
        elif advice.stage is not Stage.TIED_ON:
            fly = speed_words(steer)
    return Reply(
        answer=spoken_after(advice, after),
        number=number,
        until=until,
        why=joined(stage_words(advice, after), story_words(advice)),
        change=sighting_words(advice),
        more=tuple(_more(advice, after, clock, fly)),
    )


def _more(
    advice: Advice, after: AfterNow, clock: FlightClock, fly: str
) -> Iterator[tuple[str, str]]:
    if fly:
        yield "Fly", fly
    if advice.stage is Stage.DOWN:
        yield "Sure", sure_words(advice)
        return
    for k, one in enumerate(advice.fields):
        yield "Fields" if k == 0 else "", field_words(one, advice, clock)
    if after.barrier is not None:
        yield "Barrier", joined(*barrier_words(after.barrier, clock))
    yield "Links", joined(*link_words(after, clock))
    yield "Sure", sure_words(advice)
    yield "Aim", aim_words(after)


def sure_words(advice: Advice) -> str:
    """Return how surely its place is known."""
    place = advice.place
    if place.most_within_m < _BY_FIX_M:
        age_s = max(advice.after_launch_s - place.seen_after_launch_s, 0.0)
        return "By a fix just now." if age_s < _JUST_S else f"By a fix {age_text(age_s)} ago."
    half, most = (f"{one / 1000.0:.1f} km" for one in (place.half_within_m, place.most_within_m))
    return f"5 in 10 that it is within {half} of it, 9 in 10 within {most}."


def sighting_words(advice: Advice) -> str:
    """Return what would tell most of where it is."""
    if advice.data in ("fresh", "ageing"):
        return "The next fix."
    return "Digits off the picture most; else the bearing of the strongest signal."
