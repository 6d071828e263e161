"""An antenna said in a word with one or two numbers is the same as one in keys of its own."""

from pathlib import Path

import pytest

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import read_flight_file
from farglide.flightfile.sections.antennakeys import ANTENNAS
from farglide.flightfile.sections.antennawords import (
    WITH_NUMBER,
    refused_words,
    taken_apart,
    with_antenna_words,
)

from ...conftest import DEMO


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("yagi 14", ("yagi", {"gain_dbi": 14.0})),
        ("Yagi  14 dBi", ("yagi", {"gain_dbi": 14.0})),
        ("patch 60 80", ("patch", {"beamwidth_level_deg": 60.0, "beamwidth_upright_deg": 80.0})),
        (
            "patch 60° x 80°",
            ("patch", {"beamwidth_level_deg": 60.0, "beamwidth_upright_deg": 80.0}),
        ),
        ("helix 12 turns", ("helix", {"n_turns": 12.0})),
        ("dish 0.6 m", ("dish", {"diameter_m": 0.6})),
        ("stated gain -1", ("stated gain", {"gain_dbi": -1.0})),
        ("quarter wave 2", ("quarter wave", {"ground_radius_wavelengths": 2.0})),
        ("lobed 2 6 dB", ("lobed", {"gain_dbi": 2.0, "ripple_db": 6.0})),
        ("dipole", None),
        ("dipole 2", None),
        ("helix 12 dBi", None),
        ("lobed 2", None),
        ("14 yagi", None),
    ],
)
def test_a_word_with_its_numbers(said: str, found: object) -> None:
    assert taken_apart(said) == found


def test_a_number_that_stands_in_a_key_too_is_left_to_be_refused() -> None:
    row = {"sender_antenna": "yagi 14", "sender_gain_dbi": 12}
    assert with_antenna_words(row) == row
    assert with_antenna_words({"sender_antenna": 3}) == {"sender_antenna": 3}


def read(tmp_path: Path, antenna: str) -> object:
    text = DEMO.read_text(encoding="utf-8")
    path = tmp_path / "mine.toml"
    path.write_text(text.replace("receiver_gain_dbi = 18 ", f"{antenna}\n# "), encoding="utf-8")
    return read_flight_file(path).sortie.links[0]


def test_both_ways_to_say_it_are_one_antenna(tmp_path: Path) -> None:
    said = read(tmp_path, 'receiver_antenna = "helix 12"')
    assert said == read(tmp_path, 'receiver_antenna = "helix"\nreceiver_n_turns = 12')


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("dish 60 cm", 'behind "dish" stands its diameter in metres. Write like "dish 0.6".'),
        ("dish 60", "a dish of 60 is not taken: its diameter in metres is 0.02 to 30, as in"),
        ("yagi 999", 'a yagi of 999 is not taken: its gain in dBi is -30 to 50, as in "yagi 14".'),
        ("helix 12.5", "a helix of 12.5 is not taken: its count of full turns is 4 to 60"),
        ("yagi 14 dBm", 'behind "yagi" stands its gain in dBi; or its beamwidth from side to side'),
        ("dipole 2", 'behind "dipole" stands no number. Write "dipole".'),
        ("quarter-wave", 'is no word for an antenna. Did you mean "quarter wave"?'),
        ("clover", 'is no word for an antenna. Allowed: "stated gain", "dipole"'),
    ],
)
def test_a_refused_word_names_itself_what_is_allowed_and_an_example(
    tmp_path: Path, said: str, why: str
) -> None:
    with pytest.raises(FlightFileError) as caught:
        read(tmp_path, f'receiver_antenna = "{said}"')
    (problem,) = caught.value.problems
    assert problem.where == "[[links]] 1 receiver_antenna"
    assert f'is "{said}": ' in problem.what
    assert why in problem.what


def test_a_number_said_twice_is_told_with_its_key(tmp_path: Path) -> None:
    said = 'receiver_antenna = "yagi 14"\nreceiver_gain_dbi = 12'
    with pytest.raises(FlightFileError, match=r"receiver_gain_dbi states too\. Keep one of them"):
        read(tmp_path, said)


def test_a_word_without_its_number_is_told_how_to_say_it(tmp_path: Path) -> None:
    for word in ("helix", "yagi"):
        with pytest.raises(FlightFileError, match=rf'like receiver_antenna = "{word} 1'):
            read(tmp_path, f'receiver_antenna = "{word}"')


def test_every_example_is_taken() -> None:
    for word, said in WITH_NUMBER.items():
        assert taken_apart(said), word
        assert refused_words(said) == ""
    assert [refused_words(word) for word in ANTENNAS if word not in WITH_NUMBER] == [""] * 3
