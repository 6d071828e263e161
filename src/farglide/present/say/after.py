"""After the release in words: each fact of an advice once no whole balloon carries it."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.advice import Advice, FieldNow
from farglide.outlook.after import (
    AfterNow,
    BarrierAhead,
    LandingNow,
    Stage,
    SteerNow,
)
from farglide.outlook.ascent import Spread
from farglide.present.say.spokenafter import whole_tens
from farglide.present.say.stories import alone_words, said_share
from farglide.present.say.text import FlightClock, bearing_text, duration_words, sentence
from farglide.sortie.words import chance_words, km_text, number_text

_LOW_M: Final = 5.0
_MINUTES: Final = 10
"""From so many minutes on seconds are no news."""
SIGNS: Final = {"open": "+", "doubtful": "~", "shut": "-"}
_STAGES: Final = {
    Stage.DROPPED: "off the balloon",
    Stage.GLIDING: "released and gliding",
    Stage.TIED_ON: "burst, all still tied on",
    Stage.UNSTEERED: "off the balloon, and nobody is known to steer",
    Stage.DOWN: "down, by its height",
}
_WAYS: Final = {
    "flattest": "with as much height as there is",
    "in time": "as high as packs and light allow",
    "quickest": "as soon as can be",
}


def stage_words(advice: Advice, after: AfterNow) -> str:
    """Return what it is taken to be at, since when it is loose, and how sure that is."""
    at = _STAGES.get(advice.stage, advice.stage.value)
    if after.packs_empty and advice.stage is Stage.UNSTEERED:
        at = "off the balloon, packs empty: nobody steers"
    ago = duration_words(max(advice.after_launch_s - after.since_after_launch_s, 0.0))
    if advice.stage is Stage.DOWN:
        return sentence(f"{at}; off the balloon {ago} ago")
    if after.is_marked and not after.is_by_fall:
        return sentence(f"{at}, for {ago}")
    told = said_share(advice)
    sure = f" ({told})" if told else ""
    why = "told by how it sinks, not by the marks" if after.is_marked else "nobody marked it"
    return sentence(f"taken to be {at}{sure}, for {ago}: {why}")


def steer_words(steer: SteerNow, clock: FlightClock) -> Iterator[str]:
    """Yield which field to steer for, with what chance, how high and when it is there."""
    over = "which is out of reach in the middle of what is believed"
    if steer.arrival_agl_m is not None:
        at = clock.local(steer.over_after_launch_s)
        over = f"over it about {at}, with {spare_text(steer.arrival_agl_m)} km to spare at most"
    away = f"{steer.away_m / 1000.0:.0f} km off"
    yield f"Steer for {steer.field}, {away}: {chance_words(steer.chance_ratio)}, {over}."


def spare_text(high: Spread) -> str:
    """Return a spread of heights over a field in km, one number where both ends are alike."""
    low, top = (km_text(max(one, 0.0)) for one in (high.p10, high.p90))
    return low if low == top else f"{low}–{top}"


def circle_words(steer: SteerNow, advice: Advice, clock: FlightClock) -> str:
    """Return how fast the height over the field has to be lost, so that packs and light last."""
    high_m = 0.0 if steer.arrival_agl_m is None else steer.arrival_agl_m.p50
    left_s = max(steer.must_end_after_launch_s - advice.after_launch_s, 1.0)
    by = f"the {steer.must_end_by} end" + "s" * (steer.must_end_by == "light")
    by += f", {clock.local(steer.must_end_after_launch_s)}"
    if steer.down_after_launch_s > steer.must_end_after_launch_s:
        return f"{km_text(high_m)} km to lose, more than can be before {by}: as steep as it may."
    sink = number_text(high_m / left_s, 1)
    return f"Lose {km_text(high_m)} km before {by}: sink {sink} m/s or faster."


def speed_words(steer: SteerNow) -> str:
    """Return what to fly, in what can be read off the picture."""
    ground, sink = number_text(steer.ground_mps), number_text(steer.sink_mps, 1)
    track, low = bearing_text(steer.track_deg), km_text(steer.until_amsl_m)
    if steer.sink_mps > steer.ground_mps:  # no glide is so steep straight on
        return f"Circle down on the way, track {track}: sink {sink} m/s, down to {low} km."
    return f"Fly track {track}, ground speed {ground} m/s, sink {sink} m/s, down to {low} km."


def way_words(steer: SteerNow) -> str:
    """Return what the speeds are for."""
    return sentence(f"that is {_WAYS[steer.way]} (airspeed {number_text(steer.eas_mps)} m/s EAS)")


def ends_words(steer: SteerNow, clock: FlightClock) -> str:
    """Return which of packs and light ends the flight, against when it is down."""
    ends = "The packs end" if steer.must_end_by == "packs" else "The light ends"
    left_s = steer.must_end_after_launch_s - steer.down_after_launch_s
    down = clock.local(steer.down_after_launch_s)
    at = clock.local(steer.must_end_after_launch_s)
    if left_s < 0.0:
        return f"{ends} {at}, {duration_words(-left_s)} before it is down ({down})."
    return f"{ends} {at}; flown so it is down by {down}, {duration_words(left_s)} before."


def field_words(one: FieldNow, advice: Advice, clock: FlightClock) -> str:
    """Return one field: its state, its chance, and until when it stays."""
    chance, steered = chance_words(one.chance_ratio), chance_words(one.open_ratio)
    told = f"{one.name}: {one.state}, {chance}"
    if steered != chance and advice.stage is not Stage.TIED_ON:  # the state is told by the first
        told = f"{one.name}: {one.state}, {steered} if it is steered ({chance} in all)"
    if advice.stage is Stage.TIED_ON:
        return sentence(f"{told}{_seconds(one, advice)}")
    if one.arrival_agl_m is not None:
        told += f", {km_text(one.arrival_agl_m.p50)} km to spare"
    if one.until_after_launch_s is not None and one.then is not None:
        told += f"; {one.then} from {clock.local(one.until_after_launch_s)} on this way"
    is_aloft = advice.stage is not Stage.DOWN
    if is_aloft and one.state != "shut" and one.shuts_after_launch_s is not None:
        left = left_words(one.shuts_after_launch_s - advice.after_launch_s)
        low = "" if one.shuts_amsl_m is None else f", at {km_text(one.shuts_amsl_m)} km"
        told += f"; shut in {left}{low}, if nobody steers ({alone_words(one)})"
    return sentence(told)


def _seconds(one: FieldNow, advice: Advice) -> str:
    if one.state == "shut":
        return ""
    if one.shuts_after_launch_s is None:
        return ", more than 10 min left"
    left_s = one.shuts_after_launch_s - advice.after_launch_s
    return f", {whole_tens(left_s)} s left"


def barrier_words(barrier: BarrierAhead, clock: FlightClock) -> Iterator[str]:
    """Yield whether it gets past a barrier, and until when one can turn back."""
    edge, high = clock.local(barrier.edge_after_launch_s), km_text(barrier.edge_amsl_m)
    needed = "no height there is enough" if barrier.commit_amsl_m is None else (
        f"{km_text(barrier.commit_amsl_m)} km needed")  # fmt: skip
    past = chance_words(barrier.chance_ratio)
    yield f"{barrier.barrier} at {edge}: {high} km high there, {needed}; past it {past}."
    if not barrier.behind:
        yield "No field lies on this side."
    elif barrier.turn_back_until_after_launch_s is None:
        yield f"{barrier.behind} on this side is not open any more: do not turn back."
    else:
        until = clock.local(barrier.turn_back_until_after_launch_s)
        yield f"Turning back still reaches {barrier.behind} until {until}."


def link_words(after: AfterNow, clock: FlightClock) -> Iterator[str]:
    """Yield when picture and command end on the way, from which stand."""
    held = [one.purpose for one in after.links if one.after_launch_s is None]
    if held:
        stand = after.links[0].stand
        names = " and ".join(held)
        verb = "hold" if len(held) > 1 else "holds"
        yield sentence(f"{names} {verb} all the way from {stand}")
    for one in after.links:
        if one.after_launch_s is not None and one.amsl_m is not None:
            at, high = clock.local(one.after_launch_s), km_text(one.amsl_m)
            yield sentence(f"{one.purpose} ends about {at}, at {high} km, from {one.stand}")


def landing_words(landing: LandingNow, after: AfterNow) -> Iterator[str]:
    """Yield the wind low over the field, and where the picture ends."""
    wind = bearing_text(landing.wind_from_deg)
    yield f"Low over {landing.field} the wind comes from {wind}, {landing.wind_mps:.0f} m/s."
    stand = after.aim.stand if after.aim is not None else ""
    told = dict(landing.lost_picture)
    if stand in told:
        agl_m = told[stand]
        yield f"From {stand} the picture {lost_words(agl_m)}."


def lost_words(agl_m: float | None) -> str:
    """Return down to which height over a field a picture lasts.

    >>> lost_words(391.2), lost_words(3.0), lost_words(None)
    ('is lost below 391 m over it', 'lasts to the ground', 'is lost up to 3 km over it')
    """
    if agl_m is None:
        return "is lost up to 3 km over it"
    return "lasts to the ground" if agl_m < _LOW_M else f"is lost below {agl_m:.0f} m over it"


def circuit_words(landing: LandingNow) -> Iterator[str]:
    """Yield how the last of the way is flown. Common practice, no source."""
    into = bearing_text(landing.wind_from_deg)
    yield f"Come over the field, circle beside it, turn to {into} for the last 100 m."
    yield "If the picture fails: wings level into the wind until it lands."


def aim_words(after: AfterNow) -> str:
    """Return where an antenna finds it; empty without a stand."""
    aim = after.aim
    if aim is None:
        return ""
    at, up = bearing_text(aim.azimuth_deg), round(aim.elevation_deg)
    return f"From {aim.stand} aim at {at}, {up}° up, {aim.range_m / 1000.0:.0f} km off."


def needs_words(advice: Advice) -> str:
    """Return how old each thing is that is needed now."""
    told = (
        f"{one.what} {age_text(one.age_s)} ({one.data.value})" for one in advice.needs
    )  # fmt: skip
    return sentence("Data: " + ", ".join(told))


def age_text(age_s: float | None) -> str:
    """Return an age in seconds or minutes.

    >>> age_text(2.4), age_text(300.0), age_text(None)
    ('2 s', '5 min', 'never')
    """
    if age_s is None:
        return "never"
    return f"{age_s:.0f} s" if age_s < 120.0 else f"{age_s / 60.0:.0f} min"


def left_words(left_s: float) -> str:
    """Return how much time is left: never as a time of the clock is written.

    >>> left_words(1087.0), left_words(245.0), left_words(52.0), left_words(-3.0)
    ('18 min', '4 min 5 s', '52 s', '0 s')
    """
    minutes, seconds = divmod(int(max(left_s, 0.0)), 60)
    if minutes >= _MINUTES:
        return f"{minutes} min"
    return f"{minutes} min {seconds} s" if minutes else f"{seconds} s"
