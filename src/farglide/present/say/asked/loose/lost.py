"""Lost in words after the release: where it is, what to do unseen, where it comes down."""

from collections.abc import Iterator

from farglide.outlook.advice import Advice
from farglide.outlook.after import AfterNow, Stage
from farglide.present.say.after import (
    aim_words,
    left_words,
    needs_words,
    speed_words,
    stage_words,
)
from farglide.present.say.asked.loose.now import (
    nothing_to_steer,
    now_reply,
    sighting_words,
    sure_words,
)
from farglide.present.say.asked.reply import Reply, joined
from farglide.present.say.spokenafter import is_over
from farglide.present.say.stories import alone_words, story_words
from farglide.present.say.text import FlightClock, place_text, sentence
from farglide.sortie.words import km_text, shares_words


def where_reply(advice: Advice, after: AfterNow, clock: FlightClock) -> Reply:
    """Return where it is, how surely, and where to aim."""
    place = advice.place
    if advice.stage is Stage.DOWN:
        return nothing_to_steer(advice, after, clock)
    return Reply(
        answer=f"{km_text(place.amsl_m)} km up, {place_text(place.lat_deg, place.lon_deg)}.",
        number=sure_words(advice),
        until=needs_words(advice),
        why=joined(stage_words(advice, after), story_words(advice)),
        change=sighting_words(advice),
        more=(
            ("Aim", joined(aim_words(after), beam_words(after))),
            *down_words(advice, after, clock),
        ),
    )


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
    if after.steer is not None and is_over(after.steer):
        blind = f"A flat circle over {after.steer.field}; low down wings level into the wind."
    elif after.steer is not None:
        blind = f"The turn to {after.steer.field}. {speed_words(after.steer)}"
    aim = aim_words(after)
    return Reply(
        answer=f"Hold the sticks still. {aim}" if aim else "Hold the sticks still. Aim again.",
        number=f"Time in hand: {'; '.join(left)}." if left else "No field is in reach any more.",
        until="When that is over send blind what stands below.",
        why=joined(heard, stage_words(advice, after), story_words(advice)),
        change=sighting_words(advice),
        more=(("Aim", beam_words(after)), ("Blind", blind), *down_words(advice, after, clock),
              ("Then", "Type landed when it must be down, and look: farglide search.")),
    )  # fmt: skip


def beam_words(after: AfterNow) -> str:
    """Return where to turn an antenna next; empty without a beam."""
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


def down_words(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[tuple[str, str]]:
    """Yield where each story comes down, in rows of a reply."""
    shares = shares_words([one.chance_ratio for one in after.comes_down])
    for k, (one, share) in enumerate(zip(after.comes_down, shares, strict=True)):
        at, near = clock.local(one.down_after_launch_s), place_text(one.lat_deg, one.lon_deg)
        yield (
            "Down" if k == 0 else "",
            sentence(
                f"{one.story} ({share}): about {at}, "
                f"{km_text(one.drift_m)} km on, near {near}; 9 in 10 within "
                f"{km_text(one.most_within_m)} km"
            ),
        )
