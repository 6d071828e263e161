"""One glide in calm air, and what is strange about how it is answered."""

import pytest

from farglide.flightfile.asked.glides import asked_glide


@pytest.mark.parametrize(
    ("way", "height", "words"),
    [
        ("12", "3", "A glide of 12 m is over in a second or two"),
        ("29 m", "5", "A glide of 29 m"),
        ("30", "5", ""),
        ("1.3 km", "100", ""),
        ("1300", "300 ft", ""),  # 91 m
        ("1300", "15", "makes 86.7 m of way in a metre of height; small gliders make 3 to 25"),
        ("100", "100", "makes 1.0 m of way in a metre of height"),
    ],
)
def test_what_is_strange_is_doubted(way: str, height: str, words: str) -> None:
    asking = asked_glide(4)
    far = next(asking).part
    taken = far.take(way)
    high = asking.send(taken).part
    told = far.doubt(taken) + high.doubt(high.take(height))
    assert words in told
    assert bool(words) == bool(told)


def test_without_a_glide_no_height_is_asked() -> None:
    asking = asked_glide(4)
    next(asking)
    with pytest.raises(StopIteration) as ended:
        asking.send({})
    assert ended.value.value == {}
