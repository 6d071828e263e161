"""The call card in words after the release: what to say of what sinks, times as they now are."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import ComesDown, Stage
from farglide.outlook.askedafter import CallAfter
from farglide.present.say.asked.call import off_words
from farglide.present.say.asked.reply import Reply
from farglide.present.say.stories import STORIES
from farglide.present.say.text import FlightClock, bearing_text, place_text, sentence
from farglide.sortie.words import km_text, number_text, shares_words

_NEAR_M: Final = 100.0
_FOOT_M: Final = 0.3048
_WHAT: Final = {
    Stage.DROPPED: "glider off a balloon, level {level}, diving, then gliding",
    Stage.GLIDING: "glider off a balloon, level {level}, sinking, steered",
    Stage.TIED_ON: "burst balloon with a glider, level {level}, falling",
    Stage.UNSTEERED: "glider off a balloon, level {level}, sinking, not under control",
    Stage.DOWN: "glider off a balloon, down, by its height",
}
_CHANGE: Final = {
    Stage.GLIDING: "Call again if the picture is lost, or it turns to another field.",
    Stage.DROPPED: "Call again once it is level, or if it does not come level.",
    Stage.TIED_ON: "Call again once it is let go, or down.",
    Stage.UNSTEERED: "Call again with a picture or a position, or once it is down.",
    Stage.DOWN: "Call again once it is found.",
}


def call_after_reply(found: CallAfter, _: Advice, clock: FlightClock) -> Reply:
    """Return what to say, in the order in which it is asked for; times in UTC as they speak."""
    at, stage = clock.utc(found.after_launch_s), found.stage
    off = off_words(found.from_launch_m, found.from_launch_deg)
    return Reply(
        answer=f"Say: {_WHAT.get(stage, _WHAT[Stage.GLIDING]).format(level=found.level)}.",
        number=f"At {at} UTC {place_text(found.lat_deg, found.lon_deg, 2)}, {off}, "
        f"{number_text(found.amsl_m)} m ({number_text(found.amsl_m / _FOOT_M)} ft)"
        f"{_within(found)}.",
        until=_levels(found, clock),
        why=_moves(found),
        change=_CHANGE.get(stage, _CHANGE[Stage.GLIDING]),
        more=(
            *_lands(found, clock),
            *_stories(found.comes_down, clock),
            ("Airspace", f"{found.airspace} in your file. What holds, the unit says."),
        ),
    )


def _within(found: CallAfter) -> str:
    near = found.within_m < _NEAR_M
    return "" if near else f"; 9 in 10 within {km_text(found.within_m)} km"


def _levels(found: CallAfter, clock: FlightClock) -> str:
    if not found.levels:
        return "No level of theirs below it." if found.stage is not Stage.DOWN else ""
    each = ", ".join(f"{one.level} at {clock.utc(one.after_launch_s)}" for one in found.levels)
    return f"Through level {each} UTC, about."


def _moves(found: CallAfter) -> str:
    if found.sinks_mps is None or found.stage is Stage.DOWN:
        return ""
    sinks = f"It sinks {number_text(found.sinks_mps, 1)} m/s"
    if found.moves_to_deg is None or found.moves_mps is None:
        return f"{sinks}; where it heads is not known."
    track, fast = bearing_text(found.moves_to_deg), number_text(found.moves_mps)
    if found.moves_as_seen:
        return f"{sinks} and moves to {track} at {fast} m/s."
    # a crew that steers elsewhere would be told wrong
    return f"{sinks}; flown as advised, it moves to {track} at {fast} m/s."


def _lands(found: CallAfter, clock: FlightClock) -> tuple[tuple[str, str], ...]:
    lat_deg, lon_deg = found.field_lat_deg, found.field_lon_deg
    if lat_deg is None or lon_deg is None or found.down_after_launch_s is None:
        return ()
    where = f"{found.field}, {place_text(lat_deg, lon_deg, 2)}"
    if found.stage is Stage.TIED_ON:
        return (("Lands", f"if it is let go now: {where}."),)
    if found.stage is Stage.UNSTEERED:
        return (("Lands", f"if it is steered again: {where}."),)
    over = "" if found.over_after_launch_s is None else (
        f"over it about {clock.utc(found.over_after_launch_s)}, ")  # fmt: skip
    return (("Lands", f"{where}: {over}down by {clock.utc(found.down_after_launch_s)} UTC."),)


def _label(k: int) -> str:
    return "Else" if k == 0 else ""


def _stories(told: tuple[ComesDown, ...], clock: FlightClock) -> Iterator[tuple[str, str]]:
    """Yield where each story comes down, in rows of a reply."""
    shares = shares_words([one.chance_ratio for one in told])
    for k, (one, share) in enumerate(zip(told, shares, strict=True)):
        yield _label(k), _alone(one, share, clock)


def _alone(one: ComesDown, share: str, clock: FlightClock) -> str:
    at, near = clock.utc(one.down_after_launch_s), place_text(one.lat_deg, one.lon_deg, 2)
    return sentence(
        f"{STORIES[one.story]} ({share}): down near {near} about {at} "
        f"UTC, 9 in 10 within {km_text(one.most_within_m)} km"
    )
