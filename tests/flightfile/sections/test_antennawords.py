"""An antenna said in a word with one or two numbers is the same as one in keys of its own."""

from pathlib import Path

import pytest

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import read_flight_file
from farglide.flightfile.sections.antennawords import taken_apart, with_antenna_words

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
    with pytest.raises(FlightFileError, match=r'receiver_antenna: is "dish 60 cm"; allowed:'):
        read(tmp_path, 'receiver_antenna = "dish 60 cm"')
