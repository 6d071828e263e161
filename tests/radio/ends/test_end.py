"""Ends: what is known of them, and how they stand where nobody says more."""

import pytest

from farglide.radio.antenna.beams import PatchAntenna
from farglide.radio.antenna.helix import Helix
from farglide.radio.antenna.kinds import Antenna, Dipole, Lobed, Turnstile
from farglide.radio.ends.end import ONLY_A_GAIN, End

HELIX = Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0)


def test_of_a_bare_end_only_a_gain_is_known() -> None:
    assert not ONLY_A_GAIN.has_pattern
    assert not ONLY_A_GAIN.says_more
    assert ONLY_A_GAIN.stands == "up"


@pytest.mark.parametrize(
    ("end", "has_pattern"),
    [
        (End(antenna=Dipole()), True), (End(pattern_paths=("whip.csv",)), True),
        (End(damage_db=3.0), False), (End(polarisation="linear level"), False),
    ],
)  # fmt: skip
def test_whatever_is_stated_besides_a_gain_is_told(end: End, has_pattern: bool) -> None:
    assert end.says_more
    assert end.has_pattern == has_pattern


@pytest.mark.parametrize(
    ("antenna", "on_the_ground", "aboard"),
    [
        (Dipole(), "up", "up"), (Turnstile(gain_dbi=2.0, ripple_db=0.0), "up", "down"),
        (Lobed(gain_dbi=1.0, ripple_db=2.0), "up", "down"), (HELIX, "aimed", "aimed"),
        (PatchAntenna(level_deg=60.0, upright_deg=60.0), "aimed", "aimed"),
    ],
)  # fmt: skip
def test_left_out_an_antenna_stands_as_such_ones_do(
    antenna: Antenna, on_the_ground: str, aboard: str
) -> None:
    assert End(antenna=antenna).stands == on_the_ground
    assert End(antenna=antenna, aboard=True).stands == aboard
    assert End(antenna=antenna, pointing="level").stands == "level"
