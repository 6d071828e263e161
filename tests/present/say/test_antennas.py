"""What antennas make of links, in words."""

from dataclasses import replace

import pytest

from farglide.flightfile.flightfile import FlightFile
from farglide.outlook.antennas import LinkAntennas
from farglide.present.say.antennas import ONLY_GAINS, antenna_lines, antenna_section, bounce_line
from farglide.radio.antenna.beams import Yagi
from farglide.radio.antenna.helix import Helix, HelixArray
from farglide.radio.antenna.kinds import Dipole
from farglide.radio.ends.end import End
from farglide.radio.path.rain import Rain, rain_loss_db
from farglide.rig.links import antennas_of, gear_of
from farglide.sortie.spec import LinkSpec

HELIX = End(
    antenna=Helix(n_turns=7, spacing_wavelengths=0.236, circumference_wavelengths=1.0),
    aim_spread_deg=5.0,
    polarisation="right circular",
    gain_dbi=12.0,
)
WHIP = End(
    antenna=Dipole(), pointing="down", aboard=True, swing_deg=20.0, polarisation="linear upright"
)


@pytest.fixture(scope="module")
def picture(demo_flight: FlightFile) -> LinkSpec:
    return demo_flight.sortie.links[0]


def made_of(spec: LinkSpec) -> LinkAntennas:
    return antennas_of(gear_of(spec))


def told(spec: LinkSpec, sender: End, receiver: End) -> str:
    lines = antenna_lines(made_of(replace(spec, sender_end=sender, receiver_end=receiver)))
    assert all(len(line) <= 100 and line.startswith("  ") for line in lines)
    return " ".join(" ".join(lines).split())


def test_a_helix_and_a_whip_are_told(picture: LinkSpec) -> None:
    text = told(picture, WHIP, HELIX)
    assert "aboard dipole, 2.2 dBi, pointing down, leaning 20°: −0.4 dB at the horizon" in text
    # 20 log(cos(pi/2 cos 20 deg) / sin 20 deg) = -11.2
    assert "−11.2 dB straight below" in text
    assert "on the ground helix of 7 turns, 12.0 dBi, 43° wide, aimed to 5°: 0.3 dB" in text
    assert "linear upright to right circular: 3.0 dB" in text
    assert "at worst" not in text  # a true circle is the same for every roll
    gear = gear_of(replace(picture, sender_end=WHIP, receiver_end=HELIX))
    assert text.endswith(f"doubt about the budget {gear.sd_db:.1f} dB")


def test_the_worst_roll_is_told(picture: LinkSpec) -> None:
    free = replace(WHIP, swing_deg=None)
    text = told(picture, free, replace(HELIX, polarisation="linear upright"))
    expected = "linear upright to linear upright: 6.0 dB in the mean over all rolls, 30.0 dB at"
    assert f"{expected} worst" in text


def test_damage_arrays_and_noise_are_told(picture: LinkSpec) -> None:
    hurt = End(aboard=True, damage_db=9.0)
    ten = Helix(n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0)
    four = End(antenna=HelixArray(helix=ten, n_level=2, n_upright=2, apart_wavelengths=1.5))
    low = replace(picture, frequency_hz=433.92e6, bandwidth_hz=1e6, surroundings="city")
    text = told(low, hurt, four)
    assert "aboard antenna, 2.0 dBi, damage takes 9.0 dB" in text
    assert "4 helices, 20.5 dBi" in text  # Kraus, 8-5.3
    assert "well aimed" in text
    # 10 log(10^1.186 + 10^-0.866 + 10^0.2 - 1) - 2
    assert "noise of the place (city): 10.1 dB" in text
    wet = antenna_lines(made_of(replace(picture, frequency_hz=10e9, rain_mmph=5.0)))
    # 46.5 S: 5 km less 0.1 km a degree from 21 S on, and less the lowest stand
    expected = rain_loss_db(10e9, Rain(mmph=5.0, depth_m=2210.0), 10.0)
    assert f"rain of 5 mm/h, 2.2 km deep: {expected:.1f} dB at 10° of elevation" in " ".join(wet)
    fan = End(antenna=Yagi(level_deg=30.0, upright_deg=60.0))
    bent = replace(WHIP, damage_db=3.0, damage_skew_deg=30.0)
    text = told(picture, bent, replace(fan, polarisation="linear upright"))
    assert "30 x 60° wide" in text
    assert "damage takes 3.0 dB, bent by 30°" in text


def test_gains_alone_say_so_and_need_no_section(demo_flight: FlightFile) -> None:
    gears = [made_of(spec) for spec in demo_flight.sortie.links]
    assert antenna_lines(gears[0]) == [f"  {ONLY_GAINS}"]
    assert antenna_section(gears) == []
    spec = replace(demo_flight.sortie.links[0], sender_end=WHIP, receiver_end=HELIX)
    section = antenna_section([made_of(spec), gears[1]])
    assert section[:2] == ["What the antennas make of the links", "  picture"]
    assert not any("command" in line for line in section)


def test_the_bounce_is_told_by_the_plane_of_the_wave(picture: LinkSpec) -> None:
    line = bounce_line(made_of(picture))
    # (sin 3 deg - 4.583) / (sin 3 deg + 4.583) of medium dry land: all but 2.3 % comes back
    assert "takes up to 33 dB or adds up to 6 dB" in line
    assert len(line) <= 100
    upright = End(polarisation="linear upright")
    spec = replace(picture, sender_end=replace(upright, aboard=True), receiver_end=upright)
    assert "takes up to 8 dB or adds up to 4 dB" in bounce_line(made_of(spec))
