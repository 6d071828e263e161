"""Cards after the release: of those that there are, none of them twice."""

import pytest

from farglide.present.say.cards import CARDS
from farglide.present.say.cardsafter import CARDS_AFTER, OVER


def test_each_is_one_of_the_cards_and_none_is_over_too() -> None:
    assert set(CARDS_AFTER) <= set(CARDS)
    assert set(CARDS) >= OVER
    assert not OVER & set(CARDS_AFTER)


@pytest.mark.parametrize("name", list(CARDS_AFTER))
def test_its_meanings_share_all_chance_and_its_time_ends_after_the_release(name: str) -> None:
    card = CARDS_AFTER[name]
    assert sum(one.ratio for one in card.means) == pytest.approx(1.0)
    assert card.ends in ("door", "landing", "never")
    assert len(card.first.split()) <= 11


def test_all_else_ends_after_the_release_too() -> None:
    left = set(CARDS) - OVER - set(CARDS_AFTER)
    assert {CARDS[name].ends for name in left} <= {"door", "landing", "never"}
