"""Numbers as they are typed: each way to write a place comes to the same place."""

import pytest

from farglide.errors import AnswerError
from farglide.track.typed.numbers import cleaned, number_of, place_typed, tokens


@pytest.mark.parametrize(
    "line",
    [
        "-46.5125 108.205", "-46,5125 108,205", "-46.5125, 108.205", "-46,5125, 108,205",
        "-46.5125;108.205", "-46.5125,108.205", "46.5125s 108.205e", "46.5125 S 108.205 E",
        "46 30.75 S 108 12.3 E", "46°30.75′S 108°12.3′E", "46 30,75 s, 108 12,3 e",
        "108.205 E 46.5125 S", "46 30 45 S 108 12 18 E", "4630.75 S 10812.3 E",
        "46°30'45\"S 108°12'18\"E",
        "-46 30.75 108 12.3", "−46.5125 +108.205",
    ],
)  # fmt: skip
def test_every_way_to_write_a_place(line: str) -> None:
    lat_deg, lon_deg = place_typed(tokens(cleaned(line)))
    assert (lat_deg, lon_deg) == pytest.approx((-46.5125, 108.205), abs=1e-9)


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("46.5", "Type a place as"),
        ("46.5 S 108.2 S", "Both numbers have a letter of one way"),
        ("-46.5 S 108.2 E", "A sign and a letter say the same twice"),
        ("46 75 S 108 12 E", "Minutes and seconds go from 0"),
        ("46.5 x 108.2", "Type a place as"),
        ("1 2 3 4 5 6 7 8", "Type a place as"),
        ("46.5 ? 108", r"'\?' is no number and no word"),
    ],
)
def test_what_is_no_place_is_asked_again(line: str, message: str) -> None:
    with pytest.raises(AnswerError, match=message):
        place_typed(tokens(cleaned(line)))


def test_lines_and_numbers_have_limits() -> None:
    with pytest.raises(AnswerError, match="That line has 201 signs; type up to 200"):
        cleaned("1" * 201)
    with pytest.raises(AnswerError, match=r"'1\.2\.3' is no number"):
        number_of("1.2.3")
