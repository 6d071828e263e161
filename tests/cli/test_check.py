"""The new and check commands, run as a person runs them."""

import re
import sys
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from farglide.cli.check import _HEADS
from farglide.cli.main import app, run
from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import EVERY

DEMO = Path(str(files("farglide.flightfile") / "assets" / "amber-evening.toml"))
RUNNER = CliRunner()


def ran(monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    """Run the console entry and return its exit code."""
    monkeypatch.setattr(sys, "argv", ["farglide", *arguments])
    with pytest.raises(SystemExit) as left:
        run()
    return left.value.code if isinstance(left.value.code, int) else 0


def test_check_of_the_demo_finds_no_guess() -> None:
    result = RUNNER.invoke(app, ["check", str(DEMO)])
    assert result.exit_code == 0
    assert "Amber evening: launch at Harrowend strip on Saturday 23 January 2027, 16:40" in (
        result.output
    )
    assert "Balloon, filled with hydrogen" in result.output
    assert "Payload" not in result.output
    assert "It bursts at a diameter of 7.05 m ± 0.423 m, typical." in result.output
    assert "Field Harrowend strip (home)" in result.output
    assert "Field Corrand strip (field 4)" in result.output
    assert result.output.endswith("Nothing here is a guess.\n")
    assert "  picture: picture transmitter, picture antenna," in result.output
    assert (
        "  release by falling detector: falling detector, hot wire, pack all; 0 of 12 failed"
        in result.output
    )


def test_check_tells_of_a_record_and_of_a_parachute_only_where_there_is_one(tmp_path: Path) -> None:
    words = RUNNER.invoke(app, ["check", str(DEMO)]).output
    assert "In your record" not in words  # nobody has counted
    assert "\nPayload\n" not in words
    assert "parachute" not in words
    text = DEMO.read_text(encoding="utf-8").replace("[train]", "[train]\ncanopy_m = 0.9")
    text = text.replace("[balloon]", "[balloon]\nn_flights = 12\nn_early_bursts = 1")
    file = tmp_path / "mine.toml"
    file.write_text(text, encoding="utf-8")
    for name in ("amber-evening-winds.csv", "amber-evening-ground.tif"):
        (tmp_path / name).write_bytes((DEMO.parent / name).read_bytes())
    words = RUNNER.invoke(app, ["check", str(file)]).output
    assert "In your record the others were seen whole up to a share" in words
    assert words.count("The parachute's drag coefficient on its nominal area is 0.8.") == 1


def test_check_tells_every_problem_on_standard_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    text = DEMO.read_text(encoding="utf-8")
    text = text.replace("neck_lift_kg = 2.15", "neck_lift_kg = 1600")
    text = text.replace("top_eas_mps = 32", "top_eas_mps = 10")
    file = tmp_path / "mine.toml"
    file.write_text(text, encoding="utf-8")
    assert ran(monkeypatch, "check", str(file)) == 2
    caught = capsys.readouterr()
    assert caught.out == ""
    assert "2 problems" not in caught.err.splitlines()[-1]
    assert "mine.toml: 3 problems" in caught.err
    assert "Is that grams? Write neck_lift_g = 1600." in caught.err
    assert "[glider] top_eas: is 10.0 m/s, but it stalls at 9.2 m/s." in caught.err


def test_check_of_no_file_says_how_to_get_one(tmp_path: Path) -> None:
    result = RUNNER.invoke(app, ["check", str(tmp_path / "none.toml")])
    assert isinstance(result.exception, FlightFileError)
    assert "farglide new" in str(result.exception)


def test_check_shows_timed_glides_and_a_pack(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8")
    for key in ("zero_lift_drag = 0.034\n", "span_efficiency_ratio = 0.78\n"):
        text = text.replace(key, "")
    # Sinks of 1.15, 1.35 and 2.0 m/s at 9, 12 and 16 m/s: an ordinary small glider.
    for speed, sink in ((9, 1.15), (12, 1.35), (16, 2.0)):
        glide = f"from_agl_m = 60\nduration_s = {60 / sink:.1f}\nspeed_eas_mps = {speed}\n"
        text += f"\n[[glider.timed_glides]]\n{glide}"
    file = tmp_path / "mine.toml"
    file.write_text(text, encoding="utf-8")
    result = RUNNER.invoke(app, ["check", str(file)])
    assert result.exit_code == 0, result.exception
    assert "Timed glide 3\n" in result.output
    assert "The polar is fitted from 3 timed glides." in result.output
    assert re.search(r"drag coefficient without lift is 0\.0\d+ ± 0\.\d+, fitted", result.output)
    assert "Pack all\n" in result.output


def test_check_tells_each_file_that_is_not_there(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(DEMO.read_text(encoding="utf-8"), encoding="utf-8")
    told = RUNNER.invoke(app, ["check", str(file)]).output
    assert "  The ground amber-evening-ground.tif is not there yet.\n" in told
    assert "  The winds amber-evening-winds.csv are not there yet.\n" in told
    assert "not there" not in RUNNER.invoke(app, ["check", str(DEMO)]).output


def test_check_tells_of_a_ground_test_only_where_one_is_stated(tmp_path: Path) -> None:
    told = "In the ground test it stood off its budget by"
    text = DEMO.read_text(encoding="utf-8")
    assert RUNNER.invoke(app, ["check", str(DEMO)]).output.count(f"{told} 0 dB, measured.") == 2
    file = tmp_path / "mine.toml"
    file.write_text(text.replace("offset_db = 0 ", "# ", 1), encoding="utf-8")
    assert RUNNER.invoke(app, ["check", str(file)]).output.count(told) == 1


def test_check_reads_antennas_back(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8")
    text = text.replace(
        "receiver_gain_dbi = 18 ", 'receiver_antenna = "helix"\nreceiver_n_turns = 12\n# '
    )
    text = text.replace(
        "receiver_gain_dbi = -1 ",
        'receiver_antenna = "measured"\nreceiver_pointing = "down"\n'
        'receiver_pattern_file = "whip.csv"\n# ',
    )
    file = tmp_path / "mine.toml"
    file.write_text(text, encoding="utf-8")
    result = RUNNER.invoke(app, ["check", str(file)])
    assert result.exit_code == 0, result.exception
    assert "Turns of the receiving helix are 12, measured." in result.output
    assert "The receiving antenna gains 15.31 dBi, typical." in result.output
    words = " ".join(result.output.split())
    assert (
        "What the antennas make of the links picture antennas: on the ground helix of 12" in words
    )
    assert f"Pattern from {tmp_path / 'whip.csv'}, read when a plan is made" in words


def test_every_section_with_a_number_of_its_own_has_a_head(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "mine.toml"
    text = DEMO.read_text(encoding="utf-8").replace("[terrain]", "[terrain]\nvoid_m = 3", 1)
    file.write_text(text, encoding="utf-8")
    for name in ("amber-evening-winds.csv", "amber-evening-ground.tif"):
        (tmp_path / name).write_bytes((DEMO.parent / name).read_bytes())
    assert ran(monkeypatch, "check", str(file)) == 0
    assert "\nGround\n" in capsys.readouterr().out


def test_every_section_that_holds_numbers_has_a_head(tmp_path: Path) -> None:
    """A prepared launch place, whose height is a number too."""
    flight = tmp_path / "flight.toml"
    place = '\n[[launch_places]]\nname = "Far meadow"\nlat_deg = -46.52\nlon_deg = 107.98\n'
    flight.write_text(DEMO.read_text(encoding="utf-8") + place, encoding="utf-8")
    for name in ("amber-evening-winds.csv", "amber-evening-ground.tif"):
        (tmp_path / name).write_bytes(DEMO.with_name(name).read_bytes())
    result = RUNNER.invoke(app, ["check", str(flight)])
    assert result.exit_code == 0, result.output
    assert "Launch place Far meadow" in result.output
    headed = {section.name for section in EVERY if section.rows}
    assert headed - {"fields"} <= set(_HEADS)


def test_a_check_tells_minutes_and_thousands_as_a_crew_does() -> None:
    text = RUNNER.invoke(app, ["check", str(DEMO)]).output
    assert "The drive there from the launch takes, nine times in ten, less than 38 min" in text
    assert "to a steady picture it takes 4 min, measured." in text
    assert "a Reynolds number of 200\u2009000" in text
    assert not re.search(r"\b\d{3,} s\b", text)
