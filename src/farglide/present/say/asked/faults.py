"""Faults in words: one card, all cards, or the causes of a bad picture with one test."""

from collections.abc import Mapping
from typing import Final

from farglide.outlook.asked import FaultNow
from farglide.outlook.askedcar import CauseShare, GradeFound
from farglide.present.say.asked.reply import Reply
from farglide.present.say.cards import CARDS, Card, Known
from farglide.present.say.links.aim import decibel_text
from farglide.present.say.text import FlightClock, sentence
from farglide.sortie.words import chance_words, duration_words, km_text, number_text, shares_words

_LOOKS: Final = {
    "distance": "fades slowly", "aim": "comes and goes with the hand at the antenna",
    "damage": "a step, and worse near and far", "overhead": "only while it stands overhead",
    "own sender": "good while no command is sent", "lens": "the overlay stays clear",
    "picture sender": "gone at once, or back as it cools",
}  # fmt: skip
TESTS: Final[Mapping[str, str]] = {
    "distance": "Compare it with the grade expected now.",
    "aim": "Turn a beam to each side, slowly.",
    "damage": "Swap receiver, cable and antenna, one by one.",
    "overhead": "Wait until it stands below 70°.",
    "own sender": "Stop sending for 3 s, no release due.",
    "lens": "Look: is the overlay clear?",
    "picture sender": "Is its position still heard? Wait 2 min.",
}  # fmt: skip
_FEW: Final = 4
_NO_END: Final = {
    "release": "Not known: no release is advised.", "door": "{field} stays as it is.",
    "burst": "No burst is likely.",
}  # fmt: skip
_TOLD_RATIO: Final = 0.02
_SHOWS_RATIO: Final = 0.1
_OFF_TIMES: Final = 1.1
"""From there on the ride sees what a card is about: a choice."""


def fault_reply(found: FaultNow, clock: FlightClock) -> Reply:
    """Return what a grade says, or the card that is wanted, or the names of all cards."""
    if found.grade is not None:
        return grade_reply(found.grade, _hand_words(found, "release"))
    if found.wanted:
        return card_reply(found, found.wanted)
    names = ", ".join(sorted(CARDS))
    return Reply(
        answer="Which fault? <Ask fault NAME>, or <fault N>.",
        number=f"{len(CARDS)} cards: {names}.",
        until=_hand_words(found, "release"),
        why="Each says what it means, what to do first, how long there is.",
        change="A bad picture: its grade N, 0 to 5, finds the cause.",
    )


def card_reply(found: FaultNow, name: str) -> Reply:
    """Return one fault card with the time in hand as it now is."""
    card = CARDS[name]
    until, quiet = _hand_words(found, card.ends), card.quiet
    if quiet is not None and not _shows(found, card):
        number = sentence(f"{card.means[0].words} {chance_words(_known_ratio(found, card.known))}")
        if card.known == "winds":
            number = "The winds miss by no more than was told."
        why = f"{quiet.why} {seen_words(card)} {card.first}"
        return Reply(answer=quiet.answer, number=number, until=until, why=why)
    return Reply(
        answer=card.first,
        number=_means_words(found, card),
        until=until,
        why=seen_words(card),
        more=(("Then", card.then),),
    )


def seen_words(card: Card) -> str:
    """Return what is seen where a card holds.

    >>> seen_words(CARDS["leak"])
    'Seen when: the climb falls off.'
    """
    return f"Seen when: {card.sees[0].lower()}{card.sees[1:]}"


def _shows(found: FaultNow, card: Card) -> bool:
    """Tell whether the ride itself sees anything of what a card is about."""
    if card.known == "winds":
        return found.winds_ratio >= _OFF_TIMES
    return _known_ratio(found, card.known) >= _SHOWS_RATIO


def means_words(card: Card, winds_ratio: float | None = None) -> str:
    """Return what a card may mean, with chances; `winds_ratio`: what is known of the winds."""
    return _told_means(card, None if winds_ratio is None else _winds_ratio(winds_ratio))


def _means_words(found: FaultNow, card: Card) -> str:
    return _told_means(card, None if card.known is None else _known_ratio(found, card.known))


def _told_means(card: Card, known_ratio: float | None) -> str:
    first, *others = card.means
    ratio = first.ratio if known_ratio is None else known_ratio
    left = sum(one.ratio for one in others)
    scale = (1.0 - ratio) / left if left else 0.0
    shares = shares_words([ratio, *(scale * one.ratio for one in others)])
    told = [f"{one.words} {share}" for one, share in zip(card.means, shares, strict=True)]
    return sentence("; ".join(told)) if others else sentence(first.words)


def _known_ratio(found: FaultNow, known: Known | None) -> float:
    if known == "burst":
        return found.burst_ratio
    if known == "leak":
        return found.leak_ratio
    return _winds_ratio(found.winds_ratio)


def _winds_ratio(times: float) -> float:
    """Return the chance that it is the wind, where it misses so many times as far as told."""
    return min(max(1.0 - 0.5 / max(times, 1.0) ** 2, 0.5), 0.98)


def _hand_words(found: FaultNow, ends: str) -> str:
    if ends == "never":
        return "No hurry by this alone."
    if ends == "landing":
        return "To the ground."
    what, left_s = {
        "release": ("the release is due", found.release_in_s),
        "door": (f"{found.field} is shut", found.door_in_s),
        "burst": ("1 in 10 has burst", found.burst_in_s),
    }[ends]
    if left_s is None:
        return _NO_END[ends].format(field=found.field)
    if left_s <= 0.0:
        return f"Nothing in hand: {what}."
    return f"{duration_words(left_s).capitalize()} in hand, then {what}."


def grade_reply(grade: GradeFound, until: str, own: str = TESTS["own sender"]) -> Reply:
    """Return what a seen grade says, and the test that separates most.

    `until`: time in hand; `own`: the test of the own sender.
    """
    first, tests = grade.causes[0], {**TESTS, "own sender": own}
    ranked = _ranked(grade)
    each = zip(ranked, shares_words([one.chance_ratio for one in ranked]), strict=True)
    shares = ", ".join(f"{one.cause} {share}" for one, share in each)
    test = tests[grade.test_of]
    told = Reply(
        answer=f"Test: {test[0].lower()}{test[1:]}",
        number=f"Likely {shares}.",
        until=until,
        why=f"Picture {grade.expected_grade} is expected at {grade.stand} "
        f"({decibel_text(grade.expected_db)} dB, {number_text(grade.elevation_deg)}° up), "
        f"{grade.seen_grade} is seen: {_lost_words(grade)}.",
        change=_change(first, grade),
        more=_cause_rows(grade, tests),
    )
    fine = _no_fault(grade)
    return told._replace(answer=fine, number=_as_far(grade), more=()) if fine else told


def _as_far(grade: GradeFound) -> str:
    """Return by what a picture without a fault is explained."""
    if grade.seen_grade > grade.expected_grade:
        return "The link is stronger than its budget."
    return f"The distance alone explains it {chance_words(grade.causes[0].chance_ratio)}."


def _no_fault(grade: GradeFound) -> str:
    """Return that the distance alone explains a picture; nothing where something else does."""
    if grade.causes[0].cause != "distance":
        return ""
    if grade.seen_grade > grade.expected_grade:
        return "Better than expected: no fault shows."
    if grade.least_db <= 0.0:
        return "As expected so far off: no fault shows."
    return "Hardly worse than expected: a fault is unlikely."


def _cause_rows(grade: GradeFound, tests: Mapping[str, str]) -> tuple[tuple[str, str], ...]:
    return tuple(
        (one.cause, sentence(f"{_LOOKS[one.cause]}. {tests[one.cause]}")) for one in _ranked(grade)
    )


def _ranked(grade: GradeFound) -> list[CauseShare]:
    return [one for one in grade.causes if one.chance_ratio >= _TOLD_RATIO][:_FEW]


def _lost_words(grade: GradeFound) -> str:
    if grade.least_db <= 0.0:
        is_better = grade.seen_grade > grade.expected_grade
        return "better than expected" if is_better else "within what is expected"
    least = number_text(grade.least_db)
    if grade.most_db is None:
        return f"{least} dB or more are missing"
    return f"{least} to {number_text(grade.most_db)} dB are missing"


def _change(first: CauseShare, grade: GradeFound) -> str:
    reach = f"If it stays so the picture reaches {km_text(grade.reach_m, 0)} km."
    if first.cause == "distance":
        return "A nearer or higher stand: <ask park>."
    return f"{reach} The release needs no picture: <ask lost>."
