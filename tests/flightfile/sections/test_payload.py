"""A box under a parachute in place of a glider."""

from collections.abc import Callable
from pathlib import Path

import pytest

from farglide.errors import FlightFileError
from farglide.flightfile.flightfile import read_flight_file
from farglide.flightfile.sections.payload import (
    PAYLOAD,
    payload_of,
    payload_problems,
    with_its_mass,
)
from farglide.sortie.gear import PayloadSpec

from ..conftest import Entered

BOX = """
[flight]
launch_at = 2027-01-23T09:40:00Z
[launch]
lat_deg = -46.5
lon_deg = 108.0
[balloon]
mass_g = 800
gas = "hydrogen"
neck_lift_g = 1600
"""
Write = Callable[[str], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def written(more: str) -> Path:
        path = tmp_path / "box.toml"
        path.write_text(BOX + more, encoding="utf-8")
        return path

    return written


def refused(path: Path) -> str:
    with pytest.raises(FlightFileError) as caught:
        read_flight_file(path)
    assert len(caught.value.problems) == 1
    return str(caught.value.problems[0])


def test_a_payload_hangs_below_the_balloon(write: Write) -> None:
    flight = read_flight_file(write("[payload]\nmass_g = 900\ncanopy_cm = 100\n"))
    assert flight.sortie.payload == PayloadSpec(canopy_m=1.0)
    assert flight.sortie.hanging_kg == pytest.approx(1.0)  # with a line of 100 g
    told = {line.section for line in flight.inputs}
    assert "payload" in told
    assert not told & {"glider", "drop", "crew", "wish", "release"}
    assert not [note for note in flight.notes if "top_" in note or "field" in note.lower()]


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ("[payload]\nmass_g = 900\n", "[payload] canopy_m: is missing. A payload has a mass"),
        ("[payload]\ncanopy_m = 1\n", "[payload] mass_kg: is missing."),
        ("[payload]\nmass_g = 9\ncanopy_m = 1\n", "[payload] mass_g: is 9 g; allowed: 30 to 25000"),
        (
            "[payload]\nmass_g = 900\ncanopy_m = 1\n[glider]\nmass_g = 680\n",
            "[payload]: stands beside [glider]: only one of them",
        ),
        ("", "[glider]: is missing, and so is [payload]: nothing hangs below the balloon."),
        ("[payload]\nmass_g = 1600\ncanopy_m = 1\n", "neck_lift_g: is 1600 g, but 1.700 kg hang"),
    ],
)
def test_what_cannot_hang_is_refused_once(write: Write, more: str, told: str) -> None:
    assert told in refused(write(more))


def test_the_glider_in_it_is_a_mass_alone(entered: Entered) -> None:
    assert with_its_mass({"payload": {"mass_kg": 2}})["glider"] == {"mass_kg": 2.0}
    assert with_its_mass({"payload": {"mass_g": "x"}})["glider"] == {"mass_kg": 1.0}
    both = {"payload": {"mass_kg": 2}, "glider": {"mass_kg": 0.5}}
    assert with_its_mass(both) == both
    assert payload_problems({"glider": {}}) == []
    assert payload_of(entered(PAYLOAD, "")) is None
