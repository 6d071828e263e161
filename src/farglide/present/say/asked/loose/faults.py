"""Faults in words after the release: one card with the time in hand, or the causes of a picture."""

from collections.abc import Mapping
from typing import Final

from farglide.outlook.advice import Advice
from farglide.outlook.after import Stage
from farglide.outlook.askedafter import FaultAfter
from farglide.present.say.asked.faults import grade_reply, means_words, seen_words
from farglide.present.say.asked.reply import Reply
from farglide.present.say.cards import CARDS, Card
from farglide.present.say.cardsafter import CARDS_AFTER, OVER
from farglide.present.say.text import FlightClock
from farglide.sortie.words import duration_words

_TIED: Final = ("burst", "late-command", "pin-never")
"""With all tied on the release is still to be sent."""


def fault_after_reply(found: FaultAfter, _: Advice, clock: FlightClock) -> Reply:
    """Return what a grade says, or the card that is wanted, or the names of those that count."""
    if found.grade is not None:
        told = grade_reply(found.grade, _hand(found, "door"), "Sticks still for 3 s, and look.")
        return told._replace(change="Gone altogether: <ask lost>. A better stand: <ask park>.")
    if found.wanted:
        return _card_reply(found, found.wanted)
    cards = cards_at(found.stage)
    return Reply(
        answer="Which fault? <Ask fault NAME>, or <fault N>.",
        number=f"{len(cards)} cards count now: {', '.join(sorted(cards))}.",
        until=_hand(found, "door"),
        why="Each says what it means, what to do first, how long there is.",
        change="A bad picture: its grade N, 0 to 5, finds the cause.",
    )


def cards_at(stage: Stage) -> Mapping[str, Card]:
    """Return the cards that count at a stage, by the word that is typed."""
    found = {name: CARDS_AFTER.get(name, one) for name, one in CARDS.items() if name not in OVER}
    return {**found, **{name: CARDS[name] for name in _TIED}} if stage is Stage.TIED_ON else found


def _card_reply(found: FaultAfter, name: str) -> Reply:
    card = cards_at(found.stage).get(name)
    if card is None:
        return Reply(
            answer="That is over: no whole balloon carries it any more.",
            until=_hand(found, "door"),
            why=f"{CARDS[name].sees} It counts until the release.",
            change="<Ask now> for what counts now.",
        )
    known = found.winds_ratio if card.known == "winds" else None
    ends = "door" if card.ends in ("release", "burst") else card.ends
    return Reply(
        answer=card.first,
        number=means_words(card, known),
        until=_hand(found, ends),
        why=seen_words(card),
        more=(("Then", card.then),),
    )


def _hand(found: FaultAfter, ends: str) -> str:
    """Return how long there is."""
    if ends == "never":
        return "No hurry by this alone."
    if ends == "landing":
        if found.landing_in_s is None or found.landing_in_s <= 0.0:
            return "To the ground."
        return f"{duration_words(found.landing_in_s).capitalize()} to the ground."
    if found.stage is Stage.DOWN:
        return "It should be down."
    if not found.field:
        return "No field is in reach."
    if found.door_in_s is None:
        least = "10 min" if found.stage is Stage.TIED_ON else "25 min"
        return f"More than {least} in hand, then {found.field} is out of reach."
    if found.door_in_s <= 0.0:
        return f"Nothing in hand: {found.field} is out of reach."
    cause = "all tied on" if found.stage is Stage.TIED_ON else "if nobody steers"
    return f"{_time(found.door_in_s)} in hand, then {found.field} is out of reach, {cause}."


def _time(left_s: float) -> str:
    if left_s < 120.0:
        return f"{10 * int(left_s / 10.0)} s"
    return duration_words(left_s).capitalize()
