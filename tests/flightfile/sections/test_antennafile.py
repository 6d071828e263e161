"""Antennas of a flight file: read, and refused where a number has no antenna or an antenna none."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from farglide.errors import InputError, SourceError
from farglide.flightfile.flightfile import FlightFile
from farglide.gather.gather import gather_patterns
from farglide.radio.antenna.helix import Helix
from farglide.radio.ends.gear import N_SINES, EndGear
from farglide.rig.links import gear_of

Document = dict[str, Any]
Read = Callable[[Document], FlightFile]
Refusals = Callable[[Document], list[str]]
PICTURE, COMMAND = 0, 1

HELIX: Document = {"receiver_antenna": "helix", "receiver_n_turns": 10, "receiver_gain_dbi": None}
WHIP: Document = {"sender_antenna": "dipole", "sender_gain_dbi": None}


def put(document: Document, link: int, keys: Document) -> Document:
    table = document["links"][link]
    for key, value in keys.items():
        table.pop(key, None)
        if value is not None:
            table[key] = value
    return document


def test_a_link_without_antennas_has_only_gains(demo_flight: FlightFile) -> None:
    for spec in demo_flight.sortie.links:
        assert not spec.sender_end.has_pattern
        assert not spec.receiver_end.has_pattern
        assert spec.sender_end.polarisation == "unstated"
    picture, command = demo_flight.sortie.links
    assert (picture.sender_end.aboard, picture.receiver_end.aboard) == (True, False)
    assert (command.sender_end.aboard, command.receiver_end.aboard) == (False, True)


def test_antennas_become_ends(document: Document, read: Read) -> None:
    keys = {**HELIX, "receiver_aim_spread_deg": 5, "receiver_polarisation": "Right circular"}
    keys |= {**WHIP, "sender_pointing": "down", "sender_polarisation": "linear upright"}
    flight = read(put(document, PICTURE, keys | {"sender_swing_deg": 20}))
    spec = flight.sortie.links[0]
    assert spec.receiver_end.antenna == Helix(
        n_turns=10, spacing_wavelengths=0.236, circumference_wavelengths=1.0
    )
    assert (spec.receiver_end.stands, spec.receiver_end.aim_spread_deg) == ("aimed", 5.0)
    assert (spec.sender_end.stands, spec.sender_end.swing_deg) == ("down", 20.0)
    assert spec.receiver_end.polarisation == "right circular"
    # the gain that the formula has is told as typical
    told = {line.row.key: line.number for line in flight.inputs if line.section == "links[picture]"}
    assert told["receiver_gain_dbi"].value == pytest.approx(14.5, abs=0.05)  # Kraus, 8-5.3
    assert told["receiver_gain_dbi"].tag == "typical"
    assert told["sender_gain_dbi"].value == pytest.approx(2.15, abs=0.01)


@pytest.mark.parametrize(
    ("antenna", "aboard", "stands"),
    [
        ("dipole", True, "up"), ("dipole", False, "up"), ("turnstile", True, "down"),
        ("turnstile", False, "up"), ("yagi", False, "aimed"), ("dish", False, "aimed"),
    ],
)  # fmt: skip
def test_left_out_an_antenna_stands_as_such_ones_do(
    antenna: str, aboard: bool, stands: str, document: Document, read: Read
) -> None:
    needed = {"turnstile": {"gain_dbi": 2}, "yagi": {"gain_dbi": 12}, "dish": {"diameter_m": 0.6}}
    end = "sender" if aboard else "receiver"
    keys = {f"{end}_{key}": value for key, value in needed.get(antenna, {}).items()}
    keys = {f"{end}_antenna": antenna, f"{end}_gain_dbi": None, **keys}
    spec = read(put(document, PICTURE, keys)).sortie.links[0]
    assert (spec.sender_end if aboard else spec.receiver_end).stands == stands


@pytest.mark.parametrize(
    ("link", "keys", "words"),
    [
        (0, {"sender_antenna": "dipol"}, 'Did you mean "dipole"?'),
        (0, {"sender_antenna": "helix"}, "sender_n_turns: is missing"),
        (0, HELIX | {"receiver_n_turns": 7.5}, "allowed: a whole number"),
        (0, HELIX | {"receiver_n_turns": 3}, "allowed: 4 to 60"),
        (0, {"receiver_antenna": "dish"}, "receiver_diameter_m: is missing"),
        (0, WHIP | {"sender_antenna": "turnstile"}, "sender_gain_dbi: is missing"),
        (0, WHIP | {"sender_antenna": "lobed", "sender_gain_dbi": 1}, "ripple_db: is missing"),
        (0, {"receiver_antenna": "yagi", "receiver_gain_dbi": None}, "without a beamwidth"),
        (0, WHIP | {"sender_n_turns": 7}, "a dipole, which has none"),
        (0, {"sender_diameter_m": 1}, "a stated gain, which has none"),
        (0, {"sender_antenna": "measured"}, "angle_deg and gain_dbi"),
        (0, {"sender_pattern_file": "a.csv"}, "is not measured"),
        (0, {"sender_pointing": "up"}, "of its antenna only a gain"),
        (0, {"receiver_aim_spread_deg": 5}, "of its antenna only a gain"),
        (0, {"sender_damage_skew_deg": 30}, "of its antenna only a gain"),
        (0, WHIP | {"sender_pointing": "aimed"}, "nothing aims on the glider"),
        (0, {"receiver_antenna": "dipole", "receiver_gain_dbi": None,
             "receiver_pointing": "aimed"}, "a dipole has no boresight"),
        (0, {"sender_antenna": "patch"}, "nobody can guess"),
        (0, {"receiver_antenna": "measured", "receiver_pattern_file": "a.csv"},
         'Write "aimed", "up", "down" or "level".'),
        (0, HELIX | {"receiver_swing_deg": 5}, "Is receiver_aim_spread_deg meant?"),
        (0, WHIP | {"sender_aim_spread_deg": 5}, "Is sender_swing_deg meant?"),
        (0, {"sender_polarisation": "linear level"}, "receiver_polarisation: is missing"),
        (0, {"sender_polarisation": "vertical"}, '"linear upright"'),
        (0, {"sender_axial_ratio_db": 3}, "Only a circular one has it"),
        (0, HELIX | {"receiver_gain_dbi": 18}, "the formula of this helix gives 14.5 dBi"),
        (0, WHIP | {"sender_gain_dbi": -2}, "the formula of this dipole gives 2.2 dBi"),
        (0, HELIX | {"receiver_spacing_wavelengths": 0.3}, "pitch of the helix"),
        (0, {"receiver_antenna": "yagi", "receiver_beamwidth_level_deg": 60}, "Which of them is"),
        (0, {"receiver_antenna": "dish", "receiver_gain_dbi": None, "receiver_diameter_m": 0.1},
         "Give it as a beam"),
        (1, {"surroundings": "city"}, "the receiver flies"),
        (0, {"surroundings": "city"}, "Above it no figure is published"),
        (0, {"surroundings": "rural", "noise_figure_db": None, "needed_ratio_db": None,
             "sensitivity_dbm": -90}, "State noise_figure_db"),
        (1, {"rain_mmph": 5}, "rain takes nothing that counts: leave it out"),
        (0, {"rain_mmph": 500}, "allowed: 0 to 150 mm/h"),
        (0, {"eirp_w": 5}, "two answers to one question"),
        (0, {"power_w": None, "power_spread_ratio": None}, "power_w: is missing"),
        (0, {"power_w": None, "power_spread_ratio": None, "eirp_dbm": 31},
         "sender_gain_dbi too"),
        (0, {"power_w": None, "power_spread_ratio": None, "sender_gain_dbi": None, "eirp_w": 1,
             "eirp_dbm": 30}, "Keep one of eirp_w and eirp_dbm"),
        (0, {"power_w": None, "power_spread_ratio": None, "sender_gain_dbi": None, "eirp_w": 1,
             "heat_w": None, "efficiency_percent": 20}, "Write heat_w"),
        (0, {"eirp_dbm": 5000}, "allowed: 0 to 63 dBm"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused(
    link: int, keys: Document, words: str, document: Document, refusals: Refusals
) -> None:
    told = refusals(put(document, link, keys))
    assert words in "\n".join(told)
    assert "nan" not in "\n".join(told)


def test_one_slip_is_told_once(document: Document, refusals: Refusals) -> None:
    # a refused number is not also missing, and no law is asked about the rest
    told = refusals(put(document, PICTURE, HELIX | {"receiver_n_turns": 700}))
    assert len(told) == 1


def test_an_eirp_stands_for_power_loss_and_gain(document: Document, read: Read) -> None:
    keys: Document = {"power_w": None, "power_spread_ratio": None, "sender_gain_dbi": None}
    flight = read(put(document, PICTURE, keys | {"eirp_dbm": 37.0}))
    spec = flight.sortie.links[0]
    assert spec.is_eirp
    assert spec.power_w == pytest.approx(5.0, rel=3e-3)  # 37 dBm are 5.01 W
    told = [line.row.key for line in flight.inputs if line.section == "links[picture]"]
    assert "eirp_dbm" in told
    assert not {"power_w", "sender_loss_db", "sender_gain_dbi"} & set(told)
    watts = read(put(document, PICTURE, {"eirp_dbm": None, "eirp_mw": 5000})).sortie.links[0]
    assert watts.power_w == pytest.approx(5.0)


def measured(document: Document, tmp_path: Path, keys: Document, name: str) -> Document:
    rows = ["0,2", "30,1", "60,-1", "90,-4", "120,-8", "150,-12", "180,-15"]
    (tmp_path / name).write_text("\n".join(["angle_deg,gain_dbi", *rows]), encoding="utf-8")
    keys = {"sender_antenna": "measured", "sender_pattern_file": name, **keys}
    return put(document, PICTURE, {"sender_pointing": "down", **keys})


def test_a_measured_pattern_is_read_when_the_flight_is_gathered(
    document: Document, read: Read, tmp_path: Path
) -> None:
    flight = read(measured(document, tmp_path, {"sender_gain_dbi": None}, "patch.csv"))
    assert flight.sortie.links[0].sender_end.antenna is None
    with pytest.raises(InputError, match="not read"):
        gear_of(flight.sortie.links[0])
    gathered = gather_patterns(flight)
    assert gather_patterns(gathered) == gathered  # read once
    gear = gear_of(gathered.sortie.links[0])
    assert gear.link.sender.gain_dbi == pytest.approx(2.0)
    level, straight = gear.pattern[N_SINES // 2], gear.pattern[-1]
    assert (level, straight) == (pytest.approx(-6.0), pytest.approx(0.0))


def test_a_gain_far_from_the_measured_one_is_asked_about(
    document: Document, read: Read, tmp_path: Path
) -> None:
    near = read(measured(document, tmp_path, {"sender_gain_dbi": 4}, "patch.csv"))
    assert gear_of(gather_patterns(near).sortie.links[0]).link.sender.gain_dbi == pytest.approx(4.0)
    far = read(measured(document, tmp_path, {"sender_gain_dbi": 6}, "patch.csv"))
    with pytest.raises(SourceError, match=r"its file gives 2\.0 dBi"):
        gather_patterns(far)
    gone = read(measured(document, tmp_path, {"sender_gain_dbi": None}, "patch.csv"))
    (tmp_path / "patch.csv").unlink()
    with pytest.raises(SourceError, match=r"patch\.csv"):
        gather_patterns(gone)


def test_a_beam_measured_in_two_planes_is_aimed_wrong_in_each(
    document: Document, read: Read, tmp_path: Path
) -> None:
    """Wide from side to side and narrow upright: ten degrees off cost what the narrow one has."""
    planes = {
        "level.csv": ["0,10", "20,9.5", "40,7", "70,0", "100,-10", "130,-10", "160,-10", "180,-10"],
        "up.csv": ["0,10", "10,7", "20,0", "40,-5", "70,-10", "100,-10", "130,-10", "160,-10",
                   "180,-10"],
    }  # fmt: skip
    for name, rows in planes.items():
        (tmp_path / name).write_text("\n".join(["angle_deg,gain_dbi", *rows]), encoding="utf-8")
    keys: Document = {
        "receiver_antenna": "measured", "receiver_pattern_file": "level.csv",
        "receiver_pointing": "aimed", "receiver_gain_dbi": None, "receiver_aim_spread_deg": 5,
    }  # fmt: skip

    def gear(more: Document) -> EndGear:
        flight = gather_patterns(read(put(document, PICTURE, {**keys, **more})))
        return gear_of(flight.sortie.links[0]).receiver

    round_, both = gear({}), gear({"receiver_pattern_upright_file": "up.csv"})
    assert both.gain_dbi == pytest.approx(round_.gain_dbi) == pytest.approx(10.0)
    assert both.width == pytest.approx((80.0, 20.0), abs=0.5)
    assert both.loss_db > round_.loss_db + 0.5
    (tmp_path / "up.csv").write_text(
        "angle_deg,gain_dbi\n0,4\n20,3\n45,0\n75,-6\n105,-9\n135,-8\n165,-5\n180,-3\n",
        encoding="utf-8",
    )
    with pytest.raises(SourceError, match="on the boresight"):
        gear({"receiver_pattern_upright_file": "up.csv"})


def test_an_upright_plane_alone_is_half_a_measurement(
    document: Document, refusals: Refusals
) -> None:
    keys = {
        "receiver_antenna": "measured", "receiver_pointing": "aimed", "receiver_gain_dbi": None,
        "receiver_pattern_upright_file": "up.csv",
    }  # fmt: skip
    found = refusals(put(document, PICTURE, keys))
    assert any("receiver_pattern_file: is missing" in one for one in found), found
