"""Numbers of a flight file as sentences, and where each stands in the file."""

from pathlib import Path

import pytest

from farglide.cli.check import check_text
from farglide.cli.inputlines import input_sentence, key_place
from farglide.flightfile.flightfile import EVERY, FlightFile, read_flight_file
from farglide.flightfile.template import template_text
from farglide.sortie.known import Tag

BOX = """
[flight]
name = "Reed box"
launch_at = 2027-05-15T15:00:00+05:00
[launch]
lat_deg = 52.45
lon_deg = 63.9
amsl_m = 210
[balloon]
mass_g = 800
gas = "helium"
[payload]
mass_g = 900
canopy_cm = 100
[[links]]
name = "tracker"
purpose = "position"
kind = "digital"
frequency_mhz = 434
power_mw = 10
sensitivity_dbm = -120
"""


@pytest.fixture
def flight(tmp_path: Path) -> FlightFile:
    path = tmp_path / "mine.toml"
    path.write_text(template_text(), encoding="utf-8")
    return read_flight_file(path)


def sentences(flight: FlightFile, key: str) -> list[str]:
    return [input_sentence(line) for line in flight.inputs if line.row.key == key]


def test_a_switch_on_is_told_in_minutes_before_the_launch(flight: FlightFile) -> None:
    assert sentences(flight, "on_after_launch_s") == ["It is switched on 15 min before the launch."]


def test_what_a_number_stands_in_place_of_is_named(flight: FlightFile) -> None:
    told = "The weakest signal that works (in place of noise figure and needed ratio) is"
    assert sentences(flight, "sensitivity_dbm") == [
        f"{told} -91 dBm, measured.", f"{told} -107 dBm, measured."
    ]  # fmt: skip
    for section in EVERY:
        for row in section.rows:
            assert "in place of both" not in row.says
            assert "in place of all" not in row.says
            assert "in place of that" not in row.says


def test_a_key_is_told_as_it_stands_in_the_file(flight: FlightFile) -> None:
    places = {key_place(line) for line in flight.inputs}
    assert "burst_diameter_m in [balloon]" in places
    assert 'cold_ratio in [[packs]], name = "all"' in places
    assert 'amsl_m in [[fields]], name = "Far meadow"' in places
    assert not [one for one in places if "[packs[" in one]


def test_a_part_without_a_name_is_told_by_its_number(tmp_path: Path) -> None:
    glide = "\n[[glider.timed_glides]]\nfrom_agl_m = 60\nduration_s = 50\nspeed_eas_mps = 9\n"
    path = tmp_path / "mine.toml"
    path.write_text(template_text().replace("glided_m", "# glided_m").replace(
        "glided_from_agl_m", "# glided_from_agl_m") + 3 * glide, encoding="utf-8")  # fmt: skip
    flight = read_flight_file(path)
    assert "duration_s in [[glider.timed_glides]], number 2" in set(map(key_place, flight.inputs))


def test_every_guess_has_a_test_beside_it(flight: FlightFile, tmp_path: Path) -> None:
    box = tmp_path / "box.toml"
    box.write_text(BOX, encoding="utf-8")
    for one in (flight, read_flight_file(box)):
        guesses = [
            line for line in one.inputs
            if line.number.tag is Tag.GUESS and not line.row.choice and not line.number.fitted
        ]  # fmt: skip
        assert len(guesses) > 5
        assert [line.row.key for line in guesses if not line.row.settle] == []


def test_a_check_of_a_box_speaks_of_no_glider_and_of_no_radio_that_it_has_not(
    tmp_path: Path,
) -> None:
    path = tmp_path / "box.toml"
    path.write_text(BOX + '[permissions]\naircraft = "asked"\n', encoding="utf-8")
    told = check_text(path)
    assert "glider" not in told.casefold()
    assert "Line, hook and all between balloon and load weigh 0.1 kg, guess." in told
    permissions = told[told.index("\nPermissions\n") :].split("\n\n")[0].splitlines()[2:]
    assert permissions == ["  balloon in the airspace: missing", "  land: missing"]
    assert "mean ascent of the balloon (mean_ascent_mps in [balloon]): decide it, or fill" in told
