"""After the release on the ride's screen: what is read beside the ladder of heights."""

from collections.abc import Iterator

from farglide.outlook.advice import Advice, FieldNow
from farglide.outlook.after import AfterNow, BarrierAhead, LandingNow, Stage, SteerNow
from farglide.present.say.after import (
    SIGNS,
    age_text,
    aim_words,
    circle_words,
    circuit_words,
    landing_words,
    left_words,
    link_words,
    spare_text,
    speed_words,
    stage_words,
)
from farglide.present.say.spokenafter import is_low, is_over, whole_tens
from farglide.present.say.stories import alone_words, story_words
from farglide.present.say.text import FlightClock, duration_words, sentence
from farglide.sortie.words import chance_words, km_text


def after_facts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[str]:
    """Yield what is known, the most urgent first."""
    if advice.stage is Stage.DOWN:
        yield stage_words(advice, after)
        yield "Type landed when it is, and look for it: farglide search."
        yield _needs(advice)
        return
    if after.landing is not None and is_low(advice, after):
        yield from _landing(advice, after, after.landing)
        return
    if advice.stage is Stage.UNSTEERED:
        yield aim_words(after)
        yield stage_words(advice, after)
    steer = after.steer
    if steer is not None:
        yield _steer(steer, clock)
        if is_over(steer):
            yield circle_words(steer, advice, clock)
        elif advice.stage is not Stage.TIED_ON:
            yield speed_words(steer)
    yield from (_field(one, advice, clock) for one in advice.fields)
    if advice.stage is Stage.TIED_ON and after.comes_free_ratio is not None:
        yield sentence(f"it comes free of the remains in {chance_words(after.comes_free_ratio)}")
    if after.barrier is not None:
        yield _barrier(after.barrier, clock)
    if advice.stage is Stage.DROPPED or not after.is_marked:
        yield stage_words(advice, after)
    if (told := story_words(advice)) and advice.stage is not Stage.TIED_ON:
        yield told
    if advice.stage is not Stage.GLIDING:
        yield from _down(after, clock)
    if steer is not None and advice.stage is not Stage.TIED_ON:
        yield _ends(steer, clock)
    yield from link_words(after, clock)
    yield _needs(advice)


def _landing(advice: Advice, after: AfterNow, landing: LandingNow) -> Iterator[str]:
    """Yield what is left to know of the last few hundred metres."""
    high_m = max(advice.place.amsl_m - landing.ground_amsl_m, 0.0)
    yield f"{high_m:.0f} m over the field."
    yield from landing_words(landing, after)
    yield from circuit_words(landing)
    yield _needs(advice)


def _steer(steer: SteerNow, clock: FlightClock) -> str:
    told = f"Steer for {steer.field}: {chance_words(steer.chance_ratio)}"
    if steer.arrival_agl_m is None:
        return f"{told}, {steer.away_m / 1000.0:.0f} km off."
    at, spare = clock.local(steer.over_after_launch_s), spare_text(steer.arrival_agl_m)
    return f"{told}, there about {at}, spare {spare} km."


def _field(one: FieldNow, advice: Advice, clock: FlightClock) -> str:
    told = f"{SIGNS[one.state]} {one.name}: {one.state} {chance_words(one.open_ratio)}"
    if one.state == "shut":
        return told
    left_s = None
    if one.shuts_after_launch_s is not None:
        left_s = one.shuts_after_launch_s - advice.after_launch_s
    if advice.stage is Stage.TIED_ON:
        return f"{told}, {'over 600' if left_s is None else whole_tens(left_s)} s left"
    if one.until_after_launch_s is not None:
        told += f", {one.then} from {clock.local(one.until_after_launch_s)}"
    if left_s is not None:
        told += f"; {left_words(left_s)} {alone_words(one)}"
    return told


def _barrier(barrier: BarrierAhead, clock: FlightClock) -> str:
    high = km_text(barrier.edge_amsl_m)
    commit_m = barrier.commit_amsl_m
    needed = "never enough" if commit_m is None else f"needs {km_text(commit_m)}"
    told = f"{barrier.barrier} {clock.local(barrier.edge_after_launch_s)}: {high} km, {needed}"
    if barrier.shut_by is not None:
        told += f", but {chance_words(barrier.chance_ratio)}"
    if barrier.turn_back_until_after_launch_s is not None:
        until = clock.local(barrier.turn_back_until_after_launch_s)
        told += f"; back to {barrier.behind} until {until}"
    return f"{told}."


def _ends(steer: SteerNow, clock: FlightClock) -> str:
    left_s = steer.must_end_after_launch_s - steer.down_after_launch_s
    name = "Packs" if steer.must_end_by == "packs" else "Light"
    at, down = clock.local(steer.must_end_after_launch_s), clock.local(steer.down_after_launch_s)
    late = "too late" if left_s < 0.0 else "in hand"
    return f"{name} end {at}, down {down}: {duration_words(abs(left_s))} {late}."


def _down(after: AfterNow, clock: FlightClock) -> Iterator[str]:
    for one in after.comes_down[:2]:
        at, within = clock.local(one.down_after_launch_s), km_text(one.most_within_m, 0)
        drift = km_text(one.drift_m, 0)
        yield f"If {one.story}: down {at}, {drift} km on, 9 in 10 within {within} km."


def _needs(advice: Advice) -> str:
    told = ", ".join(f"{one.what} {age_text(one.age_s)}" for one in advice.needs)
    return f"Ages: {told}."
