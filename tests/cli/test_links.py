"""Antennas through the commands: gathered with their files, told, and felt in the margins."""

import re
import shutil
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from farglide.cli.main import app

ASSETS = Path(str(files("farglide.flightfile") / "assets"))
RUNNER = CliRunner()
ROWS = "angle_deg,gain_dbi\n0,-9\n30,-6\n60,0\n90,2\n120,0\n150,-6\n180,-9\n"
PICTURE = """sender_antenna = "measured"
sender_pattern_file = "masts/whip.csv"
sender_pointing = "down"
sender_polarisation = "linear upright"
sender_swing_deg = 20
receiver_antenna = "helix array"
receiver_n_turns = 6
receiver_n_level = 2
receiver_n_upright = 2
receiver_apart_wavelengths = 1.3
receiver_polarisation = "right circular"
receiver_aim_spread_deg = 4
"""


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    """Return the demo with antennas for its picture, in a folder of its own."""
    folder = tmp_path / "flight"
    (folder / "masts").mkdir(parents=True)
    (folder / "masts" / "whip.csv").write_text(ROWS, encoding="utf-8")
    for name in ("amber-evening-ground.tif", "amber-evening-winds.csv"):
        shutil.copyfile(ASSETS / name, folder / name)
    text = (ASSETS / "amber-evening.toml").read_text(encoding="utf-8")
    text = re.sub(r"sender_gain_dbi = 2 .*\n", "", text, count=1)
    text = re.sub(r"receiver_gain_dbi = 18 .*\n", PICTURE, text, count=1)
    file = folder / "mine.toml"
    file.write_text(text, encoding="utf-8")
    return file


def said(*arguments: str | Path) -> str:
    result = RUNNER.invoke(app, [str(one) for one in arguments])
    assert result.exit_code == 0, result.exception
    return " ".join(result.output.split())


def test_a_pack_holds_the_patterns_and_links_tells_them(flight: Path, tmp_path: Path) -> None:
    pack = tmp_path / "pack"
    assert "whip.csv, an antenna" in said("gather", flight, "--pack", pack)
    assert (pack / "masts" / "whip.csv").read_text(encoding="utf-8") == ROWS
    shutil.rmtree(flight.parent)
    text = said("links", "--pack", pack)
    assert "aboard measured antenna, 2.0 dBi" in text
    # a fifteenth of a decibel for each degree of tilt, and half of the sides tilt by 14 degrees
    assert "2.0 dBi, pointing down, leaning 20°: −0.9 dB at the horizon" in text
    # 12 C^2 n S of six turns is 12.3 dBi, and 6 dB of four
    assert "on the ground 4 helices, 18.3 dBi" in text
    assert "linear upright to right circular: 3.0 dB" in text
    assert "antennas: only gains are stated" in text  # of the command
    # 31.0 + 18.3 - 2 - 3.0 - 1.0 dB of aim over -90.9 dBm reach 51 km where the demo's 80 are
    found = re.search(r"it reaches (\d+) km in free space", text)
    assert found is not None
    assert 45 <= int(found[1]) <= 60


def test_a_file_of_a_pattern_that_is_none_is_refused(flight: Path, tmp_path: Path) -> None:
    path = flight.parent / "masts" / "whip.csv"
    path.write_text(ROWS.replace("60,0\n90,2\n", ""), encoding="utf-8")
    result = RUNNER.invoke(app, ["gather", str(flight), "--pack", str(tmp_path / "pack")])
    assert "a hole from 30 to 120°" in str(result.exception)
    assert not (tmp_path / "pack").exists()
