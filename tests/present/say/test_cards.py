"""Fault cards: short enough for a moving car, and one for each surprise that is known."""

import pytest

from farglide.present.say.cards import CARDS, Card

ASKED_FOR = (
    "early-burst", "wind-turned", "pin-never", "late-command", "car-stuck", "no-phone", "restart",
    "phone-dead", "clock-off", "digits", "feet", "stops-at-18-km", "aircraft", "noise", "frost",
    "ground-wind", "battery", "winds-end", "winds-old", "no-terrain", "refused", "short-fill",
    "upside-down", "leak", "burst",
)  # fmt: skip


def test_each_failure_that_is_rehearsed_has_a_card() -> None:
    assert set(CARDS) == set(ASKED_FOR)


@pytest.mark.parametrize("card", CARDS.values(), ids=list(CARDS))
def test_a_card_is_short_and_its_chances_are_shares(card: Card) -> None:
    assert len(card.first.split()) <= 12
    assert len(card.sees) <= 70
    assert len(card.then) <= 70
    assert sum(one.ratio for one in card.means) == pytest.approx(1.0)
    words = f"{card.first} {card.then}".lower()
    assert "safe" not in words
    assert card.first.endswith(".")
    assert card.then.endswith(".")
