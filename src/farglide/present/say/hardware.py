"""Hardware in words: warm transmitters, cold cells, and what a single failure ends."""

from collections.abc import Iterator, Sequence
from typing import Final

from farglide.outlook import faults
from farglide.outlook.outlook import Outlook
from farglide.present.lines import fact_lines, wrapped
from farglide.present.part import Part
from farglide.present.say.text import FlightClock, duration_words, plus_minutes
from farglide.sortie.words import (
    at_most_words,
    celsius_text,
    chance_words,
    km_text,
    number_text,
)

WARMTH: Final = (
    "each body is taken to have one temperature, in still air as warm as that outside; foam that "
    "keeps it warm is not counted: try the whole rig, closed, before the day"
)
CELL_CARE: Final = (
    "lithium cells are not charged cold, and not used again after a crash: follow the maker's sheet"
)
SECOND: Final = (
    "A second one counts only if it shares nothing with the first: its own power, cable and plug "
    "(common practice, no source)."
)
_PHASES: Final = {
    "climb": "at the launch", "window": "when the window begins", "glide": "after the release",
}  # fmt: skip


def heat_part(outlook: Outlook, clock: FlightClock) -> Part:
    """Return what there is to say of warmth and cold; nothing where none is."""
    facts = [_transmitter_words(one, clock) for one in outlook.transmitters]
    facts += [_cell_words(one, clock) for one in outlook.cells]
    facts += [WARMTH] if facts else []
    facts += [CELL_CARE] if outlook.cells else []
    return Part(title="Heat and cold", facts=facts)


def _transmitter_words(heat: faults.TransmitterHeat, clock: FlightClock) -> str:
    moment, where = plus_minutes(heat.hottest_after_launch_s), f"{km_text(heat.hottest_amsl_m)} km"
    hottest, limit = celsius_text(heat.hottest_k), "no limit is stated (limit_celsius)"
    if heat.limit_k is not None:
        limit_text = celsius_text(heat.limit_k)
        limit = f"trusted up to {limit_text}"
        if heat.over_limit:
            spans = ", ".join(clock.span_with_minutes(*span) for span in heat.over_limit)
            over = f"near {hottest} at {where} about {moment}, over its {limit_text} {spans}"
            silent = "it may fall silent and come back when it cools"
            return f"{heat.link} transmitter {over}: {silent}"
    return (
        f"{heat.link} transmitter {celsius_text(heat.at_launch_k)} at the launch, "
        f"{celsius_text(heat.at_release_k)} at the release; hottest {hottest} at {where}, "
        f"{moment}; {limit}"
    )


def _cell_words(heat: faults.CellHeat, clock: FlightClock) -> str:
    coldest = f"{celsius_text(heat.coldest_k)} at {clock.both(heat.coldest_after_launch_s)}"
    height, left = km_text(heat.coldest_amsl_m), number_text(100.0 * heat.left_ratio)
    leaves = f"over the flight the cold leaves {left} % of its energy"
    return f"{heat.pack}: cells down to {coldest}, {height} km; {leaves}"


def failure_lines(found: faults.Failures | None) -> list[str]:
    """Return the single points of failure in lines of at most 100 columns."""
    head = "If one part fails"
    if found is None:
        words = "no link states what it needs: write needs = [...] into [[links]] and [[triggers]]"
        return [head, *fact_lines([words])]
    facts = [
        f"{one.part}: {ending_words(one)}; {mend_words(one, found.hands)}; {_chance_words(one)}"
        for one in found.parts
        if one.at is not None
    ]
    facts += _unknown_words([part for part in found.parts if part.at is None])
    facts += [hands_words(found.hands), *map(_trigger_words, found.triggers)]
    facts += _release_words(found)
    return [head, *fact_lines(facts), *wrapped(SECOND, 0, 0)]


def _unknown_words(parts: Sequence[faults.PartFailure]) -> Iterator[str]:
    """Yield the parts that [[parts]] does not name, those together that end the same."""
    alike: dict[str, list[str]] = {}
    for part in parts:
        alike.setdefault(ending_words(part), []).append(part.part)
    for ending, names in alike.items():
        yield f"{', '.join(names)}: {ending}"
    if parts:
        yield "for parts that are not in [[parts]], place, swap and chance are not known"


def ending_words(part: faults.PartFailure) -> str:
    """Return what ends with a part: links by name, and the release."""
    ended = []
    if part.links:
        ended.append(f"{' and '.join(part.links)} {'end' if len(part.links) > 1 else 'ends'}")
    if part.links and not part.purposes:
        ended.append("others of their kind are left")
    if part.ends_release:
        ended.append("nothing releases")
    return ", ".join(ended)


def mend_words(part: faults.PartFailure, hands: Sequence[faults.PhaseHand]) -> str:
    """Return whether a part can be mended, and in which phases there is time for it."""
    if part.at != "ground":
        return "it is aboard, so it cannot be fixed after the launch"
    if part.swap_s is None:
        return "it is on the ground; how long a swap takes is not known"
    known = [(one.phase, one.in_hand_s) for one in hands if one.in_hand_s is not None]
    late = [_PHASES[phase] for phase, in_hand_s in known if in_hand_s < part.swap_s]
    swap = f"it is on the ground, and a swap takes {duration_words(part.swap_s)}"
    if late:
        return f"{swap}: too long {' and '.join(late)}"
    where = "throughout" if len(known) == len(hands) else "where it is known"
    return f"{swap}: there is time enough {where}" if known else swap


def _chance_words(part: faults.PartFailure) -> str:
    if part.fails_in_3h_ratio is None or part.both_fail_in_3h_ratio is None:
        return "no chance of failing is stated, so what a second one buys is not known"
    one, both = map(chance_words, (part.fails_in_3h_ratio, part.both_fail_in_3h_ratio))
    return f"the chance that it fails in 3 h is {one}, that both of two do {both}"


def hands_words(hands: Sequence[faults.PhaseHand]) -> str:
    """Return how long there is to fix a loss in each phase."""
    each = "; ".join(f"{_PHASES[hand.phase]}: {_hand_words(hand)}" for hand in hands)
    return f"time to fix a loss that comes {each}"


def _hand_words(hand: faults.PhaseHand) -> str:
    if hand.in_hand_s is not None:
        return f"{duration_words(hand.in_hand_s)}, until {hand.until}"
    return f"not known ({hand.until})" if hand.until else "not known"


def _trigger_words(one: faults.TriggerRecord) -> str:
    if one.fails_ratio is None:
        return f"release by {one.trigger}: never tried, so its chance is not known"
    failed = f"{one.n_failures} of {one.n_tests} failed"
    bound = f"{at_most_words(one.fails_ratio)} at most, with a confidence of 19 in 20"
    return f"release by {one.trigger}: {failed}, so the chance that it fails is {bound}"


def _release_words(found: faults.Failures) -> Iterator[str]:
    if len(found.triggers) == 1:
        yield "there is one trigger only: when it fails, nothing releases before the burst"
    if len(found.triggers) < 2:
        return
    if found.none_releases_ratio is not None:
        bound = f"{at_most_words(found.none_releases_ratio)} at most (the bounds multiplied)"
        yield f"the chance that all triggers fail, each for its own reason: {bound}"
    if found.shared_by_triggers:
        shared = " and ".join(found.shared_by_triggers)
        yield f"all triggers need {shared}: when that fails all fail, and no bound above covers it"
