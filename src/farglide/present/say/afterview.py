"""After the release on the ride's screen: what is read beside the ladder of heights."""

from collections.abc import Iterator
from typing import Final

from farglide.outlook.advice import Advice, FieldNow
from farglide.outlook.after import AfterNow, BarrierAhead, LandingNow, Stage, SteerNow
from farglide.present.say.after import (
    SIGNS,
    aim_words,
    circle_words,
    circuit_words,
    landing_words,
    left_words,
    link_words,
    spare_text,
    stage_words,
)
from farglide.present.say.fieldchance import is_held
from farglide.present.say.fitting import Fact
from farglide.present.say.spokenafter import goes_past, is_low, is_over, whole_tens
from farglide.present.say.stories import said_share, story_words
from farglide.present.say.text import FlightClock, bearing_text, duration_words, sentence
from farglide.sortie.words import chance_words, km_text, number_text

_ALONE: Final = {"spiral": "In a spiral", "falling with remains": "With the remains"}
_TAKEN: Final = {
    Stage.GLIDING: ("gliding", "r"),
    Stage.TIED_ON: ("burst, all tied on", "b"),
    Stage.UNSTEERED: ("not steered", "r"),
}


def after_facts(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Fact]:
    """Yield what is known, the most urgent first, and how much each of it matters."""
    if advice.stage is Stage.DOWN:
        yield Fact(stage_words(advice, after))
        yield Fact("Seen or heard to be down: type landed. The place to go to is then told.")
        return
    if after.landing is not None and is_low(advice, after):
        yield from (Fact(one) for one in _landing(advice, after, after.landing))
        return
    if advice.stage is Stage.UNSTEERED:
        yield Fact(aim_words(after))
    steer = after.steer
    if steer is not None:
        yield from _steer(steer, advice, clock)
    yield Fact(_taken(advice, after), 1)
    if after.barrier is not None:
        yield from (Fact(one, 1) for one in _barrier(after.barrier, clock))
    yield from _fields(advice, after, clock)
    if advice.stage is Stage.TIED_ON and after.comes_free_ratio is not None:
        free = chance_words(after.comes_free_ratio)
        yield Fact(sentence(f"it comes free of the remains in {free}"), 1)
    if (told := story_words(advice)) and advice.stage is not Stage.TIED_ON:
        yield Fact(told, 3)
    if advice.stage is not Stage.GLIDING:
        yield from _down(after, clock)
    if steer is not None and advice.stage is not Stage.TIED_ON:
        yield Fact(_ends(steer, clock), 2)
    yield from (Fact(one, 3) for one in link_words(after, clock))


def _taken(advice: Advice, after: AfterNow) -> str:
    """Return what it is taken for where that is not by a mark; empty where it is."""
    if after.is_marked and not after.is_by_fall:
        return ""
    if advice.stage is Stage.DROPPED and not after.is_marked:
        return "Not marked: type r if it was let go, b after a burst."
    at, key = _TAKEN.get(advice.stage, (advice.stage.value, "r"))
    told = said_share(advice)
    sure = f" ({told})" if told else ""
    if after.is_marked:
        return f"By how it sinks it is {at}{sure}, not as marked."
    return f"Not marked: taken as {at}{sure}. Type {key}."


def _landing(advice: Advice, after: AfterNow, landing: LandingNow) -> Iterator[str]:
    """Yield what is left to know of the last few hundred metres."""
    high_m = max(advice.place.amsl_m - landing.ground_amsl_m, 0.0)
    yield f"{high_m:.0f} m over the field."
    yield from landing_words(landing, after)
    yield from circuit_words(landing)
    yield "When it is down: type landed."


def _steer(steer: SteerNow, advice: Advice, clock: FlightClock) -> Iterator[Fact]:
    yield Fact(f"{_verb(advice)} for {steer.field}: {_chance(steer, advice)}.")
    away = f"{steer.away_m / 1000.0:.0f} km off"
    if steer.arrival_agl_m is None:
        yield Fact(f"It is {away}, and out of reach in the middle.")
        return
    if is_over(steer):
        yield Fact(circle_words(steer, advice, clock))
        return
    at, spare = clock.local(steer.over_after_launch_s), spare_text(steer.arrival_agl_m)
    yield Fact(f"{away[0].upper()}{away[1:]}, there about {at}, {spare} km to spare.")
    if advice.stage is not Stage.TIED_ON:
        ground, sink = number_text(steer.ground_mps), number_text(steer.sink_mps, 1)
        track, low = bearing_text(steer.track_deg), km_text(steer.until_amsl_m)
        yield Fact(f"Fly {track}: ground {ground} m/s, sink {sink} m/s, to {low} km.")


def _chance(steer: SteerNow, advice: Advice) -> str:
    """Return how likely it gets there: of what nobody steers, once somebody does."""
    one = next((one for one in advice.fields if one.name == steer.field), None)
    if advice.stage is not Stage.UNSTEERED or one is None:
        return chance_words(steer.chance_ratio)
    return f"{chance_words(one.open_ratio)} if steered"


def _verb(advice: Advice) -> str:
    """Return what is to be done about the field: now, or after what the first line says."""
    if advice.stage is Stage.UNSTEERED and advice.data in ("guessed", "unknown"):
        return "Once the picture is back steer"
    if advice.stage is Stage.DROPPED and advice.after is not None and advice.after.is_marked:
        return "Once level steer"
    return "Once free steer" if advice.stage in (Stage.DROPPED, Stage.TIED_ON) else "Steer"


def _fields(advice: Advice, after: AfterNow, clock: FlightClock) -> Iterator[Fact]:
    """Yield the fields in the order of the crew; until when they stay, steered or not."""
    aim = "" if after.steer is None else after.steer.field
    for k, one in enumerate(advice.fields):
        is_aim = one.name == aim
        if advice.stage is Stage.TIED_ON:
            yield Fact(_seconds(one, advice), 0 if is_aim else 2 + k)
            continue
        if is_aim and one.state == "open" and one.until_after_launch_s is None:
            yield Fact(_alone(one, advice), 1)
            continue
        yield Fact(_field(one, advice, clock), 1 if is_aim else 2 + k)
        if is_aim:
            yield Fact(_alone(one, advice), 1)


def _field(one: FieldNow, advice: Advice, clock: FlightClock) -> str:
    told = f"{SIGNS[one.state]} {one.name}: {one.state}"
    if one.state == "shut":
        return told
    told += f" {chance_words(one.open_ratio)}"
    if is_held(one, advice.after_launch_s):
        told += f" just now: {one.then} if it lasts"
    elif one.until_after_launch_s is not None:
        told += f", {one.then} from {clock.local(one.until_after_launch_s)}"
    return told


def _seconds(one: FieldNow, advice: Advice) -> str:
    told = f"{SIGNS[one.state]} {one.name}: {one.state}"
    if one.state == "shut":
        return told
    left = "over 600"
    if one.shuts_after_launch_s is not None:
        left = str(whole_tens(one.shuts_after_launch_s - advice.after_launch_s))
    return f"{told} {chance_words(one.open_ratio)}, {left} s left"


def _alone(one: FieldNow, advice: Advice) -> str:
    """Return how long the field steered for stays in reach if nobody steers."""
    if one.state == "shut" or one.shuts_after_launch_s is None:
        return ""
    left_s = max(one.shuts_after_launch_s - advice.after_launch_s, 0.0)
    left = left_words(left_s)
    at = "" if one.shuts_amsl_m is None else f", at {km_text(one.shuts_amsl_m)} km (x)"
    how = _ALONE.get(one.shuts_story or "", "Left unsteered")
    return f"{how} it shuts in {left}{at}."


def _barrier(barrier: BarrierAhead, clock: FlightClock) -> Iterator[str]:
    high, commit_m = km_text(barrier.edge_amsl_m), barrier.commit_amsl_m
    needed = "never enough" if commit_m is None else f"needs {km_text(commit_m)}"
    verb = "cross it" if goes_past(barrier) else "do not cross"
    told = f"{barrier.barrier} {clock.local(barrier.edge_after_launch_s)}: {verb}, {high} km high"
    chance = "" if barrier.shut_by is None else f", {chance_words(barrier.chance_ratio)}"
    yield f"{told} ({needed}{chance})."
    if barrier.turn_back_until_after_launch_s is not None:
        until = clock.local(barrier.turn_back_until_after_launch_s)
        yield f"Turning back to {barrier.behind} works until {until}."


def _ends(steer: SteerNow, clock: FlightClock) -> str:
    left_s = steer.must_end_after_launch_s - steer.down_after_launch_s
    name = "Packs" if steer.must_end_by == "packs" else "Light"
    at, down = clock.local(steer.must_end_after_launch_s), clock.local(steer.down_after_launch_s)
    late = "too late" if left_s < 0.0 else "in hand"
    return f"{name} end {at}, down {down}: {duration_words(abs(left_s))} {late}."


def _down(after: AfterNow, clock: FlightClock) -> Iterator[Fact]:
    for one in after.comes_down[:2]:
        at, within = clock.local(one.down_after_launch_s), km_text(one.most_within_m, 0)
        drift = km_text(one.drift_m, 0)
        words = f"If {one.story}: down {at}, {drift} km on, 9 in 10 within {within} km."
        yield Fact(words, 2)
