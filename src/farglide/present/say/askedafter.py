"""Asked after the release: answer, number, until when, why, and what would change it."""

from collections.abc import Callable, Iterator
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.present.lines import blocks, part_lines
from farglide.present.part import Part
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
    needs_words,
    speed_words,
    stage_words,
    steer_words,
    story_words,
    way_words,
)
from farglide.present.say.spokenafter import is_high_enough, is_over, spoken_after
from farglide.present.say.text import FlightClock, place_text
from farglide.sortie.words import chance_words, km_text

Told = Callable[[Advice, AfterNow, FlightClock], Iterator[Part]]


def after_lines(question: str, advice: Advice, after: AfterNow, clock: FlightClock) -> list[str]:
    """Return what an advice after the release says to a question, the answer first."""
    told = AFTER.get(question, _not_any_more)
    parts = told(advice, after, clock)
    return blocks(*(part_lines(one) for one in parts if one.facts))


def _part(title: str, *facts: str) -> Part:
    return Part(title=title, facts=tuple(one for one in facts if one))


def _answer(words: str) -> Part:
    return Part(margin=0, facts=(words,))


def _not_any_more(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    yield _answer("No whole balloon carries it any more: that question is over.")
    yield _part("Now", spoken_after(advice, after), stage_words(advice, after))


def now_parts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    """Yield all of it: what to do, what it is worth, until when, and why."""
    yield _answer(spoken_after(advice, after))
    yield _part("At", stage_words(advice, after), story_words(advice))
    if after.steer is not None:
        steer = after.steer
        fly: tuple[str, ...] = (speed_words(steer), way_words(steer))
        if is_over(steer):
            fly = (circle_words(steer, advice, clock),)
        elif advice.stage is Stage.TIED_ON:
            fly = ()
        yield _part("Fly", *steer_words(steer, clock), *fly, ends_words(steer, clock))
    yield _part("Fields", *(field_words(one, advice, clock) for one in advice.fields))
    if after.barrier is not None:
        yield _part("Barrier", *barrier_words(after.barrier, clock))
    yield _part("Links", *link_words(after, clock))
    yield from where_facts(advice, after)


def where_parts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    """Yield where it is, how surely, and where to aim."""
    place = advice.place
    at = place_text(place.lat_deg, place.lon_deg)
    yield _answer(f"{km_text(place.amsl_m)} km up, {at}.")
    yield from where_facts(advice, after)
    yield _part("At", stage_words(advice, after), story_words(advice))
    yield _part("What would change it", _sighting(advice))


def where_facts(advice: Advice, after: AfterNow) -> Iterator[Part]:
    """Yield how sure the place is, how old what it is known by, and where to aim."""
    place = advice.place
    half, most = (f"{one / 1000.0:.1f} km" for one in (place.half_within_m, place.most_within_m))
    around = f"Half of what is believed lies within {half}, 9 in 10 within {most}."
    sure = "By a fix just now." if place.most_within_m < 50.0 else around
    yield _part("How sure", sure, needs_words(advice))
    yield _part("Aim", aim_words(after))


def _sighting(advice: Advice) -> str:
    if advice.data in ("fresh", "ageing"):
        return "The next fix."
    return "Digits off the picture most; else the bearing of the strongest signal."


def lost_parts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    """Yield what to do without a picture, how long there is, and what happens if nobody does it."""
    first = advice.fields[0] if advice.fields else None
    yield _answer("Keep the sticks still. Aim where it is told, then try each side of it.")
    yield _part("Aim", aim_words(after), _beams(after))
    left = [_hand_words(one.name, one.shuts_after_launch_s, advice) for one in advice.fields
            if one.state != "shut"]  # fmt: skip
    yield _part("Time in hand", *left)
    command = next((one for one in after.links if one.purpose == "command"), None)
    if command is not None:
        until = "all the way" if command.after_launch_s is None else (
            f"until about {clock.local(command.after_launch_s)}")  # fmt: skip
        yield _part("Command", f"Commands should still be heard {until}, from {command.stand}.")
    if after.steer is not None and first is not None:
        yield _part("Send blind", f"The heading for {after.steer.field}: track "
                    f"{after.steer.track_deg:03.0f}°, at the speeds below.",
                    speed_words(after.steer))  # fmt: skip
    yield _part("If nobody steers", story_words(advice), *_down_words(advice, clock))
    yield _part("Then", "Mark it down, and look for it: farglide search.")


def _beams(after: AfterNow) -> str:
    aim = after.aim
    if aim is None or aim.beam_deg is None:
        return ""
    sides = [(aim.azimuth_deg + turn * aim.beam_deg) % 360.0 for turn in (-1.0, 1.0)]
    return f"Then a beam to either side: {sides[0]:03.0f}° and {sides[1]:03.0f}°."


def _hand_words(name: str, shuts_s: float | None, advice: Advice) -> str:
    if shuts_s is None:
        return f"{name}: more than 25 min before it is out of reach."
    return f"{name}: {left_words(shuts_s - advice.after_launch_s)} before it is out of reach."


def _down_words(advice: Advice, clock: FlightClock) -> Iterator[str]:
    for one in advice.after.comes_down if advice.after is not None else ():
        at = clock.local(one.down_after_launch_s)
        near, within = place_text(one.lat_deg, one.lon_deg), km_text(one.most_within_m)
        drift = km_text(one.drift_m)
        yield (
            f"{one.story.capitalize()} ({chance_words(one.chance_ratio)}): down about {at}, "
            f"{drift} km on, near {near}; 9 in 10 within {within} km."
        )


def barrier_parts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    """Yield whether it gets past the barrier on its way, and until when one can turn back."""
    barrier = after.barrier
    if barrier is None:
        yield _answer("No barrier lies on the way that is advised.")
        return
    go_on = is_high_enough(barrier)
    yield _answer(f"{'Yes: go on' if go_on else 'No: do not try it from so low'}, "
                  f"{chance_words(barrier.chance_ratio)} past {barrier.barrier}.")  # fmt: skip
    yield _part("Barrier", *barrier_words(barrier, clock))
    if after.steer is not None:
        yield _part("Fly", speed_words(after.steer))
    why = "Heights are for the winds as measured in the climb, with the doubt that is left."
    yield _part("Why", why)
    yield _part("What would change it", "Sinking faster than told, or a slower ground speed.")


def speed_parts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    """Yield how fast to fly, down to which height, and why."""
    steer = after.steer
    if steer is None or advice.stage is Stage.TIED_ON:
        yield _answer("There is no speed to fly: nothing steers it to a field.")
        return
    yield _answer(speed_words(steer))
    yield _part("Until", f"From {km_text(steer.until_amsl_m)} km on ask again.")
    yield _part("Why", way_words(steer), ends_words(steer, clock))
    slower = "A ground speed that differs by a quarter: the wind is another, ask again."
    yield _part("What would change it", slower)


def picture_parts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    """Yield where the picture ends, on the way and over the field."""
    ends = next((one for one in after.links if one.purpose == "picture"), None)
    if ends is None:
        yield _answer("No link for pictures is stated, or the way is not summed yet.")
    elif ends.after_launch_s is None:
        yield _answer(f"The picture holds on the way, from {ends.stand}.")
    else:
        at, high = clock.local(ends.after_launch_s), km_text(ends.amsl_m or 0.0)
        yield _answer(f"The picture ends about {at}, at {high} km, from {ends.stand}.")
    if after.landing is not None:
        yield _part("Over the field", *landing_words(after.landing, after))
        yield _part("Other stands", *_lost_at(after))
    yield _part("Aim", aim_words(after))


def _lost_at(after: AfterNow) -> Iterator[str]:
    landing = after.landing
    for name, agl_m in landing.lost_picture if landing is not None else ():
        if after.aim is None or name != after.aim.stand:
            low = "lost up to 3 km" if agl_m is None else f"lost below {agl_m:.0f} m"
            yield f"From {name}: {low}."


def putdown_parts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Part]:
    """Yield where to bring it down, what is open, and how the last of the way is flown."""
    steer = after.steer
    if steer is None:
        yield _answer("No field is in reach. Put it down on open ground, into the wind.")
        where = "Keep off woods, water, wires, roads and people: 100 to 300 m beside a road."
        yield _part("Where", where, "Near the road that the car is on, if there is a choice.")
    else:
        yield _answer(next(steer_words(steer, clock)))
        yield _part("Until", ends_words(steer, clock))
    yield _part("Fields", *(field_words(one, advice, clock) for one in advice.fields))
    if after.landing is not None:
        yield _part("Low", *landing_words(after.landing, after),
                    *circuit_words(after.landing))  # fmt: skip


AFTER: Final[dict[str, Told]] = {
    "now": now_parts,
    "where": where_parts,
    "lost": lost_parts,
    "barrier": barrier_parts,
    "speed": speed_parts,
    "picture": picture_parts,
    "putdown": putdown_parts,
}
"""What can be asked of a flight after its release or burst, and who answers it."""
