"""Unreleased: one verb, whatever is in reach."""

from dataclasses import replace

import pytest
from tests.live.advice import ADVICE

from farglide.outlook.advice import Advice
from farglide.present.say.unreleased import unreleased_words

HOME, MEADOW = ADVICE.fields
POOR = tuple(replace(one, chance_ratio=0.01) for one in ADVICE.waiting)


@pytest.mark.parametrize(
    ("advice", "words"),
    [
        (ADVICE, "No good height ahead. Best now: Far meadow."),
        (replace(ADVICE, fields=(replace(MEADOW, name="The far meadow by the mill"),)),
         "No good height ahead. Release is best now."),
        (replace(ADVICE, fields=(HOME,)), "No field is in reach yet. Wait."),
        (replace(ADVICE, fields=(HOME,), waiting=POOR),
         "No field is in reach. Look for open ground."),
    ],
)  # fmt: skip
def test_what_is_said(advice: Advice, words: str) -> None:
    assert unreleased_words(advice) == words
    assert len(words.split()) <= 9
