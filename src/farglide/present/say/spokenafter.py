"""Spoken after the release: the one sentence of an advice once no whole balloon carries it."""

from collections.abc import Iterator
from math import floor
from typing import Final

from farglide.outlook.advice import Advice, Level
from farglide.outlook.after import AfterNow, BarrierAhead, Stage, SteerNow
from farglide.present.say.text import bearing_text

MOST_SPOKEN: Final = 9
"""Words of a spoken sentence: what is heard once in a car and kept."""
LEVEL_S: Final = 30.0
LOW_AGL_M: Final = 600.0
OVER_M: Final = 2000.0
_NOBODY: Final = "Nobody seems to steer."


def spoken_after(advice: Advice, after: AfterNow) -> str:
    """Return what is said aloud once no whole balloon carries it, in nine words or fewer."""
    return next(one for one in _spoken(advice, after) if len(one.split()) <= MOST_SPOKEN)


def _spoken(advice: Advice, after: AfterNow) -> Iterator[str]:
    if advice.stage is Stage.DOWN:
        yield "It should be down. Mark it, then go."
    elif after.packs_empty:
        yield from _powerless(after)
    elif advice.stage is Stage.TIED_ON:
        yield from _tied(advice, after)
    elif advice.stage is Stage.DROPPED:
        left_s = after.since_after_launch_s + LEVEL_S - advice.after_launch_s
        if after.is_marked and left_s >= 10.0:
            yield f"Hold still. Level in about {whole_tens(left_s)} seconds."
        if after.is_marked:
            yield "Hold still. Level any moment."
        if after.is_sent:
            yield "It falls. Released? Type r. Burst? Type b."
        yield "It falls. Send the release. Mark what happened."
    elif advice.stage is Stage.UNSTEERED:
        yield from _unsteered(advice, after)
    else:
        yield from _gliding(advice, after)


def _tied(advice: Advice, after: AfterNow) -> Iterator[str]:
    left = next((one for one in advice.fields if one.shuts_after_launch_s is not None), None)
    first = advice.fields[0] if advice.fields else None
    told = first if first is not None and first.shuts_after_launch_s is not None else left
    if told is not None and told.state != "shut":
        seconds = whole_tens((told.shuts_after_launch_s or 0.0) - advice.after_launch_s)
        yield f"Send release, keep sending. {told.name}: {seconds} seconds."
        yield f"Send release, keep sending. {seconds} seconds."
    yield "Send the release. Keep sending it."


def _powerless(after: AfterNow) -> Iterator[str]:
    """Yield what is left to do for a glider that nobody can steer or let go any more."""
    if after.aim is not None:
        azimuth, up = bearing_text(after.aim.azimuth_deg), round(after.aim.elevation_deg)
        yield f"Packs empty. Aim at {azimuth}, {up} degrees up."
    yield "Packs empty. Follow it where it comes down."


def _unsteered(advice: Advice, after: AfterNow) -> Iterator[str]:
    if after.is_by_fall and advice.data in ("fresh", "ageing"):
        likeliest = advice.stories[0].story if advice.stories else ""
        is_spiral = likeliest == "spiral"
        if likeliest == "spin":
            yield "It spins. Neutral, then forward, count five."
        if after.steer is not None:
            seems = "It spirals down. Level it, steer" if is_spiral else f"{_NOBODY} Steer"
            yield f"{seems} for {after.steer.field}."
        yield "It spirals down. Level it." if is_spiral else f"{_NOBODY} Take it."
    if after.aim is not None:
        azimuth, up = bearing_text(after.aim.azimuth_deg), round(after.aim.elevation_deg)
        if advice.data in ("guessed", "unknown"):
            yield f"No data. Aim at {azimuth}, {up} degrees up."
        yield f"No picture. Aim at {azimuth}, {up} degrees up."
    yield "No picture. Aim where it was last."


def _gliding(advice: Advice, after: AfterNow) -> Iterator[str]:
    steer, barrier = after.steer, after.barrier
    if steer is None:
        yield "No field in reach. Choose open ground now."
        return
    if is_too_low(advice, after):
        yield "No field in reach. Choose open ground now."
        return
    if is_low(advice, after) and after.landing is not None:
        wind = bearing_text(after.landing.wind_from_deg)
        yield f"Land at {steer.field}, into wind from {wind}."
        yield f"Land into the wind, from {wind}."
    if barrier is not None and barrier.turn_back_until_after_launch_s is not None:
        left_s = barrier.turn_back_until_after_launch_s - advice.after_launch_s
        if 0.0 <= left_s <= 120.0:
            if not goes_past(barrier):
                yield f"Turn back now, for {barrier.behind}."
                yield "Turn back now."
            yield f"Last {whole_tens(left_s)} seconds to turn back."
    if is_over(steer):
        yield f"Over {steer.field}. Circle down beside it."
        yield "Over your field. Circle down beside it."
    if advice.level is Level.NOW:
        yield f"Steer for {steer.field} now. It is closing."
        yield "Steer for your field now. It is closing."
    yield f"Steer for {steer.field}, track {bearing_text(steer.track_deg)}."
    yield f"Steer track {bearing_text(steer.track_deg)}."


def is_over(steer: SteerNow) -> bool:
    """Tell whether it is over its field, with height to lose."""
    high = steer.arrival_agl_m
    return steer.away_m < OVER_M and high is not None and high.p50 > LOW_AGL_M


def is_low(advice: Advice, after: AfterNow) -> bool:
    """Tell whether only the landing is left to decide."""
    landing = after.landing
    return landing is not None and advice.place.amsl_m - landing.ground_amsl_m < LOW_AGL_M


def is_too_low(advice: Advice, after: AfterNow) -> bool:
    """Tell whether it is low, and the field that it is steered for out of its reach."""
    steer = after.steer
    return steer is not None and steer.arrival_agl_m is None and is_low(advice, after)


def is_high_enough(barrier: BarrierAhead) -> bool:
    """Tell whether it comes to the edge of a barrier high enough to go on."""
    commit_m = barrier.commit_amsl_m
    return commit_m is not None and barrier.edge_amsl_m >= commit_m


def goes_past(barrier: BarrierAhead) -> bool:
    """Tell whether to go on past a barrier: high enough, and with a chance that is worth it."""
    return is_high_enough(barrier) and barrier.shut_by is None


def whole_tens(left_s: float) -> int:
    """Return seconds in whole tens, rounded down: a deadline is never told too late.

    >>> whole_tens(119.0), whole_tens(-3.0)
    (110, 0)
    """
    return max(10 * floor(left_s / 10.0 + 1e-9), 0)
