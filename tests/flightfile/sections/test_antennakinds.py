"""Every word for an antenna has a type of its own, made of the measures that a file may state."""

import pytest

from farglide.flightfile.sections.antennakeys import (
    ANTENNAS,
    BEAMS,
    MEASURED,
    SENDER,
    STATED_GAIN,
)
from farglide.flightfile.sections.antennakinds import KINDS
from farglide.radio.antenna.beams import Dish, PatchAntenna, Yagi, even_beam_deg
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.antenna.kinds import Antenna, Collinear, Dipole, Lobed, Monopole, Turnstile
from farglide.radio.antenna.stance import AIMED

HELIX = Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0)
EVEN_DEG = even_beam_deg(12.0)


def test_every_word_is_a_kind_and_beams_are_what_is_aimed() -> None:
    assert {*KINDS, STATED_GAIN} == set(ANTENNAS)
    assert {word for word, kind in KINDS.items() if kind.type.usual == AIMED} == set(BEAMS)
    keys = {"gain_dbi", *(one.key.removeprefix("sender_") for one in SENDER)}
    for kind in KINDS.values():
        assert {*kind.needs, *kind.may} <= keys
    assert len({kind.type.noun for kind in KINDS.values()}) == len(KINDS)


@pytest.mark.parametrize(
    ("word", "stated", "antenna"),
    [
        ("dipole", {}, Dipole()),
        ("quarter wave", {}, Monopole()),
        ("quarter wave", {"ground_radius_wavelengths": 2.0},
         Monopole(ground_radius_wavelengths=2.0)),
        ("collinear", {"gain_dbi": 6.0, "frequency_hz": 5.8e9},
         Collinear(gain_dbi=6.0, frequency_hz=5.8e9)),
        ("helix", {"n_turns": 10.0}, HELIX),
        ("helix", {"n_turns": 7.0, "circumference_wavelengths": 1.1, "spacing_wavelengths": 0.25},
         Helix(n_turns=7, spacing_wavelengths=0.25, circumference_wavelengths=1.1)),
        ("helix array", {"n_turns": 10.0, "n_level": 2.0, "n_upright": 2.0,
                         "apart_wavelengths": 1.5},
         HelixArray(helix=HELIX, n_level=2, n_upright=2, apart_wavelengths=1.5)),
        ("yagi", {"beamwidth_level_deg": 30.0, "beamwidth_upright_deg": 60.0},
         Yagi(level_deg=30.0, upright_deg=60.0)),
        ("yagi", {"beamwidth_level_deg": 40.0}, Yagi(level_deg=40.0, upright_deg=40.0)),
        ("patch", {"beamwidth_upright_deg": 70.0}, PatchAntenna(level_deg=70.0, upright_deg=70.0)),
        ("patch", {"gain_dbi": 12.0}, PatchAntenna(level_deg=EVEN_DEG, upright_deg=EVEN_DEG)),
        ("dish", {"diameter_m": 0.6, "frequency_hz": 2.37e9},
         Dish(diameter_m=0.6, frequency_hz=2.37e9)),
        ("turnstile", {"gain_dbi": 2.0}, Turnstile(gain_dbi=2.0, ripple_db=0.0)),
        ("turnstile", {"gain_dbi": 2.0, "ripple_db": 1.0, "edge_deg": 80.0},
         Turnstile(gain_dbi=2.0, ripple_db=1.0, edge_deg=80.0)),
        ("lobed", {"gain_dbi": 1.0, "ripple_db": 2.0}, Lobed(gain_dbi=1.0, ripple_db=2.0)),
        ("lobed", {"gain_dbi": 1.0, "ripple_db": 2.0, "edge_deg": 120.0},
         Lobed(gain_dbi=1.0, ripple_db=2.0, edge_deg=120.0)),
    ],
)  # fmt: skip
def test_measures_become_an_antenna(word: str, stated: dict[str, float], antenna: Antenna) -> None:
    made = KINDS[word].make(stated)
    assert made == antenna
    assert type(made) is KINDS[word].type


def test_a_measured_antenna_is_made_when_its_file_is_read() -> None:
    assert KINDS[MEASURED].make({}) is None
