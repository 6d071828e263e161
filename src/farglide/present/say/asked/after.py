"""After in words: each question of a flight that no whole balloon carries any more."""

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.present.say.after import (
    aim_words,
    barrier_words,
    circle_words,
    circuit_words,
    ends_words,
    field_words,
    landing_words,
    left_words,
    link_words,
    lost_words,
    needs_words,
    spare_text,
    speed_words,
    stage_words,
    steer_words,
    way_words,
)
from farglide.present.say.asked.reply import Reply, reply_lines
from farglide.present.say.spokenafter import is_high_enough, is_over, spoken_after
from farglide.present.say.stories import SHUT_BY, alone_words, story_words
from farglide.present.say.text import FlightClock, place_text, sentence
from farglide.sortie.words import chance_words, km_text

Told = Callable[[Advice, AfterNow, FlightClock], Reply]
_BY_FIX_M: Final = 50.0


def after_lines(question: str, advice: Advice, after: AfterNow, clock: FlightClock) -> list[str]:
    """Return what an advice after the release says to a question, the answer first."""
    return reply_lines(AFTER.get(question, not_any_more)(advice, after, clock))


def not_any_more(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return that a question is over, and what is to be done instead."""
    return Reply(
        answer="No whole balloon carries it any more: that question is over.",
        number=spoken_after(advice, after),
        why=stage_words(advice, after),
    )


def now_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return all of it: what to do, what it is worth, until when, and why."""
    steer = after.steer
    number, until, fly = "", "", ""
    if steer is not None:
        number, until = next(steer_words(steer, clock)), ends_words(steer, clock)
        if is_over(steer):
            fly = circle_words(steer, advice, clock)
        elif advice.stage is not Stage.TIED_ON:
            fly = speed_words(steer)
    return Reply(
        answer=spoken_after(advice, after),
        number=number,
        until=until,
        why=_joined(stage_words(advice, after), story_words(advice)),
        change=_sighting(advice),
        more=tuple(_more(advice, after, clock, fly)),
    )


def _more(
    advice: Advice, after: AfterNow, clock: FlightClock, fly: str
) -> Iterator[tuple[str, str]]:
    if fly:
        yield "Fly", fly
    for k, one in enumerate(advice.fields):
        yield "Fields" if k == 0 else "", field_words(one, advice, clock)
    if after.barrier is not None:
        yield "Barrier", _joined(*barrier_words(after.barrier, clock))
    yield "Links", _joined(*link_words(after, clock))
    yield "Sure", _sure(advice)
    yield "Aim", aim_words(after)


def where_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return where it is, how surely, and where to aim."""
    place = advice.place
    return Reply(
        answer=f"{km_text(place.amsl_m)} km up, {place_text(place.lat_deg, place.lon_deg)}.",
        number=_sure(advice),
        until=needs_words(advice),
        why=_joined(stage_words(advice, after), story_words(advice)),
        change=_sighting(advice),
        more=(("Aim", _joined(aim_words(after), _beams(after))), *_downs(advice, after, clock)),
    )


def _sure(advice: Advice) -> str:
    place = advice.place
    if place.most_within_m < _BY_FIX_M:
        return "By a fix just now."
    half, most = (f"{one / 1000.0:.1f} km" for one in (place.half_within_m, place.most_within_m))
    return f"5 in 10 that it is within {half} of it, 9 in 10 within {most}."


def _sighting(advice: Advice) -> str:
    if advice.data in ("fresh", "ageing"):
        return "The next fix."
    return "Digits off the picture most; else the bearing of the strongest signal."


def lost_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return what to do without a picture, how long there is, and what happens if nobody does."""
    if advice.stage in (Stage.TIED_ON, Stage.DOWN):
        return now_reply(advice, after, clock)
    left = [_hand_words(one.name, one.shuts_after_launch_s, advice)
            for one in advice.fields if one.state != "shut"]  # fmt: skip
    command = next((one for one in after.links if one.purpose == "command"), None)
    heard = ""
    if command is not None:
        until = "all the way" if command.after_launch_s is None else (
            f"until about {clock.local(command.after_launch_s)}")  # fmt: skip
        heard = f"Commands should still be heard {until}, from {command.stand}."
    blind = ""
    if after.steer is not None:
        blind = f"The turn to {after.steer.field}. {speed_words(after.steer)}"
    aim = aim_words(after)
    return Reply(
        answer=f"Hold the sticks still. {aim}" if aim else "Hold the sticks still. Aim again.",
        number=f"Time in hand: {'; '.join(left)}." if left else "No field is in reach any more.",
        until="When that is over send blind what stands below.",
        why=_joined(heard, stage_words(advice, after), story_words(advice)),
        change=_sighting(advice),
        more=(("Aim", _beams(after)), ("Blind", blind), *_downs(advice, after, clock),
              ("Then", "Type landed when it must be down, and look: farglide search.")),
    )  # fmt: skip


def _beams(after: AfterNow) -> str:
    aim = after.aim
    if aim is None or aim.beam_deg is None:
        return ""
    sides = [(aim.azimuth_deg + turn * aim.beam_deg) % 360.0 for turn in (-1.0, 1.0)]
    return f"Then a beam to either side: {sides[0]:03.0f}° and {sides[1]:03.0f}°."


def _hand_words(name: str, shuts_s: float | None, advice: Advice) -> str:
    if shuts_s is None:
        return f"{name} more than 25 min" if advice.stage is not Stage.TIED_ON else (
            f"{name} more than 10 min")  # fmt: skip
    one = next(one for one in advice.fields if one.name == name)
    return f"{name} {left_words(shuts_s - advice.after_launch_s)} {alone_words(one)}"


def _downs(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[tuple[str, str]]:
    for k, one in enumerate(after.comes_down):
        at, near = clock.local(one.down_after_launch_s), place_text(one.lat_deg, one.lon_deg)
        yield (
            "Down" if k == 0 else "",
            sentence(
                f"{one.story} ({chance_words(one.chance_ratio)}): about {at}, "
                f"{km_text(one.drift_m)} km on, near {near}; 9 in 10 within "
                f"{km_text(one.most_within_m)} km"
            ),
        )


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
        until=_joined(*turning),
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
        why=_joined(way_words(steer), ends_words(steer, clock)),
        change="A ground speed that differs by a quarter: the wind is another, ask again.",
    )


def picture_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return where the picture ends, on the way and over the field."""
    ends = next((one for one in after.links if one.purpose == "picture"), None)
    if ends is None:
        answer = "Nothing is known of the picture on the way."
    elif ends.after_launch_s is None:
        answer = f"The picture holds on the way, from {ends.stand}."
    else:
        at, high = clock.local(ends.after_launch_s), km_text(ends.amsl_m or 0.0)
        answer = f"The picture ends about {at}, at {high} km, from {ends.stand}."
    landing = after.landing
    low = () if landing is None else tuple(landing_words(landing, after))
    return Reply(
        answer=answer,
        number=_joined(*low),
        why="" if ends is None else "By the link budget as stated: ground, distance, antennas.",
        change="Another stand, or an aim that is off.",
        more=(("Aim", aim_words(after)), ("Else", _joined(*_lost_at(after)))),
    )


def _lost_at(after: AfterNow) -> Iterator[str]:
    landing = after.landing
    for name, agl_m in landing.lost_picture if landing is not None else ():
        if after.aim is None or name != after.aim.stand:
            yield f"From {name} it {lost_words(agl_m)}."


def putdown_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return where to bring it down, what is open, and how the last of the way is flown."""
    steer, landing = after.steer, after.landing
    more = [
        ("Fields" if k == 0 else "", field_words(one, advice, clock))
        for k, one in enumerate(advice.fields)
    ]
    if landing is not None:
        more.append(("Low", _joined(*landing_words(landing, after), *circuit_words(landing))))
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
        why=_joined(*link_words(after, clock)),
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


def _joined(*told: str) -> str:
    return " ".join(one for one in told if one)


AFTER: Final[Mapping[str, Told]] = {
    "now": now_reply,
    "where": where_reply,
    "lost": lost_reply,
    "barrier": barrier_reply,
    "speed": speed_reply,
    "picture": picture_reply,
    "putdown": putdown_reply,
    "power": power_reply,
}
"""What can be asked of a flight after its release or burst, and who answers it."""
