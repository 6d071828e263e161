"""What was answered is a plain commented file that reads as the same document."""

import tomllib
from pathlib import Path

from farglide.flightfile.asked.written import flight_text
from farglide.flightfile.flightfile import read_flight_file

from .answers import SWIFT
from .test_questions import dialogue


def test_the_file_says_just_what_was_answered() -> None:
    doc = dialogue(SWIFT).document
    found = tomllib.loads(flight_text(doc))
    permissions = found.pop("permissions")
    assert permissions == {"picture_radio": "missing", **doc.pop("permissions")}
    assert found == doc


def test_every_number_has_its_comment_and_fits_a_line() -> None:
    lines = flight_text(dialogue(SWIFT).document).splitlines()
    stated = [line for line in lines if " = " in line and line[0] not in "#["]
    bare = {line.split(" = ")[0] for line in stated if " # " not in line}
    assert bare == {"name", "purpose"}
    assert max(map(len, lines)) <= 100


def test_the_file_is_a_flight_with_guesses_for_the_rest(tmp_path: Path) -> None:
    path = tmp_path / "swift.toml"
    path.write_text(flight_text(dialogue(SWIFT).document), encoding="utf-8")
    flight = read_flight_file(path)
    assert flight.sortie.glider.top_eas_mps == 25.0
    guesses = [key for key, tag in flight.sortie.tags.items() if tag.value == "guess"]
    assert {"balloon.burst_diameter_m", "glider.top_mach", "train.line_kg"} <= set(guesses)


def test_text_in_quotes_stays_whole() -> None:
    doc = {"launch": {"name": 'The "old" mill \\ näher', "lat_deg": 1, "lon_deg": 2}}
    assert tomllib.loads(flight_text(doc))["launch"] == doc["launch"]
