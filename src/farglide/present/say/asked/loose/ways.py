"""Ways in words after the release: past a barrier, how fast, to which ground, and what ends it."""

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.present.say.after import (
    barrier_words,
    circle_words,
    circuit_words,
    ends_words,
    field_words,
    landing_words,
    link_words,
    spare_text,
    speed_words,
    stage_words,
    steer_words,
    way_words,
)
from farglide.present.say.asked.loose.now import not_any_more
from farglide.present.say.asked.reply import Reply, joined
from farglide.present.say.spokenafter import is_high_enough, is_low, is_over
from farglide.present.say.stories import SHUT_BY
from farglide.present.say.text import FlightClock
from farglide.sortie.words import chance_words, km_text


def barrier_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return whether it gets past the barrier on its way, and until when one can turn back."""
    barrier = after.barrier
    if barrier is None:
        return Reply(
            answer="No barrier lies before it on the way that is advised.",
            why="The straight line to the field crosses none that is stated.",
        )
    past = chance_words(barrier.chance_ratio)
    first, *turning = barrier_words(barrier, clock)
    says = "Do not try it from so low"
    if is_high_enough(barrier):
        by = barrier.shut_by
        says = "Go on" if by is None else f"Do not go on, {SHUT_BY[by]}"
    return Reply(
        answer=f"{says}: past {barrier.barrier} {past}.",
        number=first,
        until=joined(*turning),
        why="In the winds measured in the climb, with what is left of their doubt.",
        change="Sinking faster than told, or a slower ground speed: ask again.",
        more=() if after.steer is None else (("Fly", speed_words(after.steer)),),
    )


def speed_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return how fast to fly, down to which height, and why."""
    steer = after.steer
    if steer is None or advice.stage is Stage.TIED_ON:
        return Reply(
            answer="There is no speed to fly: nothing steers it to a field.",
            why=stage_words(advice, after),
        )
    if after.landing is not None and is_low(advice, after):
        return Reply(
            answer=next(circuit_words(after.landing)),
            number=next(landing_words(after.landing, after)),
            why="So low no speed is told: only the landing is left.",
        )
    if is_over(steer):
        return Reply(
            answer=circle_words(steer, advice, clock),
            until=ends_words(steer, clock),
            why=f"It is over {steer.field}.",
            change="A wind that carries it off: legs into it between the circles.",
        )
    return Reply(
        answer=speed_words(steer),
        number=next(steer_words(steer, clock)),
        until=f"From {km_text(steer.until_amsl_m)} km on ask again.",
        why=joined(way_words(steer), ends_words(steer, clock)),
        change="A ground speed that differs by a quarter: the wind is another, ask again.",
    )


def putdown_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return where to bring it down, what is open, and how the last of the way is flown."""
    steer, landing = after.steer, after.landing
    more = [
        ("Fields" if k == 0 else "", field_words(one, advice, clock))
        for k, one in enumerate(advice.fields)
    ]
    if landing is not None:
        more.append(("Low", joined(*landing_words(landing, after), *circuit_words(landing))))
    if steer is None:
        return Reply(
            answer="No field is in reach: open ground, into the wind.",
            number="100 to 300 m beside a road, the car's if there is a choice.",
            why="Keep off woods, water, wires, roads, people and animals.",
            change="A field that opens.",
            more=tuple(more),
        )
    spare = "" if steer.arrival_agl_m is None else f"{spare_text(steer.arrival_agl_m)} km to spare."
    return Reply(
        answer=f"On {steer.field}.",
        number=f"{chance_words(steer.chance_ratio)}; {spare}" if spare else "",
        until=ends_words(steer, clock),
        why=joined(*link_words(after, clock)),
        change="Its chance falling below the next one's.",
        more=tuple(more),
    )


def power_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return which of packs and light ends the flight, against when it is down."""
    steer = after.steer
    if steer is None:
        return not_any_more(advice, after, clock)
    return Reply(
        answer=ends_words(steer, clock),
        number=f"Over {steer.field} about {clock.local(steer.over_after_launch_s)}.",
        why=way_words(steer),
        change="Volts that fall faster than planned: fly faster, circle down sooner.",
    )
