"""Below the balloon on the ride's screen: what is read beside the ladder of heights."""

from collections.abc import Iterator
from math import isfinite
from typing import Final

from farglide.outlook.advice import Advice, BurstAhead, FieldNow, LeakNow, ReleaseAdvice, Waited
from farglide.outlook.release import Ending
from farglide.present.say.advice import LEAKS_RATIO
from farglide.present.say.after import SIGNS
from farglide.present.say.fieldchance import is_better, is_held, told_chance
from farglide.present.say.fitting import Fact
from farglide.present.say.text import FlightClock, duration_words, sentence
from farglide.present.say.unreleased import FLAT_RATIO
from farglide.sortie.words import chance_words, km_text

_THEN: Final[dict[Ending, str]] = {
    "burst": "then a burst is likely",
    "top": "there it tops out",
    "reach": "then it is out of reach",
    "speeds": "higher up no speed fits",
    "packs": "then the packs end too soon",
    "light": "then dark comes too soon",
    "command": "then the command fails on the way",
    "picture": "then the picture fails on the way",
}
_ASKED_S: Final = 600.0
"""Before the window what waiting is worth is no question, but for its last minutes."""
COUNTED: Final = "burst counted"
"""What the chance of a release counts, and the state of a field does not."""
_MINUTES_S: Final = 600.0
_FEW_RATIO: Final = 0.02


def carried_facts(advice: Advice, clock: FlightClock) -> Iterator[Fact]:
    """Yield what is known while the balloon carries it, and how much each of it matters."""
    release = advice.release
    if release is None:
        yield Fact("No height ahead is good for a release.")
    else:
        yield from _release(release, advice, clock)
    if advice.leak is not None:
        yield Fact(_leak(advice.leak, clock), 1)
    if advice.burst is not None:
        by_s = None if release is None else release.release_by_after_launch_s
        yield Fact(burst_line(advice.burst, clock, by_s))
    is_early = release is not None and advice.after_launch_s < release.from_after_launch_s
    yield Fact("If you must let go now:" if is_early else "Let go now:", 1)
    for k, one in enumerate(advice.fields):
        is_aim = release is not None and one.name == release.field
        yield Fact(field_line(one, advice.after_launch_s, clock), 1 if is_aim else 2 + k)
    if release is None or advice.after_launch_s > release.from_after_launch_s - _ASKED_S:
        yield Fact(wait_line(advice.waiting), 1)


def _release(release: ReleaseAdvice, advice: Advice, clock: FlightClock) -> Iterator[Fact]:
    span = f"{km_text(release.from_amsl_m)}–{km_text(release.to_amsl_m)} km"
    chance = chance_words(release.chance_ratio)
    yield Fact(f"Release for {release.field}, {span}: {chance}.")
    by = clock.local(release.release_by_after_launch_s)
    left = left_words(release.release_by_after_launch_s - advice.after_launch_s)
    yield Fact(f"Release by {by} ({left}): {_THEN[release.bound_by]}.")
    if not release.is_enough:
        yield Fact("That is less than you asked for.", 1)


def left_words(left_s: float) -> str:
    """Return how much time is left: minutes, below ten of them with the seconds.

    >>> left_words(4478.0), left_words(245.0), left_words(-3.0)
    ('74 min left', '4:05 left', 'past')
    """
    if left_s < 0.0:
        return "past"
    if left_s >= _MINUTES_S:
        return f"{int(left_s // 60.0)} min left"
    minutes, seconds = divmod(int(left_s), 60)
    return f"{minutes}:{seconds:02d} left"


def burst_line(burst: BurstAhead, clock: FlightClock, by_s: float | None = None) -> str:
    """Return by when it bursts, three shares in one line.

    `by_s`: when the release is due, after the launch; of bursts before that it is said that they
    come if nobody lets go, else the two read as if one of them were wrong.
    """
    times = burst.after_launch_s
    known = (("1 in 10", times.p10), ("5 in 10", times.p50), ("9 in 10", times.p90))
    told = [f"{clock.local(at_s)} {share}" for share, at_s in known if isfinite(at_s)]
    if not told:
        return "No burst is coming: do not wait for one."
    never = [share for share, at_s in known if not isfinite(at_s)]
    ends = f"; {never[0]} never" if never else ""
    kept = ", if nobody lets go" if by_s is not None and times.p10 < by_s else ""
    return f"Burst by {', '.join(told)}{ends}{kept}."


def field_line(one: FieldNow, now_s: float, clock: FlightClock) -> str:
    """Return one field in a line: its state let go now, and until when that stays."""
    chance = told_chance(one, COUNTED)
    words = {"open": chance, "doubtful": f"doubtful, {chance}"}.get(one.state)
    if words is None:
        words = "shut" if one.chance_ratio < _FEW_RATIO else f"shut, {chance}"
    if is_held(one, now_s):
        words += f" just now: {one.then} if it lasts"
    elif one.until_after_launch_s is not None and one.then is not None:
        at = clock.local(one.until_after_launch_s)
        words += f", {one.then} from {at}" if is_better(one) else f", until {at}"
    return f"{SIGNS[one.state]} {one.name}: {words}"


def wait_line(waits: tuple[Waited, ...]) -> str:
    """Return what waiting is worth, the burst until then counted."""
    ratios = [one.chance_ratio for one in waits]
    longest = duration_words(waits[-1].seconds)
    if max(ratios) - min(ratios) < FLAT_RATIO:
        return f"Waiting up to {longest} costs nothing."
    told = (f"{one.seconds / 60.0:.0f} min {chance_words(one.chance_ratio)}" for one in waits[1:])
    return sentence(f"waiting: {', '.join(told)}")


def _leak(leak: LeakNow, clock: FlightClock) -> str:
    """Return that it climbs no more or leaks; empty where neither is likely."""
    if leak.floats_since_after_launch_s is not None:
        return f"It climbs no more since about {clock.local(leak.floats_since_after_launch_s)}."
    if leak.since_after_launch_s is None:
        return ""
    leaks = "leaks" if leak.chance_ratio >= LEAKS_RATIO else "may leak"
    since, chance = clock.local(leak.since_after_launch_s), chance_words(leak.chance_ratio)
    return f"It {leaks} since {since} ({chance}); it tops out at {km_text(leak.top_amsl_m.p50)} km."
