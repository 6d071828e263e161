"""Tally: what counts as garbage, and what only as a receiver that waits."""

from collections import Counter

import pytest

from farglide.track.codecs.tally import Cause, Tally


@pytest.mark.parametrize(
    ("causes", "is_garbage"),
    [
        ({Cause.NO_LINE: 6}, True),
        ({Cause.CHECKSUM: 3, Cause.HALF: 3}, True),
        ({Cause.NO_LINE: 5}, False),
        ({Cause.NO_FIX: 10}, False),
        ({Cause.UNKNOWN: 10}, False),
    ],
)
def test_garbage_is_what_is_mostly_of_no_known_kind(
    causes: dict[Cause, int], is_garbage: bool
) -> None:
    tally = Tally(n_bytes=500, n_pieces=10, causes=Counter(causes))
    assert tally.is_garbage == is_garbage
    assert tally.n_unread == sum(causes.values())


def test_silence_is_no_garbage() -> None:
    assert not Tally().is_garbage
