"""An utterance takes as long as its words."""

import pytest

from farglide.present.say.utterance import Urgency, Utterance


def test_it_takes_as_long_as_its_words() -> None:
    assert Utterance(Urgency.NOW, "Release now, for Home strip.", "k").takes_s == pytest.approx(
        5 * 60.0 / 160.0
    )
    assert Urgency.NOW < Urgency.WINDOW < Urgency.NEWS
